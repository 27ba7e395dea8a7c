"""The books of a register: a line for each that was issued or came back, and all that is kept of the newest returns."""

from __future__ import annotations

import json
from typing import NamedTuple

import sqlalchemy as sa

from sheetgen.register.counted_once import counted_later, shot_rows
from sheetgen.register.tables import issued_books, known_orders, returned_books
from sheetgen.register.trail import severity


class IssuedLine(NamedTuple):
    """A book that was issued; ``issued`` is ISO 8601 in UTC, ``returns`` how many returns of it are known."""

    identity: str
    job: str
    machine: str
    signed: bool
    issued: str
    returns: int


class ReturnedLine(NamedTuple):
    """The newest return of a book; ``payable`` as recomputed, in gallons or liters by ``units``."""

    identity: str
    job: str
    machine: str
    path: str
    number: int
    conclusion: str
    payable: float | None
    units: str
    rechecked: str


def issued_lines(connection: sa.Connection) -> list[IssuedLine]:
    """Every issued book, the latest first."""
    returns = sa.select(returned_books.c.identity, sa.func.count().label("times"))
    counted = returns.group_by(returned_books.c.identity).subquery()
    books = issued_books.c
    query = sa.select(issued_books, counted.c.times).outerjoin(counted, counted.c.identity == books.identity)
    rows = connection.execute(query.order_by(books.issued.desc(), books.id.desc()))
    return [
        IssuedLine(row.identity, row.job, row.machine, bool(row.signature), row.issued, row.times or 0)
        for row in rows
    ]


def returned_lines(connection: sa.Connection) -> list[ReturnedLine]:
    """The return of each book that no later one has taken the place of, the latest first."""
    books = returned_books.c
    query = sa.select(returned_books).where(books.superseded_by.is_(None))
    rows = connection.execute(query.order_by(books.rechecked.desc(), books.id.desc()))
    return [
        ReturnedLine(
            row.identity, row.job, row.machine, row.path, row.number, severity(row.conclusion),
            json.loads(row.totals)["overall"].get("payable"), row.units, row.rechecked,
        )
        for row in rows
    ]  # fmt: skip


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
