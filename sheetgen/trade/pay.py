"""What is paid: undiluted material at base temperature, up to the ordered quantity and the excess allowed."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from sheetgen.amounts import Amount
from sheetgen.errors import QuantityError
from sheetgen.trade.checks import Plain, Quantity, amounts, arithmetic, made
from sheetgen.trade.elementwise import is_array, least
from sheetgen.trade.kinds import PART, PART_OF_ONE, VOLUME
from sheetgen.trade.rounding import round_half_away

_UNDILUTED = 1.0
_EXCESS_LIMIT = 0.10
_NOTHING = Amount(0.0, "gal")


@dataclass(frozen=True, slots=True)
class PayQuantity:
    """The payable part of what was sprayed on one application, in gal of undiluted material; not rounded.

    Attributes:
        sprayed: undiluted material sprayed, by hand or not
        cap: the most that is paid for the part sprayed by the bar
        hand: paid without a cap
        payable: what is paid
        deducted: what is not
    """

    sprayed: Any
    cap: Any
    hand: Any
    payable: Any
    deducted: Any


@arithmetic
def pay_quantity(
    sprayed: Quantity,
    ordered: Quantity,
    *,
    dilution: Plain = _UNDILUTED,
    excess_limit: Plain = _EXCESS_LIMIT,
    hand_sprayed: Quantity = _NOTHING,
) -> PayQuantity:
    """What is paid for one application: MIN(sprayed, ordered × (1 + limit)) + sprayed by hand.

    Dilution water is never paid; waste and rejected material must be left out of ``sprayed``.

    Args:
        sprayed: mix put down by the bar, at base temperature
        ordered: mix ordered for the same area, at base temperature
        dilution: emulsion / (emulsion + water) of both, above 0 to 1
        excess_limit: the fraction over the order that is still paid
        hand_sprayed: mix sprayed by hand on irregular areas that are exempt from the limit; where they are
            not exempt, count it in ``sprayed`` and its area in ``ordered``

    Raises:
        QuantityError: wrong dimension, negative, not finite, or a fraction outside its bounds

    Source: UFGS 02785 §1.2: nothing over 10 % above the specified rate, per application; hand-sprayed
    irregular areas exempt (seen).
    """
    mix, order, part, limit, hand = amounts(
        sprayed=(sprayed, VOLUME),
        ordered=(ordered, VOLUME),
        dilution=(dilution, PART_OF_ONE),
        excess_limit=(excess_limit, PART),
        hand_sprayed=(hand_sprayed, VOLUME),
    )
    cap = part * order * (1 + limit)
    paid = least(part * mix, cap) + part * hand
    total = part * (mix + hand)
    return PayQuantity(*(made(value, "gal") for value in (total, cap, part * hand, paid, total - paid)))


@arithmetic
def total_payable(quantities: Iterable[PayQuantity], decimals: int = 0) -> Any:
    """The payable total of several applications, in gal, rounded once, on the sum.

    Args:
        quantities: from :func:`pay_quantity`
        decimals: places the total is rounded to

    Raises:
        QuantityError: no application at all

    Source: common practice: a pay quantity is rounded once, on the total (no source).
    """
    each = [quantity.payable.to("gal").magnitude for quantity in quantities]
    payable = [volumes.sum() if is_array(volumes) else volumes for volumes in each]
    if not payable:
        raise QuantityError("quantities: found none; expected at least one application")
    return round_half_away(made(sum(payable), "gal"), decimals)
