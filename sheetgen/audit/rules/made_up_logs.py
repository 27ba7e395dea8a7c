"""Patterns that honest logging seldom gives. Each is a question, with the statistic and its chance; never a
verdict.

The chances hold for the honest logging that is described with each. A crew with another habit, such as
reading the stick to the half inch, gives such a pattern honestly: the finding asks, it does not say why.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from math import comb
from statistics import mean, stdev

from sheetgen.audit.compute.shots import ShotRow
from sheetgen.audit.entries.logs import Shot
from sheetgen.audit.entries.shared_readings import reading_numbers
from sheetgen.audit.model import Finding
from sheetgen.audit.rules.case import Case, plausibility
from sheetgen.audit.rules.chance import Drop, as_steady, at_least, evenly

_ROW = ("dip_before", "dip_after", "temperature", "start", "end")


def check(case: Case) -> Iterator[Finding]:
    """Repeated rows, rates too steady for the stick, preferred digits, times on the quarter hour."""
    yield from _repeated_rows(case)
    yield from _steady_rates(case)
    yield from _last_digits(case)
    yield from _quarter_hours(case)


def _small(chance: float) -> bool:
    return chance < plausibility()["invention_chance"]


def _chance(chance: float) -> str:
    return f"{chance:.1e}" if chance >= 1e-12 else "< 1e-12"


def _repeated_rows(case: Case) -> Iterator[Finding]:
    """Rows equal in both dips, the temperature and how long the shot took.

    Honest logging: each of these agrees between two different rows as often as it does in this log. The
    number of repeats is then binomial.
    """
    rows = [
        (shot, (shot.dip_before, shot.dip_after, shot.temperature, round((shot.end - shot.start) * 1440)))
        for shot in case.logs.shots
        if None not in [getattr(shot, column) for column in _ROW]
        and shot.end is not None and shot.start is not None
    ]  # fmt: skip
    if len(rows) < plausibility()["invention_rows"]:
        return
    different = list(dict.fromkeys(values for _, values in rows))
    repeats = len(rows) - len(different)
    if not repeats:
        return
    pairs = comb(len(different), 2)
    agree = 1.0
    for place in range(4):
        equal = sum(comb(count, 2) for count in Counter(values[place] for values in different).values())
        agree *= (equal + 1) / (pairs + 2)
    chance = at_least(repeats, len(rows) - 1, min(1.0, len(different) * agree))
    if _small(chance):
        first: dict[object, Shot] = {}
        again = [shot for shot, values in rows if first.setdefault(values, shot) is not shot]
        yield case.voice.shot(
            "rows-repeated", again[0], "dip_before", repeats=repeats, count=len(rows),
            rows=case.voice.numbers(shot.row for shot in again), chance=_chance(chance),
            of_shots=[shot.row for shot in again],
            expected=f"{(len(rows) - 1) * min(1.0, len(different) * agree):.2g}",
        )  # fmt: skip


def _steady_rates(case: Case) -> Iterator[Finding]:
    """Rates of one section that differ less than the steps of the stick alone make them.

    Honest logging: every level read to the nearest step, and a distributor's rate off by at least one percent from
    shot to shot. Shots that begin at one and the same reading (a tank filled to its mark) have its error in common.
    """
    for name in case.sections:
        shots = [
            (shot, row) for shot, row in case.shots
            if row.section == name and not row.by_hand and row.net and row.net > 0 and row.area
            and row.before is not None and row.after is not None and row.factor
        ]  # fmt: skip
        if len(shots) < plausibility()["invention_rates"]:
            continue
        rates = [(row.net or 0) * (row.factor or 0) / (row.area or 1) for _, row in shots]
        average = mean(rates)
        spread = stdev(rates) / average
        drops = _drops(case, shots, [rate / average for rate in rates])
        noise = plausibility()["spray_spread"]
        steps = mean((drop.before_step**2 + drop.after_step**2) / 12 for drop in drops)
        typical = (steps + noise**2) ** 0.5
        if spread > typical / 2:
            continue
        chance = as_steady(spread, drops, noise)
        if _small(chance):
            voice = case.voice
            yield voice.shot(
                "rates-too-steady", shots[0][0], "dip_after", section=name, count=len(shots),
                spread=voice.percent(spread), typical=voice.percent(typical), chance=_chance(chance),
                step=voice.plain(case.order.reading.dip, "depth"), of_shots=[shot.row for shot, _ in shots],
            )  # fmt: skip


def _drops(case: Case, shots: list[tuple[Shot, ShotRow]], rates: list[float]) -> list[Drop]:
    numbers, step = _levels(case), case.order.reading.dip
    drops = []
    for (shot, row), rate in zip(shots, rates, strict=True):
        before, after = (numbers[shot.row, column] for column in ("dip_before", "dip_after"))
        parts = [case.computation.chart.slope(dip or 0.0, step) * step / (row.net or 1.0)
                 for dip in (shot.dip_before, shot.dip_after)]  # fmt: skip
        drops.append(Drop(before, after, parts[0], parts[1], rate))
    return drops


def _levels(case: Case) -> dict[tuple[int, str], int]:
    """A number for the level at each reading of a shot, by row and column; the same for one level.

    A tank filled to one and the same mark again and again is at one level, chosen by the crew.
    """
    numbers = reading_numbers(case.logs)
    levels: dict[tuple[int, str], int] = {}
    seen: set[int] = set()
    filled: dict[float | None, int] = {}
    for shot in case.logs.shots:
        before, after = (numbers["shots", shot.row, column] for column in ("dip_before", "dip_after"))
        if before not in seen:
            before = filled.setdefault(shot.dip_before, before)
        seen |= {before, after}
        levels |= {(shot.row, "dip_before"): before, (shot.row, "dip_after"): after}
    return levels


def _last_digits(case: Case) -> Iterator[Finding]:
    """Marks of the stick that are read more often than others.

    Honest logging: a level falls on every mark between two whole units of depth as often as on any other. Fillings to
    one and the same mark count once.
    """
    marks = marks_of(case.order.reading.dip)
    if marks < 2:
        return
    numbers = _levels(case)
    readings: dict[int, tuple[Shot, float]] = {}
    for shot in case.logs.shots:
        for column in ("dip_before", "dip_after"):
            dip = getattr(shot, column)
            if dip is not None:
                readings.setdefault(numbers[shot.row, column], (shot, dip))
    if len(readings) < max(plausibility()["invention_dips"], 5 * marks):
        return
    found = Counter(round(dip / case.order.reading.dip) % marks for _, dip in readings.values())
    statistic, chance = evenly([found.get(mark, 0) for mark in range(marks)])
    if _small(chance):
        mark, count = found.most_common(1)[0]
        voice = case.voice
        yield voice.shot(
            "stick-readings-prefer-a-mark", next(iter(readings.values()))[0], "dip_before", count=len(readings),
            mark=f"{mark * case.order.reading.dip:g}", times=count, expected=f"{len(readings) / marks:.1f}",
            statistic=f"{statistic:.1f}", freedom=marks - 1, chance=_chance(chance),
            unit=voice.unit("depth"), cycle=f"{marks * case.order.reading.dip:g}", stake=0.0,
        )  # fmt: skip


def marks_of(step: float) -> int:
    """Marks in one unit of depth, or in ten where a step is a unit or more; 0 where the steps do not fit."""
    for cycle in (1.0, 10.0):
        marks = cycle / step
        if 2 <= round(marks) <= 16 and abs(marks - round(marks)) < 1e-6:
            return round(marks)
    return 0


def _quarter_hours(case: Case) -> Iterator[Finding]:
    """Start times that are nearly all whole quarter hours.

    Honest logging: even a crew that writes its times to five minutes has a quarter hour in one of three.
    """
    times = [(shot, round(shot.start * 1440)) for shot in case.logs.shots if shot.start is not None]
    if len(times) < plausibility()["invention_times"]:
        return
    whole = sum(minute % 15 == 0 for _, minute in times)
    chance = at_least(whole, len(times), plausibility()["five_minute_habit"])
    if _small(chance):
        yield case.voice.shot(
            "times-on-the-quarter-hour", times[0][0], "start",
            whole=whole, count=len(times), chance=_chance(chance),
            expected=f"{len(times) * plausibility()['five_minute_habit']:.0f}",
        )  # fmt: skip
