"""Steps that bring a register of an earlier version to the present one. Each adds and changes nothing that was kept."""

from __future__ import annotations

from collections.abc import Callable

import sqlalchemy as sa

from sheetgen.register.summary import order_digest
from sheetgen.register.tables import (
    SCHEMA_VERSION,
    issued_books,
    known_orders,
    register_of_books,
    returned_books,
    returned_rechecks,
)


def upgrade(connection: sa.Connection, version: int) -> None:
    """Bring the tables from a version to the present one, within the caller's transaction."""
    for step in range(version, SCHEMA_VERSION):
        _STEPS[step](connection)
    connection.execute(register_of_books.update().values(schema_version=SCHEMA_VERSION))


def _keep_orders(connection: sa.Connection) -> None:
    """Version 2 keeps the orders of returns: those of issued books are there already; others come with a recheck."""
    known_orders.create(connection)
    canonical = set(connection.scalars(sa.select(issued_books.c.canonical)))
    orders = [{"digest": order_digest(each), "canonical": each} for each in sorted(canonical)]
    if orders:
        connection.execute(known_orders.insert(), orders)


def _call_conclusions_so(connection: sa.Connection) -> None:
    """Version 3 gives the conclusion of a recheck the name that reports give it; the column's values stay."""
    for table in (returned_books, returned_rechecks):
        connection.execute(sa.text(f"ALTER TABLE {table.name} RENAME COLUMN verdict TO conclusion"))


_STEPS: dict[int, Callable[[sa.Connection], None]] = {1: _keep_orders, 2: _call_conclusions_so}
