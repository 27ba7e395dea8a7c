"""One right call of every function of the arithmetic: what the tests of wrong inputs and of arrays start from."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any

from sheetgen import trade
from sheetgen.trade import Tank
from tests.published import Q

RATE, SPREAD = Q(0.3, "gal/yd**2"), Q(20, "lb/yd**2")
LENGTH, WIDTH, SPACING, DEPTH = Q(2625, "ft"), Q(12, "ft"), Q(4, "in"), Q(16.5, "in")
VOLUME, MASS, FLOW, SPEED = Q(1200, "gal"), Q(45000, "lb"), Q(150, "gal/min"), Q(400, "ft/min")
COLD, HOT = Q(100, "degF"), Q(300, "degF")
HEAT = Q(0.5, "Btu/lb/delta_degF")
TANK = Tank.circular(Q(60, "in"), Q(120, "in"), Q(12, "in"))
CHART = TANK.chart(Q(0.25, "in"))


@dataclass(frozen=True)
class Call:
    """A right call.

    Attributes:
        name: how the tests name it
        function: what is called
        given: its arguments, by name
        divisors: arguments that may not be zero
        signed: arguments that may be negative
        single: takes no arrays
    """

    name: str
    function: Callable[..., Any]
    given: dict[str, Any]
    divisors: tuple[str, ...] = ()
    signed: tuple[str, ...] = ()
    single: bool = False
    plain: tuple[str, ...] = field(default=())

    def __call__(self, **changed: Any) -> Any:
        """The call, with some of the arguments changed."""
        return self.function(**self.given | changed)


def _call(name: str, divisors: str = "", signed: str = "", single: bool = False, **given: Any) -> Call:
    plain = tuple(key for key, value in given.items() if isinstance(value, (int, float)))
    function = getattr(trade, name)
    return Call(name, function, given, tuple(divisors.split()), tuple(signed.split()), single, plain)


def _of(
    name: str, function: Callable[..., Any], divisors: str = "", single: bool = False, **given: Any
) -> Call:
    return Call(name, function, given, tuple(divisors.split()), (), single)


CALLS = [
    _call("area_of", length=LENGTH, width=WIDTH),
    _call("application_rate", "length width", volume=VOLUME, length=LENGTH, width=WIDTH),
    _call("rate_over", "area", volume=VOLUME, area=Q(3500, "yd**2")),
    _call("caught_flow", "duration", volume=Q(1.5, "gal"), duration=Q(20, "s")),
    _call("volume_for", rate=RATE, length=LENGTH, width=WIDTH, allowance=0.05, extra_width=Q(2, "ft")),
    _call("spread_length", "rate width", volume=VOLUME, rate=RATE, width=WIDTH),
    _call("travel_speed", "rate width", discharge=FLOW, rate=RATE, width=WIDTH),
    _call("discharge_for", rate=RATE, speed=SPEED, width=WIDTH),
    _call("bar_rate", "residue dilution", residual_rate=RATE, residue=0.57, dilution=0.5),
    _call("residual_rate", "residue dilution", bar_rate=RATE, residue=0.57, dilution=0.5),
    _call("dilution_of", "emulsion", emulsion=6, water=4),
    _call("emulsion_in", "dilution", mix=VOLUME, dilution=0.5),
    _call("same_residual", "residue new_residue", volume=VOLUME, residue=0.85, new_residue=0.67),
    _call("at_base", "factor", volume=VOLUME, factor=0.9187),
    _call("volume_of", "specific_gravity", mass=MASS, specific_gravity=1.02),
    _call("mass_of", "specific_gravity", volume=VOLUME, specific_gravity=1.02),
    _call("bar_height", "spacing fan_angle coverage", spacing=SPACING, fan_angle=Q(60, "degree"),
          nozzle_angle=Q(30, "degree"), coverage=3),
    _call("nozzles_open", "spacing", width=WIDTH, spacing=SPACING),
    _call("nozzle_flow", rate=RATE, speed=SPEED, spacing=SPACING),
    _call("pad_rate", "area specific_gravity", mass_gain=Q(40, "g"), area=Q(1, "ft**2"), specific_gravity=1.01),
    _call("rock_land", "spread width", aggregate=Q(14, "yd**3"), spread=Q(0.008, "yd**3/yd**2"), width=WIDTH),
    _call("loads_needed", "per_load", volume=VOLUME, per_load=Q(53, "gal")),
    _call("pass_overlap", "passes", bar_width=Q(12.5, "ft"), passes=2, covered_width=Q(22, "ft")),
    _call("passes_needed", "bar_width covered_width", bar_width=Q(12.5, "ft"), covered_width=Q(24, "ft"),
          least_overlap=Q(4, "in")),
    _call("heat_for", "specific_gravity specific_heat", "start end", volume=VOLUME, specific_gravity=1.02, start=COLD,
          end=HOT, specific_heat=HEAT),
    _call("heating_time", "power efficiency", heat=Q(400000, "Btu"), power=Q(1e6, "Btu/hour"), efficiency=0.6),
    _call("specific_heat_of_mix", "residue dilution", asphalt=HEAT, residue=0.65, dilution=0.5),
    _call("expansion_room", "", "start end", start=COLD, end=HOT, kind="asphalt-a"),
    _call("fill_before_heating", "", "start end", room=VOLUME, start=COLD, end=HOT, kind="asphalt-a"),
    _call("volume_factor", "", "temperature", temperature=HOT, kind="asphalt-a"),
    _call("correction_kind", "specific_gravity", specific_gravity=1.02),
    _call("deviation", "ordered", measured=RATE, ordered=RATE),
    _call("within_tolerance", "ordered", measured=RATE, ordered=RATE, tolerance=0.1),
    _call("depth_at_middle", "", "distance slope", depth=DEPTH, distance=Q(24, "in"), slope=0.02),
    _call("meter_error", "true", indicated=VOLUME, true=VOLUME),
    _call("unexplained", start=VOLUME, loaded=VOLUME, sprayed=VOLUME, wasted=VOLUME, returned=VOLUME, end=VOLUME),
    _call("pay_quantity", "dilution", sprayed=VOLUME, ordered=VOLUME, dilution=0.5, excess_limit=0.1,
          hand_sprayed=Q(20, "gal")),
    _call("mcleod_design", "median_size loose_weight specific_gravity traffic_factor residue waste_factor",
          "surface_correction", median_size=Q(0.26, "in"), flakiness=0.2, loose_weight=Q(90, "lb/ft**3"),
          specific_gravity=2.65, traffic_factor=0.65, residue=0.67, surface_correction=Q(0.03, "gal/yd**2"),
          absorption=Q(0.02, "gal/yd**2"), waste_factor=1.05),
    _of("Tank.circular", Tank.circular, "diameter length", True, diameter=Q(60, "in"), length=Q(120, "in"),
        head_depth=Q(12, "in")),
    _of("Tank.elliptical", Tank.elliptical, "height width length", True, height=Q(40, "in"), width=Q(60, "in"),
        length=Q(120, "in"), head_depth=Q(12, "in")),
    _of("Tank.volume_at", TANK.volume_at, depth=DEPTH),
    _of("Tank.depth_for", TANK.depth_for, volume=Q(300, "gal")),
    _of("Tank.chart", TANK.chart, "step", True, step=Q(0.25, "in")),
    _of("Chart.interpolate", CHART.interpolate, depth=DEPTH),
    _of("Chart.depth_for", CHART.depth_for, volume=Q(300, "gal")),
]  # fmt: skip

BY_NAME = {call.name: call for call in CALLS}
# Functions that need an array, or take no amounts: tested where they belong.
OTHERS = {
    "average_rate", "bar_discharge", "uniformity", "total_payable", "round_half_away", "round_up", "round_down",
    "limit", "correction_chart",
}  # fmt: skip
