"""How an order pays: its rule, its unit of pay, and what a volume of material comes to in it."""

from __future__ import annotations

from dataclasses import fields
from typing import Literal

from sheetgen.order.model import Order
from sheetgen.trade.density import mass_of
from sheetgen.trade.pay import PayTerms
from sheetgen.units import constants, units

PaidKind = Literal["volume", "mass", "area"]
_MASS_DECIMALS = 2  # of tons, as tickets print them (common practice, no source)
_KINDS: dict[str, PaidKind] = {"volume": "volume", "mass": "mass", "mass-by-ticket": "mass", "area": "area"}
_UNITS = {"volume": "volume", "mass": "large_mass", "area": "area"}  # kinds of tables/units.csv


def pay_terms(order: Order) -> PayTerms:
    """Give the rule by which the book of one distributor is paid.

    The contract's quantity is its own only where the order has no other distributor: of several books none can tell
    alone what is beyond it or short of it.
    """
    terms = job_terms(order)
    if len(order.machines) == 1:
        return terms
    return PayTerms(
        terms.excess_limit, terms.hand_exempt, terms.unit_price, money_decimals=terms.money_decimals
    )


def job_terms(order: Order) -> PayTerms:
    """Give the rule for all books of an order together."""
    return PayTerms(**{each.name: getattr(order.pay, each.name) for each in fields(PayTerms)})


def paid_kind(order: Order) -> PaidKind:
    """Give what is paid: volume, mass or area."""
    return _KINDS[order.pay.unit]


def unit_kind(order: Order) -> str:
    """Give the kind of quantity of ``tables/units.csv`` that an order pays in."""
    return _UNITS[paid_kind(order)]


def pay_unit(order: Order) -> str:
    """Give the printed unit of pay, in the order's language."""
    return units(order.units)[unit_kind(order)].label(order.language)


def pay_decimals(order: Order) -> int:
    """Give the places that the quantity paid is rounded to, once, on the total."""
    kind, given = paid_kind(order), order.pay.decimals
    if kind == "volume" or (given is None and kind == "area"):
        return order.rounding.pay
    return _MASS_DECIMALS if given is None else given


def tons_of(volume: float, order: Order) -> float:
    """Give the tons (metric tons) of an undiluted volume at base temperature, by the order's specific gravity."""
    mass = mass_of(volume, order.material.specific_gravity, order.units)
    return mass / constants(order.units)["mass_per_ton"]


def price_of_volume(order: Order) -> float | None:
    """Give the money for one unit of volume, undiluted at base temperature; None where none follows from the price.

    By tickets it is about that of the specific gravity; where area is paid, no volume has a price.
    """
    price, kind = order.pay.unit_price, paid_kind(order)
    if price is None or kind == "area":
        return None
    return price * tons_of(1.0, order) if kind == "mass" else price
