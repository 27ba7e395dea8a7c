"""The level in the tank from reading to reading: material that appears or is lost between shots."""

from __future__ import annotations

from collections.abc import Iterator
from math import hypot
from typing import NamedTuple

from sheetgen.audit.compute.shots import ShotRow
from sheetgen.audit.compute.uncertainty import factor_slope
from sheetgen.audit.entries.logs import Day, Shot
from sheetgen.audit.model import Finding
from sheetgen.audit.rules.case import Case, plausibility


class _Level(NamedTuple):
    """What the tank held by one dip: volume at base temperature, and by how much that can be off."""

    table: str
    row: int
    column: str
    dip: float
    hot: float
    base: float
    reach: float
    loads: int  # number of the last load that had come in


def check(case: Case) -> Iterator[Finding]:
    """Fill and reserve at every dip, and the level from each dip to the next of the same day."""
    for shot, row in case.shots:
        yield from _limits(case, shot, row)
    loads = 0
    for day in sorted(case.logs.days, key=lambda each: each.date or 0):
        mine = [(shot, row) for shot, row in case.shots if day.date is not None and shot.date == day.date]
        yield from _day(case, day, mine, loads)
        loads = max([loads, *(int(shot.load) for shot, _ in mine if shot.load is not None)])


def _limits(case: Case, shot: Shot, row: ShotRow) -> Iterator[Finding]:
    voice, machine, chart = case.voice, case.machine, case.computation.chart
    step = chart.slope(shot.dip_before or 0, case.order.reading.dip) * case.order.reading.dip
    full = machine.fill_limit * chart.capacity
    if row.before is not None and row.before > full + step:
        yield voice.shot(
            "tank-above-fill-limit", shot, "dip_before", volume=voice.volume(row.before),
            full=voice.volume(full), share=voice.percent(row.before / chart.capacity),
            limit=voice.percent(machine.fill_limit), capacity=voice.volume(chart.capacity),
        )  # fmt: skip
    if row.after is not None and row.after < machine.reserve - step:
        yield voice.shot(
            "tank-below-reserve", shot, "dip_after",
            volume=voice.volume(row.after), reserve=voice.volume(machine.reserve),
            short=voice.volume(machine.reserve - row.after),
        )  # fmt: skip


def _day(case: Case, day: Day, shots: list[tuple[Shot, ShotRow]], loads: int) -> Iterator[Finding]:
    before = _level(case, "days", day.row, "start_dip", day.start_dip, day.start_temperature, loads)
    for shot, row in shots:
        number = int(shot.load) if shot.load is not None else None
        if number is None or row.factor is None:
            before = None
            continue
        at_start = _level(case, "shots", shot.row, "dip_before", shot.dip_before, shot.temperature, number)
        yield from _between(case, before, at_start, 0.0)
        before = _level(case, "shots", shot.row, "dip_after", shot.dip_after, shot.temperature, number)
    last = max((load.row + 1 for load in case.logs.loads if load.date == day.date), default=loads)
    number = max(last, before.loads if before else loads)
    at_end = _level(case, "days", day.row, "end_dip", day.end_dip, day.end_temperature, number)
    yield from _between(case, before, at_end, day.returned or 0.0)


def _level(
    case: Case, table: str, row: int, column: str, dip: float | None, temperature: float | None, loads: int
) -> _Level | None:
    chart, factors, reading = case.computation.chart, case.computation.factors, case.order.reading
    volume, factor = chart.volume(dip), factors.at(temperature)
    if dip is None or volume is None or factor is None:
        return None
    steps = plausibility()
    by_dip = chart.slope(dip, reading.dip) * factor * reading.dip * steps["level_steps"]
    by_heat = volume * factor_slope(factors, temperature) * reading.temperature * steps["thermometer_steps"]
    return _Level(table, row, column, dip, volume, volume * factor, hypot(by_dip, by_heat), loads)


def _between(case: Case, before: _Level | None, after: _Level | None, returned: float) -> Iterator[Finding]:
    """What the tank held at one dip, with what came in and was sent back since, against the next dip."""
    if before is None or after is None:
        return
    came = _came_in(case, before.loads, after.loads)
    if came is None:
        return
    change = after.base - (before.base + came - returned)
    if not came and not returned:  # a mistyped temperature is no change of level
        change = (
            min(change, (after.hot - before.hot) * after.base / after.hot, key=abs) if after.hot else change
        )
    allowed = hypot(before.reach, after.reach) + case.order.limits.unexplained * came
    if abs(change) <= allowed:
        return
    name = (
        "load-and-dips-differ"
        if came
        else "level-rose-between-dips"
        if change > 0
        else "level-fell-between-dips"
    )
    voice = case.voice
    yield voice.at(
        name, after.table, after.row, after.column,
        before=voice.volume(before.base), came=voice.volume(came), returned=voice.volume(returned),
        should=voice.volume(before.base + came - returned), after=voice.volume(after.base),
        dip=voice.plain(after.dip, "depth"), earlier=voice.plain(before.dip, "depth"),
        difference=voice.volume(abs(change)), allowed=voice.volume(allowed),
        worth=voice.money(abs(change) * case.order.material.dilution),
    )  # fmt: skip


def _came_in(case: Case, first: int, last: int) -> float | None:
    """Mix at base temperature of the loads after the first number up to the last; None
    where that is not known."""
    mixes = [
        case.loads[number][1].mix if number in case.loads else None for number in range(first + 1, last + 1)
    ]
    return None if last < first or None in mixes else sum(mix for mix in mixes if mix is not None)
