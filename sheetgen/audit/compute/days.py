"""The days computed again: what was in the tank, what came in, what went out, and what stays unexplained."""

from __future__ import annotations

from typing import NamedTuple

from sheetgen.audit.compute.blanks import total
from sheetgen.audit.compute.factors import Factors
from sheetgen.audit.compute.loads import LoadRow
from sheetgen.audit.compute.shots import ShotRow
from sheetgen.audit.entries.logs import Day
from sheetgen.order.model import Order
from sheetgen.trade.chart import Chart
from sheetgen.trade.correction import at_base
from sheetgen.trade.gauging import unexplained
from sheetgen.trade.rounding import round_half_away


class DayRow(NamedTuple):
    """One day computed again, in the order's units; all volumes of mix at base temperature."""

    row: int
    date: float | None
    start: float | None
    loaded: float | None
    sprayed: float | None
    wasted: float | None
    returned: float | None
    end: float | None
    unexplained: float | None
    share: float | None
    area: float | None


def compute_days(
    days: tuple[Day, ...],
    order: Order,
    chart: Chart,
    factors: Factors,
    shots: tuple[ShotRow, ...],
    loads: tuple[LoadRow, ...],
) -> tuple[DayRow, ...]:
    """Compute every used row of the day log."""
    decimals = order.rounding.volume

    def on_board(dip: float | None, temperature: float | None) -> float | None:
        volume, factor = chart.volume(dip), factors.at(temperature)
        return (
            None if volume is None or factor is None else round_half_away(at_base(volume, factor), decimals)
        )

    def row(day: Day) -> DayRow:
        start = on_board(day.start_dip, day.start_temperature)
        end = on_board(day.end_dip, day.end_temperature)
        if day.date is None:
            return DayRow(day.row, None, start, None, None, None, None, end, None, None, None)
        mine = [shot for shot in shots if shot.date == day.date]
        loaded = total(load.mix for load in loads if load.date == day.date and load.kind.day)
        sprayed, wasted = total(shot.base for shot in mine), total(shot.wasted for shot in mine)
        returned = None if "returned" in day.unreadable else day.returned or 0.0
        left, share = remainder(start, loaded, sprayed, wasted, returned, end, decimals)
        area = total(shot.area for shot in mine)
        return DayRow(
            day.row, day.date, start, loaded, sprayed, wasted, returned, end, left, share, area
        )  # fmt: skip

    return tuple(row(day) for day in days)


def remainder(
    start: float | None,
    loaded: float,
    sprayed: float,
    wasted: float,
    returned: float | None,
    end: float | None,
    decimals: int,
) -> tuple[float | None, float | None]:
    """What stays unexplained, and as a part of what was available: start + loaded - sprayed - wasted -
    returned - end.

    The reconciliation of one day: South Dakota SD 314 (used = start + received - end), with returns and
    waste.
    """
    if start is None or end is None or returned is None:
        return None, None
    left = round_half_away(unexplained(start, loaded, sprayed, wasted, returned, end), decimals)
    available = start + loaded
    return left, round_half_away(left / available, 6) if available else None
