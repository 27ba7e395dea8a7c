"""The register: what the office issued, what came back, and what each return changed."""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any, Literal

import sqlalchemy as sa

from sheetgen import templates
from sheetgen.errors import RegisterError
from sheetgen.register.database import Database, now, open_database
from sheetgen.register.entries_kept import Change, changes
from sheetgen.register.keeping import Keeping, Kept
from sheetgen.register.summary import Summary, summarize
from sheetgen.register.tables import (
    issued_books,
    issued_layouts,
    returned_books,
    returned_copies,
    returned_rechecks,
)

if TYPE_CHECKING:
    from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey

    from sheetgen.book.model import Book
    from sheetgen.order.model import Machine, Order
    from sheetgen.recheck.model import Recheck
    from sheetgen.register.wording import AcrossFinding


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
class Figure:
    """A recomputed total that differs between two returns, in the order's units."""

    name: str
    before: float | None
    after: float | None


@dataclass(frozen=True, slots=True)
class Outcome:
    """What the register says of a return.

    Attributes:
        kind: "new": the first return of its book; "same-again": its file, or all of its entries, came back before;
            "supersedes": it has other entries than the earlier return, which it takes the place of
        return_id: of the return in the register
        number: of the return among those of its book, from 1
        earlier: number of the return that it repeats or supersedes, None where it is the first
        same_file: whether the very file was known
        superseded: whether a later return has taken its place already
        changes: the entries that differ from the earlier return, none for "new" and "same-again"
        figures: the totals that differ from the earlier return
    """

    kind: Literal["new", "same-again", "supersedes"]
    return_id: int
    number: int
    earlier: int | None = None
    same_file: bool = False
    superseded: bool = False
    changes: tuple[Change, ...] = ()
    figures: tuple[Figure, ...] = ()


@dataclass(frozen=True, slots=True)
class RecheckMade:
    """What one version of the program made of a file."""

    rechecked: str
    program: str
    origin: str
    verdict: str
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
    verdict: str
    overall: dict[str, float | None]
    rechecks: tuple[RecheckMade, ...]
    changes: tuple[Change, ...]


@dataclass(frozen=True, slots=True)
class History:
    """All that the register holds of one book, the oldest first."""

    identity: str
    issued: tuple[IssuedBook, ...]
    returns: tuple[ReturnedBook, ...]


class Register:
    """An open register; made by :func:`open_register`. Every method raises ``RegisterError`` where it cannot be used.

    Each recording is one transaction: it is kept as a whole or not at all, and several processes may record at once.
    """

    def __init__(self, database: Database) -> None:
        self._database = database

    @property
    def name(self) -> str:
        """The register as a person named it, without a password."""
        return self._database.name

    def record_issue(
        self, order: Order, machine: Machine, key: str | Path | Ed25519PrivateKey | None = None
    ) -> IssuedBook:
        """Record that the field book of one distributor was issued; a book that is recorded already stays as it is.

        Args:
            key: the office's signing key or its file; None for a book that is not signed

        Raises:
            KeyFileError: the key cannot be used.
        """
        from sheetgen.book.kept import pack
        from sheetgen.book.layout import lay_out
        from sheetgen.book.record import TEMPLATE_VERSION, identity, signed_message

        canonical = order.canonical()
        public_key, signature = _proof(key, signed_message(canonical, machine.name, TEMPLATE_VERSION))
        book = IssuedBook(
            identity(order, machine), machine.name, TEMPLATE_VERSION, order.job.number, canonical,
            public_key, signature, now(),
        )  # fmt: skip
        layout = pack(lay_out(order, machine, sign=lambda _message: (public_key, signature)))
        return self._database.write(lambda connection: _keep_issue(connection, book, layout))

    def layout(self, identity: str) -> Book | None:
        """Every cell of a book as it was issued, whatever version of the program it was; None where it was not."""
        from sheetgen.book.kept import unpack

        with self._database.reading() as connection:
            kept = connection.execute(
                sa.select(issued_layouts.c.layout).where(issued_layouts.c.identity == identity)
            ).scalar()
        return None if kept is None else unpack(kept)

    def issued(self, identity: str) -> tuple[IssuedBook, ...]:
        """The book of an identity as it was issued, once for each key it was signed with; empty where it was not."""
        with self._database.reading() as connection:
            return _issued(connection, identity)

    def record_return(self, recheck: Recheck | Summary) -> Outcome:
        """Record a recheck, and say whether its file is new, known, or takes the place of an earlier return."""
        return self.record_returns([recheck])[0]

    def record_returns(self, rechecks: Iterable[Recheck | Summary]) -> list[Outcome]:
        """Record several rechecks in one transaction, in their order."""
        summaries = [each if isinstance(each, Summary) else summarize(each) for each in rechecks]
        for summary in summaries:
            if not summary.sha256:
                raise RegisterError(templates.texts("en").say("register.no_digest", path=summary.path))
        return self._database.write(lambda connection: _record(connection, summaries))

    def history(self, identity: str) -> History:
        """The trail of a book: how it was issued, every return, and what each changed."""
        with self._database.reading() as connection:
            columns = returned_books.c
            rows = connection.execute(
                sa.select(returned_books).where(columns.identity == identity).order_by(columns.number)
            ).all()
            numbers, by_id = {row.id: row.number for row in rows}, {row.id: row for row in rows}
            returns = tuple(_returned(connection, row, by_id, numbers) for row in rows)
            return History(identity, _issued(connection, identity), returns)

    def across(self, returns: Iterable[int] | None = None) -> list[AcrossFinding]:
        """What the books say against each other, by file and row.

        Args:
            returns: ``Outcome.return_id`` of the returns to judge, against all others; None for all
        """
        from sheetgen.register.between_books import across_findings

        with self._database.reading() as connection:
            return across_findings(connection, None if returns is None else frozenset(returns))

    def close(self) -> None:
        """Let go of the register."""
        self._database.close()


@contextmanager
def open_register(place: str | Path | None = None) -> Iterator[Register]:
    """Open a register, and make it where there is none.

    Args:
        place: a file (SQLite), any SQLAlchemy database URL, or None for one that lasts as long as it is open

    Raises:
        RegisterError: it cannot be opened or written, or is something else.

    Example: ``with open_register("register.db") as register: register.history("7F3A-91C2-0B5D")``
    """
    register = Register(open_database(place))
    try:
        yield register
    finally:
        register.close()


def _proof(key: str | Path | Ed25519PrivateKey | None, message: bytes) -> tuple[str, str]:
    if key is None:
        return "", ""
    from sheetgen.signing import load_key, public_text, sign

    private = load_key(key) if isinstance(key, str | Path) else key
    return public_text(private), sign(private, message)


def _keep_issue(connection: sa.Connection, book: IssuedBook, layout: bytes) -> IssuedBook:
    known_layout = sa.select(issued_layouts.c.identity).where(issued_layouts.c.identity == book.identity)
    if connection.execute(known_layout).first() is None:
        connection.execute(issued_layouts.insert().values(identity=book.identity, layout=layout))
    for known in _issued(connection, book.identity):
        if known.public_key == book.public_key:
            return known
    values = {name: getattr(book, name) for name in IssuedBook.__slots__}
    connection.execute(issued_books.insert().values(values))
    return book


def _issued(connection: sa.Connection, identity: str) -> tuple[IssuedBook, ...]:
    columns = issued_books.c
    rows = connection.execute(
        sa.select(issued_books).where(columns.identity == identity).order_by(columns.id)
    ).all()
    return tuple(IssuedBook(*(row._mapping[name] for name in IssuedBook.__slots__)) for row in rows)


def _record(connection: sa.Connection, summaries: Iterable[Summary]) -> list[Outcome]:
    keeping = Keeping(connection)
    outcomes = [_outcome(keeping.keep(summary), summary) for summary in summaries]
    keeping.finish()
    return outcomes


def _outcome(kept: Kept, summary: Summary) -> Outcome:
    if not kept.new:
        return Outcome(
            "same-again", kept.id, kept.number, kept.number, same_file=True, superseded=kept.superseded
        )
    before = kept.before
    if before is None:
        return Outcome("new", kept.id, kept.number)
    changed = changes(before.entries, summary.entries)
    differ = _figures(json.loads(before.totals)["overall"], summary.overall)
    return Outcome(
        "supersedes" if changed else "same-again",
        kept.id,
        kept.number,
        before.number,
        changes=changed,
        figures=differ,
    )


def _figures(before: dict[str, float | None], after: dict[str, float | None]) -> tuple[Figure, ...]:
    names = sorted(before.keys() | after.keys())
    return tuple(
        Figure(name, before.get(name), after.get(name))
        for name in names
        if before.get(name) != after.get(name)
    )


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
        verdict=row.verdict,
        overall=json.loads(row.totals)["overall"],
        rechecks=tuple(
            RecheckMade(each.rechecked, each.program, each.origin, each.verdict, json.loads(each.totals))
            for each in made
        ),
        changes=changes(before.entries, row.entries) if before is not None else (),
    )
