"""The Excel number format of every kind of value, by the order's units and rounding policy."""

from __future__ import annotations

from decimal import Decimal

from sheetgen.order.model import Order
from sheetgen.order.pay_terms import pay_decimals
from sheetgen.units import units

_FIXED = {
    "text": "@",
    "general": "General",
    "date": "yyyy\\-mm\\-dd",
    "time": "[<1]hh:mm;General",  # digits without a colon (730) are shown as they are, not as 00:00
    "integer": "0",
    "flag": "0;-0;",  # a yes is 1, a no shows nothing
    "whole": "#,##0",
    "fine_percent": "0.000%",
    "fine": "0.0000",
    "percent": "0.0%",
    "signed_percent": "+0.0%;-0.0%;0.0%",
    "flow2": "0.00",
    "one": "0.0",
    "gravity": "0.000",
    "minutes": "0.0",
    "nozzles": "0",
    "coefficient": "0.0000000000",
    "fine_mass": "#,##0.000",
}
_GROUPED = (
    "volume", "chart_volume", "area", "pay", "mass", "distance", "power", "heat", "area_per_hour", "large_mass", "paid",
    "money",
)  # fmt: skip
# A number of so many digits is shown whole, a longer one rounded to the second: its cell holds it exactly all the same.
_SHOWN_WHOLE, _SHOWN = 8, 6
_DIPS = {"us": {"decimal": "0.00##", "fraction": "# ??/??", "sixteenths": "@"}}


def number_format(kind: str, order: Order) -> str:
    """The number format for a kind: one of the unit system's kinds, or one of the fixed ones above."""
    if kind in _FIXED:
        return _FIXED[kind]
    rounding = order.rounding
    emulsion = order.material.material_class == "emulsion"
    decimals = {
        "volume": rounding.volume,
        "chart_volume": rounding.chart,
        "area": rounding.area,
        "rate": rounding.rate,
        "pay": rounding.pay,
        "paid": pay_decimals(order),
        "money": order.pay.money_decimals,
        "factor": rounding.factor_emulsion if emulsion else rounding.factor_asphalt,
    }
    if kind == "station":
        return "0\\+00" if order.units == "us" else "0\\+000"
    if kind == "bar_height":
        return "0.0" if order.units == "us" else "0"
    if kind == "dip":
        return _DIPS.get(order.units, {}).get(order.reading.dip_notation, "0.##")
    digits = decimals.get(kind)
    if digits is None:
        digits = units(order.units)[kind].decimals
    whole = "#,##0" if kind in _GROUPED else "0"
    return whole + ("." + "0" * digits if digits else "")


def plain_format(value: float) -> str:
    """The number format of a fixed number: every digit of a short one, six significant digits of a long one.

    Example: 453.59237 is shown as it is, 16.666666666666668 as 16.6667.
    """
    whole = f"{value:.{_SHOWN_WHOLE}g}"
    shown = Decimal(whole if float(whole) == value else f"{value:.{_SHOWN}g}").normalize()
    decimals = -int(shown.as_tuple().exponent)
    return "0." + "0" * decimals if decimals > 0 else "0" if abs(value) < 10_000 else "#,##0"


def constant_format(kind: str, value: object, order: Order) -> str:
    """The number format of a value that is no formula: of its kind, or by its digits where it has none."""
    if kind == "general" and isinstance(value, int | float):
        return plain_format(value)
    return number_format(kind, order)
