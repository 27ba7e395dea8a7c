"""What the ordered work comes to in the unit of pay, and in money."""

from __future__ import annotations

from collections.abc import Sequence

from sheetgen.order.model import Order
from sheetgen.order.pay_terms import job_terms, paid_kind, pay_decimals, pay_unit, tons_of
from sheetgen.plan.model import Ordered, Price
from sheetgen.trade.pay import total_payable


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
