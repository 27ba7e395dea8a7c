"""The database behind the register: opening it, and transactions that are whole or not at all.

SQLite is used with a write-ahead log, a patient wait for other processes, and a lock taken when a writing
transaction begins, so that two processes at once neither fail nor lose anything. (A write-ahead log needs a disk of
this machine: a register that several machines share belongs in a database server.)
"""

from __future__ import annotations

import datetime as dt
import sqlite3
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any, TypeVar

import sqlalchemy as sa
from sqlalchemy.exc import (
    ArgumentError,
    DBAPIError,
    IntegrityError,
    NoSuchModuleError,
    ProgrammingError,
    SQLAlchemyError,
)
from sqlalchemy.pool import StaticPool

from sheetgen import templates
from sheetgen.errors import RegisterError
from sheetgen.register.tables import SCHEMA_VERSION, metadata, register_of_books
from sheetgen.register.upgrades import upgrade

PATIENCE = 60.0  # seconds to wait for another process
_PAUSES = (0.05, 0.1, 0.2, 0.4)  # seconds before making the tables is tried again
_SQLITE_BUSY = ("database is locked", "database is busy")

T = TypeVar("T")


class Database:
    """One open register database.

    Attributes:
        name: as a person named it, without a password
    """

    def __init__(self, engine: sa.Engine, name: str) -> None:
        self.engine, self.name = engine, name

    @contextmanager
    def reading(self) -> Iterator[sa.Connection]:
        """A connection that sees one state of the register, whatever others write meanwhile."""
        options: dict[str, Any] = {"reading": True}
        if self.engine.dialect.name != "sqlite":
            options["isolation_level"] = "REPEATABLE READ"
        with self._told(), self.engine.connect() as connection:
            yield connection.execution_options(**options)

    def write(self, work: Callable[[sa.Connection], T]) -> T:
        """Do ``work`` in one transaction: all of it is kept, or nothing where it fails or the process is killed.

        Writers wait for each other, so that what ``work`` reads is what it writes beside.
        """
        with self._told(), self.engine.begin() as connection:
            # A server locks the one row until the transaction ends; SQLite has locked the file already.
            connection.execute(sa.select(register_of_books.c.id).with_for_update())
            return work(connection)

    def prepare(self, work: Callable[[sa.Connection], T]) -> T:
        """Do ``work`` before there are tables to wait at; again where another process did the same meanwhile."""
        with self._told():
            for pause in _PAUSES:
                try:
                    with self.engine.begin() as connection:
                        return work(connection)
                except (IntegrityError, ProgrammingError):
                    time.sleep(pause)
            with self.engine.begin() as connection:
                return work(connection)

    def close(self) -> None:
        """Let go of the database."""
        self.engine.dispose()

    @contextmanager
    def _told(self) -> Iterator[None]:
        try:
            yield
        except SQLAlchemyError as error:
            raise _trouble(self.name, error) from error


def open_database(place: str | Path | None) -> Database:
    """Open a register, making its tables where they are missing.

    Args:
        place: a file, a database URL such as ``postgresql+psycopg://office@host/books``, or None for a register
            that lasts as long as it is open

    Raises:
        RegisterError: it cannot be opened, or is something else.
    """
    url = _url(place)
    name = (
        "register"
        if place is None
        else url.render_as_string(hide_password=True)
        if _is_url(place)
        else str(place)
    )
    try:
        database = Database(_engine(url, place), name)
    except (NoSuchModuleError, ModuleNotFoundError) as error:
        raise _told_off(name, "no_driver", reason=error) from error
    except SQLAlchemyError as error:
        raise _trouble(name, error) from error
    try:
        _prepare(database)
    except BaseException:
        database.close()
        raise
    return database


def now() -> str:
    """This moment in UTC, to the second."""
    return dt.datetime.now(dt.UTC).strftime("%Y-%m-%dT%H:%M:%SZ")


def _is_url(place: str | Path | None) -> bool:
    return isinstance(place, str) and "://" in place


def _url(place: str | Path | None) -> sa.URL:
    if place is None:
        return sa.URL.create("sqlite")
    if _is_url(place):
        try:
            return sa.make_url(str(place))
        except (ArgumentError, ValueError) as error:
            raise _told_off(str(place).split("://")[0] + "://…", "not_an_address") from error
    path = Path(place)
    if path.is_dir():
        raise _told_off(str(path), "a_folder")
    if not path.parent.is_dir():
        raise _told_off(str(path), "no_folder", folder=path.parent)
    return sa.URL.create("sqlite", database=str(path))


def _engine(url: sa.URL, place: str | Path | None) -> sa.Engine:
    if url.get_backend_name() != "sqlite":
        return sa.create_engine(url, pool_pre_ping=True)
    if place is None:  # SQLite's own temporary database: on disk as far as it does not fit into memory
        engine = sa.create_engine(
            url, creator=lambda: sqlite3.connect("", check_same_thread=False), poolclass=StaticPool
        )
    else:
        engine = sa.create_engine(url, connect_args={"timeout": PATIENCE})
    sa.event.listen(engine, "connect", _on_connect)
    sa.event.listen(engine, "begin", _on_begin)
    return engine


def _on_connect(connection: Any, _record: Any) -> None:
    connection.isolation_level = None  # transactions begin where _on_begin says, not where the driver thinks
    tables = {name for (name,) in connection.execute("SELECT name FROM sqlite_master WHERE type = 'table'")}
    if not tables or register_of_books.name in tables:  # a database of something else is left as it is
        _log_ahead(connection)
    connection.execute("PRAGMA synchronous = FULL")
    connection.execute("PRAGMA foreign_keys = ON")


def _log_ahead(connection: Any) -> None:
    """Use a write-ahead log. Changing to it does not wait for other processes by itself."""
    until = time.monotonic() + PATIENCE
    while True:
        try:
            connection.execute("PRAGMA journal_mode = WAL")
            return
        except sqlite3.OperationalError as error:
            if str(error) not in _SQLITE_BUSY or time.monotonic() > until:
                raise
            time.sleep(0.02)


def _on_begin(connection: sa.Connection) -> None:
    """A writer takes its lock at once: two that had both read first could not both go on to write."""
    reading = connection.get_execution_options().get("reading", False)
    connection.exec_driver_sql("BEGIN" if reading else "BEGIN IMMEDIATE")


def _prepare(database: Database) -> None:
    version = database.prepare(lambda connection: _version(connection, database.name))
    if version > SCHEMA_VERSION:
        raise _told_off(database.name, "newer", version=version, known=SCHEMA_VERSION)


def _version(connection: sa.Connection, name: str) -> int:
    """The version of the tables, which are made where there are none, and upgraded where they are of an earlier one.

    Two processes may both come to do so.
    """
    present = sa.inspect(connection).get_table_names()
    if register_of_books.name not in present:
        if present and connection.dialect.name == "sqlite":
            raise _told_off(name, "something_else", tables=", ".join(sorted(present)[:5]))
        metadata.create_all(connection)
        connection.execute(register_of_books.insert().values(id=1, schema_version=SCHEMA_VERSION, made=now()))
        return SCHEMA_VERSION
    version = connection.scalar(sa.select(register_of_books.c.schema_version))
    if version is None:
        raise _told_off(name, "something_else", tables=register_of_books.name)
    if version < SCHEMA_VERSION:
        upgrade(connection, version)
    return int(version)


def _trouble(name: str, error: SQLAlchemyError) -> RegisterError:
    reason = str(error.orig if isinstance(error, DBAPIError) else error).strip()
    if any(sign in reason for sign in _SQLITE_BUSY):
        return _told_off(name, "busy", seconds=int(PATIENCE))
    if "not a database" in reason or "malformed" in reason:
        return _told_off(name, "not_a_database", reason=reason)
    return _told_off(name, "unusable", reason=reason.splitlines()[0] if reason else type(error).__name__)


def _told_off(name: str, why: str, **facts: object) -> RegisterError:
    return RegisterError(templates.spoken_texts().say(f"register.{why}", register=name, **facts))
