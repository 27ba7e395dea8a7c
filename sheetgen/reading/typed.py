"""What was typed into one cell, how it was read, and what a reader must know to read it."""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass, field
from typing import NamedTuple

from sheetgen import templates
from sheetgen.audit.compute.factors import Factors
from sheetgen.order.model import Machine, Order
from sheetgen.order.tank import chart_of
from sheetgen.trade.chart import Chart
from sheetgen.units import constants, units
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


Span = tuple[float, float]


@dataclass(slots=True)
class Reader:
    """What the cells of one book are read against: its order, its distributor, its language.

    Attributes:
        spans: the least and greatest possible value of each kind of quantity
        date_1904: whether the file counts days from 1904
        shallowest: depth of half the reserve: no shot is read so low in the tank
    """

    order: Order
    machine: Machine
    date_1904: bool = False
    spans: dict[str, Span] = field(init=False)
    shallowest: float = field(init=False)

    def __post_init__(self) -> None:
        chart = chart_of(self.machine, self.order)
        self.spans = _spans(self.order, self.machine, chart)
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


_LEAST_LOAD = 0.005  # of a full tank: nobody weighs in less, so 4.060 on a ticket is no 4.06


def _spans(order: Order, machine: Machine, chart: Chart) -> dict[str, Span]:
    heaviest = 1.35 * constants(order.units)["water_density"] * chart.capacity
    widest = 2 * max(*machine.bar_widths, *(section.width for section in order.sections))
    stations = [end for section in order.sections for end in (section.from_station, section.to_station)]
    return {
        "depth": (0.0, chart.height),
        "temperature": Factors.of(order).span,
        "weather": (-60.0, 200.0),
        "volume": (0.0, 1.5 * chart.capacity),
        "mass": (_LEAST_LOAD * heaviest, heaviest),
        "load_volume": (_LEAST_LOAD * chart.capacity, 1.5 * chart.capacity),
        "gravity": (0.7, 1.3),
        "width": (0.0, widest),
        "count": (1.0, 500.0),
        "station": (min(stations), max(stations)),
        "meter": (0.0, 1e9),
        "pad_area": (0.0, 100.0),
        "pad_mass": (0.0, 1e5),
        "seconds": (0.0, 3600.0),
    }


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
