"""What every reader takes and gives: what the cell is expected to hold, what is known, what was read and why."""

from __future__ import annotations

import datetime as dt
import re
import unicodedata
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from typing import NamedTuple

from sheetgen import templates
from sheetgen.templates import Texts

Value = float | int | str | bool | None
Span = tuple[float, float]

LONGEST = 100  # signs of an entry that can be a number, a date, a time or a name; longer ones are remarks
_NO_FACTS: Mapping[str, object] = {}


class Outcome(NamedTuple):
    """How one cell was read. (A tuple: thousands are made of each book.)

    Attributes:
        value: None where blank or unreadable
        reason: why, as a key of ``tables/reasons.csv``; empty where that is obvious
        facts: what fills the reason's wording
        choices: every value that the cell alone allows, where there are several
    """

    value: Value
    reason: str = ""
    facts: Mapping[str, object] = _NO_FACTS
    choices: tuple[float, ...] = ()

    def words(self, say: Texts) -> str:
        """Give the reason as a sentence; empty where there is none."""
        return say.say(f"reading.{self.reason}", **self.facts) if self.reason else ""

    @property
    def finding(self) -> str:
        """The finding of a recheck that this reading is; empty where it is none."""
        return _reasons()[self.reason]["finding"] if self.reason else ""

    @property
    def mistake(self) -> str:
        """The mistake of an order that this reading is, as a key below ``order.mistake``; empty where it is none."""
        return _reasons()[self.reason]["mistake"] if self.reason else ""


class Expected(NamedTuple):
    """What a cell is expected to hold.

    Attributes:
        kind: of quantity, as in ``tables/units.csv``; empty for a bare number
        span: the least and greatest value that is believed; None where nothing is known
        step: the resolution of the instrument; 0 where it is not known
    """

    kind: str = ""
    span: Span | None = None
    step: float = 0.0


@dataclass(frozen=True, slots=True)
class Known:
    """What is known of the order, crew or file before a cell is read.

    Attributes:
        system, language: of the order
        day: of the order; without it, a date needs a year of four digits
        date_1904: whether the file counts days from 1904
        grouping_points: whether a point can set thousands apart
        notation: of the stick: decimal, fraction or sixteenths
        saved: the last day that a date of the file can be; None where that is not known
        shallowest: depth below which no reading of the stick is believed
    """

    system: str
    language: str
    day: dt.date | None = None
    date_1904: bool = False
    grouping_points: bool = True
    notation: str = "decimal"
    shallowest: float = 0.0
    saved: dt.date | None = None


@cache
def _reasons() -> dict[str, dict[str, str]]:
    return {row["reason"]: row for row in templates.table("reasons")}


_GONE = re.compile(r"[\u00ad\u200b-\u200f\u202a-\u202e\u2060-\u2069\ufeff]+")  # signs without width
_PLAIN = str.maketrans(
    {"−": "-", "–": "-", "—": "-", "‐": "-", "‑": "-", "’": "'", "‘": "'", "′": "'", "´": "'", "`": "'"}
    | {
        "″": '"',
        "”": '"',
        "“": '"',
        "„": '"',
        "«": '"',
        "»": '"',
        "¨": '"',
        "ʺ": '"',
        "〃": '"',
        "º": "°",
        "⁄": "/",
    }
)


_PLAIN |= str.maketrans(
    {sign: f" {unicodedata.normalize('NFKC', sign)}".replace("\u2044", "/") for sign in "¼½¾⅐⅑⅒⅓⅔⅕⅖⅗⅘⅙⅚⅛⅜⅝⅞"}
)


def cleaned(text: str) -> str:
    """Give a typed text with plain spaces, dashes and quotes, without signs of no width, and ½ as 1/2."""
    text = " ".join(_GONE.sub("", text).split())
    if text.isascii():
        return text.replace("`", "'")
    return " ".join(unicodedata.normalize("NFKC", text.translate(_PLAIN)).translate(_PLAIN).split())


def short(value: object) -> str | None:
    """Give a typed text, cleaned; None where it is too long for anything but a remark, or no text."""
    text = cleaned(value) if isinstance(value, str) else ""
    return text if 0 < len(text) <= LONGEST else None


def plain_number(value: object) -> bool:
    """Say whether a cell holds a number; to Python yes and no are numbers too."""
    return isinstance(value, int | float) and not isinstance(value, bool)


def shown(value: float) -> str:
    """Give a number as a reason shows it, without the dust of binary fractions."""
    return f"{value:.10g}"
