"""A job across the revisions of its order: a shot that stands in the earlier book and in the later one is one shot.

Entries are taken over into the book of a revision, or typed there again. Such a shot counts in the later book, is no
clash with itself, and what the later book says otherwise of it is asked about.
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from typing import Any, NamedTuple

import sqlalchemy as sa

from sheetgen.reading.words import bare
from sheetgen.register.packed_entries import Change, unpack
from sheetgen.register.tables import issued_books, known_orders, returned_books

_SHOT = ("date", "start", "section", "lane", "from_station", "to_station")
_LOAD = ("date", "ticket", "supplier")
_REPLACES = '%"replaces":["%'  # in the canonical text of an order that replaces a book
_LEAST = {"shots": 4, "loads": 2}  # of the facts must be known to tell a row by them
_ALIKE = 5  # of the facts of a shot are equal in a row of one number: one shot with a corrected entry

Facts = Mapping[str, Any]
Rows = dict[int, dict[str, Any]]


class Shared(NamedTuple):
    """What two current returns of one job have in common.

    Attributes:
        earlier, later: rows of ``returned_books``; the later one's order replaces the earlier one's
        shots, loads: their rows in the earlier book, from 0
        of: how many shots the earlier book has
        differences: what the later one says otherwise of them
    """

    earlier: sa.Row[Any]
    later: sa.Row[Any]
    shots: frozenset[int]
    loads: frozenset[int]
    of: int
    differences: tuple[Change, ...]


def shared_work(connection: sa.Connection) -> list[Shared]:
    """Find what current returns of replaced books have in common with those of the books that replaced them."""
    replaced = _replaced(connection)
    if not replaced:
        return []
    known = {*replaced, *(code for codes in replaced.values() for code in codes)}
    columns = returned_books.c
    current = sa.select(returned_books).where(columns.superseded_by.is_(None), columns.book.in_(known))
    rows = connection.execute(current.order_by(columns.id)).all()
    found: list[Shared] = []
    for later in rows:
        before = _before(later.book, replaced)
        found += [_shared(each, later) for each in rows if each.book in before and _one_job(each, later)]
    return [each for each in found if each.shots or each.loads]


def counted_later(connection: sa.Connection) -> dict[int, frozenset[int]]:
    """Give the shots of each return, by their rows, that are also in the book of a revision: they count there."""
    found: dict[int, frozenset[int]] = {}
    for each in shared_work(connection):
        found[each.earlier.id] = found.get(each.earlier.id, frozenset()) | each.shots
    return found


def shot_rows(packed: str) -> set[int]:
    """Give the rows of the shot log in which more than a remark stands."""
    return set(_Logs(packed).rows("shots"))


def _replaced(connection: sa.Connection) -> dict[str, set[str]]:
    """Which books each book replaces, by the orders that were issued and those that came back."""
    books, orders, out = returned_books.c, known_orders.c, issued_books.c
    returned = sa.select(books.book, orders.canonical).join(known_orders, orders.digest == books.order)
    found: dict[str, set[str]] = {}
    for query, canonical in (
        (returned, orders.canonical),
        (sa.select(out.identity, out.canonical), out.canonical),
    ):
        for book, order in connection.execute(query.where(canonical.like(_REPLACES))):
            found.setdefault(book, set()).update(_codes(order))
    return found


def _codes(canonical: str) -> list[str]:
    """The books that an order replaces, whatever version of the program wrote it."""
    try:
        return [str(code) for code in json.loads(canonical)["job"]["replaces"]]
    except (ValueError, KeyError, TypeError):
        return []


def _before(book: str, replaced: Mapping[str, set[str]]) -> set[str]:
    """Every book that a book replaces, directly or through others."""
    found: set[str] = set()
    open_ = [book]
    while open_:
        new = replaced.get(open_.pop(), set()) - found - {book}
        found |= new
        open_ += new
    return found


def _one_job(one: sa.Row[Any], other: sa.Row[Any]) -> bool:
    """A book can say that it replaces any other: only of one job and distributor it is believed."""
    return bare(one.job) == bare(other.job) and bare(one.machine) == bare(other.machine)


def _shared(earlier: sa.Row[Any], later: sa.Row[Any]) -> Shared:
    before, after = _Logs(earlier.entries), _Logs(later.entries)
    pairs = dict(_pairs(before, after, "shots", _SHOT, _ALIKE))
    loads = dict(_pairs(before, after, "loads", _LOAD, len(_LOAD)))
    differences = tuple(each for pair in pairs.items() for each in _differences(before, after, *pair))
    return Shared(earlier, later, frozenset(pairs), frozenset(loads), len(before.rows("shots")), differences)


class _Logs:
    """The entries of a return, by log, row and column."""

    def __init__(self, packed: str) -> None:
        self.entries = {(each.table, each.row, each.column): each for each in unpack(packed)}
        self._rows: dict[str, Rows] = {}
        for (table, row, column), each in self.entries.items():
            if each.value is not None:
                self._rows.setdefault(table, {}).setdefault(row, {})[column] = each.value

    def rows(self, table: str) -> Rows:
        """The values of a log, rows of remarks alone left out."""
        return {
            row: values for row, values in self._rows.get(table, {}).items() if values.keys() - {"remarks"}
        }


def _pairs(
    before: _Logs, after: _Logs, table: str, facts: tuple[str, ...], alike: int
) -> Iterator[tuple[int, int]]:
    """Rows that are the same work: of equal facts; then rows of one number in which most facts are equal."""
    old, new, least = before.rows(table), after.rows(table), _LEAST[table]
    free: dict[tuple[Any, ...], list[int]] = {}
    for row, values in new.items():
        free.setdefault(_key(values, facts), []).append(row)
    taken: set[int] = set()
    rest = []
    for row, values in sorted(old.items()):
        others = free.get(_key(values, facts), [])
        if others and sum(values.get(fact) is not None for fact in facts) >= least:
            taken.add(others[0])
            yield row, others.pop(0)
        else:
            rest.append(row)
    for row in rest:
        if row in new and row not in taken and _alike(old[row], new[row], facts) >= alike:
            yield row, row


def _key(values: Facts, facts: tuple[str, ...]) -> tuple[Any, ...]:
    return tuple(_plain(values.get(fact)) for fact in facts)


def _plain(value: Any) -> Any:
    return bare(value) if isinstance(value, str) else None if value is None else round(float(value), 6)


def _alike(one: Facts, other: Facts, facts: tuple[str, ...]) -> int:
    return sum(one.get(fact) is not None and _plain(one[fact]) == _plain(other.get(fact)) for fact in facts)


def _differences(before: _Logs, after: _Logs, row: int, other: int) -> Iterator[Change]:
    was = {key[2]: each for key, each in before.entries.items() if key[:2] == ("shots", row)}
    now = {key[2]: each for key, each in after.entries.items() if key[:2] == ("shots", other)}
    for column in dict.fromkeys((*was, *now)):
        one, two = was.get(column), now.get(column)
        if column != "remarks" and _plain(one and one.value) != _plain(two and two.value):
            at = two if two is not None and two.cell else one
            if at is not None:
                yield Change(at.sheet, at.cell, _typed(one), _typed(two))


def _typed(entry: Any) -> str:
    return "" if entry is None or entry.raw is None else str(entry.raw)
