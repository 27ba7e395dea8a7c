"""What to order, in whole units and tons at base temperature; what the ordered work comes to in the unit of pay."""

from __future__ import annotations

from collections.abc import Sequence

from sheetgen.order.model import Order
from sheetgen.order.pay_terms import job_terms, paid_kind, pay_decimals, pay_unit, tons_of
from sheetgen.plan.inputs import Inputs
from sheetgen.plan.model import Ordered, Price, SectionPlan, ToOrder
from sheetgen.trade.basis import emulsion_in
from sheetgen.trade.density import mass_of
from sheetgen.trade.pay import total_payable
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


def price_of(order: Order, sections: Sequence[Ordered]) -> Price | None:
    """Give the estimate for all sections; None where the order pays by volume and gives neither price nor estimate.

    At most is what is paid where each section is sprayed to its limit; exempt hand work is taken as ordered.
    """
    terms, kind = job_terms(order), paid_kind(order)
    if kind == "volume" and terms.unit_price is None and terms.estimate is None:
        return None
    asked = [_asked(order, section) for section in sections]
    limits = [
        one if terms.exempts(section.hand, section.hand) else one * terms.paid_per_ordered
        for one, section in zip(asked, sections, strict=True)
    ]
    quantity, most = (total_payable(each, pay_decimals(order)) for each in (asked, limits))
    return Price(
        paid_by=order.pay.unit,
        unit=pay_unit(order),
        currency=order.pay.currency,
        unit_price=terms.unit_price,
        quantity=quantity,
        most=most,
        amount=terms.amount(quantity),
        most_amount=terms.amount(most),
        estimate=terms.estimate,
        decimals=pay_decimals(order),
        money_decimals=terms.money_decimals,
    )


def _asked(order: Order, section: Ordered) -> float:
    """What a section is ordered at, in the unit of pay."""
    kind, volume = paid_kind(order), section.area * section.undiluted
    return section.area if kind == "area" else tons_of(volume, order) if kind == "mass" else volume
