"""What people decided about findings: kept in a small database beside the register, the earlier decisions too.

A decision belongs to a finding of a book: to its name and its place. It says on what value it was made, so that a later
return with another value is not decided by it.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager
from datetime import UTC, datetime
from pathlib import Path
from typing import NamedTuple

from sheetgen import templates
from sheetgen.errors import SheetgenError

CHOICES = ("open", "accepted", "to-correct", "not-paid")
LONGEST = 2000  # signs of a reason
_PATIENCE = 10.0  # seconds to wait for another program that writes
_TABLE = """CREATE TABLE IF NOT EXISTS decisions (
    id INTEGER PRIMARY KEY, book TEXT NOT NULL, finding TEXT NOT NULL, place TEXT NOT NULL, found TEXT NOT NULL,
    choice TEXT NOT NULL, by TEXT NOT NULL, reason TEXT NOT NULL, made TEXT NOT NULL)"""


class About(NamedTuple):
    """What a decision is about.

    Attributes:
        book: the identity of the book, or the digest of the file where it has none
        finding: its name
        place: sheet and cell
    """

    book: str
    finding: str
    place: str


class Decision(NamedTuple):
    """A decision; ``made`` is ISO 8601 in UTC, ``found`` what stood there, ``id`` its number in the store."""

    about: About
    found: str
    choice: str
    by: str
    reason: str
    made: str
    id: int


class Decisions:
    """The store; it is made where there is none.

    Raises (every method):
        SheetgenError: the file cannot be used.
    """

    def __init__(self, path: Path) -> None:
        self.path = path

    def of_book(self, book: str) -> dict[About, Decision]:
        """The last decision on each finding of a book."""
        with self._open() as database:
            rows = database.execute("SELECT * FROM decisions WHERE book = ? ORDER BY id", (book,))
            return {decision.about: decision for decision in map(_decision, rows)}

    def decide(
        self, about: About, found: str, choice: str, by: str, reason: str, seen: int
    ) -> Decision | None:
        """Keep a decision, and give None; or give the one that somebody made after ``seen`` was looked at.

        Args:
            seen: number of the decision that the person saw, 0 for none
        """
        with self._open() as database:
            database.execute("BEGIN IMMEDIATE")
            last = database.execute(
                "SELECT * FROM decisions WHERE book = ? AND finding = ? AND place = ? ORDER BY id DESC LIMIT 1",
                about,
            ).fetchone()
            if last is not None and last[0] != seen:
                return _decision(last)
            now = datetime.now(UTC).isoformat(timespec="seconds")
            database.execute(
                "INSERT INTO decisions (book, finding, place, found, choice, by, reason, made)"
                " VALUES (?, ?, ?, ?, ?, ?, ?, ?)",
                (*about, found, choice, by, reason[:LONGEST], now),
            )
            database.commit()
        return None

    @contextmanager
    def _open(self) -> Iterator[sqlite3.Connection]:
        try:
            self.path.parent.mkdir(parents=True, exist_ok=True)
            with closing(sqlite3.connect(self.path, timeout=_PATIENCE)) as database:
                database.execute(_TABLE)
                yield database
        except sqlite3.Error as error:
            say = templates.texts("en")
            raise SheetgenError(say.say("office.no_decisions", path=self.path, reason=error)) from error


def decisions_beside(register: str | None, folder: Path) -> Decisions:
    """The store of an office: beside the register's file, in a folder where the register is a database elsewhere."""
    if register and "://" not in register:
        place = Path(register)
        return Decisions(place.with_name(f"{place.stem}.decisions.db"))
    return Decisions(folder / "decisions.db")


def _decision(row: tuple[int, str, str, str, str, str, str, str, str]) -> Decision:
    number, book, finding, place, found, choice, by, reason, made = row
    return Decision(About(book, finding, place), found, choice, by, reason, made, number)
