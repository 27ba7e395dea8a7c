"""What the ordered work comes to, in sentences."""

from __future__ import annotations

from sheetgen.figures import number_text
from sheetgen.plan.figures import Figures
from sheetgen.plan.model import Plan


def price(plan: Plan, figures: Figures) -> list[str]:
    """The quantity in the unit of pay, the money for it, the most that is paid, and the contract's quantity."""
    one, say = plan.price, figures.say
    if one is None:
        return []

    def written(value: float | None, decimals: int | None = None) -> str:
        return number_text(value, say.language, decimals)

    words = {
        "quantity": f"{written(one.quantity, one.decimals)} {one.unit}", "unit": one.unit,
        "most": f"{written(one.most, one.decimals)} {one.unit}", "currency": one.currency,
        "price": written(one.unit_price), "estimate": written(one.estimate),
        **{key: "" if value is None else f"{written(value, one.money_decimals)} {one.currency}"
           for key, value in (("money", one.amount), ("most_money", one.most_amount))},
        "share": f"{100 * one.quantity / one.estimate:.1f} %" if one.estimate else "",
    }  # fmt: skip
    keys = [
        "quantity" if one.unit_price is None else "money",
        "most" if one.unit_price is None else "most_money",
    ]
    keys += ["estimate"] if one.estimate else []
    return [say.say(f"plan.price.{key}", **words) for key in keys]
