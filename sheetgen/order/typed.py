"""Reading an entry of the order workbook by the kind of its field."""

from __future__ import annotations

import datetime as dt
import re
import unicodedata
from typing import Any

from sheetgen import templates
from sheetgen.order.fields import Field, words
from sheetgen.order.typed_numbers import MisreadError, Typed, number, numbers, percent, station, whole
from sheetgen.templates import LANGUAGES, Texts
from sheetgen.xlsx.dates import date_of

# ECMA-376 part 1, 18.18.11 (ST_CellType "e") and 18.17.3: the error values that a cell can hold.
_ERROR_VALUES = ("#DIV/0!", "#N/A", "#NAME?", "#NULL!", "#NUM!", "#REF!", "#VALUE!", "#GETTING_DATA")
_BREAKS = re.compile(r"[ ]*[\t\n\r\v\f\x85\u2028\u2029]+[ ]*")  # of a cell with several lines: one line here
_DATES = (20_000, 80_000)  # serial days of 1954 to 2119: a date whose cell lost its format


def read_entry(field: Field, typed: Typed, system: str, say: Texts, relative: bool = True) -> Any:
    """The value of an entry, as the order's model takes it; :class:`MisreadError` where it cannot be read.

    ``relative`` says whether a tolerance is a percentage. The entry is not blank.
    """
    if typed.value in _ERROR_VALUES:
        raise MisreadError("error_value")
    match field.kind:
        case "text":
            return _text(typed.value)
        case "integer":
            return whole(typed, field.plausible)
        case "percent":
            return percent(typed, field.plausible)
        case "tolerance":
            return percent(typed, field.plausible) if relative else _rate(typed, system)
        case "hour":
            return _hour(typed, system)
        case "station":
            return station(typed, system, station_length(system))
        case "date":
            return _date(typed.value)
        case "choice" | "yes-no":
            return _choice(field, typed.value, say)
        case "numbers":
            return numbers(typed, field.plausible, field.unit, system)
        case "words":
            return _words(typed.value)
    return number(typed, field.plausible, field.unit, system)


def station_length(system: str) -> float:
    """The length of one station in a unit system."""
    rows = templates.table("constants")
    return next(
        float(row["value"]) for row in rows if (row["system"], row["key"]) == (system, "station_length")
    )


def _hour(typed: Typed, system: str) -> float:
    """An hour of the day: 7.5, or 7:30 as a spreadsheet or a person writes it."""
    value = typed.value
    if isinstance(value, str) and (match := re.fullmatch(r"\s*(\d{1,2}):([0-5]\d)\s*", value)):
        return int(match[1]) + int(match[2]) / 60
    if isinstance(value, dt.time):
        return value.hour + value.minute / 60
    return number(typed, (0, 24), "hours", system)


def _rate(typed: Typed, system: str) -> float:
    if typed.percent or (isinstance(typed.value, str) and "%" in typed.value):
        raise MisreadError("number")
    return number(typed, None, "rate", system)


def _text(value: object) -> str:
    """Words; a number typed where words belong is taken as it is written."""
    if isinstance(value, str):
        return _BREAKS.sub(" ", value.strip())
    if isinstance(value, bool) or not isinstance(value, (int, float)):
        raise MisreadError("text")
    return str(int(value)) if float(value).is_integer() else repr(value)


def _words(value: object) -> tuple[str, ...]:
    """A list of words separated by semicolons, or by commas where there is no semicolon."""
    text = _text(value)
    mark = ";" if ";" in text else ","
    return tuple(item.strip() for item in text.split(mark) if item.strip())


def _choice(field: Field, value: object, say: Texts) -> Any:
    choice = field.choice or "yes_no"
    if isinstance(value, bool) and choice == "yes_no":
        return value
    listed = words(choice, say)
    typed = plain(str(value))
    for language in (say.language, *LANGUAGES):
        for meant, word in words(choice, templates.texts(language)).items():
            if typed in (plain(word), plain(meant)):
                return meant == "yes" if choice == "yes_no" else meant
    raise MisreadError("choice", words=", ".join(listed.values()))


def plain(text: str) -> str:
    """A text without case, accents and doubled spaces: how a word is compared with a drop-down's."""
    bare = "".join(sign for sign in unicodedata.normalize("NFD", text) if not unicodedata.combining(sign))
    return " ".join(bare.casefold().split())


def _date(value: object) -> dt.date:
    if isinstance(value, dt.datetime):
        return value.date()
    if isinstance(value, dt.date):
        return value
    if isinstance(value, (int, float)) and not isinstance(value, bool) and _DATES[0] <= value <= _DATES[1]:
        return date_of(value)
    if isinstance(value, str):
        return _written_date(value.strip())
    raise MisreadError("date")


def _written_date(text: str) -> dt.date:
    if match := re.fullmatch(r"(\d{4})[-/.](\d{1,2})[-/.](\d{1,2})", text):
        return _day(int(match[1]), int(match[2]), int(match[3]))
    match = re.fullmatch(r"(\d{1,2})[-/.](\d{1,2})[-/.](\d{4})", text)
    if not match:
        raise MisreadError("date")
    first, second, year = (int(part) for part in match.groups())
    found = []
    for month, day in {(first, second), (second, first)}:
        if 1 <= month <= 12:
            found.append(_day(year, month, day))
    if len(found) == 2:
        one, other = sorted(found)
        raise MisreadError("two_dates", one=one.isoformat(), other=other.isoformat())
    if not found:
        raise MisreadError("date")
    return found[0]


def _day(year: int, month: int, day: int) -> dt.date:
    try:
        return dt.date(year, month, day)
    except ValueError as error:
        raise MisreadError("date") from error
