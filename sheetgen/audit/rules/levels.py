"""The level in the tank from reading to reading, over days and nights: material that appears or is lost.

The readings stand in one chain, in the order in which they were made. A load belongs between two of them by its date
and time, and by the shots that name it; where these leave a choice (an evening fill before or after the day's last
reading, times rounded to a quarter of an hour), it is placed where it fits the readings best.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from itertools import combinations, pairwise
from math import hypot
from typing import NamedTuple

from sheetgen.audit.compute.loads import LoadRow
from sheetgen.audit.compute.shots import ShotRow
from sheetgen.audit.compute.uncertainty import factor_slope
from sheetgen.audit.entries.logs import Day, Load, Shot
from sheetgen.audit.model import Finding
from sheetgen.audit.rules.case import Case, plausibility
from sheetgen.audit.rules.chance import chance_of_runs, chance_of_signs
from sheetgen.audit.rules.times import moments

_BETWEEN = ("level-rose-between-readings", "level-fell-between-readings")
_OVERNIGHT = ("level-rose-overnight", "level-fell-overnight")
_PLACES = 6  # of a volume: dust of the arithmetic moves no load
_ROUNDED = 15 / 1440  # of a day: times are often written to the quarter of an hour


class _Level(NamedTuple):
    """What the tank held by one reading: volume at base temperature, and by how much that can be off."""

    table: str
    row: int
    column: str
    dip: float
    hot: float
    base: float
    reach: float


@dataclass(slots=True)
class Gap:
    """From one reading of the stick to the next: what came in and what left in between.

    Attributes:
        before, after: the two readings
        used, reach: sprayed in between by shots without stick readings, and by how much that can be off
        returned: sent back in between
        begins, ends: moments in serial days that the gap is known to lie between
        loads: numbers of the loads that are taken to have come in
        came: their mix at base temperature; None where one of them is not known
    """

    before: _Level
    after: _Level
    used: float
    reach: float
    returned: float
    begins: float
    ends: float
    loads: list[int] = field(default_factory=list)
    came: float | None = 0.0

    def add(self, number: int, mix: float | None) -> None:
        """Take a load to have come in; a mix that is not known leaves what came unknown."""
        self.loads.append(number)
        self.came = None if mix is None or self.came is None else self.came + mix

    def remove(self, number: int, mix: float) -> None:
        """Take a load of a known mix not to have come in."""
        self.loads.remove(number)
        self.came = None if self.came is None else self.came - mix

    @property
    def change(self) -> float:
        """What appeared (or was lost, where negative) that no entry explains."""
        came = (self.came or 0.0) - self.returned - self.used
        return self.after.base - (self.before.base + came)

    @property
    def night(self) -> bool:
        """Whether it lies between two days."""
        return self.before.table == "days" and self.before.column == "end_dip"


def check(case: Case) -> Iterator[Finding]:
    """Give findings on fill and reserve at every reading, and on the level from each reading to the next."""
    for shot, row in case.shots:
        yield from _limits(case, shot, row)
    found = gaps(case)
    for gap in found:
        yield from _between(case, gap)
    yield from list(_one_way(case, found)) or _adding_up(case, found)
    yield from _in_runs(case, found)


def gaps(case: Case) -> list[Gap]:
    """List every gap between two readings of the stick, each load placed in one of them."""
    chain = _Chain(case)
    logged = {day.date for day in case.logs.days}
    dates = logged | {shot.date for shot in case.logs.shots}
    for date in sorted(date for date in dates if date is not None):
        chain.add_day(date, known=date in logged or not logged)
    _place_loads(case, chain.gaps)
    return chain.gaps


def _limits(case: Case, shot: Shot, row: ShotRow) -> Iterator[Finding]:
    voice, machine, chart = case.voice, case.machine, case.computation.chart
    step = chart.slope(shot.dip_before or 0, case.order.reading.dip) * case.order.reading.dip
    full = machine.fill_limit * chart.capacity
    if row.before is not None and row.before > full + step:
        yield voice.shot(
            "tank-above-fill-limit", shot, "dip_before", volume=voice.volume(row.before),
            full=voice.volume(full), share=voice.percent(row.before / chart.capacity),
            stake=case.undiluted(row.before - full, row),
            limit=voice.percent(machine.fill_limit), capacity=voice.volume(chart.capacity),
        )  # fmt: skip
    emptied = not case.kinds[shot.row].sprayed  # a flush may take the rest
    step = chart.slope(shot.dip_after or 0, case.order.reading.dip) * case.order.reading.dip
    if row.after is not None and row.after < machine.reserve - step and not emptied:
        yield voice.shot(
            "tank-below-reserve", shot, "dip_after",
            volume=voice.volume(row.after), reserve=voice.volume(machine.reserve),
            short=voice.volume(machine.reserve - row.after),
            stake=case.undiluted(machine.reserve - row.after, row),
        )  # fmt: skip


class _Chain:
    """The readings in order, and the gaps between them."""

    def __init__(self, case: Case) -> None:
        self.case = case
        self.gaps: list[Gap] = []
        self._before: _Level | None = None
        self._used = self._reach = 0.0
        self._moment = 0.0

    def add_day(self, date: float, *, known: bool) -> None:
        """Add the readings of one day: its first, those of its shots, its last.

        A date that no day of the log has can be a slip: nobody knows what lies before and after its shots.
        """
        if not known:
            self._before = None
        day = next((each for each in self.case.logs.days if each.date == date), None)
        self._moment = max(self._moment, date)
        if day is not None:
            self._add(_of_day(self.case, day, "start_dip"), date)
        for shot, row in self.case.shots:
            if shot.date == date:
                self._add_shot(shot, row)
        if day is not None:
            self._add(_of_day(self.case, day, "end_dip"), date + 1, day.returned or 0.0)
        if not known:
            self._before = None

    def _add_shot(self, shot: Shot, row: ShotRow) -> None:
        # A shot without times was sprayed somewhen between the last moment that is known and the end of its day.
        start, end = moments(shot) or ((shot.date or 0.0) + 1,) * 2
        known = moments(shot) is not None
        first = _level(self.case, "shots", shot.row, "dip_before", shot.dip_before, shot.temperature)
        last = _level(self.case, "shots", shot.row, "dip_after", shot.dip_after, shot.temperature)
        if first is not None:
            self._add(first, start, known=known)
        if first is None or last is None:
            self._spray(row)
            self._add(last, end, known=known)
        else:
            self._before = last
            if known:
                self._moment = max(self._moment, end)

    def _spray(self, row: ShotRow) -> None:
        """Take what a shot sprayed by another reading than the stick's; without one the chain is broken."""
        if row.base is None:
            self._before = None
            return
        meter = self.case.order.reading.meter
        self._used += row.base + (row.wasted or 0.0)
        self._reach += plausibility()["meter_agreement"] * row.base + 2 * meter

    def _add(self, level: _Level | None, moment: float, returned: float = 0.0, *, known: bool = True) -> None:
        if level is None:
            return
        if self._before is not None:
            ends = max(self._moment, moment)
            self.gaps.append(
                Gap(self._before, level, self._used, self._reach, returned, self._moment, ends)
            )  # fmt: skip
        self._before, self._used, self._reach = level, 0.0, 0.0
        if known:
            self._moment = max(self._moment, moment)


def _of_day(case: Case, day: Day, column: str) -> _Level | None:
    temperature = day.start_temperature if column == "start_dip" else day.end_temperature
    return _level(case, "days", day.row, column, getattr(day, column), temperature)


def _level(
    case: Case, table: str, row: int, column: str, dip: float | None, temperature: float | None
) -> _Level | None:
    chart, factors, reading = case.computation.chart, case.computation.factors, case.order.reading
    volume, factor = chart.volume(dip), factors.at(temperature)
    if dip is None or volume is None or factor is None:
        return None
    by_dip = case.stick_reach(dip) * factor
    steps = plausibility()["thermometer_steps"] * reading.temperature
    by_heat = volume * factor_slope(factors, temperature) * steps
    return _Level(table, row, column, dip, volume, volume * factor, hypot(by_dip, by_heat))


def _place_loads(case: Case, found: list[Gap]) -> None:
    """Place every load in a gap: first where the shots or the clock put it, then where all fit the readings best."""
    moved = {number: each for number, each in case.loads.items() if each[1].kind.adds}
    mixes = {number: row.mix for number, (_, row) in moved.items()}
    choices = {number: _choices(case, number, each, found) for number, each in moved.items()}
    known = [number for number in choices if choices[number] and mixes[number] is not None]
    placed: dict[int, Gap] = {}
    for number in known:
        placed[number] = _first_in_need(mixes[number] or 0.0, choices[number])
        placed[number].add(number, mixes[number])
    largest_first = sorted(known, key=lambda each: (-abs(mixes[each] or 0.0), each))
    # Each move and each exchange makes the sum of squares smaller, so this ends.
    while any(
        _moved(number, mixes[number] or 0.0, choices[number], placed) for number in largest_first
    ) or any(_exchanged(pair, mixes, choices, placed) for pair in combinations(largest_first, 2)):
        pass
    for number in choices:
        if choices[number] and mixes[number] is None:
            max(choices[number], key=lambda each: each.change).add(number, None)


def _first_in_need(mix: float, choices: list[Gap]) -> Gap:
    """Give the first gap that lacks at least half of a load: loads in their order, each where the tank was filled."""
    sign = 1 if mix > 0 else -1
    return next((gap for gap in choices if sign * gap.change >= abs(mix) / 2), choices[0])


def _moved(number: int, mix: float, choices: list[Gap], placed: dict[int, Gap]) -> bool:
    """Whether a load fits another of its gaps better (least squares of what stays unexplained); it is moved there."""
    here, sign = placed[number], 1 if mix > 0 else -1
    best = max((gap for gap in choices if gap is not here), key=lambda each: sign * each.change, default=here)
    if best is here or not mix or round(sign * (best.change - here.change - mix), _PLACES) <= 0:
        return False
    here.remove(number, mix)
    best.add(number, mix)
    placed[number] = best
    return True


def _exchanged(
    pair: tuple[int, int],
    mixes: dict[int, float | None],
    choices: dict[int, list[Gap]],
    placed: dict[int, Gap],
) -> bool:
    """Whether two loads fit better each in the other's gap, where both can have come there; they are exchanged."""
    one, other = pair
    here, there = placed[one], placed[other]
    if here is there or there not in choices[one] or here not in choices[other]:
        return False
    more = (mixes[one] or 0.0) - (mixes[other] or 0.0)
    # The sum of squares falls by 2·more·(there − here − more) when the difference of the two loads goes over.
    if round(more * (there.change - here.change - more), _PLACES) <= 0:
        return False
    for number, gap, new in ((one, here, there), (other, there, here)):
        gap.remove(number, mixes[number] or 0.0)
        new.add(number, mixes[number])
        placed[number] = new
    return True


def _choices(case: Case, number: int, each: tuple[Load, LoadRow], found: list[Gap]) -> list[Gap]:
    """List the gaps that a load can have come in; one that was kept for the next day came between two days."""
    load, row = each
    near = _near(case, number, load, found)
    return near if row.kind.day else [gap for gap in near if gap.night] or near


def _near(case: Case, number: int, load: Load, found: list[Gap]) -> list[Gap]:
    """List the gaps that a load can have come in, by the shots that name it and by its time."""
    named = [shot.row for shot in case.logs.shots if shot.load == number]
    chosen = [
        gap for gap in found
        if named and gap.after.table == "shots" and gap.after.row == min(named) and _is_first(gap)
    ]  # fmt: skip
    if load.date is None:
        return chosen or list(found)
    early, late = load.date, load.date + 1
    if load.time is not None:
        early, late = load.date + load.time - _ROUNDED, load.date + load.time + _ROUNDED
    for gap, following in pairwise([*found, None]):
        if gap is not None and gap.begins <= late and early <= gap.ends and gap not in chosen:
            chosen.append(gap)
            # A fill in the evening stands before or after the day's last reading, whatever the crew read first.
            if gap.after.column == "end_dip" and following is not None and following not in chosen:
                chosen.append(following)
    return chosen


def _is_first(gap: Gap) -> bool:
    """Whether a gap ends with the first reading of a shot."""
    return gap.after.column == "dip_before" or gap.used > 0


def _between(case: Case, gap: Gap) -> Iterator[Finding]:
    """What the tank held at one reading, with what came in and was sent back since, against the next."""
    if gap.came is None:
        return
    before, after, change = gap.before, gap.after, gap.change
    if not gap.came and not gap.returned and not gap.used and after.hot:
        # A mistyped temperature is no change of level.
        change = min(change, (after.hot - before.hot) * after.base / after.hot, key=abs)
    allowed = allowed_between(case, gap)
    if abs(change) <= allowed:
        return
    voice = case.voice
    yield voice.at(
        _name(gap, change), after.table, after.row, after.column,
        before=voice.volume(before.base), came=voice.volume(gap.came), returned=voice.volume(gap.returned),
        should=voice.volume(after.base - gap.change), after=voice.volume(after.base),
        dip=voice.plain(after.dip, "depth"), earlier=voice.plain(before.dip, "depth"),
        difference=voice.volume(abs(change)), allowed=voice.volume(allowed),
        worth=voice.money(abs(change) * case.dilution),
        stake=change * case.dilution, of_shots=_beside(case, gap),
    )  # fmt: skip


def allowed_between(case: Case, gap: Gap) -> float:
    """Give by how much two readings may differ from what came and went between them."""
    return (
        hypot(gap.before.reach, gap.after.reach)
        + gap.reach
        + case.order.limits.unexplained * abs(gap.came or 0.0)
    )


def _adding_up(case: Case, found: list[Gap]) -> Iterator[Finding]:
    """Give differences that are allowed one by one and together are more than readings, tickets and chart explain.

    Each reading's error counts once, however many gaps it ends: an error that one gap gains the next one loses.
    """
    allowed_each = [
        gap for gap in found if gap.came is not None and abs(gap.change) <= allowed_between(case, gap)
    ]
    parts: dict[tuple[str, int, str], float] = {}
    for gap in allowed_each:
        for level, sign in ((gap.after, 1), (gap.before, -1)):
            place = (level.table, level.row, level.column)
            parts[place] = parts.get(place, 0.0) + sign * level.reach
    tickets = plausibility()["ticket_and_chart"] * sum(abs(gap.came or 0.0) for gap in allowed_each)
    allowed = hypot(*parts.values(), tickets) + sum(gap.reach for gap in allowed_each)
    total = sum(gap.change for gap in allowed_each)
    if len(allowed_each) < 2 or abs(total) <= allowed:
        return
    voice, first = case.voice, allowed_each[0].after
    yield voice.at(
        "level-differences-add-up", first.table, first.row, first.column, count=len(allowed_each),
        total=voice.volume(abs(total)), allowed=voice.volume(allowed),
        way=voice.say[f"said.level-differences-add-up.{'rise' if total > 0 else 'fall'}"],
        worth=voice.money(abs(total) * case.dilution),
        stake=total * case.dilution,
        of_shots=sorted({row for gap in allowed_each for row in _beside(case, gap)}),
    )  # fmt: skip


def _beside(case: Case, gap: Gap) -> tuple[int, ...]:
    """Give the shots whose volume hangs on the two readings of a gap: those that it lies between."""
    rows = [shot.row for shot, _ in case.shots]
    first, last = (each.row if each.table == "shots" else None for each in (gap.before, gap.after))
    around = [row for row in (first, last) if row is not None]
    if around:
        return tuple(dict.fromkeys(around))
    days = {day.row: day.date for day in case.logs.days}
    dates = {days.get(each.row) for each in (gap.before, gap.after)}
    return tuple(row for row in rows if case.shots[rows.index(row)][0].date in dates)


def _name(gap: Gap, change: float) -> str:
    if gap.came:
        return "load-and-stick-readings-differ"
    rose, fell = _OVERNIGHT if gap.night else _BETWEEN
    return rose if change > 0 else fell


def _read_otherwise(found: list[Gap]) -> list[Gap]:
    """Give the gaps of a day in which nothing came or went, and the stick was read otherwise at the end."""
    still = [gap for gap in found if not gap.loads and not gap.used and not gap.returned and not gap.night]
    return [gap for gap in still if gap.after.dip != gap.before.dip]


def _one_way(case: Case, found: list[Gap]) -> Iterator[Finding]:
    """Give gaps without a load that nearly all lean one way: a stick read short or long each time.

    Sign test (an exact binomial chance, two-sided) on the gaps that differ at all.
    """
    moved = _read_otherwise(found)
    ups = sum(gap.after.dip > gap.before.dip for gap in moved)
    if (
        len(moved) < plausibility()["lean_gaps"]
        or chance_of_signs(ups, len(moved)) > plausibility()["lean_chance"]
    ):
        return
    total, voice = sum(gap.change for gap in moved), case.voice
    first = moved[0].after
    yield voice.at(
        "levels-lean-one-way", first.table, first.row, first.column, count=len(moved),
        up=ups, down=len(moved) - ups, total=voice.volume(abs(total)),
        worth=voice.money(abs(total) * case.dilution),
        stake=total * case.dilution,
        of_shots=sorted({row for gap in moved for row in _beside(case, gap)}),
    )  # fmt: skip


def _in_runs(case: Case, found: list[Gap]) -> Iterator[Finding]:
    """Give rises and falls from shot to shot that come in too few or too many runs to be chance.

    Runs test (an exact chance, two-sided). Long runs are another stick, or another way to read it, from some shot on;
    turns at nearly each reading are what people write who invent a scatter. The gaps share no reading.
    """
    moved = [gap for gap in _read_otherwise(found) if gap.before.table == gap.after.table == "shots"]
    rises = [gap.after.dip > gap.before.dip for gap in moved]
    runs = 1 + sum(one != other for one, other in pairwise(rises))
    ups = sum(rises)
    if (
        not 0 < ups < len(rises)
        or chance_of_runs(runs, ups, len(rises) - ups) > plausibility()["invention_chance"]
    ):
        return
    up, down = (abs(sum(gap.change for gap in moved if (gap.change > 0) is way)) for way in (True, False))
    voice, first = case.voice, moved[0].after
    yield voice.at(
        "levels-in-runs", first.table, first.row, first.column, runs=runs, up=ups,
        down=len(moved) - ups, rise=voice.volume(up), fall=voice.volume(down),
        expected=round(1 + 2 * ups * (len(moved) - ups) / len(moved)),
        worth=voice.money(max(up, down) * case.dilution), stake=max(up, down) * case.dilution,
        of_shots=sorted({row for gap in moved for row in _beside(case, gap)}),
    )  # fmt: skip
