"""Dates, as serial days of the 1900 system; day and month that could be swapped are questioned."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Collection, Sequence
from functools import cache

from sheetgen import templates
from sheetgen.figures import date_of, serial
from sheetgen.reading.outcome import Known, Outcome, Value, plain_number, short

FROM_1904 = 1462  # days between the two date systems (ECMA-376 part 1, 18.17.4.1)
_ISO = re.compile(r"(\d{4})[-/.]?(\d{1,2})[-/.]?(\d{1,2})(?:[t ].*)?\Z")
_NUMERIC = re.compile(r"(\d{1,2})\s?[-/.]\s?(\d{1,2})(?:\s?[-/.]\s?(\d{4}|\d{2}))?\Z")
_DAY_MONTH = re.compile(
    r"(\d{1,2})(?:st|nd|rd|th|°)?[\s.-]*(?:de )?([a-záéíóú]{3,12})\.?[\s,.-]*(?:del? )?(\d{4}|\d{2})?\Z"
)
_MONTH_DAY = re.compile(r"([a-záéíóú]{3,12})\.?[\s-]*(\d{1,2})(?:st|nd|rd|th)?[\s,-]*(\d{4}|\d{2})?\Z")
_WEEKDAY = re.compile(
    r"^(?:mon|tue|wed|thu|fri|sat|sun|lun|mar|mi[eé]|jue|vie|s[aá]b|dom)[a-záéíóú]*[.,]?\s+(?=.*\d)(?!\d{4}$)"
)
_LATEST = 550  # days after the order's date within which its work is expected
_HABIT = 3  # dates of digits that show how whoever typed them writes
_STREWN = 5  # times as long a span of days is no span of one job
EARLIEST_SERIAL, LATEST_SERIAL = 36_526, 73_050  # 2000-01-01 to 2099-12-31


def date(value: Value, known: Known) -> Outcome:
    """Read a date; :attr:`Outcome.choices` holds both where day and month could be swapped.

    Of two choices the one within the time of the job is taken and questioned; where both are,
    :func:`by_context` decides with the other dates of the book.
    """
    if plain_number(value):
        return _number(float(value or 0), known)
    text = short(value)
    return _settled(_dates(text.casefold(), known) if text else [], known)


def by_context(read: Outcome, dates: Collection[float]) -> Outcome:
    """Settle a date with two choices by the dates that stand beyond doubt elsewhere in the book."""
    matching = [choice for choice in read.choices if choice in dates]
    if read.value is not None or len(matching) != 1:
        return read
    return Outcome(matching[0], "date_by_context", {"date": date_of(matching[0]).isoformat()}, read.choices)


def by_habit(typed: Sequence[tuple[str, Outcome]], known: Known) -> list[Outcome]:
    """Settle dates of digits, such as 3/6/2026, as one person wrote them all: day first, or month first.

    Only where every date so written in a book allows one of the two: because one of them is past the twelfth, lies
    before the order or after the file was saved, or stands elsewhere in the book; or else because the days then lie
    close together. Where nothing tells, the order's language does, and the reading is questioned.

    Args:
        typed: the text of each date, and how it was read by itself
        known: of the order
    """
    written = [_both_ways(text, known) for text, _ in typed]
    pairs = [each for each in written if each is not None]
    if len(pairs) < _HABIT:
        return [result for _, result in typed]
    ways = [way for way in (0, 1) if all(pair[way] is not None for pair in pairs)]
    read = [
        (pair, result.value) for pair, (_, result) in zip(written, typed, strict=True)
        if pair is not None and isinstance(result.value, float)
    ]  # fmt: skip
    fitting = [way for way in ways if all(pair[way] == value for pair, value in read)]
    reason = "date_by_habit"
    if len(fitting) == 2:
        fitting = _closer(pairs)
    if len(fitting) == 2:
        fitting, reason = _usual(known), "date_by_language"
    if len(fitting) != 1:
        return [result for _, result in typed]
    return [
        _habitual(result, pair[fitting[0]], reason) if pair is not None else result
        for pair, (_, result) in zip(written, typed, strict=True)
    ]


def _both_ways(text: str, known: Known) -> tuple[float | None, float | None] | None:
    """Give a date of digits with the month first and with the day first, where each is a date; None for any other."""
    plain = short(text)
    match = _NUMERIC.match(_WEEKDAY.sub("", plain.casefold())) if plain else None
    if match is None or match[3] is None or known.day is None:
        return None
    one, two, year = int(match[1]), int(match[2]), match[3]
    ways = [_dated([pair], year, known) for pair in ((one, two), (two, one))]
    month_first, day_first = (float(serial(way[0])) if way else None for way in ways)
    return month_first, day_first


def _closer(pairs: Sequence[tuple[float | None, float | None]]) -> list[int]:
    """Give the way by which several days lie together, where the other strews them over months."""
    spans = [max(days) - min(days) for days in ([pair[way] or 0.0 for pair in pairs] for way in (0, 1))]
    return [way for way in (0, 1) if _STREWN * spans[way] < spans[1 - way]] or [0, 1]


def _usual(known: Known) -> list[int]:
    """Give the way in which the order's language writes dates; both where it does not tell (English in liters)."""
    if templates.typed_words(known.language)["day_first"]:
        return [1]
    return [0] if known.system == "us" else [0, 1]


def _habitual(read: Outcome, day: float | None, reason: str) -> Outcome:
    if day is None or not read.choices:
        return read
    return Outcome(day, reason, {"date": date_of(day).isoformat()}, read.choices)


def _number(value: float, known: Known) -> Outcome:
    day = value + FROM_1904 if known.date_1904 else value
    if EARLIEST_SERIAL <= day <= LATEST_SERIAL:
        return Outcome(float(int(day)), "time_dropped" if day % 1 else "")
    return _settled(_dates(f"{value:.10g}", known), known)


def _dates(text: str, known: Known) -> list[dt.date]:
    """Every date that a text can mean."""
    text = _WEEKDAY.sub("", text)
    if match := _ISO.match(text):
        return _valid([(int(match[1]), int(match[2]), int(match[3]))])
    if match := _NUMERIC.match(text):
        one, two = int(match[1]), int(match[2])
        return _dated([(one, two), (two, one)], match[3], known)
    for pattern, day, month in ((_DAY_MONTH, 1, 2), (_MONTH_DAY, 2, 1)):
        if match := pattern.match(text):
            number = _month(match[month])
            return _dated([(number, int(match[day]))], match[3], known) if number else []
    return []


def _month(word: str) -> int | None:
    return next((i for i, names in enumerate(_months(), 1) if word.startswith(names)), None)


@cache
def _months() -> list[tuple[str, ...]]:
    """The beginnings of each month's names in every language."""
    languages = [templates.typed_words(language)["months"] for language in templates.LANGUAGES]
    return [
        tuple(name for names in month for name in ([names] if isinstance(names, str) else names))
        for month in zip(*languages, strict=True)
    ]


def _dated(months_and_days: list[tuple[int, int]], year: str | None, known: Known) -> list[dt.date]:
    """The dates of some months and days; without a year, each the first one from the order's date on."""
    if year is not None and len(year) == 4:
        return _valid([(int(year), month, day) for month, day in months_and_days])
    if known.day is None:
        return []
    if year is not None:
        whole = known.day.year // 100 * 100 + int(year)
        return _valid([(whole, month, day) for month, day in months_and_days])
    found: set[dt.date] = set()
    for month, day in months_and_days:
        dates = _valid([(known.day.year + later, month, day) for later in range(2)])
        found.update([date for date in dates if date >= known.day][:1])
    return sorted(found)


def _valid(parts: list[tuple[int, int, int]]) -> list[dt.date]:
    dates = []
    for year, month, day in parts:
        try:
            dates.append(dt.date(year, month, day))
        except ValueError:
            continue
    return sorted(set(dates))


def _settled(dates: list[dt.date], known: Known) -> Outcome:
    if not dates:
        return Outcome(None, "not_a_date")
    if len(dates) == 1:
        return Outcome(float(serial(dates[0])), "text_date")
    first = known.day
    latest = min(first + dt.timedelta(days=_LATEST), known.saved or dt.date.max) if first else None
    within = [day for day in dates if first and latest and first <= day <= latest] or dates
    choices = tuple(float(serial(day)) for day in within)
    if len(within) == 1 and first:
        facts = {"date": within[0].isoformat(), "ordered": first.isoformat()}
        return Outcome(choices[0], "date_by_job", facts, tuple(float(serial(day)) for day in dates))
    both = {"one": within[0].isoformat(), "other": within[1].isoformat()}
    return Outcome(None, "two_dates", both, choices)
