"""What a row of the shot log can be, and what of it counts: ``tables/shot_kinds.csv``, for book and recheck alike."""

from __future__ import annotations

from functools import cache
from typing import NamedTuple

from sheetgen import templates


class ShotKind(NamedTuple):
    """One kind of row; what each mark means stands at the head of the table.

    Attributes:
        key: ``words.<key>`` in the texts is what a crew picks
    """

    key: str
    counted: bool
    sprayed: bool
    area: bool
    hand_spray: bool
    bar: bool
    stretch: bool


@cache
def shot_kinds() -> dict[str, ShotKind]:
    """Give every kind by its key, in the order of the drop-down."""
    marks = ShotKind._fields[1:]
    return {
        row["kind"]: ShotKind(row["kind"], *(row[mark] == "1" for mark in marks))
        for row in templates.table("shot_kinds")
    }
