"""The loads computed again: from the ticket's mass, or its volume and temperature, or from stick or meter, to volume
at base temperature."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import accumulate
from typing import NamedTuple

from sheetgen.audit.compute.factors import Factors
from sheetgen.audit.entries.logs import Load
from sheetgen.load_kinds import LoadKind, load_kinds
from sheetgen.order.model import Order
from sheetgen.trade.chart import Chart
from sheetgen.trade.correction import at_base
from sheetgen.trade.density import mass_of, volume_of
from sheetgen.trade.rounding import round_half_away, without_dust
from sheetgen.units import constants

# Beyond these no material is sprayed, and a volume by them would be no quantity of any log.
_LEAST_GRAVITY, _GREATEST_GRAVITY = 0.01, 100.0


class LoadRow(NamedTuple):
    """One load computed again, in the order's units; volumes at base temperature but ``before`` and ``after``.

    ``by_ticket`` is what the ticket says, ``measured`` what stick or meter say went into the tank or out of it, and
    ``quantity`` the one of them that counts. ``base`` and ``mix``, with the water added, are below zero for what
    was sent back and zero for what does not count; ``dilution`` is the emulsion's part of what came in; ``counted``
    is the mix in the sum of the whole book, and ``undiluted_mass`` the tons of undiluted material in it. ``what``
    is the kind that the row is taken for.
    """

    row: int
    date: float | None
    ticket: str | None
    what: str
    gravity: float | None
    factor: float | None
    by_ticket: float | None
    before: float | None
    after: float | None
    measured: float | None
    base: float | None
    quantity: float | None
    mix: float | None
    dilution: float | None
    counted: float | None
    undiluted_mass: float
    running: float | None

    @property
    def kind(self) -> LoadKind:
        """What of the row counts."""
        return load_kinds()[self.what]


def compute_loads(
    loads: tuple[Load, ...], dates: Sequence[float], order: Order, chart: Chart, factors: Factors
) -> tuple[LoadRow, ...]:
    """Compute every used row of the load log; ``dates`` are the days that are logged."""
    rows = [_row(load, dates, order, chart, factors) for load in loads]
    rows = [
        row._replace(undiluted_mass=_undiluted_mass(load, row, order))
        for load, row in zip(loads, rows, strict=True)
    ]
    sums = accumulate(row.mix or 0.0 for row in rows)
    return tuple(
        row._replace(running=None if row.mix is None else each)
        for row, each in zip(rows, sums, strict=True)
    )  # fmt: skip


def came_in(loads: Iterable[Load], rows: Iterable[LoadRow]) -> tuple[tuple[Load, LoadRow], ...]:
    """The loads that brought material, each with its row."""
    return tuple(each for each in zip(loads, rows, strict=True) if each[1].kind.adds > 0)


def _row(load: Load, dates: Sequence[float], order: Order, chart: Chart, factors: Factors) -> LoadRow:
    """One load, its running total left open."""
    kind, decimals = load_kinds()[load.kind or "load"], order.rounding.volume
    before, after = chart.volume(load.stick_before), chart.volume(load.stick_after)
    gravity = factor = by_ticket = measured = quantity = None
    base: float | None = 0.0
    mix: float | None = 0.0
    if kind.adds:
        gravity, factor = _gravity(load, order), factors.at(load.temperature)
        by_ticket = _by_ticket(load, gravity, factor, order)
        measured = _measured(load, kind.adds, (before, after), factor, decimals)
        by_stick = kind.part or (kind.adds < 0 and _blank(load, "net_mass") and _blank(load, "volume"))
        quantity = measured if by_stick else by_ticket
        base, mix = _base_and_mix(load, kind.adds, quantity, order)
    return LoadRow(
        load.row, load.date, load.ticket, kind.key, gravity, factor, by_ticket, before, after, measured, base,
        quantity, mix, _dilution(load, kind, base, mix, order), _counted(load, kind, mix, dates), 0.0, None,
    )  # fmt: skip


def _undiluted_mass(load: Load, row: LoadRow, order: Order) -> float:
    """The weight in tons of the undiluted material in the sum of the whole book; below zero for what was sent back.

    By the ticket where it gives a weight. Of a part load, and where no weight is given, by volume and specific gravity:
    a US state's documentation codes take a part load from measuring the tank (seen).
    """
    if not row.counted or not row.base or row.gravity is None:
        return 0.0
    part = (row.mix or 0.0) * (row.dilution or 0.0)  # of what came in: undiluted, whoever put the water to it
    if load.net_mass is not None and not row.kind.part:
        sent_back = row.kind.adds < 0
        mass = -load.net_mass * order.material.dilution if sent_back else load.net_mass * part / row.base
    else:
        mass = mass_of(row.base if row.kind.adds < 0 else part, row.gravity, order.units)
    return mass / constants(order.units)["mass_per_ton"]


def _blank(load: Load, key: str) -> bool:
    return getattr(load, key) is None and key not in load.unreadable


def _base_and_mix(
    load: Load, adds: int, quantity: float | None, order: Order
) -> tuple[float | None, float | None]:
    """The binder without and with water; what is sent back is of the order's dilution."""
    decimals = order.rounding.volume
    if quantity is None:
        return None, None
    base = quantity if adds > 0 else round_half_away(-quantity * order.material.dilution, decimals)
    if "water" in load.unreadable:
        return base, None
    return base, round_half_away(quantity + (load.water or 0.0), decimals) if adds > 0 else -quantity


def _dilution(
    load: Load, kind: LoadKind, base: float | None, mix: float | None, order: Order
) -> float | None:
    """Emulsion by its mix, never above 1; as ordered where nothing is written of the water that was ordered."""
    ordered = order.material.dilution
    if base is None or mix is None or kind.adds <= 0:
        return None
    told = load.water is not None or ordered == 1
    if order.material.material_class != "emulsion" or not told or mix <= 0:
        return ordered
    return min(1.0, base / mix)


def _by_ticket(load: Load, gravity: float | None, factor: float | None, order: Order) -> float | None:
    """What the ticket says: by its mass, else by its volume, which may be at base temperature already."""
    if "net_mass" in load.unreadable:
        return None
    if load.net_mass is not None:
        if load.net_mass < 0 or gravity is None:
            return None
        return round_half_away(volume_of(load.net_mass, gravity, order.units), order.rounding.volume)
    known = 1.0 if load.volume_at == "at_base" else factor
    if load.volume is None or known is None:
        return None
    return round_half_away(at_base(load.volume, known), order.rounding.volume)


def _measured(
    load: Load, adds: int, tank: tuple[float | None, float | None], factor: float | None, decimals: int
) -> float | None:
    """What went into the tank, or out of it: by the stick, by the meter where the stick says nothing."""
    before, after = tank
    hot = load.taken if before is None or after is None else without_dust(adds * (after - before))
    return None if hot is None or factor is None else round_half_away(at_base(hot, factor), decimals)


def _counted(load: Load, kind: LoadKind, mix: float | None, dates: Sequence[float]) -> float | None:
    """What is in the sum of the whole book: of a load that came between two days, only where both are logged."""
    if mix is None or kind.day or load.date is None or not dates:
        return mix
    return mix if min(dates) <= load.date < max(dates) else 0.0


def _gravity(load: Load, order: Order) -> float | None:
    """The ticket's specific gravity; the order's where the ticket gives none."""
    if "specific_gravity" in load.unreadable:
        return None
    if load.specific_gravity is None:
        return order.material.specific_gravity
    return load.specific_gravity if _LEAST_GRAVITY <= load.specific_gravity <= _GREATEST_GRAVITY else None
