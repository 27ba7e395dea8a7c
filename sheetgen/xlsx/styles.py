"""What a cell's style says that matters for proof (ECMA-376 part 1, 18.8): the lock, the number format, the look."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Sequence
from functools import cache

from lxml import etree

from sheetgen import templates
from sheetgen.figures import LAST_DAY
from sheetgen.xlsx import markup
from sheetgen.xlsx.colors import BLACK, LEAST_CONTRAST, LEAST_SIZE, WHITE, color, contrast, theme_colors
from sheetgen.xlsx.returned import ReturnedCell

GENERAL = "General"
Style = tuple[bool, str, bool]  # locked, number format, whether a text in it cannot be seen

DEFAULT: Style = (True, GENERAL, False)
NO_MARK, HIDING_MARK = "none", "hiding"
_HIDING_FORMAT = re.compile(r"[;\s]+\Z")  # sections with nothing in them: nothing is shown (18.8.31)


@cache
def built_in_formats() -> dict[int, str]:
    """The number formats that a workbook names by number only."""
    return {int(row["id"]): row["code"] for row in templates.table("number_formats")}


def read_styles(root: etree._Element | None, theme: etree._Element | None = None) -> list[Style]:
    """The styles by the number that cells refer to; one default style where the book has no style part.

    Args:
        root: of the style part
        theme: of the theme part, whose colours a style can name by number
    """
    if root is None:
        return [DEFAULT]
    space = markup.space(root)
    formats = dict(built_in_formats())
    for item in root.iterfind(f"{space}numFmts/{space}numFmt"):
        formats[_number(item.get("numFmtId"))] = item.get("formatCode", GENERAL)
    colors = theme_colors(theme)
    fonts = [_lettering(item, space, colors) for item in root.iterfind(f"{space}fonts/{space}font")]
    grounds = [_ground(item, space, colors) for item in root.iterfind(f"{space}fills/{space}fill")]
    return [
        (
            *_style(item, space, formats),
            _unseen(_number(item.get("fontId")), _number(item.get("fillId")), fonts, grounds),
        )
        for item in root.iterfind(f"{space}cellXfs/{space}xf")
    ] or [DEFAULT]


def read_marks(root: etree._Element | None, theme: etree._Element | None = None) -> list[str]:
    """What each look of a rule of conditional formatting does (18.8.14): :data:`NO_MARK` for one that says nothing,
    :data:`HIDING_MARK` for one in which a text cannot be seen, else nothing."""
    if root is None:
        return []
    space, colors = markup.space(root), theme_colors(theme)
    return [_mark(item, space, colors) for item in root.iterfind(f"{space}dxfs/{space}dxf")]


def _mark(item: etree._Element, space: str, colors: Sequence[str]) -> str:
    if not any(len(part) or part.attrib for part in item):
        return NO_MARK
    font, fill, shown = (item.find(f"{space}{part}") for part in ("font", "fill", "numFmt"))
    size, letters = (0.0, BLACK) if font is None else _lettering(font, space, colors)
    ground = WHITE if fill is None else _ground(fill, space, colors, "bgColor")
    small = 0 < size < LEAST_SIZE
    nothing = shown is not None and bool(_HIDING_FORMAT.match(shown.get("formatCode", GENERAL)))
    return HIDING_MARK if small or nothing or contrast(letters, ground) < LEAST_CONTRAST else ""


def _style(item: etree._Element, space: str, formats: dict[int, str]) -> tuple[bool, str]:
    """A style; a cell is locked where its style does not say that it is not (18.8.33)."""
    protection = item.find(f"{space}protection")
    locked = protection is None or protection.get("locked", "1") not in ("0", "false")
    return locked, formats.get(_number(item.get("numFmtId")), GENERAL)


def _lettering(font: etree._Element, space: str, colors: Sequence[str]) -> tuple[float, str]:
    """The size in points, 0 where the font says none, and the colour."""
    size, named = font.find(f"{space}sz"), font.find(f"{space}color")
    try:
        points = float("" if size is None else size.get("val", ""))
    except ValueError:
        points = 0.0
    return points, color(named, colors, BLACK)


def _ground(fill: etree._Element, space: str, colors: Sequence[str], solid: str = "fgColor") -> str:
    """The colour behind a text: of a solid fill; what is hatched or blends leaves a text to be seen."""
    pattern = fill.find(f"{space}patternFill")
    if pattern is None or pattern.get("patternType", "solid") != "solid":
        return WHITE
    return color(pattern.find(f"{space}{solid}"), colors, WHITE)


def _unseen(font: int, fill: int, fonts: list[tuple[float, str]], grounds: list[str]) -> bool:
    size, letters = fonts[font] if font < len(fonts) else (0.0, BLACK)
    ground = grounds[fill] if fill < len(grounds) else WHITE
    return 0 < size < LEAST_SIZE or contrast(letters, ground) < LEAST_CONTRAST


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
