"""Dates and times: what cannot have happened in that order."""

from __future__ import annotations

import datetime as dt
from bisect import bisect_right
from collections.abc import Iterator, Sequence

from sheetgen.audit.entries.logs import Load, Shot
from sheetgen.audit.entries.possible import last_day
from sheetgen.audit.model import Finding
from sheetgen.audit.rules.case import Case, plausibility
from sheetgen.figures import date_of, serial

HALF_A_MINUTE = 0.5 / 1440
_DUST = 1e-9  # of a day: 10:04 typed as a time and 10:04 typed as a text differ by less
_EARLY = 7  # days before the order's date that need no explanation


def check(case: Case) -> Iterator[Finding]:
    """Every shot's times, against itself, the shots before it and the day log."""
    timed = [shot for shot in case.logs.shots if shot.start is not None and shot.end is not None]
    for shot in timed:
        yield from _end(case, shot)
    yield from _together(case, [shot for shot in timed if shot.date is not None])
    yield from _sequence(case)
    yield from _days(case)
    yield from _ahead(case)


def moments(shot: Shot) -> tuple[float, float] | None:
    """Start and end of a shot in days; past midnight where that makes a believable shot;
    None where it does not."""
    if shot.start is None or shot.end is None:
        return None
    day = shot.date or 0.0
    if shot.end >= shot.start - _DUST:
        return day + shot.start, day + max(shot.start, shot.end)
    if past_midnight(shot):
        return day + shot.start, day + 1 + shot.end
    return None


def past_midnight(shot: Shot) -> bool:
    """Whether a shot that ends before it starts can have run past midnight."""
    if shot.start is None or shot.end is None or shot.end >= shot.start - _DUST:
        return False
    return shot.end + 1 - shot.start <= plausibility()["longest_shot_hours"] / 24


def _end(case: Case, shot: Shot) -> Iterator[Finding]:
    start, end = shot.start or 0.0, shot.end or 0.0
    if end >= start - _DUST:
        return
    name = "shot-past-midnight" if past_midnight(shot) else "end-before-start"
    yield case.voice.shot(name, shot, "end", start=case.voice.time(start), end=case.voice.time(end))


def _together(case: Case, timed: list[Shot]) -> Iterator[Finding]:
    """One truck cannot spray two shots at once. A sweep through time: only shots still running are
    compared."""
    spans = sorted((when, shot.row, shot) for shot in timed if (when := moments(shot)) is not None)
    running: list[tuple[tuple[float, float], Shot]] = []
    for span, _, shot in spans:
        running = [each for each in running if each[0][1] > span[0] + HALF_A_MINUTE]
        for other_span, other in running:
            if min(span[1], other_span[1]) - span[0] > HALF_A_MINUTE:
                yield _at_once(
                    case, *sorted(((other_span, other), (span, shot)), key=lambda each: each[1].row)
                )
        running.append((span, shot))


def _at_once(
    case: Case, before: tuple[tuple[float, float], Shot], after: tuple[tuple[float, float], Shot]
) -> Finding:
    """Two rows that overlap in time, at the later row; by its own name where it just began too early."""
    (first, earlier), (second, later) = before, after
    follows = later.row == earlier.row + 1 and first[0] <= second[0] and first != second
    overlap = min(first[1], second[1]) - max(first[0], second[0])
    voice = case.voice
    return voice.shot(
        "started-before-last-ended" if follows else "two-shots-at-once", later, "start",
        other=voice.number(earlier.row), overlap=f"{overlap * 1440:.0f}",
        start=voice.time(second[0] % 1), ended=voice.time(first[1] % 1),
    )  # fmt: skip


def _sequence(case: Case) -> Iterator[Finding]:
    """Dates outside the job or swapped, and rows that are not in the order of the work."""
    first = serial(case.order.job.date) - _EARLY
    for table, rows in (("shots", case.logs.shots), ("loads", case.logs.loads)):
        for each in rows:
            if each.date is None:
                continue
            swapped = _swapped(case, table, each)
            if swapped is not None:
                yield swapped
            elif each.date < first:
                yield _too_early(case, table, each)
    dated = [
        shot for shot in case.logs.shots
        if shot.date is not None and shot.date >= first and shot.start is not None
        and _swapped(case, "shots", shot) is None
    ]  # fmt: skip
    kept = in_sequence([_moment(shot) for shot in dated])
    for place, shot in enumerate(dated):
        if place not in kept:
            before = max((each for each in kept if each < place), default=None)
            after = min((each for each in kept if each > place), default=None)
            yield _displaced(case, shot, dated, before, after)


def in_sequence(moments_: Sequence[float]) -> set[int]:
    """The places of a longest run of moments that never goes back: all others are out of sequence.

    So one mistyped date is one finding, not one for each row after it.
    """
    tails: list[float] = []
    ends: list[int] = []
    earlier: list[int | None] = []
    for place, moment in enumerate(moments_):
        length = bisect_right(tails, moment + 1e-9)
        earlier.append(ends[length - 1] if length else None)
        tails[length : length + 1] = [moment]
        ends[length : length + 1] = [place]
    kept: set[int] = set()
    last = ends[-1] if ends else None
    while last is not None:
        kept.add(last)
        last = earlier[last]
    return kept


def _displaced(case: Case, shot: Shot, dated: list[Shot], before: int | None, after: int | None) -> Finding:
    say, voice = case.voice.say, case.voice
    low, high = (None if each is None else dated[each] for each in (before, after))
    between = [
        say.say(f"said.shot-out-of-sequence.{key}", when=_when(case, each), other=voice.number(each.row))
        for key, each in (("not_before", low), ("not_after", high))
        if each is not None
    ]
    other_day = all(each is None or each.date != shot.date for each in (low, high))
    return voice.shot(
        "shot-out-of-sequence", shot, "date" if other_day else "start",
        when=_when(case, shot), between=", ".join(between),
    )  # fmt: skip


def _moment(shot: Shot) -> float:
    """Date and start in days."""
    return (shot.date or 0.0) + (shot.start or 0.0)


def _when(case: Case, shot: Shot) -> str:
    date = case.voice.date(shot.date or 0)
    return date if shot.start is None else f"{date} {case.voice.time(shot.start)}"


def _ahead(case: Case) -> Iterator[Finding]:
    """Days after the file was last saved, or after today: work cannot be logged before it is done. Once a date."""
    last = last_day(case.saved)
    limit = serial(last) + 1  # where the book was saved it may have been the next day already
    said: set[float] = set()
    logs = case.logs
    for table, rows in (("shots", logs.shots), ("loads", logs.loads), ("days", logs.days)):
        for each in rows:
            if each.date is not None and each.date > limit and each.date not in said:
                said.add(each.date)
                yield case.voice.at(
                    "date-after-saving", table, each.row, "date",
                    date=case.voice.date(each.date), saved=last.isoformat(),
                )  # fmt: skip


def _too_early(case: Case, table: str, each: Shot | Load) -> Finding:
    ordered = case.order.job.date.isoformat()
    return case.voice.at(
        "date-before-order", table, each.row, "date", date=case.voice.date(each.date or 0), ordered=ordered
    )


def _swapped(case: Case, table: str, each: Shot | Load) -> Finding | None:
    """A date that no day of the day log has, while its day and month swapped give one that it has."""
    known = {day.date for day in case.logs.days if day.date is not None}
    entry = case.logs.entries.get((table, each.row, "date"))
    if each.date is None or each.date in known or (entry is not None and entry.trouble):
        return None
    date = date_of(each.date)
    try:
        other = dt.date(date.year, date.day, date.month)
    except ValueError:
        return None
    if serial(other) not in known:
        return None
    return case.voice.at(
        "day-and-month-swapped", table, each.row, "date", date=date.isoformat(), other=other.isoformat()
    )


def _days(case: Case) -> Iterator[Finding]:
    """Days that the day log does not have, or has twice."""
    rows: dict[float, list[int]] = {}
    for day in case.logs.days:
        if day.date is not None:
            rows.setdefault(day.date, []).append(day.row)
    for date, twice in rows.items():
        if len(twice) > 1:
            yield case.voice.at(
                "day-logged-twice", "days", twice[1], "date",
                date=case.voice.date(date), other=case.voice.number(twice[0]),
            )  # fmt: skip
    missing: dict[float, list[Shot]] = {}
    for shot in case.logs.shots:
        if shot.date is not None and shot.date not in rows and _swapped(case, "shots", shot) is None:
            missing.setdefault(shot.date, []).append(shot)
    for date, shots in missing.items():
        yield case.voice.shot(
            "day-not-logged", shots[0], "date",
            date=case.voice.date(date), shots=case.voice.numbers(shot.row for shot in shots),
        )  # fmt: skip
