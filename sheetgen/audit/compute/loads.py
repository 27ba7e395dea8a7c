"""The loads computed again: from the ticket's mass, or its volume and temperature, to volume at base
temperature."""

from __future__ import annotations

from itertools import accumulate
from typing import NamedTuple

from sheetgen.audit.compute.blanks import Column, not_negative, rounded, where_known
from sheetgen.audit.compute.factors import Factors
from sheetgen.order.model import Order
from sheetgen.trade.correction import at_base
from sheetgen.trade.density import volume_of

# Beyond these no material is sprayed, and a volume by them would be no quantity of any log.
_LEAST_GRAVITY, _GREATEST_GRAVITY = 0.01, 100.0


class Load(NamedTuple):
    """One row of the load log."""

    row: int
    date: float | None = None
    time: float | None = None
    ticket: str | None = None
    supplier: str | None = None
    grade: str | None = None
    net_mass: float | None = None
    volume: float | None = None
    temperature: float | None = None
    specific_gravity: float | None = None
    water: float | None = None
    confirmed: str | None = None
    remarks: str | None = None
    unreadable: frozenset[str] = frozenset()


class LoadRow(NamedTuple):
    """One load computed again, in the order's units; volumes at base temperature, ``mix`` with the water added.

    ``dilution`` is the emulsion's part of the mix as delivered.
    """

    row: int
    date: float | None
    ticket: str | None
    gravity: float | None
    factor: float | None
    base: float | None
    mix: float | None
    dilution: float | None
    running: float | None


def compute_loads(loads: tuple[Load, ...], order: Order, factors: Factors) -> tuple[LoadRow, ...]:
    """Compute every used row of the load log."""
    decimals = order.rounding.volume
    gravity = _gravity(loads, order)
    factor = factors.all([load.temperature for load in loads])
    by_mass = _by_mass([load.net_mass for load in loads], gravity, order)
    by_volume = where_known(at_base, [load.volume for load in loads], factor)
    base = rounded(
        [
            mass if load.net_mass is not None else None if "net_mass" in load.unreadable else volume
            for load, mass, volume in zip(loads, by_mass, by_volume, strict=True)
        ],
        decimals,
    )
    water: Column = [None if "water" in load.unreadable else load.water or 0.0 for load in loads]
    mix = rounded(where_known(lambda b, w: b + w, base, water), decimals)
    dilution = [_dilution(*each, order) for each in zip(loads, base, mix, strict=True)]
    sums = accumulate(0.0 if value is None else value for value in mix)
    running = [None if value is None else sum_ for value, sum_ in zip(mix, sums, strict=True)]
    return tuple(
        LoadRow(load.row, load.date, load.ticket, *values)
        for load, *values in zip(loads, gravity, factor, base, mix, dilution, running, strict=True)
    )


def _dilution(load: Load, base: float | None, mix: float | None, order: Order) -> float | None:
    """Emulsion by its mix, never above 1; as ordered where nothing is written of the water that was ordered."""
    ordered = order.material.dilution
    if base is None or mix is None:
        return None
    told = load.water is not None or ordered == 1
    if order.material.material_class != "emulsion" or not told or mix <= 0:
        return ordered
    return min(1.0, base / mix)


def _gravity(loads: tuple[Load, ...], order: Order) -> Column:
    """The ticket's specific gravity; the order's where the ticket gives none."""
    return [
        None
        if "specific_gravity" in load.unreadable
        else order.material.specific_gravity
        if load.specific_gravity is None
        else load.specific_gravity
        if _LEAST_GRAVITY <= load.specific_gravity <= _GREATEST_GRAVITY
        else None
        for load in loads
    ]


def _by_mass(mass: Column, gravity: Column, order: Order) -> Column:
    return where_known(lambda each, dense: volume_of(each, dense, order.units), not_negative(mass), gravity)
