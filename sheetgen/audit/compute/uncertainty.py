"""How far the readings of a log can be trusted: standard uncertainties of volumes, rates and totals.

JCGM 100:2008 (GUM). A reading of resolution r lies anywhere within r/2 of what was read: a rectangular
distribution of half-width a = r/2, standard uncertainty a/√3 (4.3.7). It is propagated to first order
(5.1.2), correlated where two entries are one reading (5.2.2): the dip after a shot that is also the dip
before the next. The expanded uncertainty takes the coverage factor 2, about 95 % (6.3.3). A stick reading
also has what its repetition and the level of the tank add, as the order's planning and the
distributor's stick hole state them. The accuracy of
the chart, of the stick itself and of the ticket's scale is not in it.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from functools import lru_cache
from math import hypot, sqrt
from typing import Literal

from sheetgen.audit.compute.book import Computation
from sheetgen.audit.compute.days import DayRow
from sheetgen.audit.compute.factors import Factors
from sheetgen.audit.compute.pay import paid_key, quantity_paid
from sheetgen.audit.compute.shots import ShotRow
from sheetgen.audit.entries.logs import Day, Shot
from sheetgen.audit.entries.shared_readings import Place, reading_numbers
from sheetgen.order.model import Machine, Order
from sheetgen.order.pay_terms import paid_kind, pay_terms, tons_of
from sheetgen.plan.inputs import stick_uncertainty
from sheetgen.plan.judging import standard
from sheetgen.shot_kinds import shot_kinds

COVERAGE = 2.0
Verdict = Literal["in", "out", "cannot-be-told", ""]


@dataclass(frozen=True, slots=True)
class ShotUncertainty:
    """Standard uncertainties of one shot, None where it has no volume or rate.

    Attributes:
        row: of the shot log, from 0
        base: of the volume at base temperature, in the order's unit of volume
        rate: of the mix rate, in the order's unit of rate
        deviation: of the deviation from the ordered rate
        budget: relative parts of it by "dips" (or "meter"), "temperature", "stations", "width"
        verdict: whether the shot is in or out of tolerance with expanded uncertainty; empty where it is not
        judged
    """

    row: int
    base: float | None = None
    rate: float | None = None
    deviation: float | None = None
    budget: dict[str, float] = field(default_factory=dict)
    verdict: Verdict = ""


@dataclass(frozen=True, slots=True)
class TotalsUncertainty:
    """Standard uncertainties of totals, in the order's unit of volume at base temperature.

    Attributes:
        overall: of "sprayed", "undiluted" and "payable", of the quantity in the unit of pay, and of "amount" in money
        by_section: of the payable quantity of each section
        by_day: of what stays unexplained on each day, by row of the day log
    """

    overall: dict[str, float]
    by_section: dict[str, float]
    by_day: dict[int, float]


@dataclass(frozen=True, slots=True)
class Uncertainty:
    """Of every shot, in the log's order, and of the totals."""

    shots: tuple[ShotUncertainty, ...]
    totals: TotalsUncertainty

    def shot(self, row: int) -> ShotUncertainty:
        """That of the shot in a row of the log."""
        return next((each for each in self.shots if each.row == row), ShotUncertainty(row))


def uncertainty(computation: Computation, order: Order, machine: Machine) -> Uncertainty:
    """Propagate the order's reading resolutions through every shot and total of a computation."""
    budget = _Budget(computation, order, machine)
    shots = tuple(
        budget.shot(shot, row)
        for shot, row in zip(computation.logs.all_shots, computation.shot_rows, strict=True)
    )
    return Uncertainty(shots, budget.totals())


Sensitivities = dict[
    int, float
]  # change of the result by a unit change of a reading, by the reading's number


class _Budget:
    """The sensitivities of one computation's results to its readings."""

    def __init__(self, computation: Computation, order: Order, machine: Machine) -> None:
        self.computation, self.order, self.terms = computation, order, pay_terms(order)
        self.numbers = reading_numbers(computation.logs)
        self.dip = stick_uncertainty(order, machine)
        self.meter = standard(order.reading.meter)
        self.temperature = standard(order.reading.temperature)
        self.station = standard(order.reading.station)
        self.width = standard(order.reading.width)
        self.shots = {shot.row: shot for shot in computation.logs.all_shots}
        self.slopes: dict[float, float] = {}

    # one shot

    def shot(self, shot: Shot, row: ShotRow) -> ShotUncertainty:
        if row.base is None:
            return ShotUncertainty(shot.row)
        volume = self._length_of(self._readings(shot, row))
        warm = abs(self._temperature_part(row))
        base = hypot(volume, warm)
        if not row.area or not row.length or not shot.width or row.mix_rate is None or row.base <= 0:
            return ShotUncertainty(shot.row, base)
        by_meter = "meter" if self._by_meter(shot, row) else "dips"
        budget = {by_meter: volume / row.base, "temperature": warm / row.base} | self._area_parts(shot, row)
        rate = row.base / row.area * hypot(*budget.values())
        if row.ordered_mix is None:
            return ShotUncertainty(shot.row, base, rate, None, budget)
        deviation = rate / row.ordered_mix
        return ShotUncertainty(shot.row, base, rate, deviation, budget, judged(row, deviation))

    def _area_parts(self, shot: Shot, row: ShotRow) -> dict[str, float]:
        length, width = row.length or 0.0, shot.width or 0.0
        return {"stations": sqrt(2) * self.station / length, "width": self.width / width}

    def _by_meter(self, shot: Shot, row: ShotRow) -> bool:
        """Whether the shot's volume comes from the meter."""
        metered = shot.meter_before is not None and shot.meter_after is not None
        dipped = row.before is not None and row.after is not None
        return metered and (self.order.pay.measured_by == "meter" or not dipped)

    def _readings(self, shot: Shot, row: ShotRow) -> Sensitivities:
        """Change of the shot's volume at base temperature by each of its readings, times their
        uncertainty."""
        factor = row.factor or 0.0
        if self._by_meter(shot, row):
            parts = {"meter_before": -factor * self.meter, "meter_after": factor * self.meter}
        else:
            parts = {
                "dip_before": factor * self._slope(shot.dip_before) * self.dip,
                "dip_after": -factor * self._slope(shot.dip_after) * self.dip,
            }
        return {self.numbers["shots", shot.row, column]: part for column, part in parts.items()}

    def _slope(self, depth: float | None) -> float:
        if depth is None:
            return 0.0
        if depth not in self.slopes:
            self.slopes[depth] = self.computation.chart.slope(depth, self.dip * sqrt(3))
        return self.slopes[depth]

    def _temperature_part(self, row: ShotRow) -> float:
        temperature = self._shot(row.row).temperature
        return (row.net or 0.0) * factor_slope(self.computation.factors, temperature) * self.temperature

    def _shot(self, row: int) -> Shot:
        return self.shots[row]

    @staticmethod
    def _length_of(parts: Sensitivities) -> float:
        return hypot(*parts.values())

    # totals

    def totals(self) -> TotalsUncertainty:
        rows = [
            row
            for row in self.computation.shot_rows
            if row.base is not None and shot_kinds()[row.what].sprayed
        ]
        sprayed = self._sum(rows)
        slopes = {
            each.id: self.terms.slopes(each.undiluted, each.ordered) for each in self.computation.section_rows
        }
        sections = {name: self._section(name, *each) for name, each in slopes.items()}
        paid = [row for row in rows if row.counted is not None]
        capped = {name for name, (_, per_ordered) in slopes.items() if per_ordered}
        payable = hypot(
            self._undiluted([row for row in paid if row.section not in capped]),
            *(sections[name] for name in capped),
        )
        days = zip(self.computation.logs.days, self.computation.day_rows, strict=True)
        by_day = {row.row: self._day(day, row) for day, row in days if row.unexplained is not None}
        overall = {"sprayed": sprayed, "undiluted": self._undiluted(rows), "payable": payable}
        overall |= self._paid(payable)
        return TotalsUncertainty(overall, sections, by_day)

    def _paid(self, payable: float) -> dict[str, float]:
        """Of the quantity in the unit of pay, and of the money for it at the price of the last unit."""
        order, kind = self.order, paid_kind(self.order)
        reach = payable if kind == "volume" else tons_of(payable, order)
        if order.pay.unit == "mass-by-ticket":
            reach = self._by_ticket()
        elif kind == "area":
            reach = self._area()
        own = quantity_paid(self.computation.totals.overall, order)
        found = {paid_key(order): reach}
        if own is not None and self.terms.unit_price is not None:
            found["amount"] = reach * self.terms.price_at(own)
        return found

    def _by_ticket(self) -> float:
        """By the first and the last reading of the tank, without the scale of the tickets; of a section that the order
        limits, by the ordered quantity."""
        days = self.computation.logs.dated_days
        if not days:
            return 0.0
        first, last, factors = days[0], days[-1], self.computation.factors
        parts: list[float] = []
        for dip, temperature in (
            (first.start_dip, first.start_temperature),
            (last.end_dip, last.end_temperature),
        ):
            parts.append((factors.at(temperature) or 0.0) * self._slope(dip) * self.dip)
            volume = self.computation.chart.volume(dip) or 0.0
            parts.append(volume * factor_slope(factors, temperature) * self.temperature)
        stock = tons_of(hypot(*parts) * self.order.material.dilution, self.order)
        free, capped, used = 0.0, [0.0], 0.0
        for row, section in zip(self.computation.paid_rows, self.computation.section_rows, strict=True):
            used += row.measured or 0.0
            if (row.measured or 0.0) <= row.cap:
                free += row.measured or 0.0
            else:
                capped.append(
                    tons_of(self._section(section.id, 0.0, self.terms.paid_per_ordered), self.order)
                )
        return hypot(stock * (free / used if used else 1.0), *capped)

    def _area(self) -> float:
        """By stations and widths, of the shots in sections below what is paid at most."""
        limited = {row.id for row in self.computation.paid_rows if (row.measured or 0.0) > row.cap}
        return hypot(
            0.0,
            *(
                (row.accepted or 0.0) * hypot(*self._area_parts(self._shot(row.row), row).values())
                for row in self.computation.shot_rows
                if row.accepted and row.length and row.section not in limited
            ),
        )

    def _sum(self, rows: Sequence[ShotRow]) -> float:
        """Of the sum of the volumes at base temperature of several shots."""
        return self._weighted([(row, 1.0) for row in rows])

    def _undiluted(self, rows: Sequence[ShotRow]) -> float:
        """Of the sum of their undiluted volumes; the readings of tickets and water are not in it."""
        return self._weighted([(row, row.dilution or 0.0) for row in rows])

    def _weighted(self, rows: Sequence[tuple[ShotRow, float]]) -> float:
        """Of a weighted sum of the volumes at base temperature of several shots."""
        readings = _added(
            {number: weight * part for number, part in self._readings(self._shot(row.row), row).items()}
            for row, weight in rows
        )
        return hypot(
            self._length_of(readings), *(weight * self._temperature_part(row) for row, weight in rows)
        )

    def _section(self, name: str, per_limited: float, per_ordered: float) -> float:
        """Of a section's payable quantity: of what was sprayed, or of the ordered quantity where that caps it."""
        rows = [row for row in self.computation.shot_rows if row.section == name and row.counted is not None]
        if per_limited:
            return per_limited * self._undiluted(rows)
        hand_ordered = any(section.id == name and section.hand_spray for section in self.order.sections)
        exempt = [row for row in rows if self.terms.exempts(row.by_hand, hand_ordered)]
        due = [row for row in rows if row not in exempt and row.due is not None and row.length and row.area]
        areas = [
            (row.due or 0.0) * per_ordered * hypot(*self._area_parts(self._shot(row.row), row).values())
            for row in due
        ]
        return hypot(self._undiluted(exempt), *areas)

    def _day(self, day: Day, row: DayRow) -> float:
        """Of what stays unexplained: the day's first and last dip against those of its shots."""
        shots = [
            each for each in self.computation.shot_rows if each.date == row.date and each.base is not None
        ]
        chart, factors = self.computation.chart, self.computation.factors
        parts: list[Sensitivities] = [
            {number: -part for number, part in self._readings(self._shot(each.row), each).items()}
            for each in shots
        ]
        warm = [self._temperature_part(each) for each in shots]
        for sign, dip, temperature, column in (
            (1.0, day.start_dip, day.start_temperature, "start_dip"),
            (-1.0, day.end_dip, day.end_temperature, "end_dip"),
        ):
            place: Place = ("days", day.row, column)
            factor = factors.at(temperature) or 0.0
            parts.append({self.numbers[place]: sign * factor * self._slope(dip) * self.dip})
            volume = chart.volume(dip) or 0.0
            warm.append(volume * factor_slope(factors, temperature) * self.temperature)
        return hypot(self._length_of(_added(parts)), *warm)


@lru_cache(4096)
def factor_slope(factors: Factors, temperature: float | None) -> float:
    """Change of the correction factor by one degree, about a temperature."""
    if temperature is None:
        return 0.0
    low, high = factors.span
    below, above = max(temperature - 10, low), min(temperature + 10, high)
    one, other = factors.at(below), factors.at(above)
    return 0.0 if one is None or other is None else (other - one) / (above - below)


def _added(parts: Iterable[Sensitivities]) -> Sensitivities:
    """Sensitivities of a sum: those of one reading are added before they are squared."""
    added: Sensitivities = {}
    for part in parts:
        for number, value in part.items():
            added[number] = added.get(number, 0.0) + value
    return added


def judged(row: ShotRow, deviation: float) -> Verdict:
    """In or out of tolerance where the expanded uncertainty of the deviation leaves no doubt.

    A guard band of that width lies on either side of the limit (JCGM 106:2012, 8.3).
    """
    if row.verdict not in ("in", "high", "low") or row.deviation is None or row.allowed is None:
        return ""
    reach = COVERAGE * deviation
    if abs(row.deviation) + reach <= row.allowed:
        return "in"
    return "out" if abs(row.deviation) - reach > row.allowed else "cannot-be-told"
