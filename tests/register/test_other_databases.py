"""The register on a database server.

Without a server these checks only show that PostgreSQL's dialect takes every statement that the register makes, and
that nothing but the opening of a file is of SQLite's own kind. The other tests of this folder run on a real server
as well where SHEETGEN_TEST_DATABASE names one that they may empty.
"""

import pytest
import sqlalchemy as sa
from sqlalchemy.dialects import mysql, postgresql
from sqlalchemy.schema import CreateIndex, CreateTable

from sheetgen.order.demo import demo_order
from sheetgen.register.register import open_register
from sheetgen.register.tables import metadata
from tests.register.books import entries, spell, stretch, summary, ticket


@pytest.fixture
def statements():
    """Every statement of a run through all that a register does, as SQLAlchemy has it before any dialect."""
    seen = []
    with open_register() as register:
        sa.event.listen(
            register._database.engine, "before_execute", lambda _c, statement, *_: seen.append(statement)
        )
        order = demo_order()
        for name in "ab":
            register.record_issue(order, order.machines[0])
            facts = {
                "tickets": (ticket("1"),), "stretches": (stretch(0, 9),), "spells": (spell("9:00", "9:30"),),
                "serial": "SN 1",
            }  # fmt: skip
            outcomes = register.record_returns(
                [
                    summary(f"{name}1", identity=name, entries=entries(G12=1.0), **facts),
                    summary(f"{name}2", identity=name, entries=entries(G12=2.0), **facts),
                    summary(f"{name}2", identity=name, path="elsewhere", conclusion="query", **facts),
                ]
            )
            register.history(name)
        assert len(register.across([outcome.return_id for outcome in outcomes])) > 4
        register.across()
    return seen


def test_postgresql_takes_every_statement(statements):
    kinds = set()
    for statement in statements:
        if isinstance(statement, sa.Executable):
            text = str(statement.compile(dialect=postgresql.dialect()))
            assert not any(
                word in text.upper() for word in ("PRAGMA", "SQLITE", "OR REPLACE", "OR IGNORE", "ROWID")
            )
            kinds.add(text.split()[0])
    assert kinds >= {"SELECT", "INSERT", "UPDATE", "DELETE", "CREATE"}
    assert len(statements) > 30


def test_only_the_beginning_of_a_transaction_is_written_for_sqlite_alone(statements):
    """Statements that go past SQLAlchemy's own language are texts."""
    assert [statement for statement in statements if isinstance(statement, str)] == []


@pytest.mark.parametrize("dialect", [postgresql.dialect(), mysql.dialect()], ids=lambda dialect: dialect.name)
def test_the_tables_can_be_made_on_a_server(dialect):
    for table in metadata.sorted_tables:
        made = str(CreateTable(table).compile(dialect=dialect))
        assert made.strip().startswith("CREATE TABLE")
        for index in table.indexes:
            assert "CREATE INDEX" in str(CreateIndex(index).compile(dialect=dialect))


def test_what_is_indexed_fits_into_an_index_in_any_script():
    """PostgreSQL takes keys of up to 2704 bytes (documentation, "B-Tree Indexes", from memory); UTF-8 has up to 4
    bytes a character."""
    for table in metadata.sorted_tables:
        indexed = [index.columns for index in table.indexes]
        indexed += [each.columns for each in table.constraints if isinstance(each, sa.UniqueConstraint)]
        for columns in indexed:
            sizes = [4 * c.type.length if isinstance(c.type, sa.String) else 8 for c in columns]
            assert sum(sizes) < 2704, table.name
