"""Which of several returns of one book is the earlier one, where one run brought them together.

A register numbers returns as they are recorded: what came in later counts. Within one run they come in by the names of
their files, which say little. There the files' own times of saving count, where every one of them has one.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence

import sqlalchemy as sa

from sheetgen.register.tables import returned_books

_AT_ONCE = 500


def put_in_order(connection: sa.Connection, saved: Mapping[int, str]) -> dict[int, str]:
    """Number the returns of one run as they were saved; those of other runs keep their places.

    Args:
        saved: when the file of each return was last saved, ISO 8601 in UTC, by number in the register; empty where it
            does not say

    Returns:
        the same for those returns that were put in order by it: of books that came back more than once in the run,
        at times that differ, with a time in every file
    """
    decided: dict[int, str] = {}
    for book, mine in _together(connection, saved):
        times = {return_id: saved[return_id] for return_id in mine}
        if "" in times.values() or len(set(times.values())) == 1:
            continue
        decided |= times
        in_order = sorted(mine, key=times.__getitem__)  # at one time: as they were recorded
        if in_order != mine:
            _number_again(connection, book, dict(zip(mine, in_order, strict=True)))
    return decided


def _together(connection: sa.Connection, saved: Iterable[int]) -> Iterator[tuple[str, list[int]]]:
    """Books of which the run has several returns, and those as they are numbered now."""
    books, ids = returned_books.c, sorted(saved)
    found: dict[str, list[tuple[int, int]]] = defaultdict(list)
    for start in range(0, len(ids), _AT_ONCE):
        chosen = ids[start : start + _AT_ONCE]
        for row in connection.execute(
            sa.select(books.id, books.book, books.number).where(books.id.in_(chosen))
        ):
            found[row.book].append((row.number, row.id))
    for book, returns in found.items():
        if len(returns) > 1:
            yield book, [return_id for _, return_id in sorted(returns)]


def _number_again(connection: sa.Connection, book: str, instead: Mapping[int, int]) -> None:
    """Put each return in the place of another one, and chain all returns of the book again."""
    books = returned_books.c
    rows = connection.execute(
        sa.select(books.id, books.number).where(books.book == book).order_by(books.number)
    ).all()
    numbers = [row.number for row in rows]
    chain = [instead.get(row.id, row.id) for row in rows]
    connection.execute(
        returned_books.update().where(books.book == book).values(number=-books.number)
    )  # no two alike
    before: Sequence[int | None] = [None, *chain[:-1]]
    after: Sequence[int | None] = [*chain[1:], None]
    for number, return_id, earlier, later in zip(numbers, chain, before, after, strict=True):
        places = {"number": number, "supersedes": earlier, "superseded_by": later}
        connection.execute(returned_books.update().where(books.id == return_id).values(**places))
