"""The books of a register at a glance: a line for each that was issued, and for each that came back."""

from __future__ import annotations

import json
from typing import NamedTuple

import sqlalchemy as sa

from sheetgen.register.tables import issued_books, returned_books
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
