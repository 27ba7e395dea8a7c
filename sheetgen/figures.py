"""Numbers as people read them, and dates as spreadsheets count them: days from 1899-12-30."""

from __future__ import annotations

import datetime as dt

from sheetgen.templates import toml
from sheetgen.units import constants

_ORIGIN = dt.date(1899, 12, 30)
LAST_DAY = 2_958_465  # 9999-12-31, the last that spreadsheets know


def serial(date: dt.date) -> int:
    """Give the serial day of a date in the 1900 system (right from 1900-03-01 on; ECMA-376 part 1, 18.17.4)."""
    return (dt.date(date.year, date.month, date.day) - _ORIGIN).days


def date_of(day: float) -> dt.date:
    """Give the date of a serial day of the 1900 system; the time of day in it is dropped."""
    return _ORIGIN + dt.timedelta(days=int(day))


def day_text(day: float | None) -> str:
    """Write a serial day as year-month-day; nothing for none."""
    return "" if day is None else date_of(day).isoformat()


def time_text(part: float) -> str:
    """Write a part of a day, or a moment in serial days, as hours and minutes."""
    minutes = round(part % 1 * 1440) % 1440
    return f"{minutes // 60:02d}:{minutes % 60:02d}"


def station_text(distance: float, system: str) -> str:
    """Write a station as people do, such as ``118+50``; ``system`` is "us" or "si"."""
    length = int(constants(system)["station_length"])
    full, rest = divmod(round(distance, 2), length)
    digits = len(str(length)) - 1
    text = f"{rest:0{digits + 3}.2f}" if rest % 1 else f"{int(rest):0{digits}d}"
    return f"{int(full)}+{text}"


def number_text(value: float | None, language: str, decimals: int | None = None, digits: int = 10) -> str:
    """Write a number as the readers of a language expect it; a dash for none.

    What parts thousands, and from how many digits on, is data of the language. The decimal sign is the point
    everywhere, so three decimals lose their last zeros where thousands are not parted by a comma: 1.400 L could be
    read as 1400 L.

    Args:
        value: the number, without its unit
        language: as its folder of texts is named
        decimals: how many decimals to show; as many as the number has when None
        digits: the most significant digits that are shown where ``decimals`` is None
    """
    if value is None:
        return "–"
    style = toml(f"texts/{language}/book_units.toml")["number"]
    text = f"{value:,.{digits}g}" if decimals is None else f"{value:,.{decimals}f}"
    whole, point, part = text.partition(".")
    if sum(map(str.isdigit, whole)) < style["thousands_from"]:
        whole = whole.replace(",", "")
    if style["thousands"] != "," and len(part) == len("000") and whole.lstrip("-") != "0":
        part = part.rstrip("0")
    return whole.replace(",", style["thousands"]) + (f"{point}{part}" if part else "")
