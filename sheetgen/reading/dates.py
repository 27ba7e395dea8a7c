"""Dates, as serial days of the 1900 system; day and month that could be swapped are questioned."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Collection

from sheetgen.reading.typed import Read, Reader, Typed, cleaned

_ORIGIN = dt.date(1899, 12, 30)
FROM_1904 = 1462  # days between the two date systems (ECMA-376 part 1, 18.17.4.1)
_ISO = re.compile(r"(\d{4})[-/.]?(\d{1,2})[-/.]?(\d{1,2})(?:[t ].*)?\Z")
_NUMERIC = re.compile(r"(\d{1,2})\s?[-/.]\s?(\d{1,2})(?:\s?[-/.]\s?(\d{4}|\d{2}))?\Z")
_DAY_MONTH = re.compile(
    r"(\d{1,2})(?:st|nd|rd|th|º)?[\s.-]*(?:de )?([a-záéíóú]{3,12})\.?[\s,.-]*(?:del? )?(\d{4}|\d{2})?\Z"
)
_MONTH_DAY = re.compile(r"([a-záéíóú]{3,12})\.?[\s-]*(\d{1,2})(?:st|nd|rd|th)?[\s,-]*(\d{4}|\d{2})?\Z")
_WEEKDAY = re.compile(
    r"^(?:mon|tue|wed|thu|fri|sat|sun|lun|mar|mi[eé]|jue|vie|s[aá]b|dom)[a-záéíóú]*[.,]?\s+(?=.*\d)(?!\d{4}$)"
)
_MONTHS = (
    ("jan", "ene"), ("feb",), ("mar",), ("apr", "abr"), ("may",), ("jun",),
    ("jul",), ("aug", "ago"), ("sep", "set"), ("oct",), ("nov",), ("dec", "dic"),
)  # fmt: skip
_LATEST = 550  # days after the order's date within which its work is expected
EARLIEST_SERIAL, LATEST_SERIAL = 36_526, 73_050  # 2000-01-01 to 2099-12-31


def serial(date: dt.date) -> float:
    """The serial day of a date in the 1900 system."""
    return float((date - _ORIGIN).days)


def day_of(value: float) -> dt.date:
    """The date of a serial day of the 1900 system."""
    return _ORIGIN + dt.timedelta(days=int(value))


def date(typed: Typed, reader: Reader) -> Read:
    """Read a date; :attr:`Read.choices` holds both where day and month could be swapped.

    Of two choices the one within the time of the job is taken and questioned; where both are,
    :func:`by_context` decides with the other dates of the book.
    """
    value = typed.value
    if isinstance(value, bool):
        return reader.unreadable("not_a_date")
    if isinstance(value, int | float):
        return _number(float(value), reader)
    text = cleaned(str(value)).casefold()
    return _settled(_dates(text, reader), reader)


def by_context(read: Read, known: Collection[float], reader: Reader) -> Read:
    """Settle a date with two choices by the dates that stand beyond doubt elsewhere in the book."""
    matching = [choice for choice in read.choices if choice in known]
    if read.value is not None or len(matching) != 1:
        return read
    how = reader.because("date_by_context", date=day_of(matching[0]).isoformat())
    return Read(matching[0], how, "date-read-by-context", read.choices)


def _number(value: float, reader: Reader) -> Read:
    day = value + FROM_1904 if reader.date_1904 else value
    if EARLIEST_SERIAL <= day <= LATEST_SERIAL:
        return Read(float(int(day)), reader.because("time_dropped") if day % 1 else "")
    return _settled(_dates(f"{value:.10g}", reader), reader)


def _dates(text: str, reader: Reader) -> list[dt.date]:
    """Every date that a text can mean."""
    text = _WEEKDAY.sub("", text)
    if match := _ISO.match(text):
        return _valid([(int(match[1]), int(match[2]), int(match[3]))])
    if match := _NUMERIC.match(text):
        one, two = int(match[1]), int(match[2])
        return _dated([(one, two), (two, one)], match[3], reader)
    for pattern, day, month in ((_DAY_MONTH, 1, 2), (_MONTH_DAY, 2, 1)):
        if match := pattern.match(text):
            number = _month(match[month])
            return _dated([(number, int(match[day]))], match[3], reader) if number else []
    return []


def _month(word: str) -> int | None:
    return next((i for i, names in enumerate(_MONTHS, 1) if word.startswith(names)), None)


def _dated(months_and_days: list[tuple[int, int]], year: str | None, reader: Reader) -> list[dt.date]:
    """The dates of some months and days; without a year, each the first one from the order's date on."""
    ordered = reader.order.job.date
    if year is not None:
        whole = int(year) if len(year) == 4 else ordered.year // 100 * 100 + int(year)
        return _valid([(whole, month, day) for month, day in months_and_days])
    found: set[dt.date] = set()
    for month, day in months_and_days:
        dates = _valid([(ordered.year + later, month, day) for later in range(2)])
        found.update([date for date in dates if date >= ordered][:1])
    return sorted(found)


def _valid(parts: list[tuple[int, int, int]]) -> list[dt.date]:
    dates = []
    for year, month, day in parts:
        try:
            dates.append(dt.date(year, month, day))
        except ValueError:
            continue
    return sorted(set(dates))


def _settled(dates: list[dt.date], reader: Reader) -> Read:
    if not dates:
        return reader.unreadable("not_a_date")
    if len(dates) == 1:
        return Read(serial(dates[0]), reader.because("text_date"), "entry-typed-as-text")
    first = reader.order.job.date
    within = [day for day in dates if first <= day <= first + dt.timedelta(days=_LATEST)] or dates
    choices = tuple(serial(day) for day in within)
    if len(within) == 1:
        how = reader.because("date_by_job", date=within[0].isoformat(), ordered=first.isoformat())
        return Read(choices[0], how, "date-read-by-context", tuple(serial(day) for day in dates))
    how = reader.because("two_dates", one=within[0].isoformat(), other=within[1].isoformat())
    return Read(None, how, "ambiguous-date", choices)
