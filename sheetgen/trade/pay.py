"""What is paid: undiluted material at base temperature, up to the ordered quantity and the excess allowed."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from math import fsum

from sheetgen.trade.basis import emulsion_in
from sheetgen.trade.kinds import Part, PartOfOne, Volume
from sheetgen.trade.rounding import round_half_away, without_dust

_NOTHING = 0.0


@dataclass(frozen=True, slots=True)
class PayQuantity:
    """What is paid for one application, in [volume] of undiluted material; not rounded.

    Attributes:
        sprayed: in all
        limited: sprayed under the limit: by the bar, and by hand where hand-sprayed areas are not exempt
        ordered: for the areas under the limit
        cap: the most that is paid of what is under the limit
        hand: sprayed by hand and exempt
        payable: what is paid
        deducted: what is not
    """

    sprayed: Volume
    limited: Volume
    ordered: Volume
    cap: Volume
    hand: Volume
    payable: Volume
    deducted: Volume


@dataclass(frozen=True, slots=True)
class PayTerms:
    """The rule by which an application is paid: MIN(limited, ordered × (1 + excess limit)) + exempt hand work.

    All of it is undiluted material at base temperature: dilution water is never paid.

    Attributes:
        excess_limit: the fraction over the order that is still paid
        hand_exempt: hand work that was ordered as such is paid without a limit

    Source: UFGS 02785 §1.2: nothing over 10 % above the specified rate, per application; hand-sprayed
    irregular areas exempt (seen).
    """

    excess_limit: Part = 0.10
    hand_exempt: bool = True

    @property
    def sentences(self) -> tuple[str, str]:
        """The keys of the texts that say the rule, below ``report.pay``."""
        return "rule", "exempt" if self.hand_exempt else "not_exempt"

    @property
    def paid_per_ordered(self) -> float:
        """The most that is paid of a unit ordered."""
        return 1 + self.excess_limit

    def exempts(self, by_hand: bool, hand_ordered: bool) -> bool:
        """Tell whether a shot is paid without a limit: marked as hand work where hand work was ordered."""
        return self.hand_exempt and hand_ordered and by_hand

    def pay(self, limited: Volume, ordered: Volume, hand: Volume = _NOTHING) -> PayQuantity:
        """Pay one application.

        Args:
            limited: [volume] undiluted under the limit, at base temperature, without waste and rejected material
            ordered: [volume] undiluted, ordered for the same areas, at base temperature
            hand: [volume] undiluted that is exempt
        """
        cap = ordered * self.paid_per_ordered
        paid = min(limited, cap)
        return PayQuantity(limited + hand, limited, ordered, cap, hand, paid + hand, limited - paid)

    def slopes(self, limited: Volume, ordered: Volume) -> tuple[float, float]:
        """Give the change of what is paid by a unit more under the limit, and by a unit more ordered.

        Up to the cap what was sprayed counts, above it what was ordered.

        Args:
            limited: [volume] undiluted, sprayed under the limit
            ordered: [volume] undiluted, for the same areas
        """
        return (0.0, self.paid_per_ordered) if limited > ordered * self.paid_per_ordered else (1.0, 0.0)


def pay_quantity(
    sprayed: Volume,
    ordered: Volume,
    *,
    dilution: PartOfOne = 1.0,
    excess_limit: Part = 0.10,
    hand_sprayed: Volume = _NOTHING,
) -> PayQuantity:
    """Give what is paid for one application by :class:`PayTerms`: MIN(sprayed, ordered × (1 + limit)) + by hand.

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
    volumes = (emulsion_in(mix, dilution) for mix in (sprayed, ordered, hand_sprayed))
    return PayTerms(excess_limit).pay(*volumes)


def total_payable(payable: Iterable[Volume], decimals: int = 0) -> Volume:
    """Give the payable total of several applications, rounded once, on the sum.

    Args:
        payable: [volume] of each application, from :func:`pay_quantity`
        decimals: places the total is rounded to

    Source: common practice: a pay quantity is rounded once, on the total (no source).
    """
    return round_half_away(without_dust(fsum(payable)), decimals)
