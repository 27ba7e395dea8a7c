"""Binder and aggregate of a chip seal by design: McLeod's method.

It gives where to begin; a trial section decides.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from sheetgen import templates
from sheetgen.trade.kinds import (
    AboveZero,
    Gravity,
    LooseWeight,
    Number,
    Part,
    PartOfOne,
    Rate,
    RateMoreOrLess,
    Spread,
    Stone,
)
from sheetgen.trade.refused import refused, shown
from sheetgen.units import constants

_NOTHING = 0.0
_NO_WASTE = 1.0


@dataclass(frozen=True, slots=True)
class McLeodDesign:
    """A chip seal design.

    Attributes:
        least_dimension: [stone] average least dimension of the stone
        voids: in the loose aggregate, a fraction
        aggregate: [aggregate_spread] to spread
        binder: [rate] undiluted, at base temperature
    """

    least_dimension: Stone
    voids: float
    aggregate: Spread
    binder: Rate


def mcleod_design(
    median_size: AboveZero[Stone],
    flakiness: Part,
    loose_weight: AboveZero[LooseWeight],
    specific_gravity: Gravity,
    traffic_factor: PartOfOne,
    residue: PartOfOne,
    *,
    surface_correction: RateMoreOrLess = _NOTHING,
    absorption: Rate = _NOTHING,
    waste_factor: AboveZero[Number] = _NO_WASTE,
    system: str,
) -> McLeodDesign:
    """Design a single chip seal by McLeod's method: one stone thick, 70 % of its voids filled.

    H = M/(1.139285 + 0.011506·FI); V = 1 − W/(62.4·G); C = 46.8·(1 − 0.4·V)·H·G·E; B = (2.244·H·T·V + S +
    A)/R, in inches, pounds and gallons.

    Args:
        median_size: M, [stone], sieve size that half the stone passes, not zero
        flakiness: FI as a fraction, 0.20 for an index of 20 %
        loose_weight: W, [loose_weight] of the aggregate, not zero
        specific_gravity: G, bulk, of the aggregate, above zero
        traffic_factor: T, fraction of the voids to fill, above 0 to 1
        residue: R, fraction of the binder that stays, above 0 to 1
        surface_correction: S, [rate] added for a hungry surface, negative for a flushed one
        absorption: A, [rate] taken up by the stone
        waste_factor: E, 1 or more, for stone whipped off
        system: ``"us"`` or ``"si"``, the units of all

    Raises:
        QuantityError: a loose weight that leaves no voids; a surface correction that leaves no binder

    Source: McLeod's method in the Minnesota and Idaho (IR-63) handbooks (formulas from memory; its two
    principles were seen in the TxDOT Seal Coat Manual). The numbers stand in ``tables/seal_design.csv``.
    """
    number, unit = _numbers(), constants(system)
    shape = number["least_dimension_constant"] + number["least_dimension_flakiness"] * 100 * flakiness
    least = median_size / shape
    voids = 1 - loose_weight / unit["loose_per_pound_foot"] / (number["water_weight"] * specific_gravity)
    if voids <= 0:
        raise refused(
            "loose_weight",
            shown(loose_weight, "loose_weight", system),
            "less than the weight of the stone without voids",
        )
    inches = least / unit["stone_per_inch"]
    stone = (
        number["aggregate"] * (1 - number["voids_left"] * voids) * inches * specific_gravity * waste_factor
    )
    filled = number["binder"] * inches * traffic_factor * voids * unit["rate_per_gallon_yard"]
    binder = (filled + surface_correction + absorption) / residue
    if binder <= 0:
        correction = shown(surface_correction, "rate", system)
        raise refused("surface_correction", correction, "a correction that leaves some binder")
    return McLeodDesign(least, voids, stone * unit["spread_per_pound_yard"], binder)


@cache
def _numbers() -> dict[str, float]:
    return {row["key"]: float(row["value"]) for row in templates.table("seal_design")}
