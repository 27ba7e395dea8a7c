"""Numbers as people read them, and dates as spreadsheets count them: days from 1899-12-30."""

from __future__ import annotations

import datetime as dt

from sheetgen.templates import toml

_ORIGIN = dt.date(1899, 12, 30)
LAST_DAY = 2_958_465  # 9999-12-31, the last that spreadsheets know


def serial(date: dt.date) -> int:
    """Give the serial day of a date in the 1900 system (right from 1900-03-01 on; ECMA-376 part 1, 18.17.4)."""
    return (dt.date(date.year, date.month, date.day) - _ORIGIN).days


def date_of(day: float) -> dt.date:
    """Give the date of a serial day of the 1900 system; the time of day in it is dropped."""
    return _ORIGIN + dt.timedelta(days=int(day))


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
