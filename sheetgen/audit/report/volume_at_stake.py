"""How much hangs on a finding at most: the volume by which findings of one severity are sorted."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, NamedTuple

from sheetgen.audit.findings import catalogue
from sheetgen.audit.model import Finding, Recheck
from sheetgen.columns import columns

Place = tuple[str, int, str]  # table, row, column


class Stakes(NamedTuple):
    """The places and volumes of one recheck by which a stake is told.

    Attributes:
        places: the entry or result at each cell (sheet, address)
        rows: the recomputed row by table and row number
        payable: the recomputed payable quantity
    """

    recheck: Recheck
    places: dict[tuple[str, str], Place]
    rows: dict[tuple[str, int], dict[str, Any]]
    payable: float

    @classmethod
    def of(cls, recheck: Recheck) -> Stakes:
        """Gather them."""
        places = {(value.sheet, value.cell): key for key, value in recheck.book_values.items()}
        places |= {(each.sheet, each.cell): (each.table, each.row, each.column) for each in recheck.entries}
        rows = {
            (table, row["row"]): row
            for table, found in (
                ("shots", recheck.shot_rows), ("loads", recheck.load_rows), ("days", recheck.day_rows),
            )
            for row in found
        }  # fmt: skip
        rows |= {("sections", number): row for number, row in enumerate(recheck.section_rows)}
        rows["overall", 0] = recheck.totals.overall
        return cls(recheck, places, rows, recheck.totals.overall.get("payable") or 0.0)

    def at_stake(self, finding: Finding) -> float | None:
        """The most that can hang on a finding, a volume in the order's unit; None where it cannot be said.

        A result that differs: the difference, where it is a volume. An entry or another result: the volume of
        its shot or load, or what its day leaves unexplained. A claim: its difference from the recomputed
        quantity. Doubt about the order itself: the whole payable quantity.
        """
        group = catalogue()[finding.name].group
        if group == "origin":
            return self.payable
        if group == "claims":
            return None if self.recheck.claim is None else abs(self.recheck.claim - self.payable)
        place = self.places.get((finding.sheet, finding.cell))
        if place is None:
            return None
        difference = self._difference(place)
        return self._row_volume(place) if difference is None else difference

    def _difference(self, place: Place) -> float | None:
        table, number, column = place
        if place not in self.recheck.book_values or column not in _volumes(table):
            return None
        book, own = self.recheck.book_values[place].value, self.rows.get((table, number), {}).get(column)
        if isinstance(book, bool) or not isinstance(book, int | float) or own is None:
            return None
        return abs(book - own) or None

    def _row_volume(self, place: Place) -> float | None:
        table, number, _ = place
        row, volume = self.rows.get((table, number)), _ROW_VOLUME.get(table)
        return None if row is None or volume is None else volume(row)


def _volumes(table: str) -> set[str]:
    return {column.key for column in columns(table).values() if column.unit == "volume"}


def _size(*keys: str) -> Callable[[dict[str, Any]], float | None]:
    """The size of the first of these that a row has."""

    def size(row: dict[str, Any]) -> float | None:
        return next((abs(row[key]) for key in keys if row.get(key) is not None), None)

    return size


_ROW_VOLUME: dict[str, Callable[[dict[str, Any]], float | None]] = {
    "shots": _size("base", "net", "hot"),
    "loads": _size("mix", "base"),
    "days": _size("unexplained"),
    "sections": _size("payable"),
}
