"""How much of the payable quantity hangs on a finding: only what is calculated from what it asks about.

A finding says itself what it puts in question where its rule can tell (:class:`sheetgen.audit.model.Finding`); of any
other it follows from the entry that it stands at. What several findings put in question together is counted by the
shots whose material it is, so that no gallon counts twice.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from typing import Any, NamedTuple

from sheetgen.audit.compute.pay import quantity_paid
from sheetgen.audit.findings import catalogue
from sheetgen.audit.model import Finding, Recheck
from sheetgen.columns import columns
from sheetgen.order.pay_terms import paid_kind, pay_decimals, pay_terms
from sheetgen.trade.rounding import round_half_away
from sheetgen.xlsx.returned import is_number

_BEYOND_ORDERED = {"rate-out-of-tolerance", "hand-spray-not-ordered", "hand-spray-above-rate"}
_READINGS = {"dip": ("dip_before", "dip_after"), "meter": ("meter_before", "meter_after")}
_OF_THE_FILE = {"file", "agreement", "claims"}  # the payable is recomputed from the entries, not from these

Place = tuple[str, int, str]  # table, row, column


class Held(NamedTuple):
    """A volume in question, and the shots whose material it is."""

    volume: float
    shots: tuple[int, ...]


class Stakes(NamedTuple):
    """The places and volumes of one recheck by which a stake is told.

    Attributes:
        places: the entry or result at each cell (sheet, address)
        rows: the recomputed row by table and row number
        payable: the recomputed payable quantity
        paid: what of it is paid for each shot, by its row; never below zero
        quantities: the same in the unit of pay
        readable: the entries that could be read
    """

    recheck: Recheck
    places: dict[tuple[str, str], Place]
    rows: dict[tuple[str, int], dict[str, Any]]
    payable: float
    paid: dict[int, float]
    quantities: dict[int, float]
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
        payable = recheck.totals.overall.get("payable") or 0.0
        return cls(recheck, places, rows, payable, _paid(recheck), _quantities(recheck), readable)

    def at_stake(self, finding: Finding) -> float | None:
        """What hangs on a finding, a volume in the order's unit; None where nothing does or it cannot be said.

        What its rule says. Else, of a result that differs: the difference, where it is a volume. A rate: what was
        sprayed beyond or short of the ordered volume. A load: what could not have been sprayed without it. Another
        entry or result: the volume of its shot, or what its day leaves unexplained, where a quantity is calculated
        from that entry. A claim: its difference from the recomputed quantity. Doubt about the order itself: the
        whole payable quantity. A note asks for nothing.
        """
        if finding.severity == "note":
            return None
        group = catalogue()[finding.name].group
        if group == "origin":
            return self.payable
        if group == "claims":
            return self._claimed()
        if finding.stake is not None:
            return round_half_away(finding.stake, self.recheck.order.rounding.volume) or None
        place = self.places.get((finding.sheet, finding.cell))
        beside = group == "entries" and place is not None and not self._depends(finding.name, place)
        if finding.shots and not beside:
            return sum(self.paid.get(row, 0.0) for row in finding.shots) or None
        if place is None or not self._depends(finding.name, place):
            return None
        if place[0] == "loads" and group not in _OF_THE_FILE:
            return self._only_from({place[1]}) or None
        known = self._difference(place)
        known = self._beyond(finding.name, place) if known is None else known
        return self._row_volume(place) if known is None else known

    def in_question(self, findings: Iterable[Finding]) -> float:
        """How much of the recomputed payable quantity hangs on findings, to the order's decimals."""
        total = sum(self.by_shot(findings).values())
        return min(self.payable, round_half_away(total, self.recheck.order.rounding.pay))

    def quantity_of(self, taken: Mapping[int, float]) -> dict[int, float]:
        """What volumes paid for shots are in the unit of pay, by the shot's row: the same part of each."""
        return {
            row: volume / self.paid[row] * self.quantities.get(row, 0.0) if self.paid.get(row) else 0.0
            for row, volume in taken.items()
        }

    def quantity_in_question(self, findings: Iterable[Finding]) -> float:
        """How much of what is paid hangs on findings, in the unit of pay, to its decimals."""
        order = self.recheck.order
        if paid_kind(order) == "volume":
            return self.in_question(findings)
        own = quantity_paid(self.recheck.totals.overall, order) or 0.0
        total = sum(self.quantity_of(self.by_shot(findings)).values())
        return min(own, round_half_away(total, pay_decimals(order)))

    @property
    def per_volume(self) -> float:
        """What is paid for one unit of volume, in the unit of pay, on the whole book."""
        if paid_kind(self.recheck.order) == "volume":
            return 1.0
        return (quantity_paid(self.recheck.totals.overall, self.recheck.order) or 0.0) / (self.payable or 1.0)

    def _claimed(self) -> float | None:
        """How far a claim is from what is paid, as a volume."""
        own = quantity_paid(self.recheck.totals.overall, self.recheck.order)
        if self.recheck.claim is None or own is None:
            return None
        return abs(self.recheck.claim - own) / (self.per_volume or 1.0)

    def by_shot(self, findings: Iterable[Finding]) -> dict[int, float]:
        """How much of what is paid for each shot hangs on findings: their union, by the shot's row.

        A shot counts once, with the largest amount, and never above what is paid for it. What hangs on several shots
        (a day, a load, a section, two readings) adds only what is not in question of these shots already.
        """
        held: list[Held] = []
        loads: set[int] = set()
        for one in findings:
            amount, group = self.at_stake(one), catalogue()[one.name].group
            if group == "origin" and amount:
                return dict(self.paid)
            if amount is None or group in _OF_THE_FILE:
                continue
            place = self.places.get((one.sheet, one.cell))
            if place is not None and place[0] == "loads" and one.stake is None:
                loads.add(place[1])  # two loads may each be spared, and not both
            else:
                held.append(Held(amount, one.shots or self._shots_at(place)))
        if loads:
            of = tuple(row for row in self.paid if any(row in self._shots_of_load(each) for each in loads))
            held.append(Held(self._only_from(loads), of))
        return covered(held, self.paid)

    def _shots_at(self, place: Place | None) -> tuple[int, ...]:
        """The shots whose material hangs on an entry or result: of a whole book all of them."""
        shots = self.recheck.shot_rows
        table, row = place[:2] if place is not None else ("", 0)
        if table == "shots":
            return (row,)
        if table == "loads":
            return self._shots_of_load(row)
        if table in ("days", "sections"):
            key, name = ("date", "date") if table == "days" else ("section", "id")
            value = self.rows.get((table, row), {}).get(name)
            return tuple(shot["row"] for shot in shots if shot[key] == value)
        return tuple(self.paid)

    def _shots_of_load(self, row: int) -> tuple[int, ...]:
        """The shots that name a load, by its printed number; those of its date where none does, or all."""
        named = [
            one.row for one in self.recheck.entries
            if (one.table, one.column) == ("shots", "load") and one.value == row + 1
        ]  # fmt: skip
        date = self.rows.get(("loads", row), {}).get("date")
        dated = [shot["row"] for shot in self.recheck.shot_rows if date is not None and shot["date"] == date]
        return tuple(named or dated or self.paid)

    def _only_from(self, loads: set[int]) -> float:
        """What was sprayed, undiluted, that cannot have come but from these loads: beyond the tank and the others.

        Where no reading tells what was in the tank, it is what they held. What the order lets stay unexplained tells
        of no load.
        """
        overall, dilution = self.recheck.totals.overall, self.recheck.order.material.dilution
        base = {row["row"]: row["base"] for row in self.recheck.load_rows}
        known = [base[each] for each in loads if base.get(each) is not None]
        held = sum(known) if len(known) == len(loads) else self.payable
        if self.recheck.order.pay.unit == "mass-by-ticket":  # what is paid is what the tickets say
            return min(self.payable, held)
        if overall.get("start") is None or overall.get("end") is None:
            return min(self.payable, held)
        left = sum(overall.get(key) or 0.0 for key in ("sprayed", "wasted", "returned", "end"))
        needed = (left - (overall["start"] or 0.0)) * dilution
        others = sum(volume or 0.0 for row, volume in base.items() if row not in loads)
        only = round_half_away(needed - others, self.recheck.order.rounding.volume)
        unexplained = self.recheck.order.limits.unexplained * (overall.get("loaded") or 0.0) * dilution
        return 0.0 if only <= unexplained else min(only, held, self.payable)

    def _depends(self, name: str, place: Place) -> bool:
        """Whether a quantity is calculated from an entry, or from what else in its row the finding is told by."""
        table, _, column = place
        declared = columns(table).get(column) if table in _ROW_VOLUME else None
        if declared is None or not declared.input:
            return True
        kind = catalogue()[name]
        if column == "date" and table == "shots":
            return False  # a day's sums hang on it, no payable quantity
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
        by_area = paid_kind(self.recheck.order) == "area"  # an area is accepted as a whole or not
        if name not in _BEYOND_ORDERED or by_area or row.get("counted") is None or row.get("due") is None:
            return None
        decimals = self.recheck.order.rounding.volume
        return round_half_away(abs(row["counted"] - row["due"]), decimals) or None

    def _difference(self, place: Place) -> float | None:
        table, number, column = place
        if place not in self.recheck.book_values or column not in _volumes(table):
            return None
        book, own = self.recheck.book_values[place].value, self.rows.get((table, number), {}).get(column)
        if not is_number(book) or own is None:
            return None
        return abs(book - own) or None

    def _row_volume(self, place: Place) -> float | None:
        table, number, _ = place
        row, volume = self.rows.get((table, number)), _ROW_VOLUME.get(table)
        size = None if row is None or volume is None else volume(row)
        mix = table in ("shots", "days")  # with its water, which is never paid
        return size * self.recheck.order.material.dilution if size is not None and mix else size


def covered(held: Iterable[Held], paid: dict[int, float]) -> dict[int, float]:
    """Give the least of what is paid for each shot that covers every volume held, none of it twice.

    Args:
        held: volumes and their shots
        paid: what is paid for each shot
    """
    taken = dict.fromkeys(paid, 0.0)
    # What hangs on one shot comes first: what hangs on more of them may be the same material.
    for volume, shots in sorted(held, key=lambda each: (len(each.shots), each.shots, -each.volume)):
        missing = volume - sum(taken.get(row, 0.0) for row in shots)
        for row in shots:
            more = max(0.0, min(missing, paid.get(row, 0.0) - taken.get(row, 0.0)))
            if more:
                taken[row] += more
                missing -= more
    return taken


def _paid(recheck: Recheck) -> dict[int, float]:
    """What is paid for each shot: its part of what its section is paid under the limit, or all of exempt hand work."""
    terms = pay_terms(recheck.order)
    hand_ordered = {section.id for section in recheck.order.sections if section.hand_spray}
    limit = {row["id"]: row for row in recheck.section_rows}
    paid: dict[int, float] = {}
    for shot in recheck.shot_rows:
        volume, section = shot["counted"] or 0.0, limit.get(shot["section"])
        if section is None:
            volume = 0.0
        elif not terms.exempts(shot["by_hand"], shot["section"] in hand_ordered) and section["undiluted"] > 0:
            volume *= min(section["undiluted"], section["cap"]) / section["undiluted"]
        paid[shot["row"]] = max(0.0, volume)
    return paid


def _quantities(recheck: Recheck) -> dict[int, float]:
    """What is paid for each shot, in the unit of pay: its part of what its section is paid."""
    kind = paid_kind(recheck.order)
    if kind == "volume":
        return {}
    terms, sections = pay_terms(recheck.order), {row["id"]: row for row in recheck.paid_rows}
    volumes = {row["id"]: row for row in recheck.section_rows}
    hand_ordered = {section.id for section in recheck.order.sections if section.hand_spray}
    found: dict[int, float] = {}
    for shot in recheck.shot_rows:
        row, own = sections.get(shot["section"]), shot["accepted" if kind == "area" else "counted"]
        if row is None or own is None:
            continue
        exempt = terms.exempts(shot["by_hand"], shot["section"] in hand_ordered)
        whole, part = ("hand", "hand") if exempt else ("undiluted", "measured")
        if kind == "mass":  # of the section's tons as of its volume
            all_of_it = volumes[shot["section"]][whole]
            own = (row[part] or 0.0) * own / all_of_it if all_of_it > 0 else 0.0
        if not exempt and (row["measured"] or 0.0) > 0:
            own *= min(row["measured"], row["cap"]) / row["measured"]
        found[shot["row"]] = max(0.0, own)
    return found


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
