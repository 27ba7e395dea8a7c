"""Whether a text can be seen on its ground: colours of a style part (ECMA-376 part 1, 18.8.19 and 18.8.27), contrast.

Contrast is the ratio of relative luminances of WCAG 2.2 (definitions "contrast ratio" and "relative luminance"), from 1
for a text in the colour of its ground to 21 for black on white.
"""

from __future__ import annotations

import colorsys
import re
from collections.abc import Sequence

from lxml import etree

from sheetgen.xlsx import markup

WHITE, BLACK = "FFFFFF", "000000"
LEAST_CONTRAST = 1.5  # no one reads less; the book's own styles have 9 and more
LEAST_SIZE = 4.0  # points; the smallest that a book has is 8

# 18.8.27: colours that a file names by number, six digits each; the first eight stand there twice.
_EIGHT = "000000FFFFFFFF000000FF000000FFFFFF00FF00FF00FFFF"
_AFTER = (
    "800000008000000080808000800080008080C0C0C08080809999FF993366FFFFCCCCFFFF660066FF80800066CCCCCCFF"
    "000080FF00FFFFFF0000FFFF8000808000000080800000FF00CCFFCCFFFFCCFFCCFFFF9999CCFFFF99CCCC99FFFFCC99"
    "3366FF33CCCC99CC00FFCC00FF9900FF6600666699969696003366339966003300333300993300993366333399333333"
)
_INDEXED = [digits[at : at + 6] for digits in (_EIGHT, _EIGHT, _AFTER) for at in range(0, len(digits), 6)]
# 20.1.6.2: the theme's colours as a style part numbers them; a part without a theme has the usual black and white.
_THEME = ("lt1", "dk1", "lt2", "dk2", "accent1", "accent2", "accent3", "accent4", "accent5", "accent6")
_NO_THEME = (WHITE, BLACK, "E7E6E6", "44546A")
_HEX = re.compile(r"(?:[0-9A-Fa-f]{2})?([0-9A-Fa-f]{6})\Z")


def theme_colors(root: etree._Element | None) -> Sequence[str]:
    """List the colours of a theme part by the numbers that styles give them."""
    if root is None:
        return _NO_THEME
    space = markup.space(root)
    scheme = root.find(f"{space}themeElements/{space}clrScheme")
    found = {}
    for item in () if scheme is None else scheme:
        for color in item:
            found[etree.QName(item).localname] = color.get("lastClr") or color.get("val", "")
    usual = dict(zip(_THEME, _NO_THEME, strict=False))
    return [_hex(found.get(key)) or usual.get(key, BLACK) for key in _THEME]


def color(item: etree._Element | None, theme: Sequence[str], automatic: str) -> str:
    """Give a colour element as six hexadecimal digits; ``automatic`` where it names none."""
    if item is None:
        return automatic
    named = _hex(item.get("rgb"))
    for attribute, known in (("theme", theme), ("indexed", _INDEXED)):
        place = item.get(attribute, "")
        if not named and place.isdecimal() and place.isascii() and len(place) < 4 and int(place) < len(known):
            named = known[int(place)]
    return _tinted(named, item.get("tint")) if named else automatic


def contrast(text: str, ground: str) -> float:
    """Work out the contrast ratio of two colours, 1 to 21."""
    bright, dark = sorted((_luminance(text), _luminance(ground)), reverse=True)
    return (bright + 0.05) / (dark + 0.05)


def _hex(text: str | None) -> str:
    match = _HEX.match(text or "")
    return match[1].upper() if match else ""


def _parts(color: str) -> list[float]:
    return [int(color[at : at + 2], 16) / 255 for at in (0, 2, 4)]


def _tinted(color: str, tint: str | None) -> str:
    """A colour made lighter (tint above 0) or darker (below), by its lightness (18.8.19)."""
    try:
        change = max(-1.0, min(1.0, float(tint or 0)))
    except ValueError:
        return color
    if not change:
        return color
    hue, light, saturation = colorsys.rgb_to_hls(*_parts(color))
    light = light * (1 + change) if change < 0 else light * (1 - change) + change
    return "".join(f"{round(part * 255):02X}" for part in colorsys.hls_to_rgb(hue, light, saturation))


def _luminance(color: str) -> float:
    red, green, blue = (
        part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in _parts(color)
    )
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue
