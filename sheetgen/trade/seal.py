"""Binder and aggregate of a chip seal by design: two published methods.

Either gives where to begin; a trial section decides.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from sheetgen.amounts import Amount
from sheetgen.trade.checks import Plain, Quantity, amounts, arithmetic, made, published, wrong
from sheetgen.trade.elementwise import some
from sheetgen.trade.given import shown
from sheetgen.trade.kinds import (
    GRAVITY,
    LOOSE_WEIGHT,
    NUMBER,
    PART,
    PART_OF_ONE,
    RATE,
    RATE_MORE_OR_LESS,
    STONE,
    VOID_FACTOR,
)

_NO_RATE = Amount(0.0, "gal/yd**2")
_NO_WASTE = 1.0


@dataclass(frozen=True, slots=True)
class McLeodDesign:
    """A chip seal design.

    Attributes:
        least_dimension: average least dimension of the stone, in
        voids: in the loose aggregate, a fraction
        aggregate: to spread, lb/yd²
        binder: undiluted, at base temperature, gal/yd²
    """

    least_dimension: Any
    voids: Any
    aggregate: Any
    binder: Any


@arithmetic
def mcleod_design(
    median_size: Quantity,
    flakiness: Plain,
    loose_weight: Quantity,
    specific_gravity: Plain,
    traffic_factor: Plain,
    residue: Plain,
    *,
    surface_correction: Quantity = _NO_RATE,
    absorption: Quantity = _NO_RATE,
    waste_factor: Plain = _NO_WASTE,
) -> McLeodDesign:
    """A single chip seal by McLeod's method: one stone thick, 70 % of its voids filled.

    H = M/(1.139285 + 0.011506·FI); V = 1 − W/(62.4·G); C = 46.8·(1 − 0.4·V)·H·G·E; B = (2.244·H·T·V + S +
    A)/R.

    Args:
        median_size: M, sieve size that half the stone passes, above zero
        flakiness: FI as a fraction, 0.20 for an index of 20 %
        loose_weight: W, loose unit weight of the aggregate, above zero
        specific_gravity: G, bulk, of the aggregate, above zero
        traffic_factor: T, fraction of the voids to fill, above 0 to 1
        residue: R, fraction of the binder that stays, above 0 to 1
        surface_correction: S, added for a hungry surface, negative for a flushed one
        absorption: A, by the stone
        waste_factor: E, 1 or more, for stone whipped off

    Raises:
        QuantityError: wrong dimension, not finite, outside its bounds; a loose weight that leaves no voids; a
            surface correction that leaves no binder

    Source: McLeod's method in the Minnesota and Idaho (IR-63) handbooks (formulas from memory; its two
    principles were seen in the TxDOT Seal Coat Manual). The numbers stand in ``tables/seal_design.csv``.
    """
    size, flaky, loose, gravity, traffic, kept, surface, absorbed, waste = amounts(
        median_size=(median_size, STONE.above_zero),
        flakiness=(flakiness, PART),
        loose_weight=(loose_weight, LOOSE_WEIGHT.above_zero),
        specific_gravity=(specific_gravity, GRAVITY),
        traffic_factor=(traffic_factor, PART_OF_ONE),
        residue=(residue, PART_OF_ONE),
        surface_correction=(surface_correction, RATE_MORE_OR_LESS),
        absorption=(absorption, RATE),
        waste_factor=(waste_factor, NUMBER.above_zero),
    )
    number = {key: published("seal_design", key) for key in _NUMBERS}
    least = size / (number["least_dimension_constant"] + number["least_dimension_flakiness"] * 100 * flaky)
    voids = 1 - loose / (number["water_weight"] * gravity)
    if some(voids <= 0):
        raise wrong("loose_weight", shown(loose_weight), "less than the weight of the stone without voids")
    stone = number["aggregate"] * (1 - number["voids_left"] * voids) * least * gravity * waste
    binder = (number["binder"] * least * traffic * voids + surface + absorbed) / kept
    if some(binder <= 0):
        raise wrong("surface_correction", shown(surface_correction), "a correction that leaves some binder")
    return McLeodDesign(made(least, "in"), made(voids), made(stone, "lb/yd**2"), made(binder, "gal/yd**2"))


_NUMBERS = (
    "least_dimension_constant",
    "least_dimension_flakiness",
    "water_weight",
    "aggregate",
    "voids_left",
    "binder",
)


@dataclass(frozen=True, slots=True)
class AustroadsDesign:
    """A binder rate in the steps of the Austroads guide, in L/m² of residual binder; not rounded.

    Attributes:
        basic: void factor × average least dimension
        modified: times the binder factor; shown to 0.01 L/m²
        design: with the allowances; shown to 0.1 L/m²
    """

    basic: Any
    modified: Any
    design: Any


@arithmetic
def austroads_design(
    void_factor: Quantity,
    least_dimension: Quantity,
    binder_factor: Plain = 1.0,
    allowances: Quantity = _NO_RATE,
) -> AustroadsDesign:
    """A binder rate by the Austroads guide: Bb = VF·ALD, Bbm = Bb·BF, Bd = Bbm + allowances.

    Args:
        void_factor: design voids factor, in L/m² per mm of stone; above zero
        least_dimension: average least dimension of the stone, above zero
        binder_factor: 1 for plain binder, above zero
        allowances: of the surface and others together, negative or not

    Raises:
        QuantityError: wrong dimension, not finite, outside its bounds, or allowances that leave no binder

    Source: Austroads AGPT04K, design binder application rate (seen); the guide chains unrounded values.
    """
    factor, least, more, added = amounts(
        void_factor=(void_factor, VOID_FACTOR.above_zero),
        least_dimension=(least_dimension, STONE.above_zero),
        binder_factor=(binder_factor, NUMBER.above_zero),
        allowances=(allowances, RATE_MORE_OR_LESS),
    )
    basic = made(factor * least, "l/m**2/mm*in", "l/m**2").magnitude
    modified = basic * more
    design = modified + made(added, "gal/yd**2", "l/m**2").magnitude
    if some(design <= 0):
        raise wrong("allowances", shown(allowances), "allowances that leave some binder")
    return AustroadsDesign(*(made(rate, "l/m**2") for rate in (basic, modified, design)))
