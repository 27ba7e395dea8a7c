"""What the office issued and what came back: recorded in a database, compared across books.

:mod:`~sheetgen.register.register` opens a register, :mod:`~sheetgen.register.summary` makes of a recheck what is kept
of it (which needs no database), :mod:`~sheetgen.register.between_books` finds what several books say against each
other.
"""
