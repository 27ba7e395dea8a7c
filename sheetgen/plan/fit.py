"""The one judgement of fit: whether, and how, a distributor sprays a lane.

Every nozzle carries one strip of the lane as wide as the nozzles stand apart, so everything is a count of nozzles.
The flow of one nozzle lies between what its fan and the truck's speed ask for and what they allow,
a = max(q least, S least·s·R/k) and b = min(q greatest, S greatest·s·R/k); n open nozzles take n·a to n·b, and the pump
gives Q least to Q greatest. So at least Q least/b and at most Q greatest/a nozzles may be open, no more than the bar
has, and no more than let a full tank reach one station step. From these two counts follow the passes: as few as cover
the lane; together as many nozzles as the overlap asked for takes; divided as evenly as whole nozzles can be, the wider
passes first; from one edge of the lane to the other. Where more is ordered outside the wheel paths, larger nozzles are
there: one pass covers the lane, and a nozzle's limits hold for those in the paths (:mod:`sheetgen.order.wheel_paths`).
Source: geometry, and the travel speed of the DOT study guide
(HMA-8-1) for the width of one nozzle.

The Preview of the order workbook states the same rule in formulas (``templates_src/order.toml``); a test on generated
orders holds the two equal.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil, floor
from typing import NamedTuple, Self

from sheetgen.order.model import Machine, Order, Section
from sheetgen.order.wheel_paths import Across, across
from sheetgen.plan.inputs import Inputs, covered_width, inputs_of
from sheetgen.plan.model import Ordered, Pass, SectionPlan, Setting, Verdict
from sheetgen.trade.bar import nozzles_open
from sheetgen.trade.limits import limit
from sheetgen.trade.passes import joint_width
from sheetgen.trade.rates import discharge_for, spread_length, travel_speed
from sheetgen.trade.rounding import round_half_away
from sheetgen.units import constants

# Of a margin and of a count of nozzles before it is judged: dust of the arithmetic does not decide.
_PLACES = 6
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
        overlap: [spacing] of adjoining passes, as asked for
        reach: [distance] that a full tank must cover at least: one station step, or the section where it is shorter
        outside_more: fraction sprayed more outside the wheel paths than in them; None for the same all over
    """

    covered_width: float
    mix_hot: float
    overlap: float
    reach: float
    outside_more: float | None = None

    @classmethod
    def of(cls, section: Ordered, inputs: Inputs) -> Self:
        """A lane of a section as ordered."""
        reach = min(inputs.shot_step, section.length)
        return cls(section.covered_width, section.mix_hot, inputs.overlap, reach, section.outside_more)

    def across(self, nozzles: int, distributor: Distributor) -> Across | None:
        """The nozzles of two sizes in one pass over it; None where they are alike."""
        return across(self.covered_width, self.outside_more, nozzles, distributor.pitch, distributor.system)


@dataclass(frozen=True, slots=True)
class Distributor:
    """What a machine brings to every section.

    Attributes:
        machine: as ordered
        system: of units
        usable: [volume] hot of a full tank that may be sprayed
    """

    machine: Machine
    system: str
    usable: float

    @property
    def widths(self) -> list[float]:
        """The bar widths, narrowest first."""
        return sorted(self.machine.bar_widths)

    @property
    def pitch(self) -> float:
        """The [width] that one nozzle carries: the widest bar over its whole count of nozzles."""
        return self.widths[-1] / self.nozzles(self.widths[-1])

    def nozzles(self, width: float) -> int:
        """The nozzles of a bar width."""
        return max(1, int(nozzles_open(width, self.machine.nozzle_spacing, self.system)))

    def speed(self, discharge: float, rate: float, width: float) -> float:
        """The [speed] for a [rate] over a [width] at a [flow]."""
        return travel_speed(discharge, rate, width, self.system)

    def discharge(self, rate: float, speed: float, width: float) -> float:
        """The [flow] for a [rate] over a [width] at a [speed]."""
        return discharge_for(rate, speed, width, self.system)

    def reach(self, rate: float, width: float) -> float:
        """The [distance] that a full tank covers at a [rate] over a [width]."""
        return spread_length(max(self.usable, 0.0), rate, width, self.system)


def settings_for(distributor: Distributor, lane: Lane) -> tuple[Setting, ...]:
    """How each bar width of a machine would spray a lane, narrowest first."""
    bounds = Bounds.of(distributor, lane)
    return tuple(_setting(distributor, lane, bounds, width) for width in distributor.widths)


def choose(settings: Sequence[Setting]) -> tuple[int | None, Verdict]:
    """The setting that works with the fewest passes and the overlap asked for, on the narrowest bar that can."""
    able = [index for index, setting in enumerate(settings) if setting.possible]
    if not able:
        return None, "none"
    best = min(
        able, key=lambda index: (settings[index].passes, settings[index].doubled, -settings[index].total)
    )
    as_calibrated = all(each.discharge == settings[best].calibrated for each in settings[best].sprayed)
    return best, "as-calibrated" if as_calibrated else "other-discharge"


def lane_limit(planned: SectionPlan, machine: Machine, system: str) -> float:
    """The [width] that shots side by side may come to in one lane: as offered, and half a nozzle for the reading."""
    ways = [each.sprayed for each in planned.offered] or [planned.sprayed]
    widest = max(sum(each.width for each in passes) for passes in ways)
    return widest + _width(machine.nozzle_spacing, system) / 2


def widest_shot(order: Order, machine: Machine, section: Section) -> float:
    """The [width] that one shot of a section may have: what is covered, a nozzle more, and half of what is read."""
    covered = covered_width(section, inputs_of(order))
    return covered + _width(machine.nozzle_spacing, order.units) + order.reading.width / 2


def fitting_nozzles(width: float, machine: Machine, system: str) -> float:
    """The nozzles that a [width] takes, one at least."""
    return max(1.0, round(width / _width(machine.nozzle_spacing, system)))


def nozzle_share(section: Section, machine: Machine, system: str) -> float:
    """The mean nozzle's flow over that of one in the wheel paths, whose limits the machine's are; 1 for one size."""
    nozzles = int(fitting_nozzles(section.width, machine, system))
    varied = across(section.width, section.outside_more, nozzles, section.width / nozzles, system)
    return 1.0 if varied is None else varied.share


class Bounds(NamedTuple):
    """How much one nozzle gives and how many may be open, whichever bar carries them.

    Attributes:
        pitch: [width] of one nozzle
        least_flow, greatest_flow: [flow] of a mean nozzle, within the limits of one in the wheel paths and the truck's
        least: the fewest nozzles that the pump's least discharge can be divided among
        greatest: the most that its greatest discharge and a full tank can feed
    """

    pitch: float
    least_flow: float
    greatest_flow: float
    least: int
    greatest: int

    @classmethod
    def of(cls, distributor: Distributor, lane: Lane) -> Self:
        """The bounds of a machine on a lane; none open where nozzle and truck do not agree on any flow."""
        machine, pitch = distributor.machine, distributor.pitch
        slow, fast = (
            distributor.discharge(lane.mix_hot, speed, pitch)
            for speed in (machine.speed_min, machine.speed_max)
        )
        varied = lane.across(_up(lane.covered_width / pitch), distributor)
        share = 1.0 if varied is None else varied.share
        least, greatest = (
            max(machine.nozzle_flow_min * share, slow),
            min(machine.nozzle_flow_max * share, fast),
        )
        by_load = distributor.reach(lane.mix_hot, pitch) / lane.reach
        most = min(_down(machine.discharge_max / least), _down(by_load))
        agree = round(least, _PLACES) <= round(greatest, _PLACES)
        return cls(pitch, least, greatest, _up(machine.discharge_min / greatest), most if agree else 0)


def _setting(distributor: Distributor, lane: Lane, bounds: Bounds, width: float) -> Setting:
    """One bar width on a lane: the passes that keep every limit, or those that come nearest to it."""
    bar = max(1, int(round_half_away(width / bounds.pitch, 0)))
    opened, doubled = _nozzles(lane, distributor, bounds, bar)
    possible = bool(opened)
    joint = _width(lane.overlap, distributor.system)
    if not opened:
        most = min(bar, _up(lane.covered_width / bounds.pitch))
        opened = [most] * _up(lane.covered_width / (most * bounds.pitch))
    sprayed = _passes(distributor, lane, bounds, opened, possible=possible)
    margins = _margins(distributor, lane, bounds, opened)
    nearest = min(LIMITS, key=lambda key: margins[key])
    least_by, least, greatest_by, greatest = _window(distributor, lane, bounds, opened)
    beyond = sum(opened) * bounds.pitch - lane.covered_width if len(opened) == 1 else 0.0
    return Setting(
        bar_width=width,
        sprayed=sprayed,
        possible=possible,
        doubled=doubled,
        short=possible and len(opened) > 1 and _each_joint(lane, bounds, opened) < joint - 10**-_PLACES,
        beyond=max(0.0, round(beyond, 9)),
        calibrated=distributor.machine.discharge,
        speed=distributor.speed(distributor.machine.discharge, lane.mix_hot, opened[0] * bounds.pitch),
        margins=margins,
        limit=nearest,
        margin=margins[nearest],
        least_discharge=least,
        greatest_discharge=greatest,
        least_by=least_by,
        greatest_by=greatest_by,
    )


def _nozzles(lane: Lane, distributor: Distributor, bounds: Bounds, bar: int) -> tuple[list[int], bool]:
    """The nozzles open in each pass, the wider passes first, and whether joints are doubled beyond what was asked.

    None where no passes keep every limit.
    """
    most, pitch = min(bar, bounds.greatest), bounds.pitch
    cover = _up(lane.covered_width / pitch)
    passes = ceil(cover / most) if most else 0
    if not most or passes > (1 if lane.outside_more else limit("passes").high or 0):
        return [], False
    joint = _width(lane.overlap, distributor.system)
    wanted = _up((lane.covered_width + (passes - 1) * joint) / pitch)
    total = cover
    if (
        passes > 1
        and round(_joint(lane, pitch, wanted, passes) - _widest_joint(lane, distributor), _PLACES) <= 0
    ):
        total = min(wanted, passes * most)
    if total // passes >= bounds.least:
        wide = total % passes
        return [total // passes + 1] * wide + [total // passes] * (passes - wide), False
    alike = passes * bounds.least
    if passes > 1 and bounds.least <= most:
        beyond = _joint(lane, pitch, alike, passes) / pitch - bounds.least / 2
        if round(beyond, _PLACES) <= 0:  # at most half of a pass lies twice
            return [bounds.least] * passes, True
    return [], False


def _widest_joint(lane: Lane, distributor: Distributor) -> float:
    """[width] that whole nozzles may double at a joint: what was asked for, or a small part of a lane."""
    usual = (limit("joint").high or 0.0) * (1 if distributor.system == "us" else 25)
    return _width(max(lane.overlap, usual), distributor.system)


def _joint(lane: Lane, pitch: float, total: int, passes: int) -> float:
    """[width] of each overlap where so many nozzles end at the lane's edges."""
    return joint_width(total * pitch, passes, lane.covered_width)


def _each_joint(lane: Lane, bounds: Bounds, opened: Sequence[int]) -> float:
    return _joint(lane, bounds.pitch, sum(opened), len(opened))


def _width(spacing: float, system: str) -> float:
    return spacing / constants(system)["nozzle_spacing_per_width"]


def _passes(
    distributor: Distributor, lane: Lane, bounds: Bounds, opened: Sequence[int], *, possible: bool
) -> tuple[Pass, ...]:
    """Each pass; adjoining ones overlap by what is left when the outer ones end at the lane's edges."""
    overlap = None
    if len(opened) > 1:
        width = max(0.0, _each_joint(lane, bounds, opened))
        overlap = width * constants(distributor.system)["nozzle_spacing_per_width"]
    return tuple(
        _pass(distributor, lane, bounds, number, nozzles, overlap, possible=possible)
        for number, nozzles in enumerate(opened, start=1)
    )


def _pass(
    distributor: Distributor, lane: Lane, bounds: Bounds, number: int, nozzles: int, overlap: float | None,
    *, possible: bool,
) -> Pass:  # fmt: skip
    """One pass at the discharge nearest to the calibrated one that keeps every limit."""
    machine, width = distributor.machine, nozzles * bounds.pitch
    least = max(machine.discharge_min, nozzles * bounds.least_flow)
    greatest = min(machine.discharge_max, nozzles * bounds.greatest_flow)
    discharge = min(max(machine.discharge, least), greatest) if possible else None
    return Pass(
        number=number,
        nozzles=nozzles,
        width=width,
        overlap=overlap,
        discharge=discharge,
        speed=None if discharge is None else distributor.speed(discharge, lane.mix_hot, width),
        flow=None if discharge is None else discharge / _alike(lane, distributor, nozzles),
        across=lane.across(nozzles, distributor) if possible else None,
    )


def _margins(distributor: Distributor, lane: Lane, bounds: Bounds, opened: Sequence[int]) -> dict[str, float]:
    """How far inside each limit the calibrated discharge is, in the pass that is nearest to it."""
    machine = distributor.machine
    speeds = [distributor.speed(machine.discharge, lane.mix_hot, each * bounds.pitch) for each in opened]
    flows = [machine.discharge / _alike(lane, distributor, each) for each in opened]
    reach = distributor.reach(lane.mix_hot, max(opened) * bounds.pitch)
    margins = {
        "speed_least": min(speeds) / machine.speed_min - 1,
        "speed_greatest": machine.speed_max / max(speeds) - 1,
        "nozzle_least": min(flows) / machine.nozzle_flow_min - 1,
        "nozzle_greatest": machine.nozzle_flow_max / max(flows) - 1,
        "pump_least": machine.discharge / machine.discharge_min - 1,
        "pump_greatest": machine.discharge_max / machine.discharge - 1,
        "load": reach / lane.reach - 1,
    }
    return {key: round_half_away(value, _PLACES) for key, value in margins.items()}


def _window(
    distributor: Distributor, lane: Lane, bounds: Bounds, opened: Sequence[int]
) -> tuple[str, float, str, float]:
    """The limit that sets the least discharge of the narrowest pass, that discharge, and the same for the greatest."""
    machine, nozzles = distributor.machine, min(opened)
    slow, fast = (
        distributor.discharge(lane.mix_hot, end, nozzles * bounds.pitch)
        for end in (machine.speed_min, machine.speed_max)
    )
    least = {
        "speed_least": slow,
        "nozzle_least": _alike(lane, distributor, nozzles) * machine.nozzle_flow_min,
        "pump_least": machine.discharge_min,
    }
    greatest = {
        "speed_greatest": fast,
        "nozzle_greatest": _alike(lane, distributor, nozzles) * machine.nozzle_flow_max,
        "pump_greatest": machine.discharge_max,
    }
    least_by = max(least, key=lambda key: least[key])
    greatest_by = min(greatest, key=lambda key: greatest[key])
    return least_by, least[least_by], greatest_by, greatest[greatest_by]


def _alike(lane: Lane, distributor: Distributor, nozzles: int) -> float:
    """Nozzles of the size in the wheel paths that give as much as those open; only one pass over the lane is varied."""
    whole = nozzles >= _up(lane.covered_width / distributor.pitch)
    varied = lane.across(nozzles, distributor) if whole else None
    return nozzles if varied is None else varied.alike


def _up(count: float) -> int:
    return ceil(round(count, _PLACES))


def _down(count: float) -> int:
    return floor(round(count, _PLACES))
