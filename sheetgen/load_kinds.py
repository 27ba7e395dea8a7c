"""What a row of the load log can be, and what of it counts: ``tables/load_kinds.csv``, for book and recheck alike."""

from __future__ import annotations

from functools import cache
from typing import NamedTuple

from sheetgen import templates


class LoadKind(NamedTuple):
    """One kind of row; what each mark means stands at the head of the table.

    Attributes:
        key: ``words.<key>`` in the texts is what a crew picks
        adds: 1, -1 or 0
    """

    key: str
    adds: int
    ticket: bool
    whole: bool
    part: bool
    day: bool


@cache
def load_kinds() -> dict[str, LoadKind]:
    """Give every kind by its key, in the order of the drop-down."""
    marks = LoadKind._fields[2:]
    return {
        row["kind"]: LoadKind(row["kind"], int(row["adds"]), *(row[mark] == "1" for mark in marks))
        for row in templates.table("load_kinds")
    }
