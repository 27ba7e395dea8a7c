"""What stands in a cell for a value of the order, and the value of the order for what was typed into a cell."""

from __future__ import annotations

import datetime as dt
import re
from dataclasses import dataclass
from decimal import Decimal
from itertools import product
from typing import Any

from sheetgen import templates
from sheetgen.figures import date_of, serial
from sheetgen.order.fields import Field, words
from sheetgen.reading import dates, numbers, stations, times
from sheetgen.reading.outcome import Expected, Known, Outcome, short
from sheetgen.reading.words import listed, plain
from sheetgen.templates import LANGUAGES, Texts
from sheetgen.units import SYSTEMS
from sheetgen.xlsx.model import Value

_BREAKS = re.compile(r"[ ]*[\t\n\r\v\f\x85\u2028\u2029]+[ ]*")  # of a cell with several lines: one line here
_FORMATS = {
    "text": "@",
    "words": "@",
    "codes": "@",
    "distributor": "@",
    "date": "yyyy\\-mm\\-dd",
    "integer": "0",
}
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
    if field.kind in ("words", "codes"):
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


def default_entry(field: Field) -> Any:
    """The value that a blank order starts with in this field; None for a blank cell."""
    if field.kind == "yes-no" and field.default is not None:
        return field.default == "yes"
    return field.default


# ECMA-376 part 1, 18.18.11 (ST_CellType "e") and 18.17.3: the error values that a cell can hold.
_ERROR_VALUES = ("#DIV/0!", "#N/A", "#NAME?", "#NULL!", "#NUM!", "#REF!", "#VALUE!", "#GETTING_DATA")
_STATION_EXAMPLES = {"us": ("118+50", 2), "si": ("3+250", 3)}


class MisreadError(ValueError):
    """An entry that cannot be read; ``kind`` is a key below ``order.mistake``, ``facts`` fill its wording."""

    def __init__(self, kind: str, **facts: Any) -> None:
        super().__init__(kind)
        self.kind, self.facts = kind, facts


@dataclass(frozen=True, slots=True)
class Typed:
    """What stands in a cell: the value, a date or time where it is shown as one; whether it is shown as percent."""

    value: object
    percent: bool = False

    @property
    def blank(self) -> bool:
        """Whether there is nothing to read."""
        return self.value is None or (isinstance(self.value, str) and not self.value.strip())


def read_entry(field: Field, typed: Typed, system: str, say: Texts, relative: bool = True) -> Any:
    """Give the value of an entry, as the order's model takes it; :class:`MisreadError` where it cannot be read.

    ``relative`` says whether a tolerance is a percentage. The entry is not blank.
    """
    if typed.value in _ERROR_VALUES:
        raise MisreadError("error_value")
    known = Known(system, say.language)
    match field.kind:
        case "text" | "distributor":
            return _text(typed.value)
        case "words" | "codes":
            return listed(_text(typed.value))
        case "choice" | "yes-no":
            return _choice(field, typed.value, say)
        case "date":
            return _date(typed.value, known)
        case "hour":
            return _hour(typed.value, known)
        case "station":
            return _station(typed.value, known)
        case "numbers":
            return _numbers(field, typed.value, known)
        case "integer":
            return int(_taken(numbers.count(_number(typed.value), Expected("", field.plausible), known)))
        case "percent":
            return _percent(field, typed, known)
        case "tolerance":
            return _percent(field, typed, known) if relative else _rate(typed, known)
    return _quantity(typed.value, Expected(field.unit, field.plausible), known)


def _taken(read: Outcome) -> Any:
    """The value that was read; :class:`MisreadError` where the reading must be asked about."""
    if read.mistake or read.value is None:
        raise MisreadError(read.mistake or "number", **read.facts)
    return read.value


def _number(value: object) -> Value:
    """The value of a cell that is no date, no time and no yes or no."""
    if isinstance(value, bool) or not isinstance(value, int | float | str):
        raise MisreadError("number")
    return value


def _quantity(value: object, expected: Expected, known: Known) -> float:
    return float(_taken(numbers.number(_number(value), expected, known)))


def _percent(field: Field, typed: Typed, known: Known) -> float:
    return float(
        _taken(numbers.percent(_number(typed.value), typed.percent, Expected("", field.plausible), known))
    )


def _rate(typed: Typed, known: Known) -> float:
    if typed.percent or (isinstance(typed.value, str) and "%" in typed.value):
        raise MisreadError("number")
    return _quantity(typed.value, Expected("rate"), known)


def _station(value: object, known: Known) -> float:
    read = stations.station(_number(value), Expected("distance"), known)
    if read.mistake in ("number", "station"):
        example, digits = _STATION_EXAMPLES[known.system]
        raise MisreadError("station", example=example, digits=digits)
    return float(_taken(read))


def _numbers(field: Field, value: object, known: Known) -> tuple[float, ...]:
    """A list of numbers separated by semicolons; a comma without one could also be a decimal comma."""
    expected = Expected(field.unit, field.plausible)
    if not isinstance(value, str):
        return (_quantity(value, expected, known),)
    if ";" not in value and re.search(r"\d,\s*\d|\d/\d+;?$|\d/\d+ */", value):
        raise MisreadError("list")
    return tuple(_quantity(item, expected, known) for item in value.split(";") if item.strip())


def _hour(value: object, known: Known) -> float:
    """An hour of the day: 7.5, or 7:30 as a spreadsheet or a person writes it."""
    if isinstance(value, dt.time):
        return value.hour + value.minute / 60
    text = short(value)
    part = times.in_words(text) if text else None
    if text and part is not None:
        hours = round(24 * part, 9)
        if not re.fullmatch(r"\d{1,2}(?:\.\d+)?", text):
            return hours
        if hours != float(text):  # 7.30
            raise MisreadError("hour")
    return _quantity(value, Expected("hours", (0, 24)), known)


def _text(value: object) -> str:
    """Words; a number typed where words belong is taken as it is written."""
    if isinstance(value, str):
        return _BREAKS.sub(" ", value.strip())
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise MisreadError("text")
    return str(int(value)) if float(value).is_integer() else repr(value)


def _choice(field: Field, value: object, say: Texts) -> Any:
    choice = field.choice or "yes_no"
    if isinstance(value, bool) and choice == "yes_no":
        return value
    listed_words = words(choice, say)
    typed = plain(str(value))
    # A word may name the base temperature: as either unit system prints it, or both.
    for language, system in product((say.language, *LANGUAGES), ("", *SYSTEMS)):
        for meant, word in words(choice, templates.texts(language, system)).items():
            if typed in (plain(word), plain(meant)):
                return meant == "yes" if choice == "yes_no" else meant
    raise MisreadError("choice", words=", ".join(listed_words.values()))


def _date(value: object, known: Known) -> dt.date:
    if isinstance(value, dt.date):
        return dt.date(value.year, value.month, value.day)
    if isinstance(value, bool) or not isinstance(value, int | float | str):
        raise MisreadError("date")
    return date_of(_taken(dates.date(value, known)))
