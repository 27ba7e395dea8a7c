"""Dates and times as spreadsheets count them: days from 1899-12-30, a time as a part of a day."""

from __future__ import annotations

import datetime as dt

# The order carries the day it was written; a file must not also carry the minute it was made.
CREATED = dt.datetime(2020, 1, 1, tzinfo=dt.UTC)
_ORIGIN = dt.date(1899, 12, 30)


def serial(date: dt.date) -> int:
    """The serial day of a date in the 1900 date system (right from 1900-03-01 on; ECMA-376 part 1, 18.17.4)."""
    return (dt.date(date.year, date.month, date.day) - _ORIGIN).days


def date_of(day: float) -> dt.date:
    """The date of a serial day; the time of day in it is dropped."""
    return _ORIGIN + dt.timedelta(days=int(day))


def time_part(hours: int, minutes: int) -> float:
    """A time of day as a part of a day."""
    return (hours * 60 + minutes) / 1440
