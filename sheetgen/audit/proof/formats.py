"""What a number format does to the meaning of what is displayed (ECMA-376 part 1, 18.8.31).

Programs write the same format in several ways: other quotes and escapes, spelled-out sections, colours, a
locale. What counts is the class (number, percent, date, time, ...), the decimals, the scaling by thousands,
and the words and signs around the digits, for positive, negative and zero values.
"""

from __future__ import annotations

import re
from functools import lru_cache

Section = tuple[str, int, int, int, str, str]  # class, decimals at least, at most, scale, words before, after

_TOKEN = re.compile(
    r"""
    "(?P<quoted>[^"]*)"?
    | \\(?P<escaped>.)
    | [_*].
    | \[(?P<bracket>[^\]]*)\]?
    | (?P<general>General)
    | (?P<half>AM/PM|A/P)
    | (?P<exponent>E[+-])
    | (?P<date>[ymdhs]+)
    | (?P<digits>[0#?,./]+)
    | (?P<percent>%)
    | (?P<text>@)
    | (?P<end>;)
    | (?P<bare>.)
    """,
    re.VERBOSE | re.IGNORECASE | re.DOTALL,
)
_ELAPSED = re.compile(r"h+|m+|s+", re.IGNORECASE)
_CONDITION = re.compile(r"[<>=]")


@lru_cache(maxsize=1024)
def displayed_as(number_format: str) -> tuple[Section, ...]:
    """The meaning of a format: one section each for positive, negative and zero values, one for texts."""
    sections = _sections(number_format[:255])
    numbers = [section for section in sections if section[0] != "text"][:3] or [("general", 0, 0, 0, "", "")]
    positive = numbers[0]
    negative = numbers[1] if len(numbers) > 1 else (*positive[:4], "-" + positive[4], positive[5])
    zero = numbers[2] if len(numbers) > 2 else positive
    return positive, negative, zero


class _SectionReader:
    """Gathers what one section says."""

    def __init__(self) -> None:
        self.before = self.after = self.digits = self.dates = self.conditions = ""
        self.general = self.percent = self.exponent = self.text = self.elapsed = self.any = False

    def words(self, text: str) -> None:
        if self.digits or self.general or self.dates:
            self.after += text
        else:
            self.before += text

    def section(self) -> Section:
        _whole, _, part = self.digits.partition(".")
        least, most = part.count("0"), sum(part.count(sign) for sign in "0#?")
        scale = len(self.digits) - len(self.digits.rstrip(","))
        before = "".join(self.before.split())
        after = "".join(self.after.split()) + self.conditions
        kind = self._kind()
        if kind in ("date", "time", "moment", "elapsed"):
            return kind, 0, 0, 0, "", ""
        return kind, least, most, scale, before, after

    def _kind(self) -> str:
        if self.dates or self.elapsed:
            letters = set(self.dates.lower())
            if self.elapsed:
                return "elapsed"
            clock, calendar = letters & {"h", "s"}, letters & {"y", "d"}
            if clock and calendar:
                return "moment"
            return "time" if clock else "date"
        for name in ("exponent", "percent", "text"):
            if getattr(self, name):
                return name
        if self.digits:
            return "fraction" if "/" in self.digits else "number"
        if self.general:
            return "general"
        return "words" if self.any else "hidden"


def _sections(number_format: str) -> list[Section]:
    reader = _SectionReader()
    found = []
    for match in _TOKEN.finditer(number_format):
        kind, text = match.lastgroup, match[match.lastgroup] if match.lastgroup else ""
        if kind == "end":
            found.append(reader.section())
            reader = _SectionReader()
            continue
        _take(reader, kind, text)
    return [*found, reader.section()]


def _take(reader: _SectionReader, kind: str | None, text: str) -> None:
    if kind in ("quoted", "escaped", "bare"):
        reader.any = reader.any or bool(text.strip())
        reader.words(text)
    elif kind == "bracket":
        if _ELAPSED.fullmatch(text):
            reader.elapsed = True
        elif _CONDITION.match(text):
            reader.conditions += text.replace(" ", "")
    elif kind == "digits":
        reader.digits += text
    elif kind == "date":
        reader.dates += text
    elif kind == "half":
        reader.dates += "h"
    elif kind in ("general", "percent", "exponent", "text"):
        setattr(reader, kind, True)
