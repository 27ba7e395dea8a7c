"""What a quantity must be before it is reckoned with: dimension, sign, finite, shapes that go together.

Every public function of :mod:`sheetgen.trade` takes its arguments through :func:`amounts` and gives its
result through :func:`made`, so that a wrong input is one and the same
:class:`~sheetgen.errors.QuantityError` everywhere: which argument, what was found, what was expected.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import fields, is_dataclass, replace
from decimal import Decimal
from functools import cache, wraps
from numbers import Real
from typing import TYPE_CHECKING, Any, ParamSpec, TypeAlias, TypeVar

from sheetgen import templates
from sheetgen.amounts import Amount, unit_size
from sheetgen.errors import QuantityError
from sheetgen.trade.elementwise import every, finite, is_array
from sheetgen.trade.given import alike, has_units, shown
from sheetgen.trade.kinds import Kind

if TYPE_CHECKING:
    from numpy.typing import NDArray
    from pint.facets.plain import PlainQuantity

Quantity: TypeAlias = "PlainQuantity[Any] | Amount"
"""A pint quantity of the project's registry, or an amount; its magnitude is a number or a numpy array."""

Plain: TypeAlias = "float | NDArray[Any] | PlainQuantity[Any]"
"""A plain number or array of them, or a dimensionless quantity such as 57 percent."""

_P = ParamSpec("_P")
_T = TypeVar("_T")

_NOT_FINITE = "the result is not a finite number; expected amounts of an ordinary size"


def arithmetic(function: Callable[_P, _T]) -> Callable[_P, _T]:
    """A function of the arithmetic: who hands it amounts gets amounts, everybody else pint quantities."""

    @wraps(function)
    def reckoned(*given: _P.args, **named: _P.kwargs) -> _T:
        values = (*given, *named.values())
        try:
            # What overflows in an array is caught in made(), as an error of ours; numpy need not warn as well.
            if any(map(_holds_array, values)):
                import numpy as np

                with np.errstate(all="ignore"):
                    result = function(*given, **named)
            else:
                result = function(*given, **named)
        except (OverflowError, ZeroDivisionError):
            raise QuantityError(_NOT_FINITE) from None
        by_amounts = any(isinstance(value, Amount) for value in values)
        return result if by_amounts else in_quantities(result)

    return reckoned


def _holds_array(value: Any) -> bool:
    return is_array(value.magnitude if has_units(value) else value)


def in_quantities(result: Any) -> Any:
    """A result with every amount in it, also in its parts, as a pint quantity."""
    if isinstance(result, Amount):
        from sheetgen.quantities import quantity_in

        return quantity_in(_as_array(result.magnitude), result.units)
    if is_dataclass(result) and not isinstance(result, type):
        parts = {field.name: in_quantities(getattr(result, field.name)) for field in fields(result)}
        return replace(result, **parts)
    return result


def _as_array(magnitude: Any) -> Any:
    if not isinstance(magnitude, tuple):
        return magnitude
    import numpy as np

    return np.array(magnitude)


def amounts(**given: tuple[Any, Kind]) -> list[Any]:
    """Each argument's magnitude in its kind's unit, as numpy floats or arrays, in the order given.

    Raises:
        QuantityError: an argument of the wrong dimension, outside its bounds or not finite; arrays whose
            shapes do not go together
    """
    taken = [_magnitude(value, name, kind) for name, (value, kind) in given.items()]
    if any(map(is_array, taken)):
        _check_shapes(dict(zip(given, taken, strict=True)))
    return taken


def _check_shapes(taken: dict[str, Any]) -> None:
    import numpy as np

    try:
        np.broadcast_shapes(*map(np.shape, taken.values()))
    except ValueError:
        shapes = ", ".join(f"{name} {np.shape(array)}" for name, array in taken.items())
        raise QuantityError(f"found arrays of shapes {shapes}; expected shapes that go together") from None


def column(name: str, value: Any, kind: Kind) -> tuple[float, ...]:
    """Every item of a tuple or an array in the kind's unit.

    Raises:
        QuantityError: as :func:`amounts`
    """
    if isinstance(value, Amount) and isinstance(value.magnitude, tuple):
        return tuple(_magnitude(Amount(item, value.units), name, kind) for item in value.magnitude)
    (items,) = amounts(**{name: (value, kind)})
    return tuple(items.ravel().tolist()) if is_array(items) else (items,)


def made(magnitude: Any, unit: str = "", shown: str | None = None) -> Any:
    """A result as an amount in ``unit``, or as a plain number without one; converted to the unit ``shown``.

    Raises:
        QuantityError: the result is too great for a number, or nothing was left to divide by
    """
    if not every(finite(magnitude)):
        raise QuantityError(_NOT_FINITE)
    plain = magnitude if is_array(magnitude) else float(magnitude)
    if not unit:
        return plain
    return Amount(plain, unit).to(shown or unit)


def of_dimension(value: Any, *kinds: Kind) -> Kind:
    """The first of the kinds whose dimension the value has; the first of all where it has none of them."""
    for kind in kinds:
        if has_units(value) and _same_dimension(value, kind.unit):
            return kind
    return kinds[0]


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
    converted = None if numbers is None else _in_unit(numbers, value, kind.unit)
    if converted is None:
        raise wrong(name, shown(value), kind.expected)
    magnitude = converted if is_array(converted) else float(converted)
    good = kind.allows(magnitude)
    if not every(good):
        raise wrong(name, _first_bad(value, good), kind.expected)
    return magnitude


def _numbers(value: Any) -> Any:
    """The magnitude as a float or an array of floats; None where it is not made of numbers."""
    bare = value.magnitude if has_units(value) else value
    if _is_number(bare):
        return float(bare)
    return _array_of(bare) if isinstance(bare, (list, tuple)) or hasattr(bare, "__array__") else None


def _array_of(items: Any) -> Any:
    import numpy as np

    numbers = np.asarray(items)
    if numbers.dtype.kind == "O" and all(_is_number(item) for item in numbers.ravel()):
        return numbers.astype(np.float64)[()]
    return numbers.astype(np.float64)[()] if numbers.dtype.kind in "iuf" else None


def _is_number(item: Any) -> bool:
    return isinstance(item, (Real, Decimal)) and not isinstance(item, bool)


def _in_unit(numbers: Any, value: Any, unit: str) -> Any:
    """The numbers of a value in a unit; None where the value's own cannot be converted into it."""
    if not has_units(value):
        return None if unit else numbers  # a bare number says nothing of its unit
    if not _same_dimension(value, unit):
        return None
    if isinstance(value, Amount):
        return Amount(numbers, value.units).to(unit).magnitude
    from sheetgen.quantities import converted

    return converted(numbers, value.units, unit)


def _same_dimension(value: Any, unit: str) -> bool:
    if isinstance(value, Amount):
        return value.dimension == unit_size(unit).dimension
    from sheetgen.quantities import same_dimension

    return same_dimension(value.units, unit)


def _first_bad(value: Any, good: Any) -> str:
    if not is_array(good):
        return shown(value)
    import numpy as np

    place = tuple(int(index) for index in np.argwhere(~good)[0])
    numbers = np.asarray(value.magnitude if has_units(value) else value)
    return f"{shown(alike(value, numbers[place]))} at position {', '.join(map(str, place))}"
