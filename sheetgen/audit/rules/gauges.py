"""Checks of distance wheel and meter: complete, within their limits, and recent."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Sequence

from sheetgen.audit.compute.gauges import GaugeRow
from sheetgen.audit.entries.logs import GaugeCheck
from sheetgen.audit.model import Finding
from sheetgen.audit.rules.case import Case, plausibility
from sheetgen.figures import date_of, serial

_Checks = Sequence[tuple[GaugeCheck, GaugeRow]]


def check(case: Case) -> Iterator[Finding]:
    """Every check of the record."""
    checks = list(zip(case.logs.gauges, case.computation.gauge_rows, strict=True))
    for each, row in checks:
        yield from _complete(case, each)
        yield from _limit(case, row, "wheel", row.distance_error, row.distance_factor, "distance_counted")
        yield from _limit(case, row, "meter", row.volume_error, row.volume_factor, "volume_counted")
        yield from _old(case, checks, each, row)


def _complete(case: Case, each: GaugeCheck) -> Iterator[Finding]:
    """A check without its date, without any pair, or with half of one."""
    pairs = (("distance_counted", "distance_measured"), ("volume_counted", "volume_measured"))
    blank = [[key for key in pair if getattr(each, key) is None] for pair in pairs]
    missing = [pair[0] for pair in blank if len(pair) == 1]
    if all(len(pair) == len(blank) for pair in blank):
        missing.append("distance_counted")
    if each.date is None:
        missing.insert(0, "date")
    for key in missing[:1]:
        if key not in each.unreadable:
            yield case.voice.at("gauge-check-incomplete", "gauges", each.row, key)


def _limit(
    case: Case, row: GaugeRow, gauge: str, error: float | None, factor: float | None, column: str
) -> Iterator[Finding]:
    limit = plausibility()[{"wheel": "wheel_error", "meter": "meter_agreement"}[gauge]]
    if error is not None and abs(error) > limit:
        yield case.voice.at(
            f"{gauge}-error-beyond-limit", "gauges", row.row, column, error=f"{100 * error:+.2f} %",
            limit=case.voice.percent(limit), factor="–" if factor is None else f"{factor:.4f}",
        )  # fmt: skip


def _old(case: Case, checks: _Checks, each: GaugeCheck, row: GaugeRow) -> Iterator[Finding]:
    """The newest check of a gauge, older on the last day of spraying than it may be."""
    last = max((shot.date for shot in case.logs.shots if shot.date is not None), default=None)
    if each.date is None or last is None:
        return
    newest = any(
        getattr(row, key) is not None
        and not any((one.date or 0) > each.date and getattr(other, key) is not None for one, other in checks)
        for key in ("distance_error", "volume_error")
    )
    until = valid_until(each.date)
    if newest and last > until:
        yield case.voice.at(
            "gauge-check-too-old", "gauges", each.row, "date", date=case.voice.date(each.date),
            last=case.voice.date(last), years=f"{plausibility()['gauge_check_years']:g}",
        )  # fmt: skip


def valid_until(day: float) -> float:
    """The last serial day on which a check of a day holds; the day after 28 February for one of 29 February."""
    date = date_of(day)
    year = date.year + int(plausibility()["gauge_check_years"])
    try:
        return float(serial(date.replace(year=year)))
    except ValueError:
        return float(serial(dt.date(year, 3, 1)))
