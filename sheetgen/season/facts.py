"""What one returned book says for its season: its shots, days, readings, and each measurement against another.

All of it follows from what the register keeps: the order and the entries as they were read. Volumes are in the units of
the order; mix at base temperature unless a name says else.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from functools import lru_cache
from typing import NamedTuple

from sheetgen.audit.compute.book import Computation, compute
from sheetgen.audit.compute.pay import compute_sections
from sheetgen.audit.compute.shots import ShotRow
from sheetgen.audit.compute.uncertainty import TotalsUncertainty, Uncertainty
from sheetgen.audit.entries.logs import Shot
from sheetgen.audit.entries.shared_readings import reading_numbers
from sheetgen.audit.rules.case import Case
from sheetgen.audit.rules.levels import Gap, gaps
from sheetgen.audit.rules.made_up_logs import marks_of
from sheetgen.order.model import Machine, Order
from sheetgen.register.lists import KeptReturn
from sheetgen.register.packed_entries import unpack
from sheetgen.trade.pay import total_payable

PAIRS = ("tickets-stick", "meter-stick", "monitor-stick", "monitor-meter", "tickets-meter")
_DIGITS = 10  # of a meter


class ShotFact(NamedTuple):
    """One shot of the season.

    Attributes:
        operator, supplier: of its day, of its load; empty where they are not known
        base, due: mix sprayed, and what the ordered rate asks for on its area
        deviation: of the rate from the ordered one, as a part of it; None where the rate is not judged
        out: whether it is out of tolerance by the recomputed rate
    """

    date: float | None
    operator: str
    supplier: str
    base: float
    area: float
    due: float | None
    deviation: float | None
    out: bool


class DayFact(NamedTuple):
    """One day of one book; ``suppliers`` of the loads of that day."""

    date: float
    operator: str
    suppliers: tuple[str, ...]
    loaded: float
    unexplained: float | None


class Comparison(NamedTuple):
    """One quantity measured in two ways: a fill, a day, a session or a book.

    Attributes:
        pair: which two, one of :data:`PAIRS`
        first, second: volumes by the one and by the other
    """

    pair: str
    date: float | None
    operator: str
    supplier: str
    first: float
    second: float


class Reading(NamedTuple):
    """One reading of an instrument: on which of how many marks, or digits, it ends."""

    instrument: str
    operator: str
    mark: int
    marks: int
    step: float


class CalibrationFact(NamedTuple):
    """One calibration or check, as recorded in a book.

    Attributes:
        kind: "wheel", "meter", "pads", "cans"
        result: part that a gauge shows too much, or the greatest difference of a pad or a nozzle from the mean
    """

    kind: str
    date: float | None
    result: float | None


class BookFacts(NamedTuple):
    """One book, with all that many books are compared by; the tuples are empty where its order is not known.

    What counts in the book of a revision is left out, and so are the days on which that was sprayed. ``payable`` is
    what is left of the payable quantity then; None where all of it counts here.
    """

    kept: KeptReturn | None
    material: str = ""
    invented: bool = False
    currency: str = ""
    shots: tuple[ShotFact, ...] = ()
    days: tuple[DayFact, ...] = ()
    comparisons: tuple[Comparison, ...] = ()
    readings: tuple[Reading, ...] = ()
    calibrations: tuple[CalibrationFact, ...] = ()
    known: bool = False
    payable: float | None = None

    @property
    def dates(self) -> tuple[float, float] | None:
        """Its first and last day of work, None where none is dated."""
        dates = [day.date for day in self.days]
        dates += [shot.date for shot in self.shots if shot.date is not None]
        return (min(dates), max(dates)) if dates else None


def facts_of(kept: KeptReturn) -> BookFacts:
    """What a return says; of one whose order the register lacks only its totals."""
    facts = _computed(kept.canonical, kept.machine, kept.entries, kept.elsewhere)
    if facts.payable is not None:
        kept = kept._replace(overall=kept.overall | {"payable": facts.payable})
    return facts._replace(kept=kept)


@lru_cache(4096)
def _computed(canonical: str | None, name: str, entries: str, elsewhere: frozenset[int]) -> BookFacts:
    order = _order(canonical)
    machine = next((each for each in order.machines if each.name == name), None) if order else None
    if order is None or machine is None:
        return BookFacts(None)
    return _Facts(order, machine, entries, elsewhere).all()


@lru_cache(256)
def _order(canonical: str | None) -> Order | None:
    return None if canonical is None else Order.readable(canonical)


class _Facts:
    def __init__(self, order: Order, machine: Machine, entries: str, elsewhere: frozenset[int]) -> None:
        self.order, self.elsewhere = order, elsewhere
        computation: Computation = compute(unpack(entries), order, machine)
        nothing = Uncertainty((), TotalsUncertainty({}, {}, {}))  # where loads came in does not hang on it
        self.case = Case(computation, nothing, order, machine)
        self.operators = {day.date: (day.operator or "").strip() for day in self.case.logs.days}
        self.suppliers = {number: _name(load.supplier) for number, (load, _) in self.case.loads.items()}
        self.days_elsewhere = {shot.date for shot in self.case.logs.shots if shot.row in elsewhere}

    def all(self) -> BookFacts:
        return BookFacts(
            None, self.order.material.grade, self.order.job.invented, self.order.pay.currency,
            tuple(self.shots()), tuple(self.days()), tuple(self.comparisons()), tuple(self.readings()),
            tuple(self.calibrations()), known=True, payable=self.payable(),
        )  # fmt: skip

    def payable(self) -> float | None:
        """What is payable without the shots that count elsewhere."""
        if not self.elsewhere:
            return None
        here = tuple(row for row in self.case.computation.shot_rows if row.row not in self.elsewhere)
        sections = compute_sections(here, self.order)
        return total_payable((each.payable for each in sections), self.order.rounding.pay)

    def shots(self) -> Iterator[ShotFact]:
        for shot, row in self.case.shots:
            if shot.row in self.elsewhere or not self.case.kinds[row.row].sprayed or row.base is None:
                continue
            judged = row.verdict in ("in", "high", "low")
            yield ShotFact(
                shot.date, self.operator(shot.date), self.supplier_of(shot), row.base, row.area or 0.0,
                _due(row) if judged else None, row.deviation if judged else None, row.verdict in ("high", "low"),
            )  # fmt: skip

    def operator(self, date: float | None) -> str:
        return self.operators.get(date, "")

    def supplier_of(self, shot: Shot) -> str:
        return "" if shot.load is None else self.suppliers.get(int(shot.load), "")

    def days(self) -> Iterator[DayFact]:
        for row in self.case.computation.day_rows:
            if row.date is None or row.date in self.days_elsewhere:
                continue
            loads = [number for number, (load, _) in self.case.loads.items() if load.date == row.date]
            suppliers = tuple(dict.fromkeys(self.suppliers[each] for each in loads))
            yield DayFact(row.date, self.operator(row.date), suppliers, row.loaded or 0.0, row.unexplained)

    def comparisons(self) -> Iterator[Comparison]:
        """Give each comparison that counts here."""
        found = [*self._compared(), *(() if self.elsewhere else self._book())]
        return (each for each in found if each.date not in self.days_elsewhere)

    def _compared(self) -> Iterator[Comparison]:
        for gap in gaps(self.case):
            if gap.loads and gap.came is not None and not gap.used:
                yield self._fill(gap)
        yield from self._metered()
        yield from self._sessions()

    def _fill(self, gap: Gap) -> Comparison:
        """The tickets of a fill against what the stick rose by."""
        date = self.case.loads[min(gap.loads)][0].date
        rose = gap.after.base - gap.before.base + gap.returned
        supplier = _same(self.suppliers[number] for number in gap.loads)
        return Comparison("tickets-stick", date, self.operator(date), supplier, gap.came or 0.0, rose)

    def _metered(self) -> Iterator[Comparison]:
        """Of each day the shots that both stick and meter were read at, hot: within a day readings are shared."""
        by_day: dict[float | None, list[tuple[Shot, ShotRow]]] = {}
        for shot, row in self.case.shots:
            if None not in (row.before, row.after, shot.meter_before, shot.meter_after):
                by_day.setdefault(shot.date, []).append((shot, row))
        for date, both in by_day.items():
            meter = sum((shot.meter_after or 0.0) - (shot.meter_before or 0.0) for shot, _ in both)
            stick = sum((row.before or 0.0) - (row.after or 0.0) for _, row in both)
            supplier = _same(self.supplier_of(shot) for shot, _ in both)
            yield Comparison("meter-stick", date, self.operator(date), supplier, meter, stick)

    def _sessions(self) -> Iterator[Comparison]:
        rows = {row.row: row for row in self.case.computation.monitor_rows}
        for session in self.case.logs.monitor:
            row, date = rows[session.row], session.date
            shots = [shot for shot, _ in self.case.shots if session.holds(shot.row + 1)]
            supplier = _same(self.supplier_of(shot) for shot in shots)
            for pair, other in (("monitor-stick", row.by_stick), ("monitor-meter", row.by_meter)):
                if session.volume is not None and other is not None:
                    yield Comparison(pair, date, self.operator(date), supplier, session.volume, other)

    def _book(self) -> Iterator[Comparison]:
        """The tickets of a book, with what its first and last stick reading differ by, against all that the meter
        counted."""
        overall, case = self.case.computation.totals.overall, self.case
        metered = [
            (shot.meter_after - shot.meter_before) * row.factor
            for shot, row in case.shots
            if shot.meter_after is not None and shot.meter_before is not None and row.factor is not None
        ]
        start, end, loaded = overall["start"], overall["end"], overall["loaded"]
        unknown = any(row.mix is None for _, row in case.loads.values())
        if not metered or len(metered) < len(case.shots) or start is None or end is None or unknown:
            return
        left = start + (loaded or 0.0) - (overall["returned"] or 0.0) - end
        dates = [day.date for day in case.logs.days if day.date is not None]
        yield Comparison(
            "tickets-meter", min(dates, default=None), _same(self.operators.values()),
            _same(self.suppliers.values()), left, sum(metered),
        )  # fmt: skip

    def readings(self) -> Iterator[Reading]:
        """Levels that spraying left, each once: the level of a fill is one that a crew chose."""
        numbers, seen = reading_numbers(self.case.logs), set[int]()
        reading = self.order.reading
        kinds = (("stick", "dip_after", reading.dip, marks_of(reading.dip)),
                 ("meter", "meter_after", reading.meter, _DIGITS))  # fmt: skip
        for shot in self.case.logs.shots:
            for instrument, column, step, marks in kinds:
                value, number = getattr(shot, column), numbers["shots", shot.row, column]
                if value is None or marks < 2 or number in seen or shot.row in self.elsewhere:
                    continue
                seen.add(number)
                mark = round(value / step) % marks
                yield Reading(instrument, self.operator(shot.date), mark, marks, step)

    def calibrations(self) -> Iterator[CalibrationFact]:
        results = self.case.computation.calibration.results
        for row in self.case.computation.gauge_rows:
            for kind, error in (("wheel", row.distance_error), ("meter", row.volume_error)):
                if error is not None:
                    yield CalibrationFact(kind, row.date, error)
        for kind, key in (("pads", "pads_greatest_across"), ("cans", "catch_greatest")):
            if results.get(key) is not None:
                yield CalibrationFact(kind, self._field(f"{key.split('_')[0]}_date"), results[key])

    def _field(self, name: str) -> float | None:
        entry = self.case.logs.entries.get(("", 0, name))
        return entry.value if entry is not None and isinstance(entry.value, float) else None


def _due(row: ShotRow) -> float | None:
    return None if row.area is None or row.ordered_mix is None else row.area * row.ordered_mix


def _name(text: str | None) -> str:
    return (text or "").strip()


def _same(names: Iterable[str]) -> str:
    """The name that all have in common; empty where they differ."""
    different = set(names)
    return different.pop() if len(different) == 1 else ""
