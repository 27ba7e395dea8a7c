"""Errors planted in an honest log, each with the finding that must name it and the cell it must be at."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from sheetgen.demo.day import Log
from sheetgen.demo.planted_errors import PLANTS, Plant
from sheetgen.demo.planted_errors.plant import Spot
from sheetgen.order.model import Machine, Order
from sheetgen.xlsx.model import Value

# One of each sort that a newcomer understands at once.
DEMONSTRATION = (
    "ticket-repeated",
    "temperature-missing",
    "width-wider-than-bar",
    "shots-overlap-in-lane",
    "end-before-start",
    "stick-reading-rose-during-shot",
)


@dataclass(frozen=True, slots=True)
class Planted:
    """One error as it was planted.

    Attributes:
        finding: the name that the recheck must give it
        table, row, column: the entry at which it must be reported
        was, now: that entry before and after; the same where the error is in another one
        changed: every entry that was changed, by (table, row, column)
        also: names of findings that follow from it of necessity
    """

    finding: str
    table: str
    row: int
    column: str
    was: Value | None
    now: Value | None
    changed: frozenset[tuple[str, int, str]]
    also: frozenset[str]


def planted(
    log: Log, order: Order, machine: Machine, findings: Iterable[str] = DEMONSTRATION
) -> tuple[Log, list[Planted]]:
    """A copy of a log with errors in it, one of each kind named.

    Args:
        log: an honest log, from :func:`sheetgen.demo.day.honest_day`; it is not changed
        order, machine: what the log was made for findings: names of findings to plant an error for, keys of
        :data:`sheetgen.demo.planted_errors.PLANTS`. Each goes
            into a row of its own as far as there are enough

    Returns:
        the log with the errors, and what was planted where, in the order given

    Raises:
        KeyError: no error is known for a name
    """
    spoilt = dict(log)
    made: list[Planted] = []
    for name in findings:
        plant = PLANTS[name]
        row = _row(plant, log, [each.row for each in made if each.table == plant.table])
        made.append(_plant(plant, Spot(log, plant.table, row, plant.column, order, machine), spoilt))
    return spoilt, made


def _row(plant: Plant, log: Log, taken: list[int]) -> int:
    """The best row that is not beside one with another error; the best of all where there is none."""
    fitting = plant.row(log)
    apart = [row for row in fitting if all(abs(row - other) > 1 for other in taken)]
    return (apart or [row for row in fitting if row not in taken] or fitting)[0]


def _plant(plant: Plant, spot: Spot, spoilt: Log) -> Planted:
    place = (plant.table, spot.row, plant.column)
    changes = plant.change(spot)
    for key, value in changes.items():
        if value is None:
            spoilt.pop(key, None)
        else:
            spoilt[key] = value
    was, now = spot.log.get(place), spoilt.get(place)
    return Planted(plant.finding, *place, was, now, frozenset(changes), plant.also)
