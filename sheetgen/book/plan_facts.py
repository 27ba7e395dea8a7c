"""The rows of the Plan sheet's tables: a plan's records by the keys of ``sheets/plan.toml``."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import floor
from typing import Any

from sheetgen import templates
from sheetgen.order.model import Order
from sheetgen.plan.figures import Figures, nozzles_of
from sheetgen.plan.inputs import default
from sheetgen.plan.model import MachinePlan, Plan
from sheetgen.plan.ordered import factor_at
from sheetgen.templates import Texts
from sheetgen.units import constants
from sheetgen.xlsx.model import Value

Facts = Sequence[Mapping[str, Any]]

_DAY = 1440


@dataclass(frozen=True, slots=True)
class PlanFacts:
    """A plan with one machine, as rows of values."""

    order: Order
    made: Plan
    machine: MachinePlan

    @property
    def _say(self) -> Texts:
        return templates.texts(self.order.language, self.order.units)

    def sections(self) -> Facts:
        """One row for each section: the widest pass, and what all passes come to."""
        rows = []
        for section, planned in zip(self.made.sections, self.machine.sections, strict=True):
            setting = planned.setting
            rows.append(
                planned._asdict()
                | {
                    "covered": section.covered_width,
                    "mix_hot": section.mix_hot,
                    "bar": setting and setting.bar_width,
                    "passes": planned.passes,
                    "nozzles": setting and setting.nozzles,
                    "open": planned.open_width,
                    "discharge": setting and setting.discharge,
                    "sprayed_at": setting and setting.sprayed_at,
                    "margin": setting and setting.margin,
                    "limit": setting and self._say[f"plan.limit_short.{setting.limit}"],
                    "verdict": self._say[f"plan.verdict.{planned.verdict}"],
                }
            )
        return rows

    def passes(self) -> Facts:
        """One row for every pass of a lane of every section that the bar sprays."""
        fixed = constants(self.order.units)
        return [
            one._asdict()
            | {
                "id": planned.id,
                "pass_number": one.number,
                "bar": planned.setting.bar_width,
                "sprayed_at": one.speed,
                "road_speed": (one.speed or 0.0) / fixed["speed_per_road_speed"],
                "seconds": 60 * fixed["timing_length"] / (one.speed or 1.0),
            }
            for planned in self.machine.sections
            if planned.setting is not None
            for one in planned.sprayed
        ]

    def settings(self) -> Facts:
        """One row for every bar width on every section that is not sprayed by hand."""
        return [
            setting._asdict()
            | {
                "id": planned.id,
                "mark": self._say["plan.planned_mark"] if index == planned.chosen else "",
                "bar": setting.bar_width,
                "passes": setting.passes,
                "nozzles": nozzles_of(setting),
                "open": setting.open_width,
                "overlap": setting.overlap,
                "nozzle_flow": setting.nozzle_flow,
                "limit": self._say[f"plan.limit_short.{setting.limit}"],
                "least": setting.least_discharge,
                "greatest": setting.greatest_discharge,
                "discharge": setting.discharge,
                "sprayed_at": setting.sprayed_at,
                "flow_at": setting.flow_at,
            }
            for planned in self.machine.sections
            for index, setting in enumerate(planned.settings)
        ]

    def judging(self) -> Facts:
        """One row for each section: how long a shot must be, and what is published."""
        rows = []
        for section, planned in zip(self.made.sections, self.machine.sections, strict=True):
            judged, guidance = planned.judged, section.guidance
            found: Mapping[str, Any] = (
                judged._asdict() if judged else dict.fromkeys(("by_dip", "by_meter", "longest"))
            )
            rows.append(
                {"id": section.id, "shots": 0, "told": 0, **found}
                | guidance._asdict()
                | {
                    "advice": self._say[f"plan.judge.{judged.verdict}"] if judged else None,
                    "guide": self._say[f"plan.guide.{guidance.verdict}"],
                }
            )
        return rows

    def stone(self) -> Facts:
        """One row for every chip seal section."""
        return [
            {key: twelve_digits(value) for key, value in one._asdict().items()} | {"id": one.section}
            for one in self.machine.aggregate
        ]

    def waits(self) -> Facts:
        """One row for each published time to wait."""
        return [
            {
                "id": ", ".join(wait.sections),
                "wait": self._say[f"plan.wait.{wait.key}"],
                "seen": self._say[f"plan.seen.{wait.seen}"],
                "source": wait.source,
            }
            for wait in self.made.waits
        ]

    def shots(self) -> Facts:
        """One row for every shot."""
        return [
            shot._asdict()
            | {
                "id": shot.section,
                "from": shot.from_station,
                "to": shot.to_station,
                "begin": self._clock(shot.begin),
                "end": self._clock(shot.end),
                "ends_by": self._say[f"plan.ends_by.{shot.ends_by}"],
                "told": self._say["plan.yes" if shot.told else "plan.no"],
            }
            for shot in self.machine.shots
        ]

    def loads(self) -> Facts:
        """One row for every filling of the tank."""
        return [load._asdict() | {"id": load.section} for load in self.machine.loads]

    def runs(self) -> Facts:
        """One row for every pass of every lane."""
        return [
            run._asdict()
            | {
                "id": self.made.sections[run.section].id,
                "from": run.from_station,
                "to": run.to_station,
                "width": run.of.width,
            }
            for run in self.machine.runs
        ]

    def lists(self) -> dict[str, Mapping[str, Any]]:
        """The values of every list by its key and theirs."""
        order, machine, made = self.order, self.machine, self.made
        day, bar = machine.day, machine.bar
        arrival = next(given.value for given in made.inputs if given.key == "arrival_temperature")
        design = order.planning.seal_design
        lists: dict[str, Mapping[str, Any]] = {
            "tank": machine._asdict() | {"arrival_factor": factor_at(order, arrival or 0.0)},
            "to_order": machine.to_order._asdict(),
            "day": day._asdict() | {"end": None if day.end is None else self._clock(day.end)},
            "heating": machine.heating._asdict(),
            "bar": bar._asdict()
            | {f"height_{number}": height for number, height in enumerate(bar.offered, start=1)},
            "constants": {
                "power": order.machine(machine.name).burner_power,
                "efficiency": order.machine(machine.name).burner_efficiency,
                "emulsion_heating_rate": default(order, "emulsion_heating_rate"),
            },
        }
        if design is not None and made.seal is not None:
            given = design.model_dump()
            lists["seal"] = given | {"stone_gravity": given["specific_gravity"]} | made.seal._asdict()
        return lists

    def _clock(self, minutes: float) -> Value:
        """Whole minutes as a part of the first day; on a later one in words: programs count days differently."""
        whole = floor(round(minutes, 9) + 0.5)
        return whole / _DAY if whole < _DAY else Figures(self.order.units, self.order.language).clock(whole)


def twelve_digits(value: Value) -> Value:
    """Give a number to twelve digits, as many as every machine agrees on; anything else as it is."""
    return float(f"{value:.12g}") if isinstance(value, float) else value
