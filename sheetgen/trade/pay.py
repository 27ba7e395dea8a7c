"""What is paid: a quantity up to the ordered one and the excess allowed, and the money for it.

The unit of pay is the contract's: volume of undiluted material at base temperature, its weight, or accepted area. The
rule is the same in each; a quantity here is a number in that unit.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from math import fsum

from sheetgen.trade.basis import emulsion_in
from sheetgen.trade.kinds import Number, Part, PartOfOne, Volume
from sheetgen.trade.rounding import round_half_away, without_dust

_NOTHING = 0.0


@dataclass(frozen=True, slots=True)
class PayQuantity:
    """What is paid for one application, in the unit of pay; not rounded.

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
    """The rule by which an application is paid, and the prices and limits of the contract's quantity.

    An application: MIN(limited, ordered × (1 + excess limit)) + exempt hand work, dilution water never. Its
    sections together, rounded once, are the quantity paid. What of it is beyond ``estimate × (1 +
    overrun_limit)`` has a price of its own, or is open to one; where the work ends below ``estimate × (1 -
    underrun_limit)``, a share of the price is paid on the shortfall, or all that was done has another price.
    Money is rounded once, on the amount, half up.

    Attributes:
        excess_limit: the fraction over the order that is still paid
        hand_exempt: hand work that was ordered as such is paid without a limit
        unit_price: money for one unit of pay, None where none is agreed
        estimate: the quantity that the contract estimates, in the unit of pay, None for none
        overrun_limit: the fraction over the estimate that the unit price holds for, None for no limit
        overrun_price: of what is beyond it; None: the unit price, until another is agreed
        underrun_limit: the fraction below the estimate that the unit price holds for, None for no limit
        underrun_share: the part of the unit price that is paid on a shortfall below it, None for none
        underrun_price: of all that was done where there is a shortfall, None where it keeps its price
        money_decimals: places of an amount of money

    Source: UFGS 02785 §1.2: nothing over 10 % above the specified rate, per application; hand-sprayed
    irregular areas exempt (seen). 48 CFR 11.702, clause 52.211-18: ±15 % of an estimated quantity, only the part beyond
    115 % or below 85 % (seen). A municipal tender form: 10 % of the unit price on the shortfall below 85 % (seen;
    agency not shown). 23 CFR 635.109: only the excess beyond a limit, or all the work done below one (seen; its limits
    125 % and 75 % from memory).
    """

    excess_limit: Part = 0.10
    hand_exempt: bool = True
    unit_price: Number | None = None
    estimate: Number | None = None
    overrun_limit: Part | None = None
    overrun_price: Number | None = None
    underrun_limit: Part | None = None
    underrun_share: Part | None = None
    underrun_price: Number | None = None
    money_decimals: int = 2

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
        """Pay one application, in the unit of pay.

        Args:
            limited: what is under the limit, without dilution water, waste and rejected material
            ordered: what was ordered for the same areas
            hand: what is exempt
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

    def beyond(self, quantity: Number) -> float:
        """Give what of a quantity is beyond the contract's estimate and the overrun allowed; 0 where there is none."""
        if self.estimate is None or self.overrun_limit is None:
            return 0.0
        return max(0.0, without_dust(quantity - self.estimate * (1 + self.overrun_limit)))

    def short(self, quantity: Number) -> float:
        """Give what a quantity falls short of the contract's estimate less the underrun allowed; 0 for nothing."""
        if self.estimate is None or self.underrun_limit is None:
            return 0.0
        return max(0.0, without_dust(self.estimate * (1 - self.underrun_limit) - quantity))

    def amount(self, quantity: Number) -> float | None:
        """Give the money for a quantity, without what an end of the work would change; None without a price."""
        worth = self.difference(0.0, quantity)
        return None if worth is None else self._money(worth)

    def difference(self, less: Number, more: Number) -> float | None:
        """Give the money that one quantity is worth more than another, not rounded; None without a price."""
        if self.unit_price is None:
            return None
        beyond = self.beyond(more) - self.beyond(less)
        dear = self.unit_price if self.overrun_price is None else self.overrun_price
        return (more - less - beyond) * self.unit_price + beyond * dear

    def price_at(self, quantity: Number) -> float:
        """Give the price of the last unit of a quantity; 0 without one."""
        dear = self.overrun_price if self.beyond(quantity) else None
        return (self.unit_price or 0.0) if dear is None else dear

    def amount_if_ended(self, quantity: Number) -> float | None:
        """Give the money for a quantity where the work ends with it; None without a price."""
        short, amount = self.short(quantity), self.amount(quantity)
        if amount is None or not short:
            return amount
        if self.underrun_price is not None:
            return self._money(quantity * self.underrun_price)
        share = (self.underrun_share or 0.0) * (self.unit_price or 0.0)
        return self._money(amount + share * short)

    def _money(self, amount: float) -> float:
        return round_half_away(without_dust(amount), self.money_decimals)


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
