"""Summaries of invented returns, without any file; and where the tests keep a register."""

from __future__ import annotations

import hashlib
import os
import sqlite3
from pathlib import Path

import sqlalchemy as sa

from sheetgen.audit.model import Entry
from sheetgen.register.packed_entries import pack
from sheetgen.register.register import open_register
from sheetgen.register.summary import Spell, Stretch, Summary, Ticket
from sheetgen.register.tables import metadata
from tests.engines import absent

DATABASES = ["sqlite", "server"]

DAY = 45810.0
ROAD = {"road": "County Road 7", "lane": "R", "section": "S1", "work": "tack", "width": 12.0, "room": 13.0}


def register_place(kind: str, folder: Path) -> str:
    """A new register: a file, or the server's database, emptied."""
    return str(folder / "register.db") if kind == "sqlite" else emptied_server()


def change_database(path: Path, *statements: str) -> None:
    """What another program, or another version of this one, does to a SQLite file."""
    with sqlite3.connect(path) as made:
        for statement in statements:
            made.execute(statement)
    made.close()


def change_register(path: Path, statement: str) -> None:
    """Make a register and change it behind its back."""
    with open_register(path):
        pass
    change_database(path, statement)


def emptied_server() -> str:
    """The address of a PostgreSQL database without tables, of this test process alone.

    The server is the one of SHEETGEN_TEST_DATABASE, such as postgresql+psycopg://office@127.0.0.1:5432/books, where
    tests may make databases and empty them; ``.ci/postgresql COMMAND`` runs a command beside one.
    """
    named = os.environ.get("SHEETGEN_TEST_DATABASE")
    if not named:
        absent(
            "a PostgreSQL server for tests (.ci/postgresql pytest … starts one, see SHEETGEN_TEST_DATABASE)"
        )
    server = sa.make_url(str(named))
    own = server.set(database=f"{server.database}_{os.environ.get('PYTEST_XDIST_WORKER', 'alone')}")
    place = own.render_as_string(hide_password=False)
    _make_database(server, str(own.database))
    engine = sa.create_engine(place)
    metadata.drop_all(engine)
    engine.dispose()
    return place


def _make_database(server: sa.URL, name: str) -> None:
    engine = sa.create_engine(server, isolation_level="AUTOCOMMIT")
    with engine.connect() as connection:
        known = connection.scalar(sa.text("SELECT 1 FROM pg_database WHERE datname = :name"), {"name": name})
        if known is None:
            connection.execute(sa.text(f'CREATE DATABASE "{name}"'))
    engine.dispose()


def entries(**dips: object) -> str:
    """Entries of a shot log by cell, such as ``G12=38.25``."""
    return pack(
        Entry("shots", int(cell[1:]), cell[0], "Shots", cell, value, _read(value))
        for cell, value in dips.items()
    )


def _read(value: object) -> object:
    if isinstance(value, str) and "+" in value:
        full, rest = value.split("+")
        return float(full) * 100 + float(rest)
    return float(value) if isinstance(value, int | float) else None


def summary(name: str, **facts: object) -> Summary:
    """A return of an invented book; ``name`` makes its file and, where no other is given, its identity."""
    digest = hashlib.sha256(name.encode()).hexdigest()
    given = {
        "path": f"returns/{name}.xlsx", "sha256": digest, "identity": f"{digest[:4]}-{digest[4:8]}-{digest[8:12]}",
        "program": "0.1.0", "origin": "issued", "machine": "D-1", "serial": f"SN {name}", "job": "INV-1",
        "place": "Nowhere County", "order": "order-1", "overall": {"payable": 100.0}, "station_reading": 1.0,
    }  # fmt: skip
    return Summary(**given | facts)  # type: ignore[arg-type]


def ticket(number: str, row: int = 0, **facts: object) -> Ticket:
    """A delivery of 8,000 lb."""
    given = {"date": DAY, "mass": 8000.0, "base": 950.0, "supplier": "Invented Terminal"} | facts
    return Ticket(row, "Loads", f"D{row + 6}", number, **given)  # type: ignore[arg-type]


def stretch(low: float, high: float, row: int = 0, **facts: object) -> Stretch:
    """A shot over a lane of 12 ft."""
    given = ROAD | {"date": DAY, "start": 0.4, "undiluted": 80.0} | facts
    return Stretch(row, "Shots", f"F{row + 6}", low=low, high=high, **given)  # type: ignore[arg-type]


def spell(begins: str, ends: str, row: int = 0, **facts: object) -> Spell:
    """A spell from ``"9:30"`` to ``"9:34"``."""
    began, ended = (
        DAY + int(hour) / 24 + int(minute) / 1440 for hour, minute in (t.split(":") for t in (begins, ends))
    )
    given = {"road": "County Road 7", "station": 11850.0} | facts
    return Spell(row, "Shots", f"C{row + 6}", began, ended, **given)  # type: ignore[arg-type]
