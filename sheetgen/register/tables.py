"""The tables of the register, in terms that every SQL database has.

    register_of_books   one row: the version of these tables
    issued_books        what the office issued, one row for each book and public key
    issued_layouts      every cell of an issued book, so that it can be compared when the templates have moved on
    returned_books      what came back, one row for each file; numbered within a book, each superseding the one before
    returned_copies     where each file was seen
    returned_rechecks   what each version of the program made of a file, the oldest first
    returned_tickets, returned_stretches, returned_spells   what can clash with another book
    known_orders        the order of every return, once for all returns of it (since version 2)

A change of these tables raises SCHEMA_VERSION and adds a step to :mod:`sheetgen.register.upgrades`.

Times are ISO 8601 texts in UTC. Volumes and stations are in the units of their book. Rows of one ``*_key`` can clash;
it is a digest of names without what people write now so, now so.
"""

from __future__ import annotations

from typing import Any

from sqlalchemy import (
    Column,
    Double,
    ForeignKey,
    Index,
    Integer,
    LargeBinary,
    MetaData,
    String,
    Table,
    Text,
    UniqueConstraint,
)

SCHEMA_VERSION = 3

metadata = MetaData()


def _at_a_cell(key: str) -> tuple[Column[Any], ...]:
    """The columns of a row that can clash by a key, and where it stands."""
    return (
        Column("id", Integer, primary_key=True),
        Column("return_id", ForeignKey("returned_books.id"), nullable=False, index=True),
        Column(key, String(32), nullable=False),
        Column("row", Integer, nullable=False),
        Column("sheet", String(64), nullable=False),
        Column("cell", String(16), nullable=False),
    )


register_of_books = Table(
    "register_of_books",
    metadata,
    Column("id", Integer, primary_key=True, autoincrement=False),
    Column("schema_version", Integer, nullable=False),
    Column("made", String(32), nullable=False),
)

issued_books = Table(
    "issued_books",
    metadata,
    Column("id", Integer, primary_key=True),
    Column("identity", String(64), nullable=False),
    Column("public_key", String(64), nullable=False),  # empty for a book that was not signed
    Column("signature", String(128), nullable=False),
    Column("template", String(64), nullable=False),
    Column("machine", String(256), nullable=False),
    Column("job", String(256), nullable=False),
    Column("canonical", Text, nullable=False),  # the order
    Column("issued", String(32), nullable=False),
    UniqueConstraint("identity", "public_key"),
)

issued_layouts = Table(
    "issued_layouts",
    metadata,
    Column("identity", String(64), primary_key=True),
    Column("layout", LargeBinary, nullable=False),  # see sheetgen.book.packed_layout
)

returned_books = Table(
    "returned_books",
    metadata,
    Column("id", Integer, primary_key=True),
    Column("sha256", String(64), nullable=False, unique=True),
    Column("book", String(128), nullable=False),  # the identity, or the digest where it cannot be read
    Column("identity", String(64), nullable=False),
    Column("number", Integer, nullable=False),  # of this return of the book, from 1
    Column("supersedes", ForeignKey("returned_books.id")),
    Column("superseded_by", ForeignKey("returned_books.id")),
    Column("path", Text, nullable=False),
    Column("rechecked", String(32), nullable=False),
    Column("program", String(64), nullable=False),
    Column("template", String(256), nullable=False),
    Column("origin", String(32), nullable=False),
    Column("conclusion", String(16), nullable=False),
    Column("public_key", String(256), nullable=False),
    Column("machine", String(256), nullable=False),
    Column("serial", String(256), nullable=False),
    Column("contractor", String(256), nullable=False),
    Column("job", String(256), nullable=False),
    Column("order", String(64), nullable=False),  # SHA-256 of its canonical text
    Column("language", String(8), nullable=False),
    Column("units", String(8), nullable=False),
    Column("price", Double),
    Column("currency", String(16), nullable=False),
    Column("station_reading", Double, nullable=False),
    Column("totals", Text, nullable=False),  # JSON: counts of findings, totals of the book and by section
    Column("entries", Text, nullable=False),
    UniqueConstraint("book", "number"),
)

returned_copies = Table(
    "returned_copies",
    metadata,
    Column("id", Integer, primary_key=True),
    Column("return_id", ForeignKey("returned_books.id"), nullable=False),
    Column("path_sha256", String(64), nullable=False),  # paths can be longer than an index takes
    Column("path", Text, nullable=False),
    Column("seen", String(32), nullable=False),
    UniqueConstraint("return_id", "path_sha256"),
)

returned_rechecks = Table(
    "returned_rechecks",
    metadata,
    Column("id", Integer, primary_key=True),
    Column("return_id", ForeignKey("returned_books.id"), nullable=False, index=True),
    Column("rechecked", String(32), nullable=False),
    Column("program", String(64), nullable=False),
    Column("origin", String(32), nullable=False),
    Column("conclusion", String(16), nullable=False),
    Column("totals", Text, nullable=False),
)

returned_tickets = Table(
    "returned_tickets",
    metadata,
    *_at_a_cell("ticket_key"),  # of the number
    Column("number", String(256), nullable=False),
    Column("supplier", String(256), nullable=False),
    Column("date", Double),
    Column("mass", Double),
    Column("volume", Double),
    Column("base", Double),
    Index("ix_returned_tickets_ticket_key", "ticket_key"),
)

returned_stretches = Table(
    "returned_stretches",
    metadata,
    *_at_a_cell("stretch_key"),  # of units, place, road, lane, work
    Column("road", String(256), nullable=False),
    Column("lane", String(256), nullable=False),
    Column("section", String(64), nullable=False),
    Column("work", String(32), nullable=False),
    Column("low", Double, nullable=False),
    Column("high", Double, nullable=False),
    Column("width", Double, nullable=False),
    Column("room", Double, nullable=False),
    Column("date", Double),
    Column("start", Double),
    Column("undiluted", Double),
    Index("ix_returned_stretches_stretch_key_low", "stretch_key", "low"),
)

returned_spells = Table(
    "returned_spells",
    metadata,
    *_at_a_cell("machine_key"),  # of serial number, else of name and contractor
    Column("began", Double, nullable=False),
    Column("ended", Double, nullable=False),
    Column("road", String(256), nullable=False),
    Column("station", Double),
    Index("ix_returned_spells_machine_key_began", "machine_key", "began"),
)

known_orders = Table(
    "known_orders",
    metadata,
    Column("digest", String(64), primary_key=True),  # SHA-256 of the canonical text
    Column("canonical", Text, nullable=False),
)

CLASHES = (returned_tickets, returned_stretches, returned_spells)
