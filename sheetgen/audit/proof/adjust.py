"""An issued reference as it must read after sheets were renamed, and rows or columns inserted or deleted.

A spreadsheet program adjusts every formula when it does that; the adjusted formula is then the proper one.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field

from sheetgen.audit.proof.lines import Lines
from sheetgen.xlsx.address import column_letters, column_number

REFERENCE = re.compile(
    r"""
    (?P<text>"[^"]*(?:"|\Z))
    | (?P<sheet>(?:'(?>(?:[^']|'')*)'|[^\W\d][\w.]*)!)?
      (?P<first>\$?[A-Za-z]{1,3}\$?[0-9]{1,7}|\$?[A-Za-z]{1,3}(?=:)|\$?[0-9]{1,7}(?=:))
      (?::(?P<last>\$?[A-Za-z]{1,3}\$?[0-9]{1,7}|\$?[A-Za-z]{1,3}|\$?[0-9]{1,7}))?
      (?![\w(.!])
    | [\w.\\]+ | '(?>(?:[^']|'')*)(?:'|\Z)
    """,
    re.VERBOSE,
)
_PARTS = re.compile(r"(\$?)([A-Za-z]*)(\$?)([0-9]*)\Z")


@dataclass(frozen=True, slots=True)
class Place:
    """What became of one issued sheet: its name now, and its lines."""

    name: str
    rows: Lines = field(default_factory=Lines)
    columns: Lines = field(default_factory=Lines)

    @property
    def still(self) -> bool:
        """Whether every cell is where it was issued."""
        return not (self.rows.shifts or self.columns.shifts)


Places = Mapping[str, Place]  # by the issued name in small letters


def adjusted(formula: str, home: str, places: Places) -> str:
    """A formula or reference of the issued sheet ``home``, adjusted to what became of all sheets."""
    if settled(places):
        return formula

    def replaced(match: re.Match[str]) -> str:
        if match["first"] is None:
            return match[0]
        prefix = match["sheet"] or ""
        name = prefix[:-1].strip("'").replace("''", "'").casefold() if prefix else home.casefold()
        place = places.get(name)
        if place is None:
            return match[0]
        if prefix:
            quoted = place.name.replace("'", "''")
            prefix = f"'{quoted}'!"
        return prefix + _moved_range(match["first"], match["last"], place)

    return REFERENCE.sub(replaced, formula)


def settled(places: Places) -> bool:
    """Whether every sheet has its issued name and every cell its issued place."""
    return all(place.still and place.name.casefold() == name for name, place in places.items())


def _moved_range(first: str, last: str | None, place: Place) -> str:
    start, end = _PARTS.match(first), _PARTS.match(last or first)
    if start is None or end is None:
        return first if last is None else f"{first}:{last}"
    from_column, from_row = _start(start, place)
    to_column, to_row = _end(end, place)
    if from_column > to_column or from_row > to_row:
        return "#REF!"
    text = _written(start, from_column, from_row)
    return text if last is None else f"{text}:{_written(end, to_column, to_row)}"


def _start(part: re.Match[str], place: Place) -> tuple[int, int]:
    column = place.columns.start(column_number(part[2])) if part[2] else 0
    return column, place.rows.start(int(part[4]) - 1) if part[4] else 0


def _end(part: re.Match[str], place: Place) -> tuple[int, int]:
    column = place.columns.end(column_number(part[2])) if part[2] else 0
    return column, place.rows.end(int(part[4]) - 1) if part[4] else 0


def _written(part: re.Match[str], column: int, row: int) -> str:
    letters = part[1] + column_letters(column) if part[2] else ""
    return letters + (f"{part[3] if part[2] else part[1]}{row + 1}" if part[4] else "")
