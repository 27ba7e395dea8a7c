"""Times of day, as a part of a day."""

from __future__ import annotations

import re

from sheetgen.reading.dates import EARLIEST_SERIAL, LATEST_SERIAL
from sheetgen.reading.outcome import Outcome, Value, plain_number, short

_HALF = r"(?P<half>[ap](?:\.? ?m)?\.?)?"
_CLOCK = re.compile(
    r"(?P<hour>\d{1,2})(?: ?(?:[:.h]|hrs?) ?(?P<minute>\d{2})(?::(?P<second>\d{2}))?)? ?"
    + _HALF
    + r" ?(?:h|hrs?|hs|horas?|hours?)?\.?\Z"
)
_DUST = 1e-6  # of a hundredth: what a binary fraction is off
_DATED = re.compile(r"\d{4}-\d{2}-\d{2}[t ]+(?=\d{1,2}:\d{2})")  # ISO 8601, as instruments write it
_MILITARY = re.compile(r"(?P<hour>\d{1,2}) ?(?P<minute>\d{2}) ?" + _HALF + r" ?(?:h|hrs?|hs)?\.?\Z")


def time_of_day(value: Value) -> Outcome:
    """Read a time: ``7:30``, ``0730``, ``730``, ``7.30``, ``7h30``, ``8:49a``, ``1:15 p. m.``; 24:00 is midnight.

    A number with a point is read so where it is no quarter of an hour: 7.3 is 7:30, 7.5 may be half past seven.
    Of a date and a time, as instruments write them (``2026-05-05T07:31:00``), the time is taken.
    """
    if plain_number(value):
        return _number(float(value or 0))
    text = short(value)
    if text is None:
        return Outcome(None, "not_a_time")
    alone = _DATED.sub("", text.casefold())
    part = in_words(alone)
    if part is None:
        return Outcome(None, "not_a_time")
    if alone != text.casefold():
        return Outcome(part, "time_of_date")
    return Outcome(part, "bare_text_time" if text.isdigit() else "text_time")


def in_words(text: str) -> float | None:
    """Give the time of day that a cleaned text is, as a part of a day; None where it is none."""
    match = _MILITARY.match(text.casefold()) or _CLOCK.match(text.casefold())
    return _of(match) if match else None


def _of(match: re.Match[str]) -> float | None:
    groups = match.groupdict()
    hour, minute = int(groups["hour"]), int(groups["minute"] or 0)
    half = (groups["half"] or "")[:1]
    if half and not 1 <= hour <= 12:
        return None
    if half:
        hour = hour % 12 + (12 if half == "p" else 0)
    return _part(hour, minute, int(groups.get("second") or 0))


def _part(hour: int, minute: int, second: int = 0) -> float | None:
    if (hour, minute, second) == (24, 0, 0):
        return 0.0
    if hour > 23 or minute > 59 or second > 59:
        return None
    return (hour * 3600 + minute * 60 + second) / 86400


def _number(value: float) -> Outcome:
    if 0 <= value < 1:
        return Outcome(value)
    if value == 1:
        return Outcome(0.0, "midnight")
    if EARLIEST_SERIAL <= value <= LATEST_SERIAL:
        part = round((value % 1) * 86400) / 86400 % 1
        if not part:  # a number, or a date alone: nobody says midnight so
            return Outcome(None, "date_for_time")
        return Outcome(part, "time_of_date")
    if value.is_integer() and value > 0:
        hour, minute = divmod(int(value), 100) if value > 24 else (int(value), 0)
        return _bare(hour, minute)
    if 0 < value < 24 and not value.is_integer():
        return _pointed(value)
    return Outcome(None, "not_a_time")


def _bare(hour: int, minute: int) -> Outcome:
    read = _part(hour, minute)
    if read is None:
        return Outcome(None, "not_a_time")
    return Outcome(read, "bare_time", {"hour": hour, "minute": f"{minute:02d}"})


def _pointed(value: float) -> Outcome:
    """``7.30`` is 7.3 in a cell: hours and minutes, unless it can be quarters of an hour or has no such minutes."""
    hundredths = round(100 * value)
    hour, minute = divmod(hundredths, 100)
    if abs(100 * value - hundredths) > _DUST or minute % 25 == 0 or minute > 59:
        return Outcome(None, "time_or_hours")
    return _bare(hour, minute)
