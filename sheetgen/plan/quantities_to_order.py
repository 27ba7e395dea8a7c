"""What to order: mix, undiluted material and water at base temperature, in whole units and tons."""

from __future__ import annotations

from collections.abc import Sequence

from sheetgen.amounts import magnitude, quantity
from sheetgen.order.model import Order
from sheetgen.plan.inputs import Inputs
from sheetgen.plan.model import SectionPlan, ToOrder
from sheetgen.trade import BASES, mass_of, round_up

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
    undiluted = mix * material.dilution
    water = mix - undiluted
    weight = mass_of(quantity(undiluted, "volume", system), material.specific_gravity, BASES[system])
    tons = float(magnitude(weight, "large_mass", system))
    return ToOrder(
        sprayed=sprayed,
        allowance=allowance,
        left=left,
        mix=mix,
        undiluted=undiluted,
        water=water,
        undiluted_whole=float(round_up(round(undiluted, _PLACES))),
        water_whole=float(round_up(round(water, _PLACES))),
        mass=float(magnitude(weight, "mass", system)),
        tons=tons,
        tons_whole=float(round_up(round(tons, _PLACES))),
        hot=mix / factor,
        expansion=mix / factor - mix,
    )
