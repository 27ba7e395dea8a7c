"""Times of day, as a part of a day."""

from __future__ import annotations

import re

from sheetgen.reading.dates import EARLIEST_SERIAL, LATEST_SERIAL
from sheetgen.reading.typed import Read, Reader, Typed, cleaned

_CLOCK = re.compile(
    r"(?P<hour>\d{1,2})(?:\s*(?:[:.h]|hrs?)\s*(?P<minute>\d{2})(?::(?P<second>\d{2}))?)?\s*"
    r"(?P<half>[ap]\.?\s?m\.?)?\s*(?:h|hrs?|hs|horas?|hours?)?\.?\Z"
)
_MILITARY = re.compile(
    r"(?P<hour>\d{1,2})(?P<minute>\d{2})\s*(?P<half>[ap]\.?\s?m\.?)?\s*(?:h|hrs?|hs)?\.?\Z"
)


def time_of_day(typed: Typed, reader: Reader) -> Read:
    """Read a time: ``7:30``, ``0730``, ``7.30``, ``7h30``, ``1:15 p. m.``; 24:00 is midnight."""
    if isinstance(typed.value, bool):
        return reader.unreadable("not_a_time")
    if isinstance(typed.value, int | float):
        return _number(float(typed.value), reader)
    text = cleaned(str(typed.value)).casefold()
    match = _MILITARY.match(text) or _CLOCK.match(text)
    value = _of(match) if match else None
    if value is None:
        return reader.unreadable("not_a_time")
    bare = text.isdigit()
    return Read(value, reader.because("text_time"), "time-typed-as-number" if bare else "entry-typed-as-text")


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


def _number(value: float, reader: Reader) -> Read:
    if 0 <= value < 1:
        return Read(value)
    if value == 1:
        return Read(0.0, reader.because("midnight"))
    if EARLIEST_SERIAL <= value <= LATEST_SERIAL:
        part = round((value % 1) * 86400) / 86400 % 1
        if not part:  # a number, or a date alone: nobody says midnight so
            return reader.unreadable("date_for_time")
        return Read(part, reader.because("time_of_date"))
    if value.is_integer() and value > 0:
        hour, minute = divmod(int(value), 100) if value > 24 else (int(value), 0)
        read = _part(hour, minute)
        if read is not None:
            return Read(
                read, reader.because("bare_time", hour=hour, minute=f"{minute:02d}"), "time-typed-as-number"
            )
    if value <= 0 or value.is_integer() or value > 24:
        return reader.unreadable("not_a_time")
    return Read(None, reader.because("time_or_hours"), "ambiguous-time")
