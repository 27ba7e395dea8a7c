"""The loads computed again: from the ticket's mass, or its volume and temperature, to volume at base
temperature."""

from __future__ import annotations

from itertools import accumulate
from typing import NamedTuple

from sheetgen.audit.compute.blanks import Column, not_negative, rounded, where_known
from sheetgen.audit.compute.factors import Factors
from sheetgen.audit.entries.logs import Logs
from sheetgen.order.model import Order
from sheetgen.trade.correction import at_base
from sheetgen.trade.density import volume_of

# Beyond these no material is sprayed, and a volume by them would be no quantity of any log.
_LEAST_GRAVITY, _GREATEST_GRAVITY = 0.01, 100.0


class LoadRow(NamedTuple):
    """One load computed again, in the order's units; volumes at base temperature, ``mix``
    with the water added."""

    row: int
    date: float | None
    ticket: str | None
    gravity: float | None
    factor: float | None
    base: float | None
    mix: float | None
    running: float | None


def compute_loads(logs: Logs, order: Order, factors: Factors) -> tuple[LoadRow, ...]:
    """Compute every used row of the load log."""
    loads, decimals = logs.loads, order.rounding.volume
    gravity = _gravity(logs, order)
    factor = factors.all([load.temperature for load in loads])
    by_mass = _by_mass([load.net_mass for load in loads], gravity, order)
    by_volume = where_known(at_base, [load.volume for load in loads], factor)
    base = rounded(
        [
            mass if load.net_mass is not None else None if _mass_unreadable(logs, load.row) else volume
            for load, mass, volume in zip(loads, by_mass, by_volume, strict=True)
        ],
        decimals,
    )
    water: Column = [
        None if logs.unreadable("loads", load.row, "water") else load.water or 0.0 for load in loads
    ]
    mix = rounded(where_known(lambda b, w: b + w, base, water), decimals)
    sums = accumulate(0.0 if value is None else value for value in mix)
    running = [None if value is None else sum_ for value, sum_ in zip(mix, sums, strict=True)]
    return tuple(
        LoadRow(load.row, load.date, load.ticket, *values)
        for load, *values in zip(loads, gravity, factor, base, mix, running, strict=True)
    )


def _gravity(logs: Logs, order: Order) -> Column:
    """The ticket's specific gravity; the order's where the ticket gives none."""
    return [
        None
        if logs.unreadable("loads", load.row, "specific_gravity")
        else order.material.specific_gravity
        if load.specific_gravity is None
        else load.specific_gravity
        if _LEAST_GRAVITY <= load.specific_gravity <= _GREATEST_GRAVITY
        else None
        for load in logs.loads
    ]


def _by_mass(mass: Column, gravity: Column, order: Order) -> Column:
    return where_known(lambda each, dense: volume_of(each, dense, order.units), not_negative(mass), gravity)


def _mass_unreadable(logs: Logs, row: int) -> bool:
    return logs.unreadable("loads", row, "net_mass")
