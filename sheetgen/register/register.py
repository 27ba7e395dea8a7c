"""The register: what the office issued, what came back, and what each return changed."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from contextlib import AbstractContextManager, contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

import sqlalchemy as sa

from sheetgen import templates
from sheetgen.errors import RegisterError
from sheetgen.register.database import Database, now, open_database
from sheetgen.register.lists import (
    IssuedLine,
    KeptReturn,
    ReturnedLine,
    issued_lines,
    kept_returns,
    returned_lines,
)
from sheetgen.register.returns import Outcome, record
from sheetgen.register.summary import Summary, summarize
from sheetgen.register.tables import issued_layouts
from sheetgen.register.trail import History, IssuedBook, history, issued, issued_for, keep_issue

if TYPE_CHECKING:
    from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey

    from sheetgen.audit.model import Recheck
    from sheetgen.order.model import Machine, Order
    from sheetgen.register.wording import AcrossFinding
    from sheetgen.xlsx.model import Book


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
        from sheetgen.book.layout import lay_out
        from sheetgen.book.packed_layout import pack
        from sheetgen.book.record import identity, signed_message
        from sheetgen.book.version import TEMPLATE_VERSION

        canonical = order.canonical()
        public_key, signature = _proof(key, signed_message(canonical, machine.name, TEMPLATE_VERSION))
        book = IssuedBook(
            identity(order, machine), machine.name, TEMPLATE_VERSION, order.job.number, canonical,
            public_key, signature, now(),
        )  # fmt: skip
        layout = pack(lay_out(order, machine, sign=lambda _message: (public_key, signature)))
        return self._database.write(lambda connection: keep_issue(connection, book, layout))

    def layout(self, identity: str) -> Book | None:
        """Every cell of a book as it was issued, whatever version of the program it was; None where it was not."""
        from sheetgen.book.packed_layout import unpack

        with self._database.reading() as connection:
            kept = connection.execute(
                sa.select(issued_layouts.c.layout).where(issued_layouts.c.identity == identity)
            ).scalar()
        return None if kept is None else unpack(kept)

    def issued(self, identity: str) -> tuple[IssuedBook, ...]:
        """The book of an identity as it was issued, once for each key it was signed with; empty where it was not."""
        with self._database.reading() as connection:
            return issued(connection, identity)

    def issued_for(self, job: str) -> tuple[IssuedBook, ...]:
        """Every book that was issued for a job, the oldest first; its number compared as people write it."""
        with self._database.reading() as connection:
            return issued_for(connection, job)

    def listed(self) -> tuple[list[IssuedLine], list[ReturnedLine]]:
        """Every book that was issued, and the newest return of each book that came back; the latest first."""
        with self._database.reading() as connection:
            return issued_lines(connection), returned_lines(connection)

    def kept_returns(self) -> list[KeptReturn]:
        """The newest return of each book with its order, totals and entries, in the order they were recorded."""
        with self._database.reading() as connection:
            return kept_returns(connection)

    def record_return(self, recheck: Recheck | Summary) -> Outcome:
        """Record a recheck, and say whether its file is new, known, or takes the place of an earlier return."""
        return self.record_returns([recheck])[0]

    def record_returns(self, rechecks: Iterable[Recheck | Summary]) -> list[Outcome]:
        """Record several rechecks in one transaction, in their order."""
        summaries = [each if isinstance(each, Summary) else summarize(each) for each in rechecks]
        for summary in summaries:
            if not summary.sha256:
                raise RegisterError(templates.spoken_texts().say("register.no_digest", path=summary.path))
        return self._database.write(lambda connection: record(connection, summaries))

    def history(self, identity: str) -> History:
        """The trail of a book: how it was issued, every return, and what each changed."""
        with self._database.reading() as connection:
            return history(connection, identity)

    def across(self, returns: Iterable[int] | Mapping[int, str] | None = None) -> list[AcrossFinding]:
        """What the books say against each other, by file and row.

        Args:
            returns: ``Outcome.return_id`` of the returns to judge, against all others; None for all. Of one run, each
                with the time at which its file was last saved (``Summary.saved``): several returns of one book are
                then put in that order first.
        """
        from sheetgen.register.between_books import across_findings
        from sheetgen.register.last_saved import put_in_order

        saved: dict[int, str] | None = None
        if isinstance(returns, Mapping):
            times = dict(returns)
            saved = self._database.write(lambda connection: put_in_order(connection, times)) if times else {}
        with self._database.reading() as connection:
            return across_findings(connection, None if returns is None else frozenset(returns), saved)

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


def is_there(place: str | Path) -> bool:
    """Whether a register is at a place; one that an address names is taken to be."""
    return "://" in str(place) or Path(place).exists()


def read_register(place: str | Path) -> AbstractContextManager[Register]:
    """Open a register that is only read: where there is none an empty one, as long as it is open; no file is made."""
    return open_register(place if is_there(place) else None)


def _proof(key: str | Path | Ed25519PrivateKey | None, message: bytes) -> tuple[str, str]:
    if key is None:
        return "", ""
    from sheetgen.signing import load_key, public_text, sign

    private = load_key(key) if isinstance(key, str | Path) else key
    return public_text(private), sign(private, message)


def across(summaries: Iterable[Summary], register: Register | None = None) -> list[AcrossFinding]:
    """Record summaries, and find what they say against each other and against the register.

    Args:
        summaries: of rechecked returns, in the order they came back in; where the files of one book say when they were
            saved, that order counts
        register: an open register; without one they are only compared with each other
    """
    if register is None:
        with open_register() as temporary:
            return across(summaries, temporary)
    recorded: dict[int, str] = {}
    for group in _grouped(summaries):
        outcomes = register.record_returns(group)
        recorded |= {out.return_id: each.saved for out, each in zip(outcomes, group, strict=True)}
    return register.across(recorded)


def _grouped(summaries: Iterable[Summary]) -> Iterator[list[Summary]]:
    group: list[Summary] = []
    for each in summaries:
        group.append(each)
        if len(group) == 100:
            yield group
            group = []
    if group:
        yield group
