"""What a rule looks at, and how it says what it found."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cached_property
from math import fsum
from typing import Any

from sheetgen import templates
from sheetgen.audit.compute.book import Computation
from sheetgen.audit.compute.changes import ChangeRow
from sheetgen.audit.compute.loads import LoadRow, came_in
from sheetgen.audit.compute.pay import compute_sections
from sheetgen.audit.compute.shots import ShotRow, compute_shots, ordered_mix_rate
from sheetgen.audit.compute.uncertainty import Uncertainty
from sheetgen.audit.entries.logs import Load, Logs, Shot
from sheetgen.audit.findings import finding, words_of
from sheetgen.audit.model import Finding
from sheetgen.errors import QuantityError
from sheetgen.figures import day_text, number_text, station_text, time_text
from sheetgen.order.model import Machine, Order, Section
from sheetgen.order.pay_terms import pay_terms, price_of_volume
from sheetgen.plan.fit import lane_limit
from sheetgen.plan.inputs import covered_width, inputs_of, stick_uncertainty
from sheetgen.plan.job import planned_sections
from sheetgen.plan.judging import QUESTIONED
from sheetgen.plan.model import SectionPlan
from sheetgen.plausibility import plausibility
from sheetgen.shot_kinds import ShotKind, shot_kinds
from sheetgen.units import Unit, units

__all__ = ["Case", "Voice", "plausibility"]


@dataclass(frozen=True)
class Case:
    """One returned book, read and computed, in front of the rules."""

    computation: Computation
    uncertainty: Uncertainty
    order: Order
    machine: Machine
    saved: str = ""  # when the file says it was last saved, ISO 8601; empty where it says nothing
    language: str = ""  # of the findings; the order's where it is empty

    @property
    def logs(self) -> Logs:
        """The entries by row."""
        return self.computation.logs

    @cached_property
    def shots(self) -> list[tuple[Shot, ShotRow]]:
        """Each shot as read and as computed, in the log's order; void rows are none."""
        rows = {row.row: row for row in self.computation.shot_rows}
        return [(shot, rows[shot.row]) for shot in self.logs.shots]

    @cached_property
    def kinds(self) -> dict[int, ShotKind]:
        """What each row of the shot log is taken for, by its row."""
        return {row.row: shot_kinds()[row.what] for row in self.computation.shot_rows}

    @cached_property
    def loads(self) -> dict[int, tuple[Load, LoadRow]]:
        """Each load as read and as computed, by its printed number (from 1); void rows are none."""
        rows = {row.row: row for row in self.computation.load_rows}
        return {load.row + 1: (load, rows[load.row]) for load in self.logs.loads}

    @cached_property
    def sections(self) -> dict[str, Section]:
        """The ordered sections by what the crew writes for them."""
        return {section.id: section for section in self.order.sections}

    @cached_property
    def planned(self) -> dict[str, SectionPlan]:
        """How the distributor was planned to spray each section; nothing where the order has no plan."""
        try:
            return planned_sections(self.order, self.machine)
        except QuantityError:
            return {}

    def covered_width(self, section: Section) -> float:
        """The width to spray in one lane, a prime coat's extra width included."""
        return covered_width(section, inputs_of(self.order))

    def stick_reach(self, dip: float) -> float:
        """By how much the volume of one stick reading can be off."""
        slope = self.computation.chart.slope(dip, self.order.reading.dip)
        return slope * QUESTIONED * stick_uncertainty(self.order, self.machine)

    def lane_limit_of(self, section: Section, row: int) -> float:
        """The width that shots side by side may come to in one lane, at a row of the log, as it was ordered last."""
        changed = next((each.changed_width for _, each in self.shots if each.row == row), None)
        return self.lane_limit(section) + (0.0 if changed is None else changed - section.width)

    def lane_limit(self, section: Section) -> float:
        """The width that shots side by side may come to in one lane, by the order."""
        planned = self.planned.get(section.id)
        if planned is None:
            return self.covered_width(section)
        return lane_limit(planned, self.machine, self.order.units)

    def undiluted(self, hot: float, row: ShotRow) -> float:
        """What a hot volume of a shot counts in the payable quantity."""
        return hot * (row.factor or 1.0) * self.dilution_of(row)

    @cached_property
    def dilution(self) -> float:
        """The emulsion's part of all that was sprayed, as delivered; the ordered one where nothing was."""
        known = [row for row in self.computation.shot_rows if row.undiluted is not None]
        sprayed = fsum(row.base or 0.0 for row in known)
        return (
            fsum(row.undiluted or 0.0 for row in known) / sprayed if sprayed else self.order.material.dilution
        )

    def payable_with(
        self, dilutions: Mapping[int, float], changes: tuple[ChangeRow, ...] | None = None
    ) -> float:
        """The payable quantity, not rounded, had loads another dilution, given by row of the load log, or had only
        these changes been ordered on the road.
        """
        made, logs = self.computation, self.computation.logs
        rows = [row._replace(dilution=dilutions.get(row.row, row.dilution)) for row in made.load_rows]
        loads = came_in(logs.all_loads, rows)
        changes = made.change_rows if changes is None else changes
        shots = compute_shots(logs.all_shots, self.order, made.chart, made.factors, changes, loads)
        return fsum(section.payable for section in compute_sections(shots, self.order))

    def dilution_of(self, row: ShotRow) -> float:
        """The emulsion's part of what a shot sprayed; the ordered one where it is not known."""
        return self.order.material.dilution if row.dilution is None else row.dilution

    def ordered_undiluted(self, section: Section) -> float:
        """The undiluted [rate] at base temperature that the order asks for, at the planned temperature."""
        rate = ordered_mix_rate(section, self.order) * self.order.material.dilution
        if section.rate_temperature == "base":
            return rate
        return rate * (self.computation.factors.at(self.order.material.spray_planned) or 1.0)

    def paid_by_area(self, row: ShotRow, area: float) -> float:
        """What of a section's payable quantity is paid only because of an area of a shot: by the limit of pay."""
        section = next((each for each in self.computation.section_rows if each.id == row.section), None)
        if section is None or row.due is None or not row.area:
            return 0.0
        less = area / row.area * row.due * pay_terms(self.order).paid_per_ordered
        paid = min(section.undiluted, section.cap)
        return max(0.0, paid - min(section.undiluted, section.cap - less))

    @cached_property
    def clock(self) -> float:
        """Minutes to which the times of shots were written: one, or five or fifteen where nearly all are whole ones."""
        minutes = [
            round(time * 1440)
            for shot in self.logs.shots
            for time in (shot.start, shot.end)
            if time is not None
        ]
        bounds = plausibility()
        if len(minutes) >= bounds["clock_times"]:
            for step in (15, 5):
                if sum(each % step == 0 for each in minutes) >= bounds["clock_share"] * len(minutes):
                    return float(step)
        return bounds["clock_minutes"]

    @cached_property
    def voice(self) -> Voice:
        """How findings of this book are worded."""
        return Voice(self.logs, self.order.in_language(self.language))


class Voice:
    """Findings and figures in the language and the units of an order."""

    def __init__(self, logs: Logs, order: Order) -> None:
        self._logs, self._order = logs, order
        self.say = templates.texts(order.language, order.units)

    def at(
        self, name: str, table: str, row: int, column: str,
        stake: float | None = None, of_shots: Iterable[int] = (), **facts: object,
    ) -> Finding:  # fmt: skip
        """A finding at an entry's cell; ``stake`` and ``of_shots`` as in :class:`sheetgen.audit.model.Finding`."""
        weight = {"stake": None if stake is None else abs(stake), "shots": tuple(of_shots)}
        return finding(name, **self._logs.place(table, row, column), **weight, **self.words(name, facts))

    def shot(
        self, name: str, shot: Shot, column: str, stake: float | None = None, **facts: object
    ) -> Finding:
        """A finding at an entry of a shot."""
        return self.at(name, "shots", shot.row, column, stake, **facts)  # type: ignore[arg-type]

    def whole(self, name: str, sheet: str = "", cell: str = "", **facts: object) -> Finding:
        """A finding about the book as a whole, or at a cell that is no entry."""
        return finding(name, sheet=sheet, cell=cell, **self.words(name, facts))

    def whole_of(self, name: str, like: Finding, row: int | None, words: dict[str, str]) -> Finding:
        """A finding at the place of another one, about a row of the shot log."""
        return finding(name, sheet=like.sheet, cell=like.cell, row=row, **words)

    def words(self, name: str, facts: dict[str, object]) -> dict[str, str]:
        """Found, expected and what matters, for a finding of a name."""
        return words_of(name, self.say, facts)

    def amount(self, value: float, kind: str) -> str:
        """A value with its unit, such as ``"85.1 gal"``."""
        unit = self._unit(kind)
        decimals = {"rate": self._order.rounding.rate, "volume": max(self._order.rounding.volume, 1)}
        digits = decimals.get(kind, max(unit.decimals, 1 if kind in ("flow", "area") else 0))
        return f"{number_text(value, self._order.language, digits)} {unit.label(self._order.language)}"

    def plain(self, value: float, kind: str) -> str:
        """A reading with its unit, to as many decimals as it has."""
        digits = max(6, len(f"{abs(value):.0f}"))
        return f"{number_text(value, self._order.language, digits=digits)} {self.unit(kind)}"

    def unit(self, kind: str) -> str:
        """The printed unit of a kind of quantity."""
        return self._unit(kind).label(self._order.language)

    def _unit(self, kind: str) -> Unit:
        return units(self._order.units)[kind]

    def volume(self, value: float) -> str:
        """A volume with its unit."""
        return self.amount(value, "volume")

    def money(self, volume: float) -> str:
        """What a volume is worth at the order's unit price; empty where none follows from it."""
        price = price_of_volume(self._order)
        return "" if price is None else self._worth(volume * price)

    def money_of(self, quantity: float) -> str:
        """What a quantity in the unit of pay is worth at the unit price; empty where the order gives none."""
        price = self._order.pay.unit_price
        return "" if price is None else self._worth(quantity * price)

    def _worth(self, amount: float) -> str:
        pay = self._order.pay
        money = number_text(amount, self._order.language, pay.money_decimals)
        return self.say.say("said.worth", money=f"{money} {pay.currency}")

    def station(self, distance: float) -> str:
        """A station as people write it, such as ``118+50``."""
        return station_text(distance, self._order.units)

    @staticmethod
    def percent(part: float) -> str:
        """A part of one, as a percentage."""
        return f"{100 * part:.1f} %"

    @staticmethod
    def time(part: float) -> str:
        """A part of a day, as hours and minutes."""
        return time_text(part)

    @staticmethod
    def date(day: float) -> str:
        """A serial day, as year-month-day."""
        return day_text(day)

    @staticmethod
    def number(row: int) -> int:
        """A row's printed number."""
        return row + 1

    def numbers(self, rows: Any, most: int = 12) -> str:
        """Printed numbers of several rows, the first dozen of them."""
        shown = [str(row + 1) for row in rows]
        return ", ".join(shown[:most]) + (f", … ({len(shown)})" if len(shown) > most else "")
