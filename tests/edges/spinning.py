"""Rechecks that take too much, for processes of a batch to find by their names."""

from __future__ import annotations

from tests.batch import fakes


def recheck(path, order=None):
    """What the first word of the file says: to spin, to hoard, to spin where no signal of Python is seen, or none."""
    word = path.read_text().split()[0]
    if word == "spin":
        while True:
            pass
    if word == "deaf":
        sum(range(10**12))  # one step to Python: it does not look at signals before the end
    if word == "hoard":
        kept = []
        while True:
            kept.append(bytearray(2**24))
    return fakes.recheck(path, order)
