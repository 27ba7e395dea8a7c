"""The desk: a page in the browser, served from this computer to this computer only.

It hands files to the same functions as the commands do (``sheetgen.office``). Needs the optional extra "desk", and
is imported by its command alone.
"""
