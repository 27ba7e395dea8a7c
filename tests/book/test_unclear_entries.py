"""An entry that is there and cannot be read is called that: not missing, and before what follows from it."""

from __future__ import annotations

import pytest

from sheetgen.book.layout import lay_out
from sheetgen.templates import texts
from sheetgen.xlsx.results import results
from tests.audit.crew_rows import bar_shots
from tests.audit.orders import day, findings_of, small
from tests.selection import crossed

ORDERS = {"us": small("us"), "si": small("si", "es")}
MISSING = ("entry-missing", "volume-reading-missing", "load-quantity-missing", "temperature-missing",
           "day-reading-missing", "log-incomplete", "log-too-bare")  # fmt: skip
# An entry of each reading that no formula takes, and which marks of a missing entry once stood for it.
CASES = [
    ("shots", "temperature", "hot"), ("shots", "start", "seven"), ("shots", "dip_after", "26 or 27"),
    ("shots", "to_station", "12+"), ("shots", "width", "wide"), ("shots", "load", "first"),
    ("shots", "waste", "a bit"), ("shots", "date", "Monday"), ("loads", "net_mass", "2x9oo"),
    ("loads", "specific_gravity", "as ordered"), ("loads", "water", "some"), ("loads", "date", "Monday"),
    ("days", "end_dip", "low"), ("days", "start_temperature", "cold"), ("days", "returned", "half"),
]  # fmt: skip


def shown(order, log):
    """Each marked row: its first words, all of them, and what is marked; and the list of the sheet Checks."""
    book = lay_out(order, order.machines[0], log)
    values = results(book)
    found = {}
    for table in ("shots", "loads", "days"):
        place = book.tables[f"{table.removesuffix('s')}_checks"]
        for row in range(place.first_row, place.last_row + 1):
            if values["checks", row, place.columns["count"]]:
                first, every = (values["checks", row, place.columns[key]] for key in ("first", "all"))
                on = {key for key, col in place.columns.items()
                      if key[:3] == "is_" and values["checks", row, col] == 1}  # fmt: skip
                found[table, row - place.first_row] = first, every, on
    listed = [values["checks", row, 2] for row in range(5, 45) if values["checks", row, 0] != ""]
    return found, listed


def with_entry(order, table, column, value):
    log = day(order)
    row = bar_shots(log)[1] if table == "shots" else 0
    if column == "dip_after":
        for meter in ("meter_before", "meter_after"):
            log.pop((table, row, meter), None)
    log[table, row, column] = value
    return log, row


@pytest.mark.parametrize(("units", "table", "column", "value"), crossed([*ORDERS], CASES))
def test_it_is_named_and_nothing_is_called_missing(units, table, column, value):
    order = ORDERS[units]
    say = texts(order.language, order.units)
    log, row = with_entry(order, table, column, value)
    found, _ = shown(order, log)
    first, every, on = found[table, row]
    assert first == f"{say[f'check.{table}.unclear']} · {say[f'{table}.{column}']}"
    assert every.startswith(f"{first}.")
    assert on == {"is_unclear"} | (on & {"is_at_once", "is_unexplained", "is_load_early"})
    names = {one.name for one in findings_of(log, order)}
    assert not names & set(MISSING)
    assert names & {"unreadable-entry", "unreadable-entry-beside-quantities"}


def test_several_are_named_in_one_line():
    order = ORDERS["us"]
    say = texts("en", "us")
    log, row = with_entry(order, "shots", "temperature", "hot")
    log["shots", row, "width"] = "wide"
    found, _ = shown(order, log)
    words = (say["check.shots.unclear"], say["shots.width"], say["shots.temperature"])
    assert found["shots", row][0] == " · ".join(words)


@pytest.mark.parametrize("units", ORDERS)
def test_a_ticket_that_cannot_be_read_accuses_no_shot_and_no_day(units):
    order = ORDERS[units]
    log, row = with_entry(order, "loads", "net_mass", "2x9oo lb")
    found, listed = shown(order, log)
    assert set(found) == {("loads", row)}
    assert listed == [found["loads", row][1]]
    assert {one.name for one in findings_of(log, order) if one.severity != "note"} == {"unreadable-entry"}


def test_causes_stand_before_what_follows_from_them():
    order = ORDERS["us"]
    log = day(order)
    log["loads", 0, "net_mass"] = 40.0  # far too little: shots then use more than they can
    found, listed = shown(order, log)
    log["loads", 0, "specific_gravity"] = 8.41
    found, listed = shown(order, log)
    assert ("loads", 0) in found
    assert any(table == "shots" for table, _ in found)
    assert listed[0] == found["loads", 0][1]


@pytest.mark.parametrize(
    ("column", "check"), [("temperature", "temperature"), ("width", "width"), ("to_station", "stations")]
)
def test_what_is_blank_is_still_called_missing(column, check):
    order = ORDERS["us"]
    log, row = with_entry(order, "shots", column, None)
    for each in range(row + 1):  # nor is there anything to follow in the rows above
        log.pop(("shots", each, column), None)
    found, _ = shown(order, log)
    assert f"is_{check}" in found["shots", row][2]
    assert "is_unclear" not in found["shots", row][2]


@pytest.mark.parametrize(("column", "mark"), [("start", "is_times"), ("load", "is_load")])
def test_what_only_checks_need_is_asked_for_where_other_shots_have_it(column, mark):
    order = ORDERS["us"]
    log = day(order)
    rows = bar_shots(log)
    for gone, asked in (
        (rows[:1], True),
        ([row for key, row, each in log if (key, each) == ("shots", column)], False),
    ):
        bare = {
            key: value
            for key, value in log.items()
            if key[0] != "shots" or key[2] != column or key[1] not in gone
        }
        found, _ = shown(order, bare)
        assert (mark in found.get(("shots", rows[0]), ("", "", set()))[2]) is asked
        said = {each.name: each.severity for each in findings_of(bare, order)}
        assert said.items() >= {("log-incomplete", "query") if asked else ("log-too-bare", "note")}
        assert not said.keys() & ({"log-too-bare"} if asked else {"log-incomplete"})
