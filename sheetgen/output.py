"""What goes to a terminal, a pipe or a file of text: never a sign that acts on it, never one that it cannot hold.

Names and entries come from files that strangers may have written. A control character could move a terminal's cursor,
a line break could forge a line of a report, a sign of direction could turn a name round.
"""

from __future__ import annotations

import codecs
import json
import re
import sys
import unicodedata
from typing import Any

_PLAIN = {
    "–": "-", "—": "-", "‐": "-", "‑": "-", "−": "-", "×": "x", "·": ".", "…": "...", "“": '"', "”": '"', "„": '"',
    "‘": "'", "’": "'", "«": '"', "»": '"', "≤": "<=", "≥": ">=", "±": "+/-", "→": "->", "←": "<-", "°": " deg ",
    "•": "*", "■": "*", "▲": "^", "●": "*", "─": "-", "━": "=", "│": "|",
}  # fmt: skip

_PATH = 4096  # signs

# Control characters but for the three that end or part lines, separators of lines, signs that turn the direction of
# what follows, halves of surrogate pairs, and what the Unicode standard calls noncharacters (chapter 23). Marks that
# words of some languages need (zero width joiners, marks of direction for one place) are not among them.
ACTING = re.compile(
    "[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\u2028-\u202e\u2066-\u206f"
    "\ufff9-\ufffb\ud800-\udfff\ufdd0-\ufdef\ufffe\uffff]"
)
_NOT_SHOWN = re.compile(
    "[\x7f-\xa0\xad\u061c\u180e\u2000-\u200f\u2028-\u202f\u205f-\u206f\u3000"
    "\ufdd0-\ufdef\ufeff\ufff0-\uffff\ud800-\udfff\U000e0000-\U000fffff]"
)


# A narrow blank between digits parts the thousands of our own numbers, and moves nothing.
_PARTED = re.compile("(?<=[0-9])\u202f(?=[0-9]{3}(?![0-9]))")


def printable(text: str, longest: int = 200) -> str:
    """The text on one line, without control characters, no longer than ``longest``."""
    clean = _clean(text[: longest + 1], "")
    return clean if len(clean) <= longest else clean[: longest - 1] + "…"


def in_full(text: object) -> str:
    """A path or a sentence on one line, without control characters, as long as systems let a path be."""
    return printable(str(text), _PATH)


def printable_lines(text: str) -> str:
    """The text with its line breaks and without any other control character."""
    return _clean(text, "\n")


def _clean(text: str, allowed: str) -> str:
    """The text with a dot for every sign that is not printed and is not one of those allowed."""
    if text.isprintable():
        return text
    parts = (
        "".join(sign if sign.isprintable() or sign in allowed else "·" for sign in part)
        for part in _PARTED.split(text)
    )
    return "\u202f".join(parts)


def as_json(value: Any, indent: int | None = None) -> str:
    """A value as JSON that a terminal shows as it is: every sign that is not printed is written as ``\\uXXXX``."""
    return shown_json(json.dumps(value, indent=indent, ensure_ascii=not _holds_all()))


def shown_json(text: str) -> str:
    """JSON that says the same, with every sign that is not printed as ``\\uXXXX`` (RFC 8259, 7)."""
    return _NOT_SHOWN.sub(lambda found: _escaped(found[0]), text)


def prepare() -> None:
    """Let the program's output replace what it cannot hold: old consoles know a few hundred signs."""
    codecs.register_error("nearest", nearest)
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="nearest")


def nearest(error: UnicodeError) -> tuple[str, int]:
    """The error handler: signs that look or mean nearly the same and are in every encoding, or question marks."""
    if not isinstance(error, UnicodeEncodeError):
        raise error
    return "".join(map(_nearest, error.object[error.start : error.end])), error.end


def _nearest(sign: str) -> str:
    if sign in _PLAIN:
        return _PLAIN[sign]
    if unicodedata.category(sign) == "Zs":
        return " "
    bare = unicodedata.normalize("NFKD", sign).encode("ascii", "ignore").decode()
    return bare or "?"


def _holds_all() -> bool:
    encoding = getattr(sys.stdout, "encoding", None) or "ascii"
    return codecs.lookup(encoding).name.startswith("utf")


def _escaped(sign: str) -> str:
    return "".join(f"\\u{unit:04x}" for unit in _units(ord(sign)))


def _units(code: int) -> tuple[int, ...]:
    """A sign as JSON writes it: one unit of UTF-16 or two (RFC 8259, 7)."""
    return (code,) if code < 0x10000 else (0xD7C0 + (code >> 10), 0xDC00 + (code & 0x3FF))
