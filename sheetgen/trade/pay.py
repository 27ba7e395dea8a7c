"""What is paid: undiluted material at base temperature, up to the ordered quantity and the excess allowed."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from math import fsum

from sheetgen.trade.basis import emulsion_in
from sheetgen.trade.kinds import Part, PartOfOne, Volume
from sheetgen.trade.rounding import round_half_away, without_dust

_UNDILUTED = 1.0
_EXCESS_LIMIT = 0.10
_NOTHING = 0.0


@dataclass(frozen=True, slots=True)
class PayQuantity:
    """What is paid for one application: MIN(limited, cap) + hand, in [volume] of undiluted material; not rounded.

    Attributes:
        sprayed: in all
        limited: sprayed under the limit: by the bar, and by hand where hand-sprayed areas are not exempt
        ordered: for the areas under the limit
        excess_limit: the fraction over the order that is still paid
        cap: the most that is paid of what is under the limit: ordered × (1 + excess limit)
        hand: sprayed by hand and exempt
        payable: what is paid
        deducted: what is not
    """

    sprayed: Volume
    limited: Volume
    ordered: Volume
    excess_limit: Part
    cap: Volume
    hand: Volume
    payable: Volume
    deducted: Volume

    @property
    def is_capped(self) -> bool:
        """More was sprayed than is paid."""
        return self.deducted > 0

    @property
    def per_sprayed(self) -> float:
        """Change of what is paid by a unit more that was sprayed under the limit: none above the cap."""
        return 0.0 if self.is_capped else 1.0

    @property
    def per_ordered(self) -> float:
        """Change of what is paid by a unit more that was ordered: only above the cap."""
        return 1 + self.excess_limit if self.is_capped else 0.0


def pay_quantity(
    sprayed: Volume,
    ordered: Volume,
    *,
    dilution: PartOfOne = _UNDILUTED,
    excess_limit: Part = _EXCESS_LIMIT,
    hand_sprayed: Volume = _NOTHING,
) -> PayQuantity:
    """Give what is paid for one application: MIN(sprayed, ordered × (1 + limit)) + sprayed by hand.

    Dilution water is never paid; waste and rejected material must be left out of ``sprayed``.

    Args:
        sprayed: [volume] of mix put down by the bar, at base temperature
        ordered: [volume] of mix ordered for the same area, at base temperature
        dilution: emulsion / (emulsion + water) of both, above 0 to 1
        excess_limit: the fraction over the order that is still paid
        hand_sprayed: [volume] of mix sprayed by hand on irregular areas that are exempt from the limit; where they
            are not exempt, count it in ``sprayed`` and its area in ``ordered``

    Source: UFGS 02785 §1.2: nothing over 10 % above the specified rate, per application; hand-sprayed
    irregular areas exempt (seen).
    """
    undiluted, order, hand = (emulsion_in(mix, dilution) for mix in (sprayed, ordered, hand_sprayed))
    cap = order * (1 + excess_limit)
    paid = min(undiluted, cap)
    return PayQuantity(
        undiluted + hand, undiluted, order, excess_limit, cap, hand, paid + hand, undiluted - paid
    )


def total_payable(payable: Iterable[Volume], decimals: int = 0) -> Volume:
    """Give the payable total of several applications, rounded once, on the sum.

    Args:
        payable: [volume] of each application, from :func:`pay_quantity`
        decimals: places the total is rounded to

    Source: common practice: a pay quantity is rounded once, on the total (no source).
    """
    return round_half_away(without_dust(fsum(payable)), decimals)
