"""The one pint registry of the project, and quantities in an order's unit system.

It knows the units of ``templates_src/units.txt``: each means what it means in pint's own registry, and reading these
takes a tenth of the time. Further ones are added as with any registry: ``ureg.define("...")``.
"""

from __future__ import annotations

from functools import cache
from importlib import resources
from typing import Any

import pint

from sheetgen import templates
from sheetgen.units import units

with resources.as_file(templates.root() / "units.txt") as _definitions:
    ureg: pint.UnitRegistry[Any] = pint.UnitRegistry(_definitions, autoconvert_offset_to_baseunit=False)
pint.set_application_registry(ureg)  # type: ignore[no-untyped-call]
Quantity = ureg.Quantity


def quantity(value: Any, kind: str, system: str) -> Any:
    """``value`` (a number or an array) in a system's unit for a kind of quantity, as a pint quantity.

    Example: ``quantity(0.05, "rate", "us")`` is 0.05 gal/yd².
    """
    return Quantity(value, _unit(kind, system))


def magnitude(quantity: Any, kind: str, system: str) -> Any:
    """The number of a quantity in a system's unit for that kind: the inverse of :func:`quantity`."""
    return quantity.to(_unit(kind, system)).magnitude


@cache
def _unit(kind: str, system: str) -> Any:
    """pint's unit of a kind of quantity in a system: reading the name of one takes longer than converting."""
    return ureg.Unit(units(system)[kind].name)
