"""The checks of distance wheel and meter computed again."""

from __future__ import annotations

from typing import NamedTuple

from sheetgen.audit.compute.blanks import where_known
from sheetgen.audit.entries.logs import GaugeCheck
from sheetgen.trade.gauges import gauge_error, gauge_factor


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
