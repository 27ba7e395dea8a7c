"""Stations: shots that overlap, leave gaps, or lie outside what was ordered."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise
from typing import NamedTuple

from sheetgen.audit.entries.logs import Shot
from sheetgen.audit.model import Finding
from sheetgen.audit.rules.case import Case
from sheetgen.order.model import Section
from sheetgen.units import constants


class _Cover(NamedTuple):
    shot: Shot
    low: float
    high: float
    width: float


def check(case: Case) -> Iterator[Finding]:
    """Shots of each lane against each other and against the section."""
    lanes: dict[tuple[str, str], list[_Cover]] = {}
    for shot, row in case.shots:
        yield from _place(case, shot)
        section = case.sections.get(shot.section or "")
        if section is None or shot.lane is None or row.from_ is None or row.to is None:
            continue
        low, high = sorted((row.from_, row.to))
        if low < high and case.kinds[shot.row].area:
            cover = _Cover(shot, low, high, shot.width or 0.0)
            lanes.setdefault((section.id, shot.lane), []).append(cover)
    for (name, _), covers in lanes.items():
        yield from _overlaps(case, case.sections[name], covers)
        yield from _gaps(case, case.sections[name], covers)
    yield from _other_names(case)


def _other_names(case: Case) -> Iterator[Finding]:
    """Shots written under a section or lane that does not fit them, where all ordered lanes are covered without them.

    While a lane of these stations is bare, a mistyped name is the simpler explanation, and is said already.
    """
    proper = [
        _Cover(shot, min(row.from_, row.to), max(row.from_, row.to), 0.0)
        for shot, row in case.shots
        if row.from_ is not None and row.to is not None and _fits_its_name(case, shot, row.from_, row.to)
    ]
    for shot, row in case.shots:
        if row.from_ is None or row.to is None or _fits_its_name(case, shot, row.from_, row.to):
            continue
        low, high = sorted((row.from_, row.to))
        over = [each for each in proper if _common(low, high, each.low, each.high) > (high - low) / 2]
        lanes = sum(len(section.lanes) for section in case.order.sections if _lies_in(section, low, high))
        if low == high or not over or len({(each.shot.section, each.shot.lane) for each in over}) < lanes:
            continue
        voice, other = case.voice, over[0].shot
        column = "lane" if shot.section in case.sections else "section"
        yield voice.shot(
            "stretch-under-another-name", shot, column, row.counted or 0.0,
            section=shot.section or "-", lane=shot.lane or "-", low=voice.station(low), high=voice.station(high),
            other=voice.number(other.row), theirs=other.section or "-", in_lane=other.lane or "-",
            length=voice.plain(_common(low, high, over[0].low, over[0].high), "distance"),
            volume=voice.volume(row.counted or 0.0),
        )  # fmt: skip


def _fits_its_name(case: Case, shot: Shot, one: float, other: float) -> bool:
    """Whether a shot between two stations lies in the section that it names, in one of its lanes."""
    section = case.sections.get(shot.section or "")
    if section is None or shot.lane is None or shot.lane not in section.lanes:
        return False
    return _lies_in(section, *sorted((one, other)))


def _lies_in(section: Section, low: float, high: float) -> bool:
    """Whether at least half of a stretch is of a section."""
    ends = sorted((section.from_station, section.to_station))
    return _common(low, high, *ends) >= (high - low) / 2


def _common(low: float, high: float, begins: float, ends: float) -> float:
    """The length that two stretches have in common."""
    return max(0.0, min(high, ends) - max(low, begins))


def _place(case: Case, shot: Shot) -> Iterator[Finding]:
    voice, section = case.voice, case.sections.get(shot.section or "")
    if shot.from_station is not None and shot.from_station == shot.to_station:
        yield voice.shot("shot-without-length", shot, "to_station", station=voice.station(shot.from_station))
    if section is None:
        return
    if not section.is_for(case.machine) and case.kinds[shot.row].sprayed:
        yield voice.shot(
            "section-of-other-distributor", shot, "section", section=section.id, given=section.distributor,
            distributor=case.machine.name, stake=0.0,
        )  # fmt: skip
    if shot.lane is not None and shot.lane not in section.lanes and _known_lane(case, shot.lane):
        yield voice.shot(
            "lane-not-of-section", shot, "lane",
            lane=shot.lane, section=section.id, lanes=", ".join(section.lanes),
        )  # fmt: skip
    low, high = sorted((section.from_station, section.to_station))
    for column in ("from_station", "to_station"):
        station = getattr(shot, column)
        beyond = 0.0 if station is None else max(low - station, station - high)
        if beyond > case.order.reading.station:
            yield voice.shot(
                "shot-outside-section", shot, column, station=voice.station(station), section=section.id,
                low=voice.station(low), high=voice.station(high), beyond=voice.plain(beyond, "distance"),
                stake=_sprayed_on(case, shot.row, _area(case, beyond, shot.width)),
            )  # fmt: skip


def _known_lane(case: Case, lane: str) -> bool:
    return any(lane in section.lanes for section in case.order.sections)


def _overlaps(case: Case, section: Section, covers: list[_Cover]) -> Iterator[Finding]:
    """Stretches under more width than the plan puts side by side; its own passes are no overlap."""
    overlapping: dict[tuple[int, int], list[_Stretch]] = {}
    ends = sorted({end for cover in covers for end in (cover.low, cover.high)})
    limits = {cover.shot.row: case.lane_limit_of(section, cover.shot.row) for cover in covers}
    for low, high in pairwise(ends):
        over = sorted((c for c in covers if c.low <= low and c.high >= high), key=lambda c: c.shot.row)
        width = sum(cover.width for cover in over)
        if len(over) > 1 and round(width, 6) > min(limits[cover.shot.row] for cover in over):
            pair = (over[-1].shot.row, over[-2].shot.row)
            overlapping.setdefault(pair, []).append(_Stretch(low, high, width - case.covered_width(section)))
    for (later, earlier), stretches in overlapping.items():
        if sum(each.length for each in stretches) > case.order.reading.station:
            yield _overlap(case, covers, later, earlier, stretches)


class _Stretch(NamedTuple):
    """Stations, and the width that lies twice between them."""

    low: float
    high: float
    width: float

    @property
    def length(self) -> float:
        return self.high - self.low


def _overlap(
    case: Case, covers: list[_Cover], later: int, earlier: int, stretches: list[_Stretch]
) -> Finding:
    cover = next(each for each in covers if each.shot.row == later)
    low, high = stretches[0].low, stretches[-1].high
    length = sum(each.length for each in stretches)
    twice = sum(each.length * each.width for each in stretches)
    starts_inside = cover.shot.from_station is not None and low <= cover.shot.from_station <= high
    voice = case.voice
    return voice.shot(
        "shots-overlap-in-lane", cover.shot, "from_station" if starts_inside else "to_station",
        length=voice.plain(length, "distance"), low=voice.station(low), high=voice.station(high),
        other=voice.number(earlier), width=voice.plain(twice / length, "width"),
        area=voice.amount(twice / constants(case.order.units)["area_divisor"], "area"),
        stake=_sprayed_on(case, later, twice / constants(case.order.units)["area_divisor"]),
    )  # fmt: skip


def _sprayed_on(case: Case, number: int, area: float) -> float:
    """Give what a shot sprayed on a part of its area, undiluted."""
    row = next(row for shot, row in case.shots if shot.row == number)
    share = min(1.0, area / row.area) if row.area else 1.0
    return share * (row.counted or 0.0)


def _gaps(case: Case, section: Section, covers: list[_Cover]) -> Iterator[Finding]:
    """Stretches between shots of a lane that no shot covers; in a section left open another distributor may have."""
    if not case.order.sprays_alone(case.machine, section):
        return
    reached: _Cover | None = None
    for cover in sorted(covers, key=lambda each: each.low):
        if reached is not None and cover.low - reached.high > case.order.reading.station:
            yield _gap(case, reached, cover)
        if reached is None or cover.high > reached.high:
            reached = cover


def _gap(case: Case, below: _Cover, above: _Cover) -> Finding:
    """At the end beside the gap of the shot that was logged later."""
    later, end = max(((below, below.high), (above, above.low)), key=lambda each: each[0].shot.row)
    length = above.low - below.high
    area = _area(case, length, later.width)
    voice = case.voice
    return voice.shot(
        "gap-in-lane", later.shot, "from_station" if later.shot.from_station == end else "to_station",
        low=voice.station(below.high), high=voice.station(above.low),
        length=voice.plain(length, "distance"), area=voice.amount(area, "area"),
        width=voice.plain(later.width, "width"), stake=_ordered_on(case, later.shot.row, area),
    )  # fmt: skip


def _ordered_on(case: Case, number: int, area: float) -> float:
    """Give what is ordered on an area at the rate of a shot, undiluted."""
    row = next(row for shot, row in case.shots if shot.row == number)
    return area * (row.due or 0.0) / row.area if row.area else 0.0


def _area(case: Case, length: float, width: float | None) -> float:
    return length * (width or 0.0) / constants(case.order.units)["area_divisor"]
