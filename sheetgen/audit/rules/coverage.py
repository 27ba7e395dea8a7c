"""The ordered area: ends, lanes and strips of the width that nothing was sprayed on.

Asked is only what a crew has left behind. A job that is still going on has bare stretches too: where its crew is at
work they are a note. A section counts as finished when nearly all of its area is sprayed, or nearly all of the job.
The book's own live checks (``bare_end`` and ``narrow`` of the shot log) ask by the same rules.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise
from math import fsum
from typing import Any, NamedTuple

from sheetgen.audit.compute.pay import ordered_area
from sheetgen.audit.entries.logs import Shot
from sheetgen.audit.model import Finding
from sheetgen.audit.rules.case import Case, plausibility
from sheetgen.order.model import Section
from sheetgen.units import constants


class _Piece(NamedTuple):
    """A stretch of a lane, the width that is bare on it, the shots on it and the one beside it."""

    lane: str
    low: float
    high: float
    bare: float
    over: tuple[Shot, ...]
    beside: Shot | None

    @property
    def length(self) -> float:
        return self.high - self.low

    @property
    def area(self) -> float:
        return self.length * self.bare


class _Cover(NamedTuple):
    """A shot that covers a stretch of a lane; ``wanted`` is the width that was ordered there last."""

    shot: Shot
    low: float
    high: float
    width: float
    wanted: float

    @property
    def length(self) -> float:
        return self.high - self.low


def check(case: Case) -> Iterator[Finding]:
    """Every section that this distributor's bar alone sprays: of one left open another may have sprayed the rest."""
    if not case.shots or not _all_placed(case):
        return
    sections = [
        section
        for section in case.order.sections
        if not section.hand_spray and case.order.sprays_alone(case.machine, section)
    ]
    left = {row.id: row.bare for row in case.computation.section_rows}
    areas = {section.id: ordered_area(section, case.order) for section in sections}
    most = 1 - plausibility()["finished_share"]
    job_done = fsum(left[name] for name in areas) <= most * fsum(areas.values())
    for section in sections:
        begun = _last_of(case, section) is not None
        done = (job_done and begun) or left[section.id] <= most * areas[section.id]
        bare = [piece for lane in section.lanes for piece in _pieces(case, section, lane)]
        yield from _of_section(case, section, bare, done)


def _all_placed(case: Case) -> bool:
    """Whether every shot with an area says where it lies; one that does not may lie on what seems bare."""
    return all(
        row.from_ is not None and row.to is not None and shot.width is not None
        and (section := case.sections.get(shot.section or "")) is not None and shot.lane in section.lanes
        for shot, row in case.shots if case.kinds[shot.row].area and not case.kinds[shot.row].hand_spray
    )  # fmt: skip


def _covers(case: Case, section: Section, lane: str) -> list[_Cover]:
    found = []
    for shot, row in case.shots:
        if (shot.section, shot.lane) != (section.id, lane) or not case.kinds[shot.row].area:
            continue
        if row.from_ is None or row.to is None or row.from_ == row.to:
            continue
        low, high = sorted((row.from_, row.to))
        wanted = section.width if row.changed_width is None else row.changed_width
        found.append(_Cover(shot, low, high, shot.width or 0.0, wanted))
    return found


def _pieces(case: Case, section: Section, lane: str) -> Iterator[_Piece]:
    """The bare stretches of a lane, each as long as the same shots lie on it; gaps between shots are no part of it."""
    covers = _covers(case, section, lane)
    begins, ends = sorted((section.from_station, section.to_station))
    low, high = min((c.low for c in covers), default=ends), max((c.high for c in covers), default=ends)
    slack = case.order.reading.station
    for one, other in ((begins, low), (high, ends)):
        if other - one > slack:
            beside = [c.shot for c in covers if other == c.low or one == c.high]
            yield _Piece(lane, one, other, section.width, (), beside[-1] if beside else None)
    spacing = case.machine.nozzle_spacing / constants(case.order.units)["nozzle_spacing_per_width"]
    for one, other in pairwise(sorted({end for c in covers for end in (c.low, c.high)})):
        over = [c for c in covers if c.low <= one and c.high >= other]
        bare = min((c.wanted for c in over), default=0.0) - fsum(c.width for c in over)
        if over and other - one > slack and round(bare - spacing, 6) > 0:
            yield _Piece(lane, one, other, bare, tuple(c.shot for c in over), over[-1].shot)


def _of_section(case: Case, section: Section, bare: Sequence[_Piece], done: bool) -> Iterator[Finding]:
    """What was left behind of a section, lane by lane; the rest of a section that was begun as one note."""
    rest: list[_Piece] = []
    for lane in section.lanes:
        mine = [piece for piece in bare if piece.lane == lane]
        strips = [piece for piece in mine if piece.over]
        if strips and (done or _left_narrow(case, section, strips)):
            yield _strip(case, section, strips)
        else:
            rest += strips
        for piece in mine:
            if piece.over:
                continue
            if (done and not _going_on(case, piece)) or _cut_short(case, piece):
                yield _stretch(case, section, piece)
            else:
                rest.append(piece)
    last = _last_of(case, section)
    if rest and last is not None:
        yield _not_finished(case, section, last, rest)


def _left_narrow(case: Case, section: Section, strips: Sequence[_Piece]) -> bool:
    """Whether a lane was left too narrow: sprayed once, and to its ends or with work that went on elsewhere.

    Where the crew sprays a lane in passes side by side, another pass may be to come.
    """
    length = abs(section.to_station - section.from_station)
    to_the_ends = fsum(piece.length for piece in strips) >= length - 2 * case.order.reading.station
    return not _in_passes(case) and (to_the_ends or _went_on(case, _where_left(case, strips)))


def _where_left(case: Case, strips: Sequence[_Piece]) -> Shot:
    """Give the first shot beside a strip after which work went on elsewhere; the first of all where there is none."""
    beside = [piece.over[0] for piece in strips]
    return next((shot for shot in beside if _went_on(case, shot)), beside[0])


def _in_passes(case: Case) -> bool:
    """Whether anywhere in the log two shots lie side by side in a lane."""
    slack = case.order.reading.station
    return any(
        other.low < one.high - slack
        for section in case.order.sections
        for lane in section.lanes
        for one, other in pairwise(sorted(_covers(case, section, lane), key=lambda cover: cover.low))
    )


def _sprayed(case: Case) -> list[Shot]:
    return [shot for shot, _ in case.shots if case.kinds[shot.row].area]


def _went_on(case: Case, shot: Shot) -> bool:
    """Whether the crew sprayed elsewhere after a shot."""
    return any(
        other.row > shot.row and (other.section, other.lane) != (shot.section, shot.lane)
        for other in _sprayed(case)
    )


def _going_on(case: Case, piece: _Piece) -> bool:
    """Whether a bare end lies beside the log's first or last shot, and is no shorter than that shot.

    The work may go on there, or have begun there in a copy of the book for another day.
    """
    sprayed = _sprayed(case)
    return piece.beside in (sprayed[0], sprayed[-1]) and not _shorter_than_a_shot(piece)


def _cut_short(case: Case, piece: _Piece) -> bool:
    """Whether less than a shot was left at the end of a lane, and the crew went on elsewhere."""
    return piece.beside is not None and _shorter_than_a_shot(piece) and _went_on(case, piece.beside)


def _shorter_than_a_shot(piece: _Piece) -> bool:
    shot = piece.beside
    if shot is None or shot.from_station is None or shot.to_station is None:
        return False
    return piece.length < abs(shot.to_station - shot.from_station)


def _last_of(case: Case, section: Section) -> Shot | None:
    return next((shot for shot in reversed(_sprayed(case)) if shot.section == section.id), None)


def _strip(case: Case, section: Section, strips: Sequence[_Piece]) -> Finding:
    voice, first = case.voice, strips[0]
    area, length = fsum(piece.area for piece in strips), fsum(piece.length for piece in strips)
    return voice.shot(
        "strip-not-sprayed", _where_left(case, strips), "width", stake=0.0, lane=first.lane, section=section.id,
        low=voice.station(first.low), high=voice.station(strips[-1].high), length=voice.plain(length, "distance"),
        width=voice.plain(area / length, "width"), wanted=voice.plain(section.width, "width"),
        shots=voice.numbers(sorted({shot.row for piece in strips for shot in piece.over})),
        **_amounts(case, section, area),
    )  # fmt: skip


def _stretch(case: Case, section: Section, piece: _Piece) -> Finding:
    voice = case.voice
    shot = piece.beside or _last_of(case, section) or _sprayed(case)[-1]
    column = "from_station" if shot.from_station in (piece.low, piece.high) else "to_station"
    return voice.shot(
        "stretch-not-sprayed", shot, column if piece.beside else "lane", stake=0.0, lane=piece.lane,
        section=section.id, low=voice.station(piece.low), high=voice.station(piece.high),
        length=voice.plain(piece.length, "distance"), width=voice.plain(section.width, "width"),
        **_amounts(case, section, piece.area),
    )  # fmt: skip


def _not_finished(case: Case, section: Section, last: Shot, rest: Sequence[_Piece]) -> Finding:
    area, voice = fsum(piece.area for piece in rest), case.voice
    whole = abs(section.to_station - section.from_station) * section.width * len(section.lanes)
    return voice.shot(
        "section-not-finished", last, "to_station", section=section.id,
        share=voice.percent(area / whole), lanes=", ".join(dict.fromkeys(piece.lane for piece in rest)),
        **_amounts(case, section, area),
    )  # fmt: skip


def _amounts(case: Case, section: Section, of_width: float) -> dict[str, Any]:
    """A bare area, given as length × width, and the undiluted volume ordered on it."""
    area = of_width / constants(case.order.units)["area_divisor"]
    voice = case.voice
    volume = area * case.ordered_undiluted(section)
    return {"area": voice.amount(area, "area"), "volume": voice.volume(volume)}
