"""Cells cut from one place and pasted at another: formulas follow them, so one act changes many cells.

Sheet protection does not stop it for entry cells. A move is told from changed formulas by its consistency:
every formula that used the old place uses the new one, at one and the same distance, and none is left behind.
"""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import Any

from sheetgen.audit.proof.adjust import REFERENCE
from sheetgen.audit.proof.cells import Change
from sheetgen.audit.proof.meaning import BROKEN_REFERENCE, Tree, canonical
from sheetgen.audit.proof.pairing import Pair
from sheetgen.xlsx.address import Area, area

_MOST = 20_000  # changes looked at; a book with more was not changed by a move
_LONGEST = 2_000  # characters of a formula looked at
_CELL = re.compile(r"([A-Z]{1,3})\$?([0-9]{1,7})")
_FREQUENT = 50  # places with the same content, beyond which it says nothing about a move

Spot = tuple[str, Area]  # sheet's name in small letters, cells
Distance = tuple[str, str, int, int]  # from sheet, to sheet, rows, columns


@dataclass(frozen=True, slots=True)
class Move:
    """Cells moved from ``source`` to ``target``, with ``formulas`` that followed them."""

    from_sheet: str
    source: Area
    to_sheet: str
    target: Area
    formulas: int


def take_moves(changes: list[Change], pairs: Iterable[Pair]) -> tuple[list[Change], list[Move]]:
    """The changes that no move explains, and the moves."""
    if not changes or len(changes) > _MOST:
        return changes, []
    moved: dict[Distance, set[Area]] = defaultdict(set)
    explained: set[int] = set()
    _moved_content(changes, moved, explained)
    followers = {
        index: found
        for index, change in enumerate(changes)
        if change.kind == "formula-changed" and (found := _differences(change)) is not None
    }
    _moved_references(followers, moved, changes, list(pairs))
    _moved_formulas(changes, moved, explained)
    formulas: dict[Distance, int] = defaultdict(int)
    for index, differences in followers.items():
        distances = {_explaining(difference, moved) for difference in differences}
        if None not in distances:
            explained.add(index)
            for distance in distances - {None}:
                formulas[distance] += 1  # type: ignore[index]
    rest = [change for index, change in enumerate(changes) if index not in explained]
    return rest, [_move(distance, areas, formulas[distance]) for distance, areas in moved.items() if areas]


def _move(distance: Distance, areas: set[Area], formulas: int) -> Move:
    tops, lefts, bottoms, rights = zip(*areas, strict=True)
    source = (min(tops), min(lefts), max(bottoms), max(rights))
    return Move(distance[0], source, distance[1], _shifted(source, distance), formulas)


def _shifted(source: Area, distance: Distance) -> Area:
    rows, columns = distance[2:]
    return source[0] + rows, source[1] + columns, source[2] + rows, source[3] + columns


# Content that went from one locked place to another.


def _moved_content(changes: list[Change], moved: dict[Distance, set[Area]], explained: set[int]) -> None:
    gained: dict[tuple[str, Any], list[int]] = defaultdict(list)
    using: set[frozenset[tuple[str, str]]] = set()
    for index, change in enumerate(changes):
        token = _gained(change)
        if token is not None:
            gained[change.pair.returned.name.casefold(), token].append(index)
        if isinstance(token, tuple):
            using.add(_cells_used(change.got.formula))  # type: ignore[union-attr]
    votes: dict[Distance, list[tuple[int, int]]] = defaultdict(list)
    for index, change in enumerate(changes):
        if change.kind == "formula-removed" and _cells_used(change.formula) not in using:
            continue  # seen without reading it: where thousands are gone, hardly one went elsewhere
        sheet = change.pair.returned.name.casefold()
        token = _lost(change)
        places = gained.get((sheet, token), []) if token is not None else []
        for other in places if len(places) <= _FREQUENT else []:
            there = changes[other]
            distance = (sheet, sheet, there.row - change.row, there.column - change.column)
            votes[distance].append((index, other))
    for distance, pairs in sorted(votes.items(), key=lambda vote: -len(vote[1])):
        fresh = [pair for pair in pairs if not explained & set(pair)]
        if len(fresh) >= 2 or (fresh and _speaks(_lost(changes[fresh[0][0]]))):
            for lost, found in fresh:
                change = changes[lost]
                moved[distance].add((change.row, change.column, change.row, change.column))
                explained |= {lost, found}


def _moved_formulas(changes: list[Change], moved: dict[Distance, set[Area]], explained: set[int]) -> None:
    """Formulas that went along with the cells that they use: their text changed on the way."""
    places = {(change.pair.returned.name.casefold(), change.row, change.column): index
              for index, change in enumerate(changes)}  # fmt: skip
    for index, change in enumerate(changes):
        if change.kind != "formula-removed" or index in explained:
            continue
        sheet = change.pair.returned.name.casefold()
        for distance in [known for known in moved if known[0] == sheet and moved[known]]:
            other = places.get((distance[1], change.row + distance[2], change.column + distance[3]))
            if other is None or other in explained or changes[other].got is None:
                continue
            differences = _differences(replace(change, got=changes[other].got))
            if differences and all(_explaining(difference, moved) == distance for difference in differences):
                moved[distance].add((change.row, change.column, change.row, change.column))
                explained |= {index, other}
                break


def _cells_used(formula: str | None) -> frozenset[tuple[str, str]]:
    """The columns and rows of the cells that a formula names: the same however programs write it."""
    return frozenset(_CELL.findall((formula or "").upper()))


def _lost(change: Change) -> Any:
    """What is gone from its issued place; None where the place holds something."""
    if change.kind == "formula-removed":
        return canonical(change.formula or "", change.pair.returned.name)
    blank = change.got is None or (change.got.formula is None and change.got.value in (None, ""))
    if change.kind == "constant-changed" and blank and change.issued is not None:
        value = change.issued.value
        return float(value) if isinstance(value, int) and not isinstance(value, bool) else value
    return None


def _gained(change: Change) -> Any:
    """What stands now where something else or nothing was issued."""
    if change.got is None or change.kind == "number-format-changed":
        return None
    formula = change.got.formula
    if formula is None:
        return change.got.value
    return canonical(formula, change.pair.returned.name) if len(formula) <= _LONGEST else None


def _speaks(token: Any) -> bool:
    """Whether one such content alone is evidence of a move: a word or a formula is, a number is not."""
    return isinstance(token, tuple) or (isinstance(token, str) and len(token) > 2)


# References that follow moved cells.


def _differences(change: Change) -> list[tuple[Spot, Spot | None]] | None:
    """The references that differ, issued and returned (None: broken); None where more than those differs."""
    if change.formula is None or change.got is None or change.got.formula is None:
        return None
    sheet = change.pair.returned.name
    if len(change.got.formula) > _LONGEST:
        return None
    then, now = canonical(change.formula, sheet), canonical(change.got.formula, sheet)
    if then is None or now is None:
        return None
    found: list[tuple[Spot, Spot | None]] = []
    return found if _walk(then[0], now[0], sheet.casefold(), found) and found else None


def _walk(then: Any, now: Any, sheet: str, found: list[tuple[Spot, Spot | None]]) -> bool:
    """Gathers differing references; False where the trees differ in anything else."""
    if then == now:
        return True
    if not (isinstance(then, tuple) and isinstance(now, tuple)):
        return False
    source = _spot(then, sheet)
    if source is not None:
        target = _spot(now, sheet)
        if target is None and now != BROKEN_REFERENCE:
            return False
        found.append((source, target))
        return True
    return len(then) == len(now) and all(_walk(a, b, sheet, found) for a, b in zip(then, now, strict=True))


def _spot(tree: Tree, sheet: str) -> Spot | None:
    """The cells that a reference names; None for what is no reference to cells."""
    if len(tree) != 3 or tree[0] != "ref" or not isinstance(tree[2], tuple) or len(tree[2][0]) != 2:
        return None
    (left, right), (top, bottom) = tree[2][0]
    return tree[1] or sheet, (top, left, bottom, right)


def _distance(source: Spot, target: Spot) -> Distance | None:
    then, now = source[1], target[1]
    rows, columns = now[0] - then[0], now[1] - then[1]
    same_size = (now[2] - then[2], now[3] - then[3]) == (rows, columns)
    return (source[0], target[0], rows, columns) if same_size else None


def _moved_references(
    followers: dict[int, list[tuple[Spot, Spot | None]]],
    moved: dict[Distance, set[Area]],
    changes: list[Change],
    pairs: list[Pair],
) -> None:
    votes: dict[Distance, dict[Area, set[int]]] = defaultdict(lambda: defaultdict(set))
    for index, differences in followers.items():
        for source, target in differences:
            distance = None if target is None else _distance(source, target)
            if distance is not None:
                votes[distance][source[1]].add(index)
    if not votes:
        return
    used = _used_elsewhere(changes, pairs)
    for distance, sources in votes.items():
        left = {place: indexes for place, indexes in sources.items() if (distance[0], place) not in used}
        if len(set().union(*left.values())) >= 2 or distance in moved:
            moved[distance] |= set(left)


def _used_elsewhere(changes: list[Change], pairs: list[Pair]) -> set[Spot]:
    """The cells that formulas use which did not change."""
    changed = {(id(change.pair), change.row, change.column) for change in changes}
    used: set[Spot] = set()
    for pair in pairs:
        own = pair.returned.name.casefold()
        for (row, column), cell in pair.returned.cells.items():
            formula = cell.formula
            if formula is None or len(formula) > _LONGEST or (id(pair), row, column) in changed:
                continue
            for match in REFERENCE.finditer(formula):
                if match["first"] is not None:
                    prefix = (match["sheet"] or "!")[:-1].strip("'").replace("''", "'").casefold()
                    place = area(match["first"] + (f":{match['last']}" if match["last"] else ""))
                    if place is not None:
                        used.add((prefix or own, place))
    return used


def _explaining(difference: tuple[Spot, Spot | None], moved: dict[Distance, set[Area]]) -> Distance | None:
    """The move that explains why a reference differs; None for none."""
    source, target = difference
    if target is not None:
        distance = _distance(source, target)
        return distance if distance is not None and source[1] in moved.get(distance, ()) else None
    for distance, areas in moved.items():
        # What stood where the cells were pasted is gone, and formulas that used it are broken.
        if distance[1] == source[0] and source[1] in {_shifted(place, distance) for place in areas}:
            return distance
    return None
