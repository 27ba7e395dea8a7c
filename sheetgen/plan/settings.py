"""Fit of a machine: every bar width on a section, its margins to each limit, and what would work instead.

A limit's margin is how far inside it one is, as a part of the limit: (speed / least speed) − 1, (greatest speed /
speed) − 1. The discharges between which every limit is kept follow from the same limits: the truck's from
S = k·Q/(W·R), the nozzles' from Q = n·q, the pump's own. What a load must reach has no part in the discharge.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil
from typing import NamedTuple, Self

from sheetgen.order.model import Machine
from sheetgen.plan.inputs import Inputs
from sheetgen.plan.model import Ordered, Setting, Verdict
from sheetgen.trade.bar import nozzles_open
from sheetgen.trade.passes import pass_overlap, passes_needed
from sheetgen.trade.rates import discharge_for, spread_length, travel_speed
from sheetgen.trade.rounding import round_half_away
from sheetgen.units import constants

# Of a margin and of a count of nozzles before it is judged: dust of the arithmetic does not decide.
_PLACES = 6
IMPOSSIBLE = 10**12
_MOST_CHANGE = 99_999
_TOO_MANY_PASSES = 10_000
LIMITS = (
    "speed_least",
    "speed_greatest",
    "nozzle_least",
    "nozzle_greatest",
    "pump_least",
    "pump_greatest",
    "load",
)


class Lane(NamedTuple):
    """What a machine is to do on one lane.

    Attributes:
        covered_width: [width] to be sprayed
        mix_hot: [rate] at the bar
        overlap: [spacing] least overlap of adjoining passes
        shot_step: [distance] that a full tank must reach at least
    """

    covered_width: float
    mix_hot: float
    overlap: float
    shot_step: float

    @classmethod
    def of(cls, section: Ordered, inputs: Inputs) -> Self:
        """A lane of a section as ordered."""
        return cls(section.covered_width, section.mix_hot, inputs.overlap, inputs.shot_step)


@dataclass(frozen=True, slots=True)
class Distributor:
    """What a machine brings to every section.

    Attributes:
        machine: as ordered
        system: of units
        usable: [volume] hot of a full tank that may be sprayed
        widths: its bar widths, narrowest first
    """

    machine: Machine
    system: str
    usable: float

    @property
    def widths(self) -> list[float]:
        """The bar widths, narrowest first."""
        return sorted(self.machine.bar_widths)


def settings_for(distributor: Distributor, lane: Lane) -> tuple[Setting, ...]:
    """Every bar width of a machine on a lane, narrowest first."""
    bars = [_Bar.of(distributor, lane, width) for width in distributor.widths]
    return tuple(_setting(distributor.machine, lane, bar, index) for index, bar in enumerate(bars))


def choose(settings: Sequence[Setting]) -> tuple[int | None, Verdict]:
    """The setting that works with the fewest passes, then the least change of discharge, then the narrowest."""
    best = min(range(len(settings)), key=lambda index: settings[index].rank)
    if settings[best].rank >= IMPOSSIBLE:
        return None, "none"
    return best, "as-calibrated" if settings[best].works else "other-discharge"


class _Bar(NamedTuple):
    """One bar width of a machine on a lane."""

    width: float
    passes: int
    open_width: float
    nozzles: int
    overlap: float | None
    speed: float
    steps: float  # that a full tank reaches
    slow_discharge: float  # at the truck's least speed
    fast_discharge: float

    @classmethod
    def of(cls, distributor: Distributor, lane: Lane, width: float) -> Self:
        machine, system = distributor.machine, distributor.system
        passes = _passes(lane.covered_width, width, lane.overlap, system)
        opened = _open_width(lane.covered_width, width, passes, lane.overlap, machine.nozzle_spacing, system)
        hot, covered = lane.mix_hot, lane.covered_width
        reach = spread_length(max(distributor.usable, 0.0), hot, opened, system)
        return cls(
            width=width,
            passes=passes,
            open_width=opened,
            nozzles=max(1, int(nozzles_open(opened, machine.nozzle_spacing, system))),
            overlap=pass_overlap(opened, passes, covered, system) if passes > 1 else None,
            speed=travel_speed(machine.discharge, hot, opened, system),
            steps=reach / lane.shot_step,
            slow_discharge=discharge_for(hot, machine.speed_min, opened, system),
            fast_discharge=discharge_for(hot, machine.speed_max, opened, system),
        )


def _passes(covered: float, width: float, overlap: float, system: str) -> int:
    """The passes that cover a lane; a bar no wider than the overlap cannot, and is given far too many."""
    if width >= covered:
        return 1
    if width <= overlap / constants(system)["nozzle_spacing_per_width"]:
        return _TOO_MANY_PASSES
    return int(passes_needed(width, covered, overlap, system))


def _open_width(
    covered: float, width: float, passes: int, overlap: float, spacing: float, system: str
) -> float:
    """As many nozzles open as each pass needs, no wider than the bar."""
    joint, apart = (size / constants(system)["nozzle_spacing_per_width"] for size in (overlap, spacing))
    needed = (covered + (passes - 1) * joint) / passes
    return min(width, ceil(round(needed / apart, _PLACES)) * apart)


def _setting(machine: Machine, lane: Lane, bar: _Bar, index: int) -> Setting:
    margins = _margins(machine, bar.speed, bar.nozzles, bar.steps)
    least_by, least, greatest_by, greatest = _window(machine, bar)
    possible = round(least, _PLACES) <= round(greatest, _PLACES) and margins["load"] >= 0
    discharge = min(max(machine.discharge, least), greatest) if possible else None
    limit = min(LIMITS, key=lambda key: margins[key])
    return Setting(
        bar_width=bar.width,
        passes=bar.passes,
        nozzles=bar.nozzles,
        open_width=bar.open_width,
        overlap=bar.overlap,
        beyond=max(0.0, round(bar.open_width - lane.covered_width, 9)) if bar.passes == 1 else 0.0,
        speed=bar.speed,
        nozzle_flow=machine.discharge / bar.nozzles,
        margins=margins,
        limit=limit,
        margin=margins[limit],
        least_discharge=least,
        greatest_discharge=greatest,
        least_by=least_by,
        greatest_by=greatest_by,
        discharge=discharge,
        sprayed_at=None if discharge is None else bar.speed * discharge / machine.discharge,
        flow_at=None if discharge is None else discharge / bar.nozzles,
        rank=_rank(bar.passes, discharge, machine.discharge, index),
    )


def _margins(machine: Machine, speed: float, nozzles: int, steps: float) -> dict[str, float]:
    flow = machine.discharge / nozzles
    margins = {
        "speed_least": speed / machine.speed_min - 1,
        "speed_greatest": machine.speed_max / speed - 1,
        "nozzle_least": flow / machine.nozzle_flow_min - 1,
        "nozzle_greatest": machine.nozzle_flow_max / flow - 1,
        "pump_least": machine.discharge / machine.discharge_min - 1,
        "pump_greatest": machine.discharge_max / machine.discharge - 1,
        "load": steps - 1,
    }
    return {key: round_half_away(value, _PLACES) for key, value in margins.items()}


def _window(machine: Machine, bar: _Bar) -> tuple[str, float, str, float]:
    """The limit that sets the least discharge, that discharge, and the same for the greatest."""
    least = {
        "speed_least": bar.slow_discharge,
        "nozzle_least": bar.nozzles * machine.nozzle_flow_min,
        "pump_least": machine.discharge_min,
    }
    greatest = {
        "speed_greatest": bar.fast_discharge,
        "nozzle_greatest": bar.nozzles * machine.nozzle_flow_max,
        "pump_greatest": machine.discharge_max,
    }
    least_by = max(least, key=lambda key: least[key])
    greatest_by = min(greatest, key=lambda key: greatest[key])
    return least_by, least[least_by], greatest_by, greatest[greatest_by]


def _rank(passes: int, discharge: float | None, calibrated: float, index: int) -> int:
    """Whole numbers, so that a spreadsheet ranks alike: passes, change of discharge in 1/10,000, bar width."""
    if discharge is None:
        return IMPOSSIBLE + index
    change = abs(discharge / calibrated - 1) * 10_000
    return passes * 10**8 + min(int(round_half_away(change, 0)), _MOST_CHANGE) * 100 + index
