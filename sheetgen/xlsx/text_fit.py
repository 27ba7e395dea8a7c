"""How high a wrapped text is: no spreadsheet program fits rows to merged cells, nor rows that a file gives heights.

Widths are those of the font of all sheets, with a little to spare: a row a shade too high is better than a line cut
off.
"""

from __future__ import annotations

import unicodedata
from functools import lru_cache

# Thousandths of the font's size that a letter is wide, by the table "hmtx" of Liberation Sans 2.
_LETTERS = {
    191: "'", 200: "\u202f", 222: "ijl", 260: "|", 278: " !,./:;I[\\]ft", 333: "()-`r·²³", 334: "{}", 355: '"',
    389: "*", 400: "°",
    469: "^", 500: "Jcksvxyz", 549: "±÷≠≈≥≤√", 556: "#$0123456789?L_abdeghnopqu–", 584: "+<=>~×", 611: "FTZ",
    667: "&ABEKPSVXY", 722: "CDHNRUw", 778: "GOQ", 833: "Mm", 834: "¼½¾", 889: "%", 944: "W", 1000: "—…→", 1015: "@",
}  # fmt: skip
_WIDEST = 1000
_OF_A_COLUMN = 5.25  # points of one character of a column's width
_SPARE = 1.02
_BOLD = 1.08
_MONO = 600
_LINE = 1.25  # height of a line by point of size
_PADDING = 3.0


class _Widths(dict[str, int]):
    """Widths by letter; one with an accent is as wide as without, one that is not known as the widest."""

    def __missing__(self, letter: str) -> int:
        bare = unicodedata.normalize("NFD", letter)[0]
        self[letter] = width = self[bare] if bare != letter else _WIDEST
        return width


_WIDTHS = _Widths({letter: width for width, letters in _LETTERS.items() for letter in letters})


@lru_cache(maxsize=20_000)
def text_height(text: str, width: float, size: float = 10, bold: bool = False, mono: bool = False) -> float:
    """Points that a text needs in a column of ``width`` characters, written in a font of ``size`` points."""
    room = max(width, 1) * _OF_A_COLUMN * 1000 / size / (_SPARE * (_BOLD if bold else 1))
    return sum(_lines(part, room, mono) for part in text.split("\n")) * size * _LINE + _PADDING


def _lines(text: str, room: float, mono: bool) -> int:
    """Lines of a paragraph: words are put on a line as long as they fit, a longer one is broken."""
    lines, used = 1, 0.0
    blank = _MONO if mono else _WIDTHS[" "]
    for word in text.split(" "):
        length: float = len(word) * _MONO if mono else sum(map(_WIDTHS.__getitem__, word))
        if used and used + blank + length > room:
            lines, used = lines + 1, 0.0
        if length > room:
            more = int(length // room)
            lines, length = lines + more, length - more * room
        used += length + (blank if used else 0.0)
    return lines
