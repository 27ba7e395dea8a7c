"""The arithmetic for quantities with units: what a caller from outside hands in is checked, converted, and given back.

A function of this package declares in its types what its numbers measure (:mod:`sheetgen.trade.kinds`).
:func:`with_units` makes of it one that takes and gives pint quantities, so that a wrong input is one and the same
:class:`~sheetgen.errors.QuantityError` everywhere: which argument, what was found, what was expected. Arrays are taken
element by element. Plan, book and audit call the functions themselves, with the numbers of an order.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, fields, is_dataclass, replace
from decimal import Decimal
from functools import wraps
from inspect import Parameter, Signature, getdoc, signature
from math import inf
from numbers import Real
from typing import Annotated, Any, TypeAlias, get_args, get_origin, get_type_hints

import numpy as np

from sheetgen.errors import QuantityError
from sheetgen.quantities import Quantity, converted, quantity_in, same_dimension
from sheetgen.trade.kinds import Kind
from sheetgen.trade.refused import refused
from sheetgen.units import units

Base: TypeAlias = Any
"""``"60 degF"`` or ``"15 degC"``, or a temperature equal to one of them in the same unit."""

BASE_60_F = "60 degF"
BASE_15_C = "15 degC"
_SYSTEMS = {BASE_60_F: "us", BASE_15_C: "si"}
_BASE_TEXT = '``"60 degF"`` or ``"15 degC"``, for which numbers are metric'
_RAISES = (
    "\nRaises:\n    QuantityError: wrong dimension, negative, not finite, or outside its bounds\n\nSource:"
)
_NOT_FINITE = "the result is not a finite number; expected amounts of an ordinary size"


@dataclass(frozen=True, slots=True)
class Declared:
    """What a type says of an argument or a result.

    Attributes:
        kinds: what it measures, alternatives where more than one; none for words and the like
        several: a sequence of numbers
    """

    kinds: tuple[Kind, ...]
    several: bool

    @classmethod
    def by(cls, hint: Any) -> Declared:
        """Read a type."""
        if get_origin(hint) is not Annotated:
            of_items = [cls.by(item) for item in get_args(hint)]
            return cls(of_items[0].kinds if of_items else (), bool(of_items))
        marks = get_args(hint)[1:]
        kinds = tuple(mark for mark in marks if isinstance(mark, Kind))
        if len(kinds) < len(marks):  # not zero
            kinds = tuple(replace(kind, above_low=True) for kind in kinds)
        return cls(kinds, several=False)


def with_units(plain: Callable[..., Any], based: bool = False, system: str = "us") -> Callable[..., Any]:
    """Make a function of quantities of one of plain numbers.

    Args:
        plain: with the kinds of its arguments and of its result in its types; its ``system`` is filled in
        based: the result depends on the base temperature: the function then takes ``base``, and numbers are metric
            for 15 °C
        system: in whose units the numbers are otherwise
    """
    hints = get_type_hints(plain, include_extras=True)
    declared = {name: Declared.by(hint) for name, hint in hints.items()}
    shape = _signature(plain, based)

    @wraps(plain)
    def reckoned(*given: Any, **named: Any) -> Any:
        arguments = shape.bind(*given, **named).arguments
        of = base_system(arguments.pop("base", BASE_60_F)) if based else system
        numbers, which = numbers_of(arguments, declared, of)
        fixed = {"system": of} if "system" in hints else {}
        return answered(each(plain, numbers, declared, fixed), hints["return"], which, of)

    reckoned.__signature__ = shape  # type: ignore[attr-defined]
    reckoned.__doc__ = _doc(plain, based)
    return reckoned


def _signature(plain: Callable[..., Any], based: bool) -> Signature:
    """The arguments but ``system``, in whose place ``base`` stands where the result depends on it."""
    base = Parameter("base", Parameter.POSITIONAL_OR_KEYWORD, default=BASE_60_F, annotation=Base)
    kept = [
        base if parameter.name == "system" else parameter
        for parameter in signature(plain).parameters.values()
        if parameter.name != "system" or based
    ]
    return Signature(kept)


def _doc(plain: Callable[..., Any], based: bool) -> str:
    """The text of a function, with what units change about it."""
    text = getdoc(plain) or ""
    line = f"    base: {_BASE_TEXT}\n" if based else ""
    text = re.sub(r"    system: .*(?:\n +.*)*\n?", line, text)
    return text if "Raises:" in text else _RAISES.join(text.rpartition("\nSource:")[::2])


def base_system(base: Base) -> str:
    """Tell the unit system of a base temperature: ``"us"`` for 60 °F, ``"si"`` for 15 °C.

    Raises:
        QuantityError: another temperature
    """
    for name, system in _SYSTEMS.items():
        degrees, unit = name.split()
        if base == name or (is_quantity(base) and bool(base == quantity_in(float(degrees), unit))):
            return system
    raise refused("base", str(base), " or ".join(map(repr, _SYSTEMS)))


def numbers_of(
    arguments: Mapping[str, Any], declared: Mapping[str, Declared], system: str
) -> tuple[dict[str, Any], int]:
    """Give each argument's number, or array, in its kind's unit; and which of alternative kinds they are of."""
    numbers, which = {}, None
    for name, value in arguments.items():
        kinds = declared[name].kinds
        if len(kinds) > 1 and which is None:
            which = next((i for i, kind in enumerate(kinds) if _has_dimension(value, kind, system)), 0)
        numbers[name] = (
            number_of(name, value, kinds[which or 0 if len(kinds) > 1 else 0], system) if kinds else value
        )
    return numbers, which or 0


def number_of(name: str, value: Any, kind: Kind, system: str) -> Any:
    """Give the number or array of a quantity in its kind's unit, every one of them within the kind's bounds.

    Raises:
        QuantityError: no such quantity, not finite, or outside its bounds
    """
    kind = kind.metric if kind.metric and system == "si" else kind
    numbers = _numbers(value)
    taken = None if numbers is None else _in_unit(numbers, value, _unit(kind, system))
    if taken is None:
        raise refused(name, _shown(value), kind.expected)
    if not _is_array(taken):
        if not kind.allows(float(taken)):
            raise refused(name, _shown(value), kind.expected)
        return float(taken)
    for place, number in np.ndenumerate(taken):
        if not kind.allows(number):
            found = np.asarray(value.magnitude if is_quantity(value) else value)[place]
            one = Quantity(found, value.units) if is_quantity(value) else found
            raise refused(name, f"{_shown(one)} at position {', '.join(map(str, place))}", kind.expected)
    return taken


def each(
    plain: Callable[..., Any],
    numbers: Mapping[str, Any],
    declared: Mapping[str, Declared],
    fixed: dict[str, Any],
) -> Any:
    """Call a function with the numbers; element by element where one of them is an array."""
    single = {
        name: _listed(value, name) if declared[name].several else value for name, value in numbers.items()
    }
    arrays = {name: value for name, value in single.items() if _is_array(value)}
    if not arrays:
        return _finite(plain, single | fixed)
    shape = _shape(single)
    spread = {name: np.broadcast_to(value, shape) for name, value in arrays.items()}
    results = [
        _finite(plain, single | {name: float(value[place]) for name, value in spread.items()} | fixed)
        for place in np.ndindex(shape)
    ]
    return _stacked(results, shape)


def answered(result: Any, hint: Any, which: int, system: str) -> Any:
    """Give a result, and each part of a record, as a quantity in its kind's unit."""
    if is_dataclass(hint):
        hints = get_type_hints(type(result), include_extras=True)
        parts = {name: answered(getattr(result, name), part, which, system) for name, part in hints.items()}
        return replace(result, **parts)
    kinds = Declared.by(hint).kinds
    magnitude = np.array(result) if isinstance(result, tuple) else result
    unit = _unit(kinds[which if len(kinds) > 1 else 0], system) if kinds else ""
    return quantity_in(magnitude, unit) if unit else magnitude


def _finite(plain: Callable[..., Any], numbers: Mapping[str, Any]) -> Any:
    try:
        result = plain(**numbers)
    except (OverflowError, ZeroDivisionError):
        raise QuantityError(_NOT_FINITE) from None
    parts = [getattr(result, field.name) for field in fields(result)] if is_dataclass(result) else [result]
    if inf in parts or -inf in parts:
        raise QuantityError(_NOT_FINITE)
    return result


def _stacked(results: list[Any], shape: tuple[int, ...]) -> Any:
    """An array of the results; of records, a record of arrays."""
    if results and is_dataclass(results[0]) and not isinstance(results[0], type):
        names = [field.name for field in fields(results[0])]
        parts = {name: _stacked([getattr(one, name) for one in results], shape) for name in names}
        return replace(results[0], **parts)
    return np.array(results).reshape(shape)


def _shape(numbers: Mapping[str, Any]) -> tuple[int, ...]:
    sizes = {name: np.shape(value) for name, value in numbers.items() if not isinstance(value, str | list)}
    try:
        return np.broadcast_shapes(*sizes.values())
    except ValueError:
        shapes = ", ".join(f"{name} {size}" for name, size in sizes.items())
        raise QuantityError(f"found arrays of shapes {shapes}; expected shapes that go together") from None


def _listed(value: Any, name: str) -> list[float]:
    if np.ndim(value) > 1:
        raise refused(name, f"an array of shape {np.shape(value)}", "numbers in one row")
    return np.ravel(value).tolist()  # type: ignore[no-any-return]


def _unit(kind: Kind, system: str) -> str:
    return units(system)[kind.of].name if kind.of else ""


def is_quantity(value: Any) -> bool:
    """Tell a quantity of the units library from a bare number."""
    return hasattr(value, "dimensionality")


def _is_array(value: Any) -> bool:
    """True for an array of one dimension or more; a number of numpy's is a number."""
    return getattr(value, "ndim", 0) > 0


def _has_dimension(value: Any, kind: Kind, system: str) -> bool:
    return is_quantity(value) and same_dimension(value.units, _unit(kind, system))


def _numbers(value: Any) -> Any:
    """The magnitude as a float or an array of floats; None where it is not made of numbers."""
    bare = value.magnitude if is_quantity(value) else value
    if _is_number(bare):
        return float(bare)
    if not isinstance(bare, list | tuple) and not hasattr(bare, "__array__"):
        return None
    numbers = np.asarray(bare)
    if numbers.dtype.kind == "O" and all(_is_number(item) for item in numbers.ravel()):
        return numbers.astype(np.float64)[()]
    return numbers.astype(np.float64)[()] if numbers.dtype.kind in "iuf" else None


def _is_number(item: Any) -> bool:
    return isinstance(item, Real | Decimal) and not isinstance(item, bool)


def _in_unit(numbers: Any, value: Any, unit: str) -> Any:
    """The numbers of a value in a unit; None where the value's own cannot be converted into it."""
    if not is_quantity(value):
        return None if unit else numbers  # a bare number says nothing of its unit
    return converted(numbers, value.units, unit) if same_dimension(value.units, unit) else None


def _shown(value: Any) -> str:
    if value is None:
        return "nothing"
    return f"{value:~P}" if is_quantity(value) else f"{value!s}"
