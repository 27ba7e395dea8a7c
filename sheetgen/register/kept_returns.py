"""The newest return of each book with all that the register keeps of it, for what only many books show."""

from __future__ import annotations

import json
from typing import NamedTuple

import sqlalchemy as sa

from sheetgen.register.counted_once import counted_later, shot_rows
from sheetgen.register.tables import known_orders, returned_books
from sheetgen.register.trail import severity


class KeptReturn(NamedTuple):
    """The newest return of one book.

    Attributes:
        number: among the returns of its book, from 1; the earlier ones are superseded
        conclusion: the most serious severity among its findings
        counts: number of findings by severity
        overall: recomputed totals in the units of its order
        canonical: the order; None where the register does not have it
        entries: see :mod:`sheetgen.register.packed_entries`
        elsewhere: rows of its shot log whose shots count in the book of a revision
    """

    identity: str
    path: str
    number: int
    machine: str
    serial: str
    contractor: str
    job: str
    language: str
    units: str
    conclusion: str
    counts: dict[str, int]
    overall: dict[str, float | None]
    canonical: str | None
    entries: str
    elsewhere: frozenset[int] = frozenset()


def kept_returns(connection: sa.Connection) -> list[KeptReturn]:
    """The return of each book that no later one has taken the place of, in the order they were recorded.

    A book whose shots are all in the book of a revision is left out: they count there.
    """
    later = counted_later(connection)
    books, orders = returned_books.c, known_orders.c
    query = (
        sa.select(returned_books, orders.canonical)
        .outerjoin(known_orders, orders.digest == books.order)
        .where(books.superseded_by.is_(None))
        .order_by(books.id)
    )
    kept = [_kept(row, later.get(row.id, frozenset())) for row in connection.execute(query)]
    return [each for each in kept if not each.elsewhere or shot_rows(each.entries) - each.elsewhere]


def _kept(row: sa.Row[tuple[object, ...]], elsewhere: frozenset[int]) -> KeptReturn:
    held, totals = row._mapping, json.loads(row.totals)
    plain = {name: held[name] for name in KeptReturn._fields if name in held}
    counts = {severity(name): count for name, count in totals["counts"].items()}
    return KeptReturn(
        **plain
        | {
            "elsewhere": elsewhere,
            "conclusion": severity(row.conclusion),
            "counts": counts,
            "overall": totals["overall"],
        }
    )
