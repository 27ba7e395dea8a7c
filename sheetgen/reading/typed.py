"""What was typed into one cell, how it was read, and what a reader must know to read it."""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass, field
from typing import NamedTuple

from sheetgen import templates
from sheetgen.audit.compute.tank_chart import TankChart
from sheetgen.audit.entries.possible import Span, number_units, possible_values
from sheetgen.order.model import Machine, Order
from sheetgen.units import units
from sheetgen.xlsx.returned import Value


class Typed(NamedTuple):
    """One cell of a log as it came back. (A tuple, as is :class:`Read`: thousands are made of each book.)

    Attributes:
        table, row, column: where in the logs
        sheet, cell: tab name and A1 address
        value, kind, number_format, formula: as the file has them (see
            :class:`~sheetgen.audit.model.ReturnedCell`)
        merged_with: address of the cell that this one was merged into, empty where it was not
    """

    table: str
    row: int
    column: str
    sheet: str
    cell: str
    value: Value
    kind: str = "number"
    number_format: str = "General"
    formula: str | None = None
    merged_with: str = ""


class Read(NamedTuple):
    """How one cell was read.

    Attributes:
        value: None where blank or unreadable
        how: why it was read so, as text in the order's language; empty where that is obvious
        trouble: name of the finding where it could not be read, or only with doubt
        choices: every reading that the cell alone allows, where there are several
    """

    value: Value
    how: str = ""
    trouble: str = ""
    choices: tuple[float, ...] = ()


@dataclass(slots=True)
class Reader:
    """What the cells of one book are read against: its order, its distributor, its language.

    Attributes:
        spans: minimum and maximum possible value of each column that holds a number, by "table.column", and of
            "depth", "station" and "count"
        units: kind of quantity of each such column, empty for a bare number
        date_1904: whether the file counts days from 1904
        shallowest: depth of half the reserve: no shot is read so low in the tank
    """

    order: Order
    machine: Machine
    date_1904: bool = False
    spans: dict[str, Span] = field(init=False)
    units: dict[str, str] = field(init=False)
    shallowest: float = field(init=False)

    def __post_init__(self) -> None:
        chart = TankChart.of(self.machine, self.order)
        self.spans = possible_values(self.order, self.machine, chart)
        self.units = number_units()
        self.shallowest = chart.depth_for(0.5 * self.machine.reserve)

    @property
    def say(self) -> templates.Texts:
        """The texts of the order's language."""
        return templates.texts(self.order.language)

    def because(self, key: str, **values: object) -> str:
        """One reason from the texts, for :attr:`Read.how`."""
        return self.say.say(f"reading.{key}", **values)

    def unreadable(self, key: str, **values: object) -> Read:
        """A cell that cannot be read, and why."""
        return Read(None, self.because(key, **values), "unreadable-entry")


_SPACES = re.compile(r"[\s\u00a0\u2000-\u200b\u202f\u205f\u2060\u3000\ufeff]+")
_VULGAR = re.compile(r"(\d?)\s*([¼½¾⅐-⅞])")
_PLAIN = str.maketrans(
    {"−": "-", "–": "-", "—": "-", "‐": "-", "‑": "-", "’": "'", "′": "'", "″": '"', "”": '"', "“": '"'}
)


def cleaned(text: str) -> str:
    """A typed text with plain spaces, plain dashes and quotes, and ½ written as 1/2."""

    def spelled(match: re.Match[str]) -> str:
        fraction = unicodedata.normalize("NFKC", match[2]).replace("\u2044", "/")
        return f"{match[1]} {fraction}" if match[1] else fraction

    text = _VULGAR.sub(spelled, text.replace("º", "°"))
    text = unicodedata.normalize("NFKC", text).replace("\u2044", "/")
    return _SPACES.sub(" ", text.translate(_PLAIN)).strip()


def unit_of(kind: str, system: str) -> str:
    """pint's name of the unit in which a system keeps a kind of quantity."""
    return units(system)[kind].name


def shown(value: float) -> str:
    """A number as a reason shows it, without the dust of binary fractions."""
    return f"{value:.10g}"
