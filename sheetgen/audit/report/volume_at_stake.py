"""How much hangs on a finding: only what is calculated from the entry that it stands at."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, NamedTuple

from sheetgen.audit.findings import catalogue
from sheetgen.audit.model import Finding, Recheck
from sheetgen.columns import columns
from sheetgen.trade.rounding import round_half_away

_BEYOND_ORDERED = {"rate-out-of-tolerance", "hand-spray-not-ordered", "hand-spray-above-rate"}
_READINGS = {"dip": ("dip_before", "dip_after"), "meter": ("meter_before", "meter_after")}
_OF_THE_FILE = {"file", "agreement", "claims"}  # the payable is recomputed from the entries, not from these

Place = tuple[str, int, str]  # table, row, column


class Stakes(NamedTuple):
    """The places and volumes of one recheck by which a stake is told.

    Attributes:
        places: the entry or result at each cell (sheet, address)
        rows: the recomputed row by table and row number
        payable: the recomputed payable quantity
        readable: the entries that could be read
    """

    recheck: Recheck
    places: dict[tuple[str, str], Place]
    rows: dict[tuple[str, int], dict[str, Any]]
    payable: float
    readable: set[Place]

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
        readable = {
            (one.table, one.row, one.column) for one in recheck.entries if one.value not in (None, "")
        }
        return cls(recheck, places, rows, recheck.totals.overall.get("payable") or 0.0, readable)

    def at_stake(self, finding: Finding) -> float | None:
        """What hangs on a finding, a volume in the order's unit; None where nothing does or it cannot be said.

        A result that differs: the difference, where it is a volume. A rate: what was sprayed beyond or short of
        the ordered volume. An entry or another result: the volume of its shot or load, or what its day leaves
        unexplained, where a quantity is calculated from that entry. A claim: its difference from the recomputed
        quantity. Doubt about the order itself: the whole payable quantity. A note asks for nothing.
        """
        if finding.severity == "note":
            return None
        group = catalogue()[finding.name].group
        if group == "origin":
            return self.payable
        if group == "claims":
            return None if self.recheck.claim is None else abs(self.recheck.claim - self.payable)
        place = self.places.get((finding.sheet, finding.cell))
        if place is None or not self._depends(finding.name, place):
            return None
        known = self._difference(place)
        known = self._beyond(finding.name, place) if known is None else known
        return self._row_volume(place) if known is None else known

    def in_question(self, findings: list[Finding]) -> float:
        """How much of the recomputed payable quantity hangs on findings: their union, to the order's decimals.

        A shot counts once, with the largest amount, and never above what is paid for it; what a day leaves
        unexplained counts where it is more than what is in question of its shots.
        """
        shots: dict[int, float] = {}
        days: dict[int, float] = {}
        for one in findings:
            amount, group = self.at_stake(one), catalogue()[one.name].group
            if group == "origin" and amount:
                return self.payable
            place = self.places.get((one.sheet, one.cell))
            if amount is None or place is None or group in _OF_THE_FILE:
                continue
            of = {"shots": shots, "days": days}.get(place[0])
            if of is not None:
                of[place[1]] = max(amount, of.get(place[1], 0.0))
        total = sum(self._by_day(shots, days))
        return min(self.payable, round_half_away(total, self.recheck.order.rounding.pay))

    def _by_day(self, shots: dict[int, float], days: dict[int, float]) -> list[float]:
        """What is in question on each date, first of its shots, then of what it leaves unexplained."""
        parts: dict[float | None, float] = {}
        for row, amount in shots.items():
            date = self.rows["shots", row]["date"] if ("shots", row) in self.rows else None
            parts[date] = parts.get(date, 0.0) + min(amount, self._paid(row))
        for row, amount in days.items():
            date = self.rows["days", row]["date"]
            parts[date] = max(parts.get(date, 0.0), amount)
        return list(parts.values())

    def _paid(self, row: int) -> float:
        """What is paid for a shot: its part of what its section is paid, by what was counted."""
        shot = self.rows.get(("shots", row), {})
        if not shot.get("counted"):
            return 0.0
        every = [one for one in self.recheck.shot_rows if one["section"] == shot["section"]]
        counted = sum(one["counted"] or 0.0 for one in every)
        paid = sum(one["payable"] for one in self.recheck.section_rows if one["id"] == shot["section"])
        return float(paid * shot["counted"] / counted) if counted > 0 else 0.0

    def _depends(self, name: str, place: Place) -> bool:
        """Whether a quantity is calculated from an entry, or from what else in its row the finding is told by."""
        table, _, column = place
        declared = columns(table).get(column) if table in _ROW_VOLUME else None
        if declared is None or not declared.input:
            return True
        kind = catalogue()[name]
        if table == "loads" and kind.group != "entries":
            return True  # a load is in doubt as a whole: its ticket, its grade
        told = [each.partition(".") for each in kind.evidence]
        others = [key for of, _, key in told if of == table and key != "date" and kind.group != "entries"]
        return any(self._counts(place, key) for key in {column, *others})

    def _counts(self, place: Place, column: str) -> bool:
        """Whether a quantity is calculated from this column of a row, by the reading that counts for pay."""
        table, row, _ = place
        record = self.recheck.order.pay.measured_by
        other = _READINGS["meter" if record == "dip" else "dip"]
        if table == "shots" and column in other:
            return not all((table, row, key) in self.readable for key in _READINGS[record])
        return columns(table)[column].computed

    def _beyond(self, name: str, place: Place) -> float | None:
        """How far what a shot counted is from what was ordered for its area, where that is what is asked about."""
        row = self.rows.get((place[0], place[1]), {})
        if name not in _BEYOND_ORDERED or row.get("counted") is None or row.get("due") is None:
            return None
        decimals = self.recheck.order.rounding.volume
        return round_half_away(abs(row["counted"] - row["due"]), decimals) or None

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
