"""What the arithmetic is handed: a bare number, an amount in a unit of the tables, or a quantity of the units library.

The library is imported where a quantity of it is at hand, and so has been already.
"""

from __future__ import annotations

from typing import Any

from sheetgen.amounts import Amount, unit_size


def has_units(value: Any) -> bool:
    """True for an amount and for a quantity."""
    return isinstance(value, Amount) or is_quantity(value)


def is_quantity(value: Any) -> bool:
    """True for a quantity of the units library."""
    return hasattr(value, "dimensionality")


def alike(value: Any, magnitude: Any) -> Any:
    """Another number with the unit of a value; the bare number where the value has none."""
    if isinstance(value, Amount):
        return Amount(magnitude, value.units)
    if not is_quantity(value):
        return magnitude
    from sheetgen.quantities import Quantity

    return Quantity(magnitude, value.units)


def symbol(units: Any) -> str:
    """How the unit of an amount or of a quantity is printed."""
    return unit_size(units).symbol if isinstance(units, str) else f"{units:~P}"


def shown(value: Any) -> str:
    """A value as the errors print it."""
    if value is None:
        return "nothing"
    return f"{value:~P}" if is_quantity(value) else f"{value!s}"
