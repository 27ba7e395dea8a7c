"""A book with its calibration filled in, for the tests of the card, the calibration and the names.

The pads and the cans are the worked examples of ASTM D2995 (methods seen, numbers computed from them):
six pads of 1 ft² that gain 41.2 to 40.4 g at gravity 1.01, and 0.92 gal from each nozzle in 10.0 s.
"""

from __future__ import annotations

from functools import lru_cache

from sheetgen.book.layout import lay_out
from sheetgen.order.demo import demo_order
from sheetgen.order.model import Order
from sheetgen.templates import texts
from sheetgen.xlsx.drawing import Entries
from sheetgen.xlsx.model import Book, Value
from sheetgen.xlsx.results import Results, results

GAINS = (41.2, 39.6, 40.8, 42.5, 38.9, 40.4)  # g
GRAVITY = 1.01
CAUGHT, SECONDS = 0.92, 10.0  # gal, s
DAY = 46176.0  # 2026-06-03


def wide_bar_order(units: str = "us", language: str = "en") -> Order:
    """The demonstration order with a nozzle every 4 in (100 mm): 36 on 12 ft (3.6 m), and a pump to match."""
    order = demo_order(units, language)
    flow = 1.0 if units == "us" else 3.785411784
    machine = order.machines[0].model_copy(
        update={
            "nozzle_spacing": 4.0 if units == "us" else 100.0,
            "discharge": 190 * flow,
            "discharge_min": 50 * flow,
            "discharge_max": 350 * flow,
            "nozzle_flow_min": 3 * flow,
            "nozzle_flow_max": 10 * flow,
        }
    )
    return Order.model_validate(order.model_copy(update={"machines": (machine,)}).model_dump())


def pads_entries(
    language: str, line: str = "across", area: float = 1.0, gains: tuple[float, ...] = GAINS
) -> Entries:
    """Pads of one line; each weighed 500 g before."""
    word = texts(language)[f"calibration.{line}"]
    entries: Entries = {}
    for row, gain in enumerate(gains):
        pad = {
            "line": word,
            "position": 2.0 * row,
            "area": area,
            "mass_before": 500.0,
            "mass_after": 500.0 + gain,
        }
        entries |= {("pads", row, key): value for key, value in pad.items()}
    return entries


def catch_entries(nozzles: int = 36, volume: float = CAUGHT) -> Entries:
    """Every nozzle caught for the same time."""
    entries: Entries = {("catch", row, "volume"): volume for row in range(nozzles)}
    return entries | {
        ("", 0, "catch_nozzles"): nozzles,
        ("", 0, "catch_seconds"): SECONDS,
        ("", 0, "catch_date"): DAY,
        ("", 0, "catch_tester"): "B. Invented",
    }


def filled_book(order: Order, entries: Entries | None = None) -> Filled:
    """A filled book made once in a process, for tests that only read it."""
    return _kept(order.canonical(), frozenset((entries or {}).items()))


@lru_cache(16)
def _kept(order: str, entries: frozenset[tuple[tuple[str, int, str], Value]]) -> Filled:
    return Filled(Order.from_canonical(order), dict(entries))


class Filled:
    """A book with entries and every result, read by name or by table."""

    def __init__(self, order: Order, entries: Entries | None = None) -> None:
        self.order = order
        self.book: Book = lay_out(order, order.machines[0], entries)
        self.values: Results = results(self.book)

    def named(self, name: str) -> Value:
        """What a named cell holds."""
        sheet, row, col = self.book.fields[name]
        return self.at(sheet, row, col)

    def column(self, table: str, key: str) -> list[Value]:
        """What a table's column holds, top to bottom."""
        place = self.book.tables[table]
        sheet = next(sheet.key for sheet in self.book.sheets if sheet.name == place.sheet)
        return [self.at(sheet, row, place.columns[key]) for row in range(place.first_row, place.last_row + 1)]

    def at(self, sheet: str, row: int, col: int) -> Value:
        """What a cell holds: its result, or its constant."""
        if (sheet, row, col) in self.values:
            return self.values[sheet, row, col]
        return self.book.sheet(sheet).cells[row, col].value
