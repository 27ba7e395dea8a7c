"""Reading a number that a person typed: as a number or as text, with decimal point or comma, with its unit.

The rule of :func:`number`: digits with one decimal point or comma are that number. Where they can also be
grouped digits (1,200 or 1.200), the reading that is plausible for the cell is taken; where both or neither
is, it is a mistake.

The rule of :func:`percent`: with a % sign it is what it says. A plain number above 1 is a percentage. At 1 or
below, the reading (a part of one, or a percentage) that is plausible for the cell is taken; where both or
neither is, it is a mistake.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from sheetgen.units import SYSTEMS, units

Span = tuple[float, float]
_PERCENTS: Span = (0.0, 100.0)

_SPACES = re.compile(r"[\s\u00a0\u2007\u2009\u202f]+")
_SHAPE = re.compile(r"(?P<sign>[+\-\u2212]?)(?P<digits>\d[\d.,]*|[.,]\d+)\s*(?P<unit>[^\d.,]*)")
_MIXED = re.compile(r"(?P<whole>\d+)[ -](?P<upper>\d+)/(?P<lower>2|4|8|16|32|64)\s*(?P<unit>[^\d.,]*)")
_GROUPS = re.compile(r"\d{1,3}(?:[.,]\d{3})+")


class MisreadError(ValueError):
    """An entry that cannot be read; ``kind`` is a key below ``order.mistake``, ``facts`` fill its wording."""

    def __init__(self, kind: str, **facts: Any) -> None:
        super().__init__(kind)
        self.kind, self.facts = kind, facts


@dataclass(frozen=True, slots=True)
class Typed:
    """What stands in a cell: the value, and whether the cell shows numbers as percentages."""

    value: object
    percent: bool = False

    @property
    def blank(self) -> bool:
        """Whether there is nothing to read."""
        return self.value is None or (isinstance(self.value, str) and not self.value.strip())


def number(typed: Typed, plausible: Span | None, unit: str = "", system: str = "us") -> float:
    """The number of an entry; ``unit`` is its kind of quantity."""
    value = typed.value
    if isinstance(value, (int, float)) and not isinstance(value, bool):
        return float(value)
    if not isinstance(value, str):
        raise MisreadError("number")
    return _chosen(_readings(_SPACES.sub(" ", value.strip()), unit, system), plausible)


def whole(typed: Typed, plausible: Span | None) -> int:
    """A whole number."""
    value = number(typed, plausible)
    if not value.is_integer():
        raise MisreadError("whole")
    return int(value)


def percent(typed: Typed, plausible: Span | None) -> float:
    """A part of one, typed as a percentage or as a part."""
    value = typed.value
    if isinstance(value, str) and "%" in value:
        return _hundredth(number(Typed(value.replace("%", " ").strip()), _PERCENTS))
    read = number(typed, _PERCENTS)
    if typed.percent and not isinstance(value, str):
        return read
    if read > 1 or read <= 0:
        return _hundredth(read)
    low, high = plausible or (0.0, 1.0)
    parts = [part for part in (read, _hundredth(read)) if low <= part <= high]
    if len(parts) != 1:
        raise MisreadError("two_percents", one=f"{read:g}%", other=f"{float(_shifted(read, 2)):g}%")
    return parts[0]


def station(typed: Typed, system: str, length: float) -> float:
    """A place along the road, typed as ``118+50`` or as the plain number; ``length``: of one station."""
    value = typed.value
    if isinstance(value, str) and "+" in value:
        digits = len(f"{length:.0f}") - 1
        match = re.fullmatch(rf"(\d+)\s*\+\s*(\d{{{digits}}}(?:[.,]\d+)?)", value.strip())
        if not match:
            raise _not_a_station(system)
        return float(Decimal(match[1]) * Decimal(str(length)) + Decimal(match[2].replace(",", ".")))
    try:
        return number(typed, None, "distance", system)
    except MisreadError as error:
        raise _not_a_station(system) if error.kind == "number" else error from None


def _not_a_station(system: str) -> MisreadError:
    example, digits = ("118+50", 2) if system == "us" else ("3+250", 3)
    return MisreadError("station", example=example, digits=digits)


def numbers(typed: Typed, plausible: Span | None, unit: str, system: str) -> tuple[float, ...]:
    """A list of numbers separated by semicolons; a comma without one could also be a decimal comma."""
    value = typed.value
    if not isinstance(value, str):
        return (number(typed, plausible, unit, system),)
    if ";" not in value and re.search(r"\d,\s*\d|/", value):
        raise MisreadError("list")
    items = [item for item in value.split(";") if item.strip()]
    return tuple(number(Typed(item), plausible, unit, system) for item in items)


def _readings(text: str, unit: str, system: str) -> list[Decimal]:
    if mixed := _MIXED.fullmatch(text):
        _check_unit(mixed["unit"], unit, system)
        if int(mixed["upper"]) < int(mixed["lower"]):
            return [Decimal(mixed["whole"]) + Decimal(mixed["upper"]) / Decimal(mixed["lower"])]
    match = _SHAPE.fullmatch(re.sub(r"(?<=\d) (?=\d{3}(?!\d))", "", text))
    if not match:
        raise MisreadError("number")
    _check_unit(match["unit"], unit, system)
    sign = -1 if match["sign"] in ("-", "\u2212") else 1
    found = [sign * reading for reading in _digits(match["digits"])]
    if not found:
        raise MisreadError("number")
    return found


def _digits(digits: str) -> list[Decimal]:
    """Every number that digits with points and commas can mean."""
    marks = re.findall(r"[.,]", digits)
    if not marks:
        return [Decimal(digits)]
    found = []
    last = max(digits.rfind("."), digits.rfind(","))
    before, behind, mark = digits[:last], digits[last + 1 :], digits[last]
    grouped = not re.search(r"[.,]", before) or (_GROUPS.fullmatch(before) and mark not in before)
    if grouped and len(set(re.findall(r"[.,]", before))) <= 1:
        found.append(Decimal(f"{re.sub('[.,]', '', before) or '0'}.{behind or '0'}"))
    if len(set(marks)) == 1 and _GROUPS.fullmatch(digits) and not digits.startswith("0"):
        found.append(Decimal(re.sub("[.,]", "", digits)))
    return found


def _chosen(found: list[Decimal], plausible: Span | None) -> float:
    if len(found) == 1:
        return float(found[0])
    kept = [reading for reading in found if plausible and plausible[0] <= reading <= plausible[1]]
    if len(kept) != 1:
        one, other = found
        raise MisreadError("two_numbers", one=f"{one.normalize():f}", other=f"{other:f}")
    return float(kept[0])


def _check_unit(typed: str, unit: str, system: str) -> None:
    """A unit typed behind the number must be the cell's own."""
    wanted = _plain(typed)
    if not wanted:
        return
    if unit and wanted in {_plain(label) for label in units(system)[unit].labels.values()}:
        return
    known = {
        _plain(label) for each in SYSTEMS for kind in units(each).values() for label in kind.labels.values()
    }
    raise MisreadError("other_unit" if wanted in known else "number")


def _plain(unit: str) -> str:
    return _SPACES.sub("", unit).rstrip(".").casefold()


def _shifted(value: float, places: int) -> Decimal:
    return Decimal(repr(float(value))).scaleb(places)


def _hundredth(value: float) -> float:
    return float(_shifted(value, -2))
