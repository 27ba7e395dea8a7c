"""What two books cannot both say: one ticket, one stretch of a lane, one distributor at one time.

Rows come sorted by what can clash, as a database gives them, and only one group of them is held at a time. Of two
rows that clash the later one by date is at fault, and it is named once, with the row it clashes with most.
"""

from __future__ import annotations

import math
from bisect import bisect_left, insort
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import groupby, pairwise
from typing import Generic, TypeVar

from sheetgen.plausibility import plausibility
from sheetgen.reading.words import bare
from sheetgen.register.summary import Spell, Stretch, Ticket

Row = TypeVar("Row", Ticket, Stretch, Spell)


@dataclass(frozen=True, slots=True)
class Source:
    """The return that a row stands in.

    Attributes:
        book: what returns of one book have in common
        order: SHA-256 of the order's canonical text
    """

    return_id: int
    book: str
    identity: str
    path: str
    job: str = ""
    order: str = ""
    machine: str = ""
    serial: str = ""
    contractor: str = ""
    language: str = "en"
    units: str = "us"
    price: float | None = None
    currency: str = ""
    station_reading: float = 0.0


@dataclass(frozen=True, slots=True)
class Placed(Generic[Row]):
    """A row of a log and the return it stands in."""

    source: Source
    row: Row


@dataclass(frozen=True, slots=True)
class Clash(Generic[Row]):
    """Two rows of different books that cannot both be right.

    Attributes:
        certain: whether nothing but a mistake explains it; else it needs an explanation
        low, high: what they have in common: stations, or moments in serial days; 0 for tickets
        common: how much of it
    """

    later: Placed[Row]
    earlier: Placed[Row]
    certain: bool
    low: float = 0.0
    high: float = 0.0
    common: float = 0.0


_SEVERAL = 3  # rows of two books, from which on they are one finding

Keyed = Iterable[tuple[str, Placed[Row]]]


def tickets_in_two_books(rows: Keyed[Ticket]) -> Iterator[Clash[Ticket]]:
    """Tickets of one number in different books, but for those that name different suppliers. Rows by number."""
    for group in _groups(rows):
        tickets = sorted(group, key=_chronology)
        for index, later in enumerate(tickets):
            earlier = next((each for each in tickets[:index] if _one_delivery(each, later)), None)
            if earlier is not None:
                yield Clash(later, earlier, _surely_one(earlier, later))


def stretches_in_two_books(rows: Keyed[Stretch]) -> Iterator[Clash[Stretch]]:
    """Stretches of a lane that shots of different books cover with more width than it has. Rows by lane and work.

    The ends of all stretches cut the lane into pieces; between two ends the same shots lie over it.
    """
    for group in _groups(rows):
        common: dict[Placed[Stretch], dict[Placed[Stretch], list[tuple[float, float]]]] = {}
        for low, high, shots in _pieces(list(group)):
            for later, earlier in _beyond_the_lane(shots):
                common.setdefault(later, {}).setdefault(earlier, []).append((low, high))
        for later, others in common.items():
            earlier, pieces = max(others.items(), key=lambda item: _length(item[1]))
            length = _length(pieces)
            if length > max(later.source.station_reading, earlier.source.station_reading):
                certain = _one_application(earlier, later)
                yield Clash(later, earlier, certain, pieces[0][0], pieces[-1][1], length)


def spells_at_once(rows: Keyed[Spell]) -> Iterator[Clash[Spell]]:
    """Spells of one distributor at one time in different books. Rows by distributor."""
    for group in _groups(rows):
        under_way: list[Placed[Spell]] = []
        for later in sorted(group, key=lambda each: (each.row.began, each.source.path, each.row.row)):
            under_way = [each for each in under_way if each.row.ended > later.row.began]
            others = [each for each in under_way if each.source.book != later.source.book]
            if others:
                earlier = max(others, key=lambda each: each.row.ended)
                ended = min(earlier.row.ended, later.row.ended)
                if _more_than_a_watch_shows(earlier.row, later.row):
                    certain = _surely_one_machine(earlier.source, later.source)
                    yield Clash(later, earlier, certain, later.row.began, ended, ended - later.row.began)
            under_way.append(later)


def together(clashes: Iterable[Clash[Row]]) -> Iterator[list[Clash[Row]]]:
    """Give what two books have in common of one kind at once where it is several rows: a copy has one cause."""
    pairs: dict[tuple[int, int, bool], list[Clash[Row]]] = {}
    for clash in clashes:
        pair = clash.later.source.return_id, clash.earlier.source.return_id, clash.certain
        pairs.setdefault(pair, []).append(clash)
    for found in pairs.values():
        if len(found) < _SEVERAL:
            yield from ([clash] for clash in found)
        else:
            yield sorted(found, key=lambda clash: clash.later.row.row)


def _groups(rows: Keyed[Row]) -> Iterator[Iterator[Placed[Row]]]:
    for _key, group in groupby(rows, key=lambda each: each[0]):
        yield (placed for _, placed in group)


def _chronology(placed: Placed[Ticket] | Placed[Stretch]) -> tuple[float, float, str, int, int]:
    date = math.inf if placed.row.date is None else placed.row.date
    start = placed.row.start if isinstance(placed.row, Stretch) else None
    return date, start or 0.0, placed.source.path, placed.source.return_id, placed.row.row


def _one_delivery(one: Placed[Ticket], other: Placed[Ticket]) -> bool:
    if one.source.book == other.source.book:
        return False
    suppliers = {bare(one.row.supplier), bare(other.row.supplier)} - {""}
    return len(suppliers) < 2


def _surely_one(one: Placed[Ticket], other: Placed[Ticket]) -> bool:
    """A number alone can be used twice, and a delivery can be divided between distributors."""
    named = bool(bare(one.row.supplier)) and bool(bare(other.row.supplier))
    dates = (one.row.date, other.row.date)
    near = None not in dates and abs((dates[0] or 0) - (dates[1] or 0)) <= plausibility()["ticket_days"]
    return (named or near) and _same_quantity(one, other)


def _same_quantity(one: Placed[Ticket], other: Placed[Ticket]) -> bool:
    """By mass where both give one, else by volume; what cannot be compared does not differ."""
    if one.source.units != other.source.units:
        return False
    for name in ("mass", "volume", "base"):
        first, second = getattr(one.row, name), getattr(other.row, name)
        if first is not None and second is not None:
            return math.isclose(first, second, rel_tol=plausibility()["load_agreement"])
    return True


def _pieces(
    stretches: list[Placed[Stretch]],
) -> Iterator[tuple[float, float, list[Placed[Stretch]]]]:
    """Each piece of the lane between two ends, with the shots over it, the earliest first."""
    starting: dict[float, list[Placed[Stretch]]] = {}
    ending: dict[float, list[Placed[Stretch]]] = {}
    for each in stretches:
        starting.setdefault(each.row.low, []).append(each)
        ending.setdefault(each.row.high, []).append(each)
    over: list[Placed[Stretch]] = []
    for low, high in pairwise(sorted(starting.keys() | ending.keys())):
        for each in ending.get(low, ()):
            del over[bisect_left(over, _chronology(each), key=_chronology)]
        for each in starting.get(low, ()):
            insort(over, each, key=_chronology)
        if len(over) > 1:
            yield low, high, over


def _beyond_the_lane(over: list[Placed[Stretch]]) -> Iterator[tuple[Placed[Stretch], Placed[Stretch]]]:
    """Each shot that brings the width over a piece beyond the lane's, and the first one of another book below it."""
    if len({each.source.book for each in over}) < 2:
        return
    for index, later in enumerate(over):
        width, earlier = later.row.width, None
        for each in over[:index]:
            if not _may_be_one_application(each, later):
                continue
            width += each.row.width
            if earlier is None and each.source.book != later.source.book:
                earlier = each
            if earlier is not None and width > later.row.room:
                yield later, earlier
                break


def _may_be_one_application(one: Placed[Stretch], other: Placed[Stretch]) -> bool:
    """Sections of one order that lie over each other are layers, as ordered."""
    return one.row.section == other.row.section or one.source.order != other.source.order


def _one_application(one: Placed[Stretch], other: Placed[Stretch]) -> bool:
    return one.source.job == other.source.job and one.row.section == other.row.section


def _length(pieces: list[tuple[float, float]]) -> float:
    return sum(high - low for low, high in pieces)


def _more_than_a_watch_shows(earlier: Spell, later: Spell) -> bool:
    """Times are written to the minute; but the very same times are no matter of reading a watch."""
    if (earlier.began, earlier.ended) == (later.began, later.ended):
        return True
    minutes = plausibility()["clock_minutes"] * (1 + 1e-6)
    return (min(earlier.ended, later.ended) - later.began) * 1440 > minutes


def _surely_one_machine(one: Source, other: Source) -> bool:
    """Two contractors, or one that is not named, can each have a distributor of one name."""
    return bool(bare(one.serial)) or bool(bare(one.contractor)) or one.job == other.job
