"""Decisions that people typed on the desk, or in reports handed in there: a small database beside the register.

It keeps every one, the earlier too; the last on a finding counts. Which finding a decision belongs to is for
``audit.decisions``.
"""

from __future__ import annotations

import re
import sqlite3
from collections.abc import Iterable, Iterator
from contextlib import closing, contextmanager
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import Any, NamedTuple

from sheetgen import templates
from sheetgen.audit.findings import name_now
from sheetgen.audit.model import Decision
from sheetgen.errors import SheetgenError

LONGEST = 2000  # signs of a remark
_PATIENCE = 10.0  # seconds to wait for another program that writes
_CELL = re.compile(r"(.*)!([A-Z]{1,3}[0-9]{1,7}(?::[A-Z]{1,3}[0-9]{1,7})?)")
_TABLE = """CREATE TABLE IF NOT EXISTS decisions (
    id INTEGER PRIMARY KEY, book TEXT NOT NULL, finding TEXT NOT NULL, place TEXT NOT NULL, found TEXT NOT NULL,
    choice TEXT NOT NULL, by TEXT NOT NULL, reason TEXT NOT NULL, made TEXT NOT NULL)"""
# Databases of before had choices of their own, and no volume.
_CHANGED = """
    ALTER TABLE decisions ADD COLUMN value REAL;
    ALTER TABLE decisions ADD COLUMN date TEXT NOT NULL DEFAULT '';
    UPDATE decisions SET date = substr(made, 1, 10), choice = CASE choice WHEN 'open' THEN ''
        WHEN 'to-correct' THEN 'corrected' WHEN 'not-paid' THEN 'not-payable' ELSE choice END"""
_RENAMED = "UPDATE decisions SET finding = ? WHERE finding = ?"
_REWORDED = "UPDATE decisions SET choice = 'not-payable' WHERE choice = 'struck'"
_VERSION = 3
_FINDING = "book = :book AND finding = :finding AND place = :place AND found = :found"
_KNOWN = f"""SELECT 1 FROM decisions
    WHERE {_FINDING} AND (choice, value, by, date, reason) IS (:choice, :value, :by, :date, :reason)"""
_KEEP = """INSERT INTO decisions (book, finding, place, found, choice, value, by, date, reason, made)
    VALUES (:book, :finding, :place, :found, :choice, :value, :by, :date, :reason, :made)"""
_LAST = f"SELECT * FROM decisions WHERE {_FINDING} ORDER BY id DESC LIMIT 1"
_OF_BOOK = """SELECT * FROM decisions WHERE id IN (
    SELECT max(id) FROM decisions WHERE book = ? AND id <= ? GROUP BY finding, place, found) ORDER BY id"""
_EVER = 2**62


@dataclass(frozen=True)
class Decisions:
    """The store; it is made where there is none. A book is known by its identity, or the digest of its file.

    Raises (every method):
        SheetgenError: the file cannot be used.
    """

    path: Path

    def of_book(self, book: str, until: int = _EVER) -> dict[int, Decision]:
        """The last decision on each finding of a book, by its number in the store.

        Args:
            until: the number after which decisions do not count
        """
        with self._open() as database:
            return {row["id"]: _decision(row) for row in database.execute(_OF_BOOK, (book, until))}

    def decide(self, book: str, decision: Decision, seen: int) -> Decision | None:
        """Keep a decision, and give None; or give the one that somebody made after ``seen`` was looked at.

        Args:
            seen: number of the decision that the person saw, 0 for none
        """
        row = _row(book, decision)
        with self._open() as database:
            last = database.execute(_LAST, row).fetchone()
            if last is not None and last["id"] != seen:
                return _decision(last)
            database.execute(_KEEP, row)
        return None

    def take_over(self, book: str, decisions: Iterable[Decision]) -> int:
        """Keep the decisions of a report that are new here, and give their number: an old report takes nothing back."""
        with self._open() as database:
            rows = [_row(book, each) for each in decisions if each.said]
            new = [row for row in rows if database.execute(_KNOWN, row).fetchone() is None]
            database.executemany(_KEEP, new)
        return len(new)

    def now(self) -> DecidedUntil:
        """What is decided so far, for the recheck of books."""
        with self._open() as database:
            (last,) = database.execute("SELECT coalesce(max(id), 0) FROM decisions").fetchone()
        return DecidedUntil(self, last)

    @contextmanager
    def _open(self) -> Iterator[sqlite3.Connection]:
        """The database in one transaction, alone in it; brought up to date."""
        try:
            self.path.parent.mkdir(parents=True, exist_ok=True)
            connection = sqlite3.connect(self.path, timeout=_PATIENCE, isolation_level=None)
            with closing(connection) as database:
                database.row_factory = sqlite3.Row
                database.execute("BEGIN IMMEDIATE")
                database.execute(_TABLE)
                _bring_up_to_date(database)
                yield database
                database.execute("COMMIT")
        except sqlite3.Error as error:
            say = templates.spoken_texts()
            raise SheetgenError(say.say("office.no_decisions", path=self.path, reason=error)) from error


class DecidedUntil(NamedTuple):
    """What a store held at one time; it goes to other processes, and a later state is another question to them."""

    store: Decisions
    number: int

    def get(self, book: str, otherwise: tuple[Decision, ...], /) -> tuple[Decision, ...]:
        """The decisions on one book."""
        return tuple(self.store.of_book(book, self.number).values()) or otherwise


def decisions_beside(register: str | None, folder: Path) -> Decisions:
    """The store of an office: beside the register's file, in a folder where the register is a database elsewhere."""
    if register and "://" not in register:
        place = Path(register)
        return Decisions(place.with_name(f"{place.stem}.decisions.db"))
    return Decisions(folder / "decisions.db")


def _bring_up_to_date(database: sqlite3.Connection) -> None:
    (version,) = database.execute("PRAGMA user_version").fetchone()
    if version < 1:
        for change in _CHANGED.split(";"):
            database.execute(change)
    if version < _VERSION:  # findings and one choice have other names since
        database.execute(_REWORDED)
        named = [name for (name,) in database.execute("SELECT DISTINCT finding FROM decisions")]
        database.executemany(_RENAMED, [(name_now(name), name) for name in named if name_now(name) != name])
        database.execute(f"PRAGMA user_version = {_VERSION}")


def _row(book: str, each: Decision) -> dict[str, Any]:
    place = f"{each.sheet}!{each.cell}" if each.cell else each.sheet
    return {
        "book": book, "finding": each.name, "place": place, "found": each.found, "choice": each.decision,
        "value": each.value, "by": each.initials, "date": each.date, "reason": each.remark[:LONGEST],
        "made": datetime.now(UTC).isoformat(timespec="seconds"),
    }  # fmt: skip


def _decision(row: sqlite3.Row) -> Decision:
    at = _CELL.fullmatch(row["place"])
    sheet, cell = at.groups() if at else (row["place"], "")
    return Decision(
        row["finding"], sheet, cell, row["found"],
        row["choice"], row["value"], row["by"], row["date"], row["reason"],
    )  # fmt: skip
