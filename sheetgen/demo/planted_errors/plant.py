"""One kind of error, and the rows of a log it can be planted in."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from sheetgen.demo.day import Log
from sheetgen.order.model import Machine, Order
from sheetgen.xlsx.model import Value

Changes = dict[tuple[str, int, str], Value | None]
"""Entries as they then are, by (table, row from 0, column); None for blank."""


@dataclass(frozen=True, slots=True)
class Spot:
    """Where an error is planted: one entry of a log."""

    log: Log
    table: str
    row: int
    column: str
    order: Order
    machine: Machine

    def value(self, column: str = "", back: int = 0) -> Value:
        """What stands in a column of the row, or of a row further up."""
        return self.log.get((self.table, self.row - back, column or self.column), 0.0)

    def number(self, column: str = "", back: int = 0) -> float:
        """The same as a number."""
        return number(self.value(column, back))

    def put(self, value: Value | None, column: str = "", back: int = 0) -> Changes:
        """One entry changed."""
        return {(self.table, self.row - back, column or self.column): value}

    def choose(self, us: float, si: float) -> float:
        """The figure for the order's unit system."""
        return us if self.order.units == "us" else si


@dataclass(frozen=True, slots=True)
class Plant:
    """One kind of error.

    Attributes:
        finding: the name it must be reported under
        table, column: the entry at which it must be reported
        row: the rows of a log that it can be planted in, the best one first
        change: the entries as they then are
        also: names of findings that follow of necessity, such as a rate that no longer fits
    """

    finding: str
    table: str
    column: str
    row: Callable[[Log], list[int]]
    change: Callable[[Spot], Changes]
    also: frozenset[str] = frozenset()


def shot(
    finding: str,
    column: str,
    change: Callable[[Spot], Changes],
    also: Iterable[str] = (),
    row: Callable[[Log], list[int]] | None = None,
) -> Plant:
    """Make the error of an entry of the shot log, by default of a shot that follows another one."""
    return Plant(finding, "shots", column, row or following, change, frozenset(also))


def number(value: Value | None) -> float:
    """An entry as a number: a station (``118+50``) or sixteenths (``16/8``) in figures."""
    if isinstance(value, str) and "+" in value:
        full, rest = value.split("+")
        digits = len(rest.split(".")[0])
        return float(full) * float(f"1e{digits}") + float(rest)
    if isinstance(value, str) and "/" in value:
        whole, part = value.split("/")
        return float(whole) + float(part) / 16
    return float(value or 0.0)


def rows(log: Log, table: str) -> list[int]:
    """The used rows of a table."""
    return sorted({row for name, row, _ in log if name == table})


def bar_shots(log: Log) -> list[int]:
    """The shots that were sprayed with the bar."""
    return [row for row in rows(log, "shots") if ("shots", row, "nozzles") in log]


def hand_shots(log: Log) -> list[int]:
    """The shots that were sprayed by hand."""
    return [row for row in rows(log, "shots") if ("shots", row, "nozzles") not in log]


def first(_: Log) -> list[int]:
    """The first row."""
    return [0]


def second(log: Log) -> list[int]:
    """The second load, or a later one."""
    return rows(log, "loads")[1:]


def following(log: Log) -> list[int]:
    """Shots from the bar that follow another one of the same section, lane and load."""
    same = ("section", "lane", "load")
    return [
        row
        for row in bar_shots(log)
        if row and all(log.get(("shots", row, key)) == log.get(("shots", row - 1, key)) for key in same)
    ]


def fullest_following(log: Log) -> list[int]:
    """The one of them with most in the tank, where warmth is slowest to change."""
    return sorted(following(log), key=lambda row: -number(log["shots", row, "dip_before"]))[:1]


def next_following(log: Log) -> list[int]:
    """The same without the first of them."""
    return following(log)[1:]


def after_a_long_one(log: Log) -> list[int]:
    """Shots that follow one of at least a minute."""
    return [
        row
        for row in bar_shots(log)
        if row and number(log["shots", row - 1, "end"]) - number(log["shots", row - 1, "start"]) > 1e-4
    ]


def largest(log: Log) -> list[int]:
    """Shots from the bar, by the meter those that took most first."""

    def took(row: int) -> float:
        return number(log["shots", row, "meter_after"]) - number(log["shots", row, "meter_before"])

    return sorted(bar_shots(log), key=took, reverse=True)


def last(log: Log) -> list[int]:
    """The last shot."""
    return rows(log, "shots")[-1:]


def last_bar(log: Log) -> list[int]:
    """The last shot from the bar."""
    return bar_shots(log)[-1:]


def first_of_second_load(log: Log) -> list[int]:
    """The first shot that drew on the second load."""
    return [row for row in rows(log, "shots") if log["shots", row, "load"] == 2][:1]


def declared_plant(name: str, facts: Mapping[str, Any]) -> Plant:
    """The plant that a finding's declaration describes; in a row where any error can stand."""
    row = {"shots": following, "loads": second, "days": first}[facts["table"]]
    value = facts.get("value")
    return Plant(
        name, facts["table"], facts["column"], row, lambda at: at.put(value), frozenset(facts.get("also", ()))
    )


# What follows of necessity where a shot's volume, its area or its times are wrong, or where it cannot be
# counted.

VOLUME = frozenset(
    {
        "stick-and-meter-differ",
        "rate-out-of-tolerance",
        "residual-rate-sprayed-as-bar-rate",
        "rate-cannot-be-told",
        "level-rose-between-readings",
        "level-fell-between-readings",
        "load-and-stick-readings-differ",
        "load-used-beyond-its-volume",
        "unexplained-beyond-limit",
        "discharge-outside-pump-range",
        "nozzle-flow-outside-range",
        "speed-and-rate-disagree",
        "sprayed-beyond-pay-limit",
    }
)
BARE = frozenset({"gap-in-lane", "stretch-not-sprayed", "strip-not-sprayed", "section-not-finished"})
AREA = BARE | frozenset(
    {
        "rate-out-of-tolerance",
        "residual-rate-sprayed-as-bar-rate",
        "rate-cannot-be-told",
        "sprayed-beyond-pay-limit",
        "speed-outside-truck-range",
        "speed-and-rate-disagree",
    }
)
TIME = frozenset({"started-before-last-ended", "temperature-rose-without-heating", "shot-out-of-sequence"})
UNCOUNTED = frozenset({"unexplained-beyond-limit"})
