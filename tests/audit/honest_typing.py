"""How honest people type: units in the cell, commas, texts for numbers, marks for "as above", blanks. Invented.

Every notation here can be read in one way only; what can be read in two is another matter, and not honest books'.
"""

from __future__ import annotations

from collections.abc import Callable
from random import Random

from sheetgen import templates
from sheetgen.demo.day import Log
from sheetgen.figures import date_of
from sheetgen.order.model import Order
from sheetgen.xlsx.model import Value

Habit = Callable[[float, Order], Value]
_OPTIONAL = (
    ("shots", "nozzles"), ("shots", "start"), ("shots", "remarks"), ("loads", "supplier"), ("loads", "remarks"),
    ("days", "operator"),
)  # fmt: skip
_REMARKS = (
    "windy",
    "traffic held at flagger",
    "nozzle 4 cleaned",
    "cold joint",
    "ok",
    "=",
    "-",
    "350",
    "lluvia 11:30",
)


def _with(us: str, si: str) -> Habit:
    """A number with a unit behind it."""
    return lambda value, order: f"{value:g}{us if order.units == 'us' else si}"


def _spaced(value: float, order: Order) -> Value:
    return f" {value:g}\u00a0"


def _grouped(value: float, order: Order) -> Value:
    """8,240 or, in Spanish, 8.240 with the unit behind it: bare, a program takes it for 8.24 and saves that number."""
    if value < 1000:
        return value
    text = f"{value:,.0f}" if value == int(value) else f"{value:,.1f}"
    if order.language == "en":
        return text
    return f"{text.translate(str.maketrans(',.', '.,'))} {'lb' if order.units == 'us' else 'kg'}"


def _decimal_comma(value: float, order: Order) -> Value:
    return f"{value:.2f}".replace(".", ",") if value != int(value) else value


def _clock(value: float, order: Order) -> Value:
    minutes = round(value * 1440)
    return f"{minutes // 60}:{minutes % 60:02d}"


def _half_day(value: float, order: Order) -> Value:
    minutes = round(value * 1440)
    half = "a.m." if minutes < 720 else "p.m."
    return f"{(minutes // 60 + 11) % 12 + 1}:{minutes % 60:02d} {half}"


def _four_figures(value: float, order: Order) -> Value:
    minutes = round(value * 1440)
    return float(minutes // 60 * 100 + minutes % 60)


def _iso(value: float, order: Order) -> Value:
    return date_of(value).isoformat()


def _named_month(value: float, order: Order) -> Value:
    date = date_of(value)
    english = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
    spanish = ("ene", "feb", "mar", "abr", "may", "jun", "jul", "ago", "sep", "oct", "nov", "dic")
    if order.language == "es":
        return f"{date.day} {spanish[date.month - 1]} {date.year}"
    return f"{english[date.month - 1]} {date.day}, {date.year}"


HABITS: dict[tuple[str, str], tuple[Habit, ...]] = {
    ("shots", "temperature"): (_with(" F", " C"), _with("\u00b0", "\u00b0"), _with("F", "\u00b0C"), _spaced),
    ("shots", "width"): (_with(" ft", " m"), _with("'", "m"), _spaced, _decimal_comma),
    ("shots", "waste"): (_with(" gal", " L"), _spaced),
    ("shots", "nozzles"): (_spaced,),
    ("shots", "start"): (_clock, _half_day, _four_figures),
    ("shots", "end"): (_clock, _half_day, _four_figures),
    ("shots", "date"): (_iso, _named_month),
    ("loads", "net_mass"): (_grouped, _with(" lb", " kg"), _spaced),
    ("loads", "temperature"): (_with(" F", " C"), _spaced),
    ("loads", "time"): (_clock, _half_day),
    ("loads", "date"): (_iso, _named_month),
    ("loads", "water"): (_with(" gal", " L"),),
    ("days", "air_temperature"): (_with(" F", " C"), _spaced),
    ("days", "end_temperature"): (_with("F", "C"), _spaced),
    ("days", "returned"): (_with(" gal", " L"), _spaced),
    ("days", "date"): (_iso,),
    ("days", "start_dip"): (_with(" in", " mm"), _with('"', "mm"), _spaced),
    ("shots", "dip_before"): (_with(" in", " mm"), _with('"', "mm"), _spaced),
    ("shots", "dip_after"): (_with(" in.", " mm"), _spaced),
    ("shots", "meter_before"): (_with(" gal", " l"), _spaced),
}  # fmt: skip


def typed(log: Log, order: Order, chance: Random) -> Log:
    """The log as a crew types it: a few habits, some of them all the way down a column, some in one row."""
    crew = _Typist(dict(log), order, chance)
    for _ in range(chance.choice((0, 0, 1, 2, 3))):
        crew.number_habit()
    if chance.random() < 0.35:
        crew.word_habit()
    if chance.random() < 0.25:
        crew.station_habit()
    if chance.random() < 0.3:
        crew.leave_blank()
    for row in crew.rows("shots"):
        if chance.random() < 0.15:
            crew.log["shots", row, "remarks"] = chance.choice(_REMARKS)
    return crew.log


class _Typist:
    def __init__(self, log: Log, order: Order, chance: Random) -> None:
        self.log, self.order, self.chance = log, order, chance
        self.say = templates.texts(order.language)
        self.done: set[tuple[str, int, str]] = (
            set()
        )  # typed in a crew's own way: nobody types one entry twice

    def rows(self, table: str) -> list[int]:
        return sorted({row for name, row, _ in self.log if name == table})

    def _some(self, table: str, column: str) -> list[int]:
        """All rows of a column that hold something, or one of them."""
        rows = [row for row in self.rows(table) if (table, row, column) in self.log]
        return rows if self.chance.random() < 0.5 or not rows else [self.chance.choice(rows)]

    def number_habit(self) -> None:
        (table, column), habits = self.chance.choice(list(HABITS.items()))
        habit = self.chance.choice(habits)
        for row in self._some(table, column):
            value = self.log[table, row, column]
            if isinstance(value, float) and (table, row, column) not in self.done:
                self.log[table, row, column] = habit(value, self.order)
                self.done.add((table, row, column))

    def word_habit(self) -> None:
        kind = self.chance.choice(("lower", "space", "ditto", "no", "mark", "nothing"))
        rows = self._some("shots", "section")
        for row in rows:
            place = ("shots", row, "section")
            if kind == "lower":
                self.log[place] = str(self.log[place]).lower()
            elif kind == "space":
                self.log[place] = f"{self.log[place]} "
            elif kind == "ditto" and row and log_same(self.log, row, "section"):
                self.log[place] = '"'
            elif kind == "no" and ("shots", row, "kind") not in self.log:
                self.log["shots", row, "kind"] = self.chance.choice(("no", "No", "n", "N"))
            elif kind == "mark" and ("shots", row, "kind") in self.log:
                self.log["shots", row, "kind"] = self.chance.choice(
                    ("x", "Y", "YES", "S\u00ed", "si", "H", "a mano")
                )
            elif kind == "nothing" and ("shots", row, "waste") not in self.log:
                self.log["shots", row, "waste"] = self.chance.choice(("-", "none", "nada"))

    def station_habit(self) -> None:
        kind = self.chance.choice(("number", "spaces", "word", "zero"))
        for column in ("from_station", "to_station"):
            for row in self._some("shots", column):
                text = str(self.log["shots", row, column])
                full, _, rest = text.partition("+")
                plain = float(full) * 10 ** len(rest.split(".")[0]) + float(rest)
                self.log["shots", row, column] = {
                    "number": plain,
                    "spaces": f"{full} + {rest}",
                    "word": f"Sta {text}" if self.order.units == "us" else f"km {text}",
                    "zero": text.replace("0", "O", 1) if self.chance.random() < 0.2 else text,
                }[kind]

    def leave_blank(self) -> None:
        table, column = self.chance.choice(_OPTIONAL)
        for row in self._some(table, column):
            self.log.pop((table, row, column), None)


def log_same(log: Log, row: int, column: str) -> bool:
    """Whether a shot has in a column what the one above it has, in plain letters."""
    above = log.get(("shots", row - 1, column))
    return above == log.get(("shots", row, column)) and isinstance(above, str)
