"""Binder and aggregate of a chip seal by design: McLeod's method.

It gives where to begin; a trial section decides.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from math import ceil, floor, inf

from sheetgen import templates
from sheetgen.trade.kinds import (
    AboveZero,
    Distance,
    Gravity,
    LooseWeight,
    Number,
    Part,
    PartOfOne,
    Rate,
    RateMoreOrLess,
    Speed,
    Spread,
    Stone,
)
from sheetgen.trade.refused import refused, shown
from sheetgen.units import constants

_NOTHING = 0.0
_NO_WASTE = 1.0
_PLACES = 9  # of a count of trucks before it is made whole


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


def wait_for_stone(
    length: Distance,
    sprayed_at: AboveZero[Speed],
    spread_at: AboveZero[Speed],
    lag: Number,
    change: Number,
    land: Distance,
) -> float:
    """Give the longest time, in minutes, that any point of a shot lies uncovered before the stone.

    The spreader follows from where the shot begins, no faster than the distributor. The first or the last point of the
    shot waits longest: the last is sprayed after length/V and covered after lag + length/S and the stops.

    Args:
        length: [distance] of the shot
        sprayed_at: [speed] V of the distributor, not zero
        spread_at: [speed] S of the spreader, not zero
        lag: minutes from the begin of spraying to the begin of spreading
        change: minutes in which the spreader stands for each change of trucks
        land: [distance] that one truck covers; 0 where it is not known and no change is counted

    Source: plane kinematics; one truck and no lag at a great speed of the distributor is spreader speed × minutes, as
    drawn from UFGS 02785 p. 17 (minutes seen, formula computed).
    """
    changes = ceil(round(length / land, _PLACES)) - 1 if land and length else 0
    return lag + _loss(sprayed_at, spread_at) * length + change * max(0, changes)


def shot_in_time(
    minutes: Number,
    sprayed_at: AboveZero[Speed],
    spread_at: AboveZero[Speed],
    lag: Number,
    change: Number,
    land: Distance,
) -> float:
    """Give the [distance] of the longest shot of which every point is covered within so many minutes.

    It is 0 where the spreader begins too late, and infinite where it never falls behind.

    Args:
        minutes: within which each point is covered
        sprayed_at: [speed] of the distributor, not zero
        spread_at: [speed] of the spreader, not zero
        lag: minutes from the begin of spraying to the begin of spreading
        change: minutes in which the spreader stands for each change of trucks
        land: [distance] that one truck covers; 0 where it is not known and no change is counted

    Source: as for :func:`wait_for_stone`.
    """
    left, loss = minutes - lag, _loss(sprayed_at, spread_at)
    if left < 0:
        return 0.0
    if not land or not change:
        return left / loss if loss else inf
    trucks = floor(round((left + change) / (loss * land + change), _PLACES))  # emptied whole, in time
    behind = left - trucks * (loss * land + change)  # what is left for a part of the next one
    return trucks * land + (max(0.0, behind) / loss if loss else 0.0)


def _loss(sprayed_at: float, spread_at: float) -> float:
    """Minutes per distance by which a spreader falls behind."""
    return max(0.0, 1 / spread_at - 1 / sprayed_at)


@cache
def _numbers() -> dict[str, float]:
    return {row["key"]: float(row["value"]) for row in templates.table("seal_design")}
