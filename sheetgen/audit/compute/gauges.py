"""Distance wheel, meter and monitor: checks of the gauges, and the monitor's readings beside those of its shots."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import NamedTuple

from sheetgen.audit.compute.blanks import where_known
from sheetgen.audit.compute.shots import ShotRow
from sheetgen.audit.entries.logs import GaugeCheck, Session, Shot
from sheetgen.order.model import Machine, Order
from sheetgen.shot_kinds import shot_kinds
from sheetgen.trade.gauging import gauge_error, gauge_factor
from sheetgen.trade.rates import area_of
from sheetgen.trade.rounding import round_half_away
from sheetgen.units import constants

_PART_DECIMALS = 6


class GaugeRow(NamedTuple):
    """One check computed again: the part that a gauge shows too much, and the factor that makes its readings true."""

    row: int
    date: float | None
    distance_error: float | None
    distance_factor: float | None
    volume_error: float | None
    volume_factor: float | None


def compute_gauges(checks: tuple[GaugeCheck, ...]) -> tuple[GaugeRow, ...]:
    """Compute every used row of the record."""
    distance = [each.distance_counted for each in checks], [each.distance_measured for each in checks]
    volume = [each.volume_counted for each in checks], [each.volume_measured for each in checks]
    results = [
        where_known(function, *_with_divisor(pair, divisor))
        for pair in (distance, volume)
        for function, divisor in ((gauge_error, 1), (gauge_factor, 0))
    ]
    return tuple(
        GaugeRow(each.row, each.date, *values) for each, *values in zip(checks, *results, strict=True)
    )


def _with_divisor(
    pair: tuple[list[float | None], list[float | None]], divisor: int
) -> list[list[float | None]]:
    """Counted and measured, the one that is divided by without what is not above zero."""
    return [
        [None if value is None or (place == divisor and value <= 0) else value for value in column]
        for place, column in enumerate(pair)
    ]


class SessionRow(NamedTuple):
    """One session computed again: hot volumes of its shots, distance sprayed by the bar, the monitor against both.

    ``shots`` is None where its shots are not said; the others where a shot of it lacks a reading.
    """

    row: int
    shots: float | None
    by_stick: float | None
    by_meter: float | None
    by_stations: float | None
    from_stick: float | None
    from_meter: float | None
    from_stations: float | None
    implied_rate: float | None


def compute_monitor(
    sessions: Sequence[Session],
    shots: Sequence[Shot],
    rows: Sequence[ShotRow],
    order: Order,
    machine: Machine,
) -> tuple[SessionRow, ...]:
    """Compute every used row of the monitor log."""
    both = [(shot, row) for shot, row in zip(shots, rows, strict=True) if shot_kinds()[row.what].counted]
    return tuple(_session(each, both, order, machine) for each in sessions)


def _session(
    session: Session, shots: Sequence[tuple[Shot, ShotRow]], order: Order, machine: Machine
) -> SessionRow:
    mine = [(shot, row) for shot, row in shots if session.holds(shot.row + 1)]
    said = session.first_shot is not None and session.last_shot is not None
    volume = order.rounding.volume
    stick = _difference([(row.before, row.after) for _, row in mine], volume)
    meter = _difference([(shot.meter_after, shot.meter_before) for shot, _ in mine], volume)
    stations = _sum([row.length for _, row in mine if shot_kinds()[row.what].bar], _PART_DECIMALS)
    return SessionRow(
        session.row, float(len(mine)) if said else None, stick, meter, stations,
        _part(session.volume, stick), _part(session.volume, meter), _part(session.distance, stations),
        _rate(session, order, machine),
    )  # fmt: skip


def _difference(pairs: Sequence[tuple[float | None, float | None]], decimals: int) -> float | None:
    """All higher readings less all lower ones; None where a reading is missing, or below zero, which none can be."""
    upper, lower = (_sum(each, None) for each in zip(*pairs, strict=True)) if pairs else (None, None)
    return None if upper is None or lower is None else round_half_away(upper - lower, decimals)


def _sum(values: Iterable[float | None], decimals: int | None) -> float | None:
    known = [value for value in values if value is not None and value >= 0]
    if not known or len(known) < len(list(values)):
        return None
    return sum(known) if decimals is None else round_half_away(sum(known), decimals)


def _part(counted: float | None, other: float | None) -> float | None:
    if counted is None or not other:
        return None
    return round_half_away(counted / other - 1, _PART_DECIMALS)


def _rate(session: Session, order: Order, machine: Machine) -> float | None:
    """The rate, hot, that follows from the monitor's own volume, distance and nozzles."""
    if session.volume is None or not session.distance or not session.nozzles:
        return None
    width = session.nozzles * machine.nozzle_spacing / constants(order.units)["nozzle_spacing_per_width"]
    return round_half_away(
        session.volume / area_of(session.distance, width, order.units), order.rounding.rate
    )
