"""A cell may hold 32,767 signs (where spreadsheet programs stop): no entry costs more than itself."""

from __future__ import annotations

import time

import pytest

from sheetgen.audit.entries.as_typed import views
from sheetgen.audit.entries.read import entries_of
from sheetgen.columns import entry_columns as columns
from tests.audit.orders import day, small

US, SIXTEENTHS = small("us"), small("us", reading__dip_notation="sixteenths")
LONGEST = 32_767

TYPED = {
    "blanks": "1" + " " * (LONGEST - 2) + "x",
    "no-break spaces": "1" + "\u00a0" * (LONGEST - 2) + "x",
    "line breaks": "1" + "\n" * (LONGEST - 2) + "x",
    "signs without width": "1" + "\u200b" * (LONGEST - 2) + "x",
    "nines": "9" * LONGEST,
    "nines and a foot": "9" * (LONGEST - 1) + "'",
    "nines and a unit": "1" * 30_000 + " gal",
    "nines over eight": "9" * 5_000 + "/8",
    "nines and a half": "9" * 400 + " 1/2",
    "nines and fifty": "9" * 400 + "+50",
    "ninety nines and fifty": "9" * 90 + "+50",
    "ninety nines and a half": "9" * 90 + " 1/2",
    "ninety nines in feet": "9" * 90 + "' 1\"",
    "a great power": "9e99",
    "feet in feet": "1'" * 1_000,
    "feet in few feet": "1'" * 40,
    "halves": "½" * LONGEST,
    "points": "." * LONGEST,
    "commas": "1," * (LONGEST // 2),
    "signs": "+-" * (LONGEST // 2),
    "dots and digits": "1.1" * (LONGEST // 3),
    "dittos": '"' * LONGEST,
    "dashes and dittos": '-"' * (LONGEST // 2),
    "a date without end": "2026-05-04" + "1" * 30_000,
    "months": "may " * (LONGEST // 4),
    "letters": "a" * LONGEST,
}


@pytest.mark.parametrize("typed", TYPED.values(), ids=list(TYPED))
@pytest.mark.parametrize("order", [US, SIXTEENTHS], ids=["decimal", "sixteenths"])
def test_a_long_entry_is_read_or_questioned_by_itself_and_at_once(order, typed):
    log = day(order, 2)
    places = [(table, 0, column) for table in ("shots", "loads", "days") for column in columns(table)]
    began = time.process_time()
    entries = {
        (one.table, one.row, one.column): one
        for one in entries_of(log | dict.fromkeys(places, typed), order, order.machines[0])
    }
    views(entries.values(), order)
    spent = time.process_time() - began
    assert spent < 2, "30 such cells: linear time takes some 0.1 s"
    for table, row, column in places:
        entry = entries[table, row, column]
        if columns(table)[column].reading in ("number", "station", "dip", "time", "date", "count"):
            assert entry.trouble
            assert entry.value in (None, 1.0), "1 with a remark behind it"
    for place, value in log.items():
        if place[1] == 1:
            assert entries[place].raw == value
            assert entries[place].value is not None
