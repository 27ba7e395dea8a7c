"""The Excel number format of every kind of value, by the order's units and rounding policy."""

from __future__ import annotations

from sheetgen.order.model import Order
from sheetgen.units import units

_FIXED = {
    "text": "@",
    "general": "General",
    "date": "yyyy\\-mm\\-dd",
    "time": "hh:mm",
    "integer": "0",
    "whole": "#,##0",
    "fine_percent": "0.000%",
    "fine": "0.0000",
    "percent": "0.0%",
    "signed_percent": "+0.0%;-0.0%;0.0%",
    "flow2": "0.00",
    "gravity": "0.000",
    "minutes": "0.0",
    "nozzles": "0",
    "coefficient": "0.0000000000",
}
_GROUPED = ("volume", "chart_volume", "area", "pay", "mass", "distance", "power", "heat", "area_per_hour")
_DIPS = {"us": {"decimal": "0.00##", "fraction": "# ??/16", "sixteenths": "@"}}


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
        "factor": rounding.factor_emulsion if emulsion else rounding.factor_asphalt,
    }
    if kind == "station":
        return "0\\+00" if order.units == "us" else "0\\+000"
    if kind == "dip":
        return _DIPS.get(order.units, {}).get(order.reading.dip_notation, "0.##")
    digits = decimals.get(kind)
    if digits is None:
        digits = units(order.units)[kind].decimals
    whole = "#,##0" if kind in _GROUPED else "0"
    return whole + ("." + "0" * digits if digits else "")
