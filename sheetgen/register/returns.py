"""How the register keeps returns, and what it says of each: new, known, or in the place of an earlier one."""

from __future__ import annotations

import hashlib
import json
import os
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any, Literal

import sqlalchemy as sa

from sheetgen.reading.words import bare
from sheetgen.register.database import now
from sheetgen.register.packed_entries import Change, changes
from sheetgen.register.summary import Spell, Stretch, Summary, Ticket
from sheetgen.register.tables import (
    CLASHES,
    known_orders,
    returned_books,
    returned_copies,
    returned_rechecks,
    returned_spells,
    returned_stretches,
    returned_tickets,
)

_HEAD = (
    "identity", "path", "program", "template", "origin", "conclusion", "public_key", "machine", "serial",
    "contractor", "job", "order", "language", "units", "price", "currency", "station_reading", "entries",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Kept:
    """How a return stands in the register.

    Attributes:
        number: among the returns of its book, from 1
        new: whether its file was not known
        superseded: whether a later return has taken its place
        before: the return whose place it took, with what is needed to compare them; None for none, or not new
    """

    id: int
    number: int
    new: bool
    superseded: bool = False
    before: sa.Row[Any] | None = None


class Keeping:
    """Keeps returns in one transaction; :meth:`finish` writes what can wait until its end in few statements."""

    def __init__(self, connection: sa.Connection) -> None:
        self._connection = connection
        self._rechecks: list[dict[str, Any]] = []
        self._copies: dict[tuple[int, str], dict[str, Any]] = {}
        self._clashes: dict[int, Summary] = {}
        self._orders: set[str] = set()

    def keep(self, summary: Summary) -> Kept:
        """Keep a return and what can clash with another book.

        A file that is known already is one return, wherever it lies. Where another version of the program rechecks
        it, the newer result takes the place of the older one, which stays in ``returned_rechecks``.
        """
        known = self._connection.execute(
            sa.select(returned_books).where(returned_books.c.sha256 == summary.sha256)
        ).first()
        if known is None:
            kept = self._add(summary)
        else:
            kept = Kept(known.id, known.number, new=False, superseded=known.superseded_by is not None)
            if _head(summary) != _head(known) or totals_text(summary) != known.totals:
                self._replace(known, summary)
        self._note_copy(kept, summary.path)
        self._note_order(summary)
        return kept

    def finish(self) -> None:
        """Write the rest."""
        rows: dict[sa.Table, list[dict[str, Any]]] = {
            returned_rechecks: self._rechecks,
            returned_copies: list(self._copies.values()),
            returned_tickets: [],
            returned_stretches: [],
            returned_spells: [],
        }
        for return_id, summary in self._clashes.items():
            rows[returned_tickets] += _tickets(return_id, summary)
            rows[returned_stretches] += _stretches(return_id, summary)
            rows[returned_spells] += _spells(return_id, summary)
        for table, facts in rows.items():
            if facts:
                self._connection.execute(table.insert(), facts)

    def _add(self, summary: Summary) -> Kept:
        before = current_of(self._connection, summary.book)
        values = _values(summary) | {
            "sha256": summary.sha256,
            "book": summary.book,
            "number": before.number + 1 if before else 1,
            "supersedes": before.id if before else None,
            "rechecked": now(),
        }
        made = self._connection.execute(returned_books.insert(), values).inserted_primary_key
        assert made is not None  # every database gives back the number of a row it has just made
        kept = Kept(made[0], values["number"], new=True, before=before)
        if before is not None:
            books = returned_books.c
            self._connection.execute(
                returned_books.update().where(books.id == before.id).values(superseded_by=kept.id)
            )
        self._note_recheck(kept.id, summary)
        return kept

    def _replace(self, known: sa.Row[Any], summary: Summary) -> None:
        values = _values(summary) | {"path": known.path, "rechecked": now()}
        self._connection.execute(
            returned_books.update().where(returned_books.c.id == known.id).values(values)
        )
        for table in CLASHES:
            self._connection.execute(table.delete().where(table.c.return_id == known.id))
        self._note_recheck(known.id, summary)

    def _note_recheck(self, return_id: int, summary: Summary) -> None:
        self._clashes[return_id] = summary
        self._rechecks.append(
            {
                "return_id": return_id,
                "rechecked": now(),
                "program": summary.program,
                "origin": summary.origin,
                "conclusion": summary.conclusion,
                "totals": totals_text(summary),
            }
        )

    def _note_order(self, summary: Summary) -> None:
        if not summary.canonical or summary.order in self._orders:
            return
        self._orders.add(summary.order)
        known = sa.select(known_orders.c.digest).where(known_orders.c.digest == summary.order)
        if self._connection.execute(known).first() is None:
            values = {"digest": summary.order, "canonical": summary.canonical}
            self._connection.execute(known_orders.insert(), values)

    def _note_copy(self, kept: Kept, path: str) -> None:
        full = path if "://" in path else os.path.abspath(path)  # noqa: PTH100 (the file may be gone by now)
        digest = hashlib.sha256(full.encode()).hexdigest()
        if not kept.new:
            copies = returned_copies.c
            seen = sa.select(copies.id).where(copies.return_id == kept.id, copies.path_sha256 == digest)
            if self._connection.execute(seen).first() is not None:
                return
        self._copies.setdefault(
            (kept.id, digest), {"return_id": kept.id, "path_sha256": digest, "path": path, "seen": now()}
        )


def current_of(connection: sa.Connection, book: str) -> sa.Row[Any] | None:
    """The return of a book that no other one supersedes."""
    return connection.execute(
        sa.select(returned_books)
        .where(returned_books.c.book == book, returned_books.c.superseded_by.is_(None))
        .order_by(returned_books.c.number.desc())
        .limit(1)
    ).first()


def totals_text(summary: Summary) -> str:
    """Counts of findings and totals, as kept."""
    totals = {"counts": summary.counts, "overall": summary.overall, "sections": summary.sections}
    return json.dumps(totals, sort_keys=True, separators=(",", ":"))


def key_of(*names: str) -> str:
    """One key for names that mean the same."""
    return hashlib.sha256("\n".join(bare(name) for name in names).encode()).hexdigest()[:32]


def _head(kept: Summary | sa.Row[Any]) -> dict[str, object]:
    return {name: getattr(kept, name) for name in _HEAD if name != "path"}


def _values(summary: Summary) -> dict[str, Any]:
    return {name: getattr(summary, name) for name in _HEAD} | {"totals": totals_text(summary)}


def _tickets(return_id: int, summary: Summary) -> list[dict[str, Any]]:
    named = [each for each in summary.tickets if bare(each.number)]
    return [_facts(each, return_id, ticket_key=key_of(each.number)) for each in named]


def _stretches(return_id: int, summary: Summary) -> list[dict[str, Any]]:
    where = summary.units, summary.place
    return [
        _facts(each, return_id, stretch_key=key_of(*where, each.road, each.lane, each.work))
        for each in summary.stretches
    ]


def _spells(return_id: int, summary: Summary) -> list[dict[str, Any]]:
    machine = _machine_key(summary)
    return [_facts(each, return_id, machine_key=machine) for each in summary.spells]


def _facts(row: Ticket | Stretch | Spell, return_id: int, **key: str) -> dict[str, Any]:
    facts: dict[str, Any] = {name: getattr(row, name) for name in row.__slots__}
    return facts | key | {"return_id": return_id}


def _machine_key(summary: Summary) -> str:
    """Of the serial number; where the order gives none, of name and contractor."""
    if bare(summary.serial):
        return key_of("serial", summary.serial)
    return key_of("name", summary.machine, summary.contractor)


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


def record(connection: sa.Connection, summaries: Iterable[Summary]) -> list[Outcome]:
    """Keep rechecks in their order, and say of each what became of it."""
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
