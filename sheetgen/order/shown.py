"""Number formats of the results shown in the order workbook."""

from __future__ import annotations

from sheetgen.order.draft import Draft

_FIXED = {
    "text": "General",
    "look": "General",
    "integer": "#,##0",
    "percent": "0.0#%",
    "one": "#,##0.0",
    "one_or_none": "0.##",
    "two": "#,##0.00",
    "three": "0.000",
    "factor": "0.0000#",
    "length": "#,##0.##",
    "money": "#,##0.00",
}
_WITH_THOUSANDS = ("volume", "area", "power", "distance")


def result_format(kind: str, draft: Draft) -> str:
    """The number format of a kind of result, or of a kind of quantity in the order's unit system."""
    if kind in _FIXED:
        return _FIXED[kind]
    digits = draft.units[kind].decimals
    whole = "#,##0" if kind in _WITH_THOUSANDS else "0"
    return whole + ("." + "0" * digits if digits else "")
