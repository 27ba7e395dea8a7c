"""The trail of a book: how it was issued, every return of it, and what each one changed."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import sqlalchemy as sa

from sheetgen.reading.words import bare
from sheetgen.register.packed_entries import Change, changes
from sheetgen.register.tables import (
    issued_books,
    issued_layouts,
    returned_books,
    returned_copies,
    returned_rechecks,
)

# Severities as registers of earlier versions name them.
_EARLIER = {"wrong": "error", "doubt": "query"}


@dataclass(frozen=True, slots=True)
class IssuedBook:
    """One field book as the office issued it.

    Attributes:
        identity: as printed on every page
        template: version of the templates it was made with
        canonical: the order's canonical text
        public_key, signature: hexadecimal, empty where it was not signed
        issued: when it was first recorded, ISO 8601 in UTC
    """

    identity: str
    machine: str
    template: str
    job: str
    canonical: str
    public_key: str
    signature: str
    issued: str


@dataclass(frozen=True, slots=True)
class RecheckMade:
    """What one version of the program made of a file."""

    rechecked: str
    program: str
    origin: str
    conclusion: str
    totals: dict[str, Any]


@dataclass(frozen=True, slots=True)
class ReturnedBook:
    """One return in the trail of a book.

    Attributes:
        number: among the returns of the book, from 1
        paths: every place where the file was seen, the first one first
        supersedes, superseded_by: numbers of returns, None for none
        overall: recomputed totals
        rechecks: what each version of the program made of it, the oldest first
        changes: entries that differ from the return it superseded
    """

    return_id: int
    number: int
    sha256: str
    paths: tuple[str, ...]
    supersedes: int | None
    superseded_by: int | None
    origin: str
    conclusion: str
    overall: dict[str, float | None]
    rechecks: tuple[RecheckMade, ...]
    changes: tuple[Change, ...]


@dataclass(frozen=True, slots=True)
class History:
    """All that the register holds of one book, the oldest first."""

    identity: str
    issued: tuple[IssuedBook, ...]
    returns: tuple[ReturnedBook, ...]


def history(connection: sa.Connection, identity: str) -> History:
    """All that a register holds of the book of an identity."""
    columns = returned_books.c
    rows = connection.execute(
        sa.select(returned_books).where(columns.identity == identity).order_by(columns.number)
    ).all()
    numbers, by_id = {row.id: row.number for row in rows}, {row.id: row for row in rows}
    returns = tuple(_returned(connection, row, by_id, numbers) for row in rows)
    return History(identity, issued(connection, identity), returns)


def keep_issue(connection: sa.Connection, book: IssuedBook, layout: bytes) -> IssuedBook:
    """Keep a book as it is issued, and every cell of it; one that is kept already stays as it is."""
    known_layout = sa.select(issued_layouts.c.identity).where(issued_layouts.c.identity == book.identity)
    if connection.execute(known_layout).first() is None:
        connection.execute(issued_layouts.insert().values(identity=book.identity, layout=layout))
    for known in issued(connection, book.identity):
        if known.public_key == book.public_key:
            return known
    values = {name: getattr(book, name) for name in IssuedBook.__slots__}
    connection.execute(issued_books.insert().values(values))
    return book


def issued(connection: sa.Connection, identity: str) -> tuple[IssuedBook, ...]:
    """The book of an identity as it was issued, once for each key it was signed with, the oldest first."""
    columns = issued_books.c
    rows = connection.execute(
        sa.select(issued_books).where(columns.identity == identity).order_by(columns.id)
    ).all()
    return tuple(_issued_book(row) for row in rows)


def issued_for(connection: sa.Connection, job: str) -> tuple[IssuedBook, ...]:
    """Every book that was issued for a job, the oldest first."""
    columns = issued_books.c
    jobs = connection.scalars(sa.select(columns.job).distinct()).all()
    alike = [each for each in jobs if bare(each) == bare(job)]
    rows = connection.execute(
        sa.select(issued_books).where(columns.job.in_(alike)).order_by(columns.id)
    ).all()
    return tuple(_issued_book(row) for row in rows)


def _issued_book(row: sa.Row[Any]) -> IssuedBook:
    return IssuedBook(*(row._mapping[name] for name in IssuedBook.__slots__))


def _returned(
    connection: sa.Connection, row: sa.Row[Any], by_id: dict[int, sa.Row[Any]], numbers: dict[int, int]
) -> ReturnedBook:
    copies: Sequence[str] = connection.scalars(
        sa.select(returned_copies.c.path)
        .where(returned_copies.c.return_id == row.id)
        .order_by(returned_copies.c.id)
    ).all()
    made = connection.execute(
        sa.select(returned_rechecks)
        .where(returned_rechecks.c.return_id == row.id)
        .order_by(returned_rechecks.c.id)
    ).all()
    before = by_id.get(row.supersedes)
    return ReturnedBook(
        return_id=row.id,
        number=row.number,
        sha256=row.sha256,
        paths=tuple(copies),
        supersedes=numbers.get(row.supersedes),
        superseded_by=numbers.get(row.superseded_by),
        origin=row.origin,
        conclusion=severity(row.conclusion),
        overall=json.loads(row.totals)["overall"],
        rechecks=tuple(
            RecheckMade(
                each.rechecked, each.program, each.origin, severity(each.conclusion), json.loads(each.totals)
            )
            for each in made
        ),
        changes=changes(before.entries, row.entries) if before is not None else (),
    )


def severity(conclusion: str) -> str:
    """The severity, whichever version of the program recorded it."""
    return _EARLIER.get(conclusion, conclusion)
