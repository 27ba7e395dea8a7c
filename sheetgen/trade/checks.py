"""What a quantity must be before it is reckoned with: dimension, sign, finite, shapes that go together.

Every public function of :mod:`sheetgen.trade` takes its arguments through :func:`amounts` and gives its
result through :func:`made`, so that a wrong input is one and the same
:class:`~sheetgen.errors.QuantityError` everywhere: which argument, what was found, what was expected.
"""

from __future__ import annotations

from decimal import Decimal
from functools import cache
from numbers import Real
from typing import Any, TypeAlias

import numpy as np
from numpy.typing import NDArray
from pint import DimensionalityError
from pint.facets.plain import PlainQuantity

from sheetgen import templates
from sheetgen.errors import QuantityError
from sheetgen.quantities import Quantity as _Quantity
from sheetgen.quantities import ureg
from sheetgen.trade.kinds import Kind

Quantity: TypeAlias = PlainQuantity[Any]
"""A pint quantity of the project's registry; its magnitude is a number or a numpy array."""

Plain: TypeAlias = "float | NDArray[Any] | PlainQuantity[Any]"
"""A plain number or array of them, or a dimensionless quantity such as 57 percent."""

# What overflows is caught in made(), as an error of ours; numpy need not warn as well.
arithmetic = np.errstate(all="ignore")


def amounts(**given: tuple[Any, Kind]) -> list[Any]:
    """Each argument's magnitude in its kind's unit, as numpy floats or arrays, in the order given.

    Raises:
        QuantityError: an argument of the wrong dimension, outside its bounds or not finite; arrays whose
            shapes do not go together
    """
    taken = [_magnitude(value, name, kind) for name, (value, kind) in given.items()]
    try:
        np.broadcast_shapes(*(np.shape(magnitude) for magnitude in taken))
    except ValueError:
        shapes = ", ".join(f"{name} {np.shape(array)}" for name, array in zip(given, taken, strict=True))
        raise QuantityError(f"found arrays of shapes {shapes}; expected shapes that go together") from None
    return taken


def made(magnitude: Any, unit: str = "", shown: str | None = None) -> Any:
    """A result as a quantity in ``unit``, or as a plain number without one; converted to the unit ``shown``.

    Raises:
        QuantityError: the result is too great for a number, or nothing was left to divide by
    """
    if not np.all(np.isfinite(magnitude)):
        raise QuantityError("the result is not a finite number; expected amounts of an ordinary size")
    plain = float(magnitude) if np.ndim(magnitude) == 0 else magnitude
    if not unit:
        return plain
    quantity = _Quantity(plain, _unit(unit))
    return quantity.to(_unit(shown)) if shown else quantity


def of_dimension(value: Any, *kinds: Kind) -> Kind:
    """The first of the kinds whose dimension the value has; the first of all where it has none of them."""
    if isinstance(value, PlainQuantity):
        for kind in kinds:
            if value.dimensionality == _dimension(kind.unit):
                return kind
    return kinds[0]


@cache
def _unit(name: str) -> Any:
    """pint's unit of a name: reading the name takes longer than converting."""
    return ureg.Unit(name)


@cache
def _dimension(unit: str) -> Any:
    return _unit(unit).dimensionality


@cache
def constant(system: str, key: str) -> float:
    """A fixed number of a unit system from ``tables/constants.csv``, where its source stands beside it."""
    for row in templates.table("constants"):
        if (row["system"], row["key"]) == (system, key):
            return float(row["value"])
    raise KeyError(f"no constant {key!r} for {system!r}")


@cache
def published(table: str, key: str) -> float:
    """A number from another table of ``templates_src/tables``, by its key; its source stands beside it."""
    for row in templates.table(table):
        if row["key"] == key:
            return float(row["value"])
    raise KeyError(f"no {key!r} in the table {table!r}")


def wrong(name: str, found: str, expected: str) -> QuantityError:
    """The error of an argument: what was found in its place and what was expected."""
    return QuantityError(f"{name}: found {found}; expected {expected}")


def _magnitude(value: Any, name: str, kind: Kind) -> Any:
    numbers = _numbers(value)
    units = _units(value, kind)
    if numbers is None or units is None:
        raise wrong(name, _shown(value), kind.expected)
    try:
        converted = numbers if units == _unit(kind.unit) else ureg.convert(numbers, units, _unit(kind.unit))
    except (DimensionalityError, ValueError):
        raise wrong(name, _shown(value), kind.expected) from None
    magnitude = np.asarray(converted, dtype=np.float64)[()]
    good = kind.allows(magnitude)
    if not np.all(good):
        raise wrong(name, _first_bad(value, good), kind.expected)
    return magnitude


def _numbers(value: Any) -> Any:
    """The magnitude as numpy floats; None where it is not made of numbers."""
    numbers = np.asarray(value.magnitude if isinstance(value, PlainQuantity) else value)
    if numbers.dtype.kind == "O" and all(_is_number(item) for item in numbers.ravel()):
        return numbers.astype(np.float64)[()]
    return numbers.astype(np.float64)[()] if numbers.dtype.kind in "iuf" else None


def _is_number(item: Any) -> bool:
    return isinstance(item, (Real, Decimal)) and not isinstance(item, bool)


def _units(value: Any, kind: Kind) -> Any:
    """The value's units; None where they cannot be the kind's though pint would let them through."""
    if not isinstance(value, PlainQuantity):
        return None if kind.unit else _unit("")  # a bare number says nothing of its unit
    if _is_angle(value.units) != (kind.unit == "degree"):
        return None
    return value.units


@cache
def _is_angle(units: Any) -> bool:
    """To pint an angle is a plain number."""
    return not units.dimensionality and "radian" in str(ureg.get_base_units(units)[1])


def _first_bad(value: Any, good: Any) -> str:
    if np.ndim(good) == 0:
        return _shown(value)
    place = tuple(int(index) for index in np.argwhere(~good)[0])
    numbers = np.asarray(value.magnitude if isinstance(value, PlainQuantity) else value)
    item = _Quantity(numbers[place], value.units) if isinstance(value, PlainQuantity) else numbers[place]
    return f"{_shown(item)} at position {', '.join(map(str, place))}"


def _shown(value: Any) -> str:
    return (
        f"{value:~P}"
        if isinstance(value, PlainQuantity)
        else f"{value!s}"
        if value is not None
        else "nothing"
    )
