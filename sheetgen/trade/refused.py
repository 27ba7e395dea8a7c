"""What the arithmetic says of numbers that cannot be: what was found, and what was expected."""

from __future__ import annotations

from sheetgen.errors import QuantityError
from sheetgen.units import units


def refused(name: str, found: str, expected: str) -> QuantityError:
    """Make the error of an argument: what was found in its place and what was expected."""
    return QuantityError(f"{name}: found {found}; expected {expected}")


def shown(number: float, kind: str, system: str) -> str:
    """Write a number with the unit of its kind in a system, as errors print it: ``62 in``."""
    return f"{number:g} {units(system)[kind].label('en')}"
