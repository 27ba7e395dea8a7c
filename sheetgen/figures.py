"""Dates and times as spreadsheets count them: days from 1899-12-30."""

from __future__ import annotations

import datetime as dt

_ORIGIN = dt.date(1899, 12, 30)
LAST_DAY = 2_958_465  # 9999-12-31, the last that spreadsheets know


def serial(date: dt.date) -> int:
    """Give the serial day of a date in the 1900 system (right from 1900-03-01 on; ECMA-376 part 1, 18.17.4)."""
    return (dt.date(date.year, date.month, date.day) - _ORIGIN).days


def date_of(day: float) -> dt.date:
    """Give the date of a serial day of the 1900 system; the time of day in it is dropped."""
    return _ORIGIN + dt.timedelta(days=int(day))
