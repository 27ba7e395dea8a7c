"""The one pint registry of the project: quantities in any unit, for those who use the arithmetic.

It knows the units of ``templates_src/units.txt``: each means what it means in pint's own registry, and reading these
takes a tenth of the time. Further ones are added as with any registry: ``ureg.define("...")``. Plan and recheck, which
keep to the units of their tables, go without it: see :mod:`sheetgen.units`.
"""

from __future__ import annotations

from functools import cache
from importlib import resources
from typing import Any

import pint

from sheetgen import templates

with resources.as_file(templates.root() / "units.txt") as _definitions:
    ureg: pint.UnitRegistry[Any] = pint.UnitRegistry(_definitions, autoconvert_offset_to_baseunit=False)
pint.set_application_registry(ureg)  # type: ignore[no-untyped-call]
Quantity = ureg.Quantity


def quantity_in(magnitude: Any, unit: str) -> Any:
    """A quantity in a unit of that name."""
    return Quantity(magnitude, _unit(unit))


def same_dimension(units: Any, unit: str) -> bool:
    """True where a quantity's units can be converted into a unit; an angle, which pint takes for a number, is none."""
    other = _unit(unit)
    return units.dimensionality == other.dimensionality and _is_angle(units) == _is_angle(other)


def converted(magnitude: Any, units: Any, unit: str) -> Any:
    """A number or array in a unit of the same dimension; None where the units are differences of temperature."""
    if units == _unit(unit):
        return magnitude
    try:
        return ureg.convert(magnitude, units, _unit(unit))
    except (pint.DimensionalityError, ValueError):
        return None


@cache
def _unit(name: str) -> Any:
    """pint's unit of a name: reading the name takes longer than converting."""
    return ureg.Unit(name)


@cache
def _is_angle(units: Any) -> bool:
    return not units.dimensionality and "radian" in str(ureg.get_base_units(units)[1])
