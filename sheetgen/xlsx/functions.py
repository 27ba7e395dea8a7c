"""What the functions of our own formulas make of the usual values (ECMA-376 part 1, 18.17.7).

An argument that spreadsheet programs read in ways of their own raises :class:`NotFollowed`.
"""

from __future__ import annotations

import datetime as dt
import math
import operator
import re
from bisect import bisect_left, bisect_right
from collections.abc import Callable, Sequence
from typing import Any

from sheetgen.errors import QuantityError
from sheetgen.figures import date_of, serial
from sheetgen.trade.rounding import round_half_away
from sheetgen.xlsx.formula_tree import NotFollowed
from sheetgen.xlsx.model import Value


class Failed(Exception):
    """A formula whose result is an error value, such as ``#VALUE!``."""


_LONGEST = 32_767  # signs in a cell
_NUMBER = re.compile(r"\s*[-+]?(?:[0-9]+\.?[0-9]*|\.[0-9]+)\s*")
_PATTERN = re.compile(r"[*?~]")
_CRITERION = re.compile(r"(<=|>=|<>|<|>|=)?(.*)", re.DOTALL)
TESTS = {"<": operator.lt, ">": operator.gt, "<=": operator.le, ">=": operator.ge}


def sound(value: Any) -> Any:
    """A value that is no error."""
    if value.__class__ is Failed:
        raise value
    return value


def number_in(text: str) -> float:
    """The number that a text is; programs differ in which dates and signs of thousands they take."""
    if _NUMBER.fullmatch(text) is None:
        raise Failed("#VALUE!")
    return float(text)


def as_number(value: Value) -> float:
    """A value as arithmetic takes it."""
    if value is None:
        return 0
    return number_in(value) if isinstance(value, str) else sound(value)


def as_text(value: Value) -> str:
    """A value as texts are joined: a number with the 15 digits that programs show."""
    if isinstance(value, str):
        return value
    if sound(value) is None or isinstance(value, bool):
        return str(value).upper() if value is not None else ""
    text = f"{value:.15g}"
    if "e" in text:
        raise NotFollowed(text)
    return text


def as_truth(value: Value) -> bool:
    """A value as a condition."""
    if isinstance(value, str):
        raise NotFollowed(value)
    return bool(sound(value))


def _rank(value: Value) -> int:
    return 2 if isinstance(value, bool) else isinstance(value, str)


def _comparable(left: Value, right: Value) -> tuple[Any, Any]:
    """Two values in the order of all values: numbers, texts, FALSE and TRUE; a blank cell is the other's nothing."""
    left, right = sound(left), sound(right)
    left = type(right)() if left is None and right is not None else left
    right = type(left)() if right is None and left is not None else right
    if left is None:
        return 0, 0
    return (left, right) if _rank(left) == _rank(right) else (_rank(left), _rank(right))


def _ordered(test: Callable[[Any, Any], bool]) -> Callable[[Value, Value], bool]:
    def compare(left: Value, right: Value) -> bool:
        if left.__class__ is right.__class__ is float:
            return test(left, right)
        if left.__class__ is right.__class__ is str:
            return test(left.lower(), right.lower())
        return test(*_comparable(left, right))

    return compare


def _arithmetic(calculate: Callable[[float, float], float]) -> Callable[[Value, Value], float]:
    def calculated(left: Value, right: Value) -> float:
        if left.__class__ is right.__class__ is float:
            return calculate(left, right)
        return calculate(as_number(left), as_number(right))

    return calculated


def _divided(left: Value, right: Value) -> float:
    by = as_number(right)
    if not by:
        raise Failed("#DIV/0!")
    return as_number(left) / by


def _power(left: Value, right: Value) -> float:
    try:
        raised = as_number(left) ** as_number(right)
    except (ArithmeticError, ValueError):
        raise Failed("#NUM!") from None
    if isinstance(raised, complex):
        raise Failed("#NUM!")
    return float(raised)


OPERATORS: dict[str, Callable[[Value, Value], Value]] = {
    "+": _arithmetic(operator.add),
    "-": _arithmetic(operator.sub),
    "*": _arithmetic(operator.mul),
    "/": _divided,
    "^": _power,
    "&": lambda left, right: as_text(left) + as_text(right),
    "=": _ordered(operator.eq),
    "<>": _ordered(operator.ne),
    **{sign: _ordered(test) for sign, test in TESTS.items()},
}


def key(value: Value) -> object:
    """What values are found by: texts in any letter case, and TRUE is not 1."""
    if isinstance(value, str):
        return value.lower()
    return ("truth", value) if isinstance(value, bool) else value


def criterion(wanted: Value) -> tuple[str, Value]:
    """The sign and the value of a criterion such as ``">=3"``."""
    if wanted is None or isinstance(wanted, bool):
        raise NotFollowed("a criterion that programs read in several ways")
    if not isinstance(wanted, str):
        return "=", wanted
    sign, text = _CRITERION.fullmatch(wanted).groups()  # type: ignore[union-attr]
    if _PATTERN.search(text) or (sign and not text):
        raise NotFollowed(wanted)
    value: Value = float(text) if _NUMBER.fullmatch(text) else text
    if sign not in (None, "=") and isinstance(value, str):
        raise NotFollowed(wanted)
    return (sign or "="), value


def passing(values: Sequence[Value], rows: Sequence[int], sign: str, wanted: Any) -> list[int]:
    """The rows whose number stands to another as a sign says; whatever is no number is unequal to it."""
    if sign == "<>":
        return [row for row in rows if key(values[row]) != wanted]
    test = TESTS[sign]
    return [row for row in rows if values[row].__class__ in NUMBERS and test(values[row], wanted)]  # type: ignore[arg-type]


# The rows of numbers that rise, by how these stand to another.
RISING: dict[str, Callable[[tuple[list[float], list[int]], Any], list[int]]] = {
    "<": lambda rising, wanted: rising[1][: bisect_left(rising[0], wanted)],
    "<=": lambda rising, wanted: rising[1][: bisect_right(rising[0], wanted)],
    ">": lambda rising, wanted: rising[1][bisect_right(rising[0], wanted) :],
    ">=": lambda rising, wanted: rising[1][bisect_left(rising[0], wanted) :],
}
NUMBERS = frozenset({int, float})


def numbers(values: Sequence[Value]) -> list[float]:
    """The numbers among what stands in cells: others are passed over."""
    return [value for value in values if value.__class__ in NUMBERS]  # type: ignore[misc]


def _counted(places: float) -> int:
    if not 0 <= places <= _LONGEST:
        raise Failed("#VALUE!")
    return int(places)


def _mid(text: Value, start: Value, length: Value) -> str:
    first = _counted(as_number(start) - 1)
    return as_text(text)[first : first + _counted(as_number(length))]


def _right(text: Value, length: Value = 1) -> str:
    whole, count = as_text(text), _counted(as_number(length))
    return whole[max(0, len(whole) - count) :]


def _find(part: Value, text: Value, start: Value = 1) -> float:
    at = as_text(text).find(as_text(part), _counted(as_number(start) - 1))
    if at < 0:
        raise Failed("#VALUE!")
    return at + 1


def _substitute(text: Value, old: Value, new: Value) -> str:
    return as_text(text).replace(as_text(old), as_text(new)) if sound(old) else as_text(text)


def _mod(value: Value, by: Value) -> float:
    step = as_number(by)
    if not step:
        raise Failed("#DIV/0!")
    return as_number(value) - step * math.floor(as_number(value) / step)


def _rounded(value: Value, places: Value = 0) -> float:
    try:
        return round_half_away(as_number(value), int(as_number(places)))
    except QuantityError:
        raise Failed("#NUM!") from None


def _to_whole(direction: Callable[[float], int]) -> Callable[..., float]:
    """ROUNDUP and ROUNDDOWN: away from zero, and towards it, of the 15 digits that programs show."""

    def rounded(value: Value, places: Value = 0) -> float:
        scale = 10.0 ** int(as_number(places))
        plain = float(f"{abs(as_number(value)) * scale:.15g}")
        return math.copysign(direction(plain) / scale, as_number(value))

    return rounded


def _of_number(function: Callable[[float], float]) -> Callable[[Value], float]:
    def calculated(value: Value) -> float:
        try:
            return function(as_number(value))
        except ValueError:
            raise Failed("#NUM!") from None

    return calculated


def _of_date(part: str) -> Callable[[Value], float]:
    def taken(value: Value) -> float:
        day = as_number(value)
        if not 61 <= day < 2_000_000:  # the 1900 system's own days before March 1900, and none after 9999
            raise NotFollowed(str(day))
        return int(getattr(date_of(day), part))

    return taken


def _date(year: Value, month: Value, day: Value) -> float:
    whole = int(as_number(month)) - 1
    try:
        first = dt.date(int(as_number(year)) + whole // 12, whole % 12 + 1, 1)
    except ValueError:
        raise NotFollowed(f"{year}-{month}") from None
    return serial(first) + int(as_number(day)) - 1


def _shown_link(place: Value, shown: Value) -> Value:
    sound(place)
    if not isinstance(shown, str):
        raise NotFollowed("a link under a number")
    return shown


def _number_of(value: Value) -> float:
    return as_number(value) * 1 if value.__class__ in NUMBERS else int(sound(value) is True)


FUNCTIONS: dict[str, Callable[..., Value]] = {
    "ABS": _of_number(abs), "ACOS": _of_number(math.acos), "COS": _of_number(math.cos), "INT": _of_number(math.floor),
    "SQRT": _of_number(math.sqrt), "TAN": _of_number(math.tan), "PI": lambda: math.pi,
    "ROUND": _rounded, "ROUNDUP": _to_whole(math.ceil), "ROUNDDOWN": _to_whole(math.floor), "MOD": _mod,
    "DATE": _date, "YEAR": _of_date("year"), "MONTH": _of_date("month"), "DAY": _of_date("day"),
    "LEFT": lambda text, length=1: as_text(text)[: _counted(as_number(length))], "RIGHT": _right, "MID": _mid,
    "LEN": lambda text: len(as_text(text)), "UPPER": lambda text: as_text(text).upper(), "FIND": _find,
    "TRIM": lambda text: " ".join(part for part in as_text(text).split(" ") if part), "SUBSTITUTE": _substitute,
    "REPT": lambda text, times: as_text(text) * _counted(as_number(times)),
    "VALUE": as_number, "NOT": lambda value: not as_truth(value), "HYPERLINK": _shown_link,
    "N": _number_of,
}  # fmt: skip


def _mean(values: list[float]) -> float:
    if not values:
        raise Failed("#DIV/0!")
    return math.fsum(values) / len(values)


def _deviation(values: list[float]) -> float:
    if len(values) < 2:
        raise Failed("#DIV/0!")
    return math.sqrt(math.fsum((each - _mean(values)) ** 2 for each in values) / (len(values) - 1))


# Functions of lists: texts and blanks in cells are no part of them.
OF_LISTS: dict[str, Callable[[list[float]], float]] = {
    "SUM": math.fsum, "MAX": lambda values: max(values, default=0), "MIN": lambda values: min(values, default=0),
    "COUNT": len, "AVERAGE": _mean, "STDEV": _deviation,
}  # fmt: skip
