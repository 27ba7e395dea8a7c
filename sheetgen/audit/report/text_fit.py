"""How high a wrapped text stands: no spreadsheet program fits rows to merged cells, nor rows that a file gives heights.

Widths are those of the program's own table of a font near the report's, with a little to spare: a row a shade too
high is better than a line cut off.
"""

from __future__ import annotations

from functools import lru_cache

from xlsxwriter.utility import xl_pixel_width

_PIXELS = 7.0  # of one character of a column's width
_SPARE = 0.96  # the table's font is wider than the report's: by a tenth in running text
_BOLD = 1.07
_MONO = 0.6 * 96 / 72  # pixels of a character by point of size
_LINE = 1.22  # height of a line by point of size
_PADDING = 3.0


@lru_cache(maxsize=20_000)
def text_height(text: str, width: float, size: float = 10, bold: bool = False, mono: bool = False) -> float:
    """Points that a text needs in a column of ``width`` characters, written in a font of ``size`` points."""
    room = width * _PIXELS / _SPARE
    lines = sum(_lines(part, room, size, bold, mono) for part in text.split("\n"))
    return lines * size * _LINE + _PADDING


def _lines(text: str, room: float, size: float, bold: bool, mono: bool) -> int:
    """Lines of a paragraph: words are put on a line as long as they fit, a longer one is broken."""
    lines, used = 1, 0.0
    blank = _width(" ", size, bold, mono)
    for word in text.split(" "):
        length = _width(word, size, bold, mono)
        if used and used + blank + length > room:
            lines, used = lines + 1, 0.0
        if length > room:
            more = int(length // room)
            lines, length = lines + more, length - more * room
        used += length + (blank if used else 0.0)
    return lines


def _width(text: str, size: float, bold: bool, mono: bool) -> float:
    if mono:
        return len(text) * _MONO * size
    return float(xl_pixel_width(text)) * size / 10 * (_BOLD if bold else 1.0)


def breaks(heights: list[float], room: float) -> list[int]:
    """Indices of the blocks that begin a page, so that none is cut: heights in points, one after another."""
    begins, used = [], 0.0
    for index, height in enumerate(heights):
        if used and used + height > room:
            begins.append(index)
            used = 0.0
        used += height
    return begins
