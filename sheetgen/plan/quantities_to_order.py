"""What to order: mix, undiluted material and water at base temperature, in whole units and tons."""

from __future__ import annotations

from collections.abc import Sequence

from sheetgen.order.model import Order
from sheetgen.plan.inputs import Inputs
from sheetgen.plan.model import SectionPlan, ToOrder
from sheetgen.trade.basis import emulsion_in
from sheetgen.trade.density import mass_of
from sheetgen.trade.rounding import round_up
from sheetgen.units import constants

_PLACES = 9  # dust of the arithmetic does not order one gallon more


def to_order(
    order: Order, plans: Sequence[SectionPlan], inputs: Inputs, reserve: float, factor: float
) -> ToOrder:
    """The quantities for all sections, those that this machine cannot spray included.

    Args:
        order: for its material
        plans: of the sections
        inputs: for the allowance
        reserve: [volume] hot that stays in the tank at the end
        factor: volume at base temperature per hot volume
    """
    material, system = order.material, order.units
    sprayed = sum(plan.sprayed_base for plan in plans)
    allowance, left = sprayed * inputs.allowance, reserve * factor
    mix = sprayed + allowance + left
    undiluted = emulsion_in(mix, material.dilution)
    water = mix - undiluted
    mass = mass_of(undiluted, material.specific_gravity, system)
    tons = mass / constants(system)["mass_per_ton"]
    return ToOrder(
        sprayed=sprayed,
        allowance=allowance,
        left=left,
        mix=mix,
        undiluted=undiluted,
        water=water,
        undiluted_whole=round_up(round(undiluted, _PLACES)),
        water_whole=round_up(round(water, _PLACES)),
        mass=mass,
        tons=tons,
        tons_whole=round_up(round(tons, _PLACES)),
        hot=mix / factor,
        expansion=mix / factor - mix,
    )
