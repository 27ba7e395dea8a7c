"""What stands in a cell for a value of the order: the inverse of :mod:`sheetgen.order.typed`."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from sheetgen.order.fields import Field, words
from sheetgen.templates import Texts
from sheetgen.xlsx.dates import serial
from sheetgen.xlsx.model import Value

_FORMATS = {"text": "@", "words": "@", "date": "yyyy\\-mm\\-dd", "integer": "0"}
_STATIONS = {"us": "0\\+00.###", "si": "0\\+000.###"}
_WHOLE_STATIONS = {"us": "0\\+00", "si": "0\\+000"}


def entry(field: Field, value: Any, say: Texts, relative: bool = True) -> Value:
    """The constant in a field's cell for a value of the order; ``relative``: a tolerance is a percentage."""
    if value is None or value == "":
        return None
    if field.kind in ("choice", "yes-no"):
        choice = field.choice or "yes_no"
        return words(choice, say)[("yes" if value else "no") if choice == "yes_no" else value]
    if field.kind == "percent" or (field.kind == "tolerance" and relative):
        return value if small(value) else float(Decimal(repr(float(value))) * 100)
    if field.kind == "date":
        return serial(value)
    if field.kind == "numbers":
        return "; ".join(f"{number:.15g}" for number in value)
    if field.kind == "words":
        return "; ".join(value)
    return value  # type: ignore[no-any-return]


def small(part: float) -> bool:
    """Whether a part of one needs its % sign, because the plain number of percent could be a part itself."""
    return 0 < part <= 0.01


def shown(field: Field, system: str, value: Any = None, relative: bool = True) -> str:
    """The number format of a field's cell with this value in it."""
    if field.kind == "station":
        whole = value is None or float(value).is_integer()
        return (_WHOLE_STATIONS if whole else _STATIONS)[system]
    if field.kind in ("percent", "tolerance") and relative and value is not None and small(value):
        return "0.####%"
    return _FORMATS.get(field.kind, "General")


def value_at(path: str, source: Any) -> Any:
    """The value at a dotted path of a model; None below a part that is not there."""
    for name in path.split("."):
        source = getattr(source, name) if source is not None else None
    return source


def default_entry(field: Field) -> Any:
    """The value that a blank order starts with in this field; None for a blank cell."""
    if field.kind == "yes-no" and field.default is not None:
        return field.default == "yes"
    return field.default
