"""How cells look: the styles of ``templates_src``, and what of a style decides how much room a text needs."""

from __future__ import annotations

from functools import cache
from typing import Any, NamedTuple

from sheetgen import templates
from sheetgen.xlsx.text_fit import text_height


class Lettering(NamedTuple):
    """What of a style decides how much room a text needs.

    Attributes:
        size: of the font in points
        mono: whether all letters are of one width
        indent: characters of the column that it takes
        wraps: whether a long text goes on in a second line
    """

    size: float
    bold: bool
    mono: bool
    indent: float
    wraps: bool


class Looks:
    """The styles of one kind of workbook.

    A style is a key of its file; ``one+other`` has the properties of ``other`` over those of ``one``.
    """

    def __init__(self, file: str) -> None:
        self._styles = templates.toml(file)
        self._base: dict[str, Any] = templates.toml("styles.toml")["base"]
        self._letterings: dict[str, Lettering] = {}

    @property
    def font(self) -> dict[str, Any]:
        """The default font: widths of columns count its digits, so it must be the one that cells have."""
        return {key: self._base[key] for key in ("font_name", "font_size")}

    def properties(self, style: str) -> dict[str, Any]:
        """What a style says, in XlsxWriter's terms."""
        look = dict(self._base)
        for key in style.split("+"):
            look |= self._styles[key]
        return look

    def lettering(self, style: str) -> Lettering:
        """How texts of a style are lettered."""
        known = self._letterings.get(style)
        if known is None:
            look = self.properties(style)
            mono = look["font_name"] != self._base["font_name"]
            indent = 1.3 * look.get("indent", 0)
            wraps = look.get("text_wrap", False)
            known = Lettering(look["font_size"], look.get("bold", False), mono, indent, wraps)
            self._letterings[style] = known
        return known

    def height(self, text: str, width: float, style: str) -> float:
        """Points that a text needs in a column of ``width`` characters."""
        letters = self.lettering(style)
        return text_height(text, width - letters.indent, letters.size, letters.bold, letters.mono)


@cache
def looks(file: str = "styles.toml") -> Looks:
    """The styles of a file of ``templates_src``."""
    return Looks(file)
