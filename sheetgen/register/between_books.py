"""What the returned books of a register say against each other, and against what was issued.

The rows that can clash are read sorted from the database, so that memory does not grow with the number of books.
Only the current return of each book counts: one that was superseded clashes with nothing.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from typing import Any, TypeVar

import sqlalchemy as sa

from sheetgen.order.model import Order
from sheetgen.register import wording
from sheetgen.register.clashes import (
    Clash,
    Placed,
    Source,
    spells_at_once,
    stretches_in_two_books,
    tickets_in_two_books,
    together,
)
from sheetgen.register.counted_once import Shared, shared_work
from sheetgen.register.packed_entries import changes
from sheetgen.register.section_areas import areas_in_two_books, sections_beyond_order
from sheetgen.register.summary import Spell, Stretch, Ticket, order_digest
from sheetgen.register.tables import (
    issued_books,
    returned_books,
    returned_copies,
    returned_spells,
    returned_stretches,
    returned_tickets,
)
from sheetgen.register.wording import AcrossFinding

Row = TypeVar("Row", Ticket, Stretch, Spell)

_AT_ONCE = 1000
_SOURCE = tuple(name for name in Source.__slots__ if name != "return_id")


def across_findings(
    connection: sa.Connection, among: frozenset[int] | None, saved: Mapping[int, str] | None = None
) -> list[AcrossFinding]:
    """All findings that concern the returns ``among`` all others; of all returns where it is None.

    Where the returns are those of one run, ``saved`` says which of them are in the order in which they were saved.
    """
    chosen = None if among is None else _chosen(connection, among)
    common = shared_work(connection)
    shots = {(each.earlier.id, row) for each in common for row in each.shots}
    loads = {(each.earlier.id, row) for each in common for row in each.loads}
    stretches = list(
        _clashes(
            connection,
            returned_stretches,
            "stretch_key",
            Stretch,
            stretches_in_two_books,
            chosen,
            among,
            shots,
        )
    )
    beyond = sections_beyond_order(connection, among, areas_in_two_books(stretches))
    found = [
        *_in_later_books(common, among),
        *_trail(connection, chosen, among, saved),
        *_copies(connection, chosen),
        *_not_as_issued(connection, chosen),
        *map(wording.of_clashes, together(_clashes(
            connection, returned_tickets, "ticket_key", Ticket, tickets_in_two_books, chosen, among, loads
        ))),
        *map(wording.of_clashes, together(stretches)),
        *map(wording.of_area, beyond),
        *map(wording.of_clashes, together(_clashes(
            connection, returned_spells, "machine_key", Spell, spells_at_once, chosen, among, shots
        ))),
    ]  # fmt: skip
    return sorted(
        found, key=lambda each: (each.path, each.finding.sheet, each.finding.row or 0, each.finding.name)
    )


def _chosen(connection: sa.Connection, among: frozenset[int]) -> sa.Select[Any]:
    """The ids of the chosen returns as a query: they can be more than a statement takes parameters."""
    table = sa.Table(
        "chosen_returns", sa.MetaData(), sa.Column("id", sa.Integer, primary_key=True), prefixes=["TEMPORARY"]
    )
    table.create(connection, checkfirst=False)  # it goes with the transaction, which only reads
    ids = sorted(among)
    for start in range(0, len(ids), _AT_ONCE):
        connection.execute(table.insert(), [{"id": each} for each in ids[start : start + _AT_ONCE]])
    return sa.select(table.c.id)


def _clashes(
    connection: sa.Connection,
    table: sa.Table,
    key: str,
    kind: type[Row],
    find: Callable[[Iterable[tuple[str, Placed[Row]]]], Iterator[Clash[Row]]],
    chosen: sa.Select[Any] | None,
    among: frozenset[int] | None,
    again: set[tuple[int, int]],
) -> Iterator[Clash[Row]]:
    """What rows say against each other, but for those ``again`` that stand in the book of a revision too."""
    rows = _placed(connection, table, key, kind, chosen)
    once = ((name, each) for name, each in rows if (each.source.return_id, each.row.row) not in again)
    for clash in find(once):
        if among is None or clash.later.source.return_id in among or clash.earlier.source.return_id in among:
            yield clash


def _in_later_books(common: Iterable[Shared], among: frozenset[int] | None) -> Iterator[AcrossFinding]:
    """Shots that were taken over into the book of a revision, and what that book says otherwise of them."""
    told: set[tuple[int, int]] = set()
    for each in common:
        shots = frozenset(row for row in each.shots if (each.earlier.id, row) not in told)
        told |= {(each.earlier.id, row) for row in shots}
        if among is not None and not among & {each.earlier.id, each.later.id}:
            continue
        if shots:
            yield wording.of_shared(each, shots)
        if each.differences:
            yield wording.of_differences(each)


def _placed(
    connection: sa.Connection, table: sa.Table, key: str, kind: type[Row], chosen: sa.Select[Any] | None
) -> Iterator[tuple[str, Placed[Row]]]:
    """Rows of current returns, sorted by key, of those keys alone that stand in more than one book."""
    books, keys = returned_books.c, table.c[key]
    joined = table.join(returned_books, table.c.return_id == books.id)
    shared = (
        sa.select(keys)
        .select_from(joined)
        .where(books.superseded_by.is_(None))
        .group_by(keys)
        .having(sa.func.count(sa.distinct(books.book)) > 1)
    )
    if chosen is not None:
        shared = shared.where(keys.in_(sa.select(keys).where(table.c.return_id.in_(chosen))))
    facts = tuple(kind.__slots__)
    query = (
        sa.select(keys, table.c.return_id, *(books[name].label(f"of_{name}") for name in _SOURCE),
                  *(table.c[name] for name in facts))
        .select_from(joined)
        .where(books.superseded_by.is_(None), keys.in_(shared))
        .order_by(keys)
    )  # fmt: skip
    sources: dict[int, Source] = {}
    for row in connection.execute(query, execution_options={"yield_per": _AT_ONCE}):
        number, last = row[1], 2 + len(_SOURCE)
        if number not in sources:
            if len(sources) > 4 * _AT_ONCE:
                sources.clear()
            sources[number] = Source(number, *row[2:last])
        yield row[0], Placed(sources[number], kind(*row[last:]))


def _trail(
    connection: sa.Connection,
    chosen: sa.Select[Any] | None,
    among: frozenset[int] | None,
    saved: Mapping[int, str] | None,
) -> Iterator[AcrossFinding]:
    """Returns that take the place of an earlier one."""
    earlier = returned_books.alias("earlier")
    query = (
        sa.select(returned_books, *(column.label(f"earlier_{column.name}") for column in earlier.c))
        .select_from(returned_books.join(earlier, returned_books.c.supersedes == earlier.c.id))
        .order_by(returned_books.c.id)
    )
    for row in connection.execute(_limited(query, chosen), execution_options={"yield_per": 100}):
        changed = changes(row.earlier_entries, row.entries)
        together = among is not None and row.earlier_id in among
        yield wording.of_changes(row, changed, together, saved)


def _copies(connection: sa.Connection, chosen: sa.Select[Any] | None) -> Iterator[AcrossFinding]:
    """One file at several places."""
    copies = returned_copies.c
    first = sa.select(sa.func.min(copies.id)).group_by(copies.return_id)
    query = (
        sa.select(returned_books, copies.path.label("copy"))
        .select_from(returned_books.join(returned_copies, copies.return_id == returned_books.c.id))
        .where(copies.id.not_in(first))
        .order_by(copies.id)
    )
    for row in connection.execute(_limited(query, chosen)):
        yield wording.of_copy(row)


def _not_as_issued(connection: sa.Connection, chosen: sa.Select[Any] | None) -> Iterator[AcrossFinding]:
    """Current returns of books that the office did not issue, or issued with another order."""
    if connection.execute(sa.select(issued_books.c.id).limit(1)).first() is None:
        return  # an office that does not record what it issues
    books = returned_books.c
    query = (
        sa.select(returned_books, issued_books.c.canonical, issued_books.c.issued)
        .select_from(returned_books.outerjoin(issued_books, issued_books.c.identity == books.identity))
        .where(books.superseded_by.is_(None), books.identity != "")
        .order_by(books.id, issued_books.c.id)
    )
    told: set[int] = set()
    for row in connection.execute(_limited(query, chosen), execution_options={"yield_per": 100}):
        if row.id not in told and (row.canonical is None or row.order not in _digests(row.canonical)):
            told.add(row.id)
            yield wording.of_issue(row)


def _digests(canonical: str) -> set[str]:
    """Of an order as it was recorded, and as this version of the program writes it."""
    order = Order.readable(canonical)
    return {order_digest(canonical), *([] if order is None else [order_digest(order.canonical())])}


def _limited(query: sa.Select[Any], chosen: sa.Select[Any] | None) -> sa.Select[Any]:
    return query if chosen is None else query.where(returned_books.c.id.in_(chosen))
