"""What a cell's style says that matters for proof (ECMA-376 part 1, 18.8): the lock, the number format."""

from __future__ import annotations

import datetime as dt
import re
from functools import cache

from lxml import etree

from sheetgen import templates
from sheetgen.figures import LAST_DAY
from sheetgen.xlsx import markup
from sheetgen.xlsx.returned import ReturnedCell

GENERAL = "General"
Style = tuple[bool, str]  # locked, number format

DEFAULT: Style = (True, GENERAL)


@cache
def built_in_formats() -> dict[int, str]:
    """The number formats that a workbook names by number only."""
    return {int(row["id"]): row["code"] for row in templates.table("number_formats")}


def read_styles(root: etree._Element | None) -> list[Style]:
    """The styles by the number that cells refer to; one default style where the book has no style part."""
    if root is None:
        return [DEFAULT]
    space = markup.space(root)
    formats = dict(built_in_formats())
    for item in root.iterfind(f"{space}numFmts/{space}numFmt"):
        formats[_number(item.get("numFmtId"))] = item.get("formatCode", GENERAL)
    return [_style(item, space, formats) for item in root.iterfind(f"{space}cellXfs/{space}xf")] or [DEFAULT]


def _style(item: etree._Element, space: str, formats: dict[int, str]) -> Style:
    """A style; a cell is locked where its style does not say that it is not (18.8.33)."""
    protection = item.find(f"{space}protection")
    locked = protection is None or protection.get("locked", "1") not in ("0", "false")
    return locked, formats.get(_number(item.get("numFmtId")), GENERAL)


def _number(text: str | None, missing: int = 0) -> int:
    try:
        return int(text or "")
    except ValueError:
        return missing


_NOT_SHOWN = re.compile(
    r'"[^"]*"|\[[^\]]*\]|\\.|_.|\*.'
)  # of a number format (18.8.31): text, colours, escapes
_DAY_ZERO, _FROM_1904 = dt.datetime(1899, 12, 30), 1462


@cache
def shows_time(number_format: str) -> bool:
    """Say whether a number format shows a number as a date or a time."""
    return bool(re.search(r"[dmyhs]", _NOT_SHOWN.sub("", number_format.split(";")[0]), re.IGNORECASE))


def shown_value(cell: ReturnedCell, date_1904: bool) -> object:
    """Give the value of a cell, as a datetime or a time where its format shows one (18.17.4)."""
    value = cell.value
    if not isinstance(value, float) or not shows_time(cell.number_format):
        return value
    day = value + (_FROM_1904 if date_1904 and value >= 1 else 0)
    if not 0 <= day < LAST_DAY + 1:
        return value
    moment = _DAY_ZERO + dt.timedelta(milliseconds=round(day * 86_400_000))
    return moment.time() if day < 1 else moment
