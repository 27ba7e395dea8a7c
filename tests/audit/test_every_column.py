"""Every column in turn: a wrong recomputation is reported at its cell, and what people type is read or asked about."""

from __future__ import annotations

from functools import cache

import pytest

from sheetgen.audit.compute.book import compute
from sheetgen.audit.compute.uncertainty import uncertainty
from sheetgen.audit.entries.book_values import BookValue
from sheetgen.audit.entries.read import entries_of
from sheetgen.audit.rules import agreement
from sheetgen.audit.rules.case import Case
from sheetgen.audit.rules.check import check_all
from sheetgen.book.layout import lay_out
from sheetgen.columns import compared, entry_columns, tables
from sheetgen.xlsx.address import a1
from sheetgen.xlsx.results import results
from tests.audit import test_calibration_across as across
from tests.audit.orders import changed, day, small
from tests.book.calibrated import catch_entries, pads_entries

RESULTS = [(table, column.key) for table in tables() for column in compared(table)]
NOZZLES = 24.0
ORDER = small("us", size={"shots": 14, "loads": 3, "days": 2}, machines__monitor=True)
CHANGED = {
    "date": 46147.0,
    "time": 0.3,
    "from_shot": 1.0,
    "section": "S1",
    "new_rate": 0.05,
    "new_width": 12.0,
}
CHECKED = {
    "distance_counted": 1004.0,
    "distance_measured": 1000.0,
    "volume_counted": 99.5,
    "volume_measured": 100.0,
}


def _single(key):
    return ("", 0, key)


CONTRACT = {
    "pay__estimate": 900.0,
    "pay__overrun_limit": 0.1,
    "pay__underrun_limit": 0.1,
    "pay__underrun_share": 0.1,
}
# Of the results that only a unit of pay has, each is in the book of that unit.
PAID = {unit: changed(ORDER, pay__unit=unit, **CONTRACT) for unit in ("volume", "mass-by-ticket", "area")}
# Where a rate varies across the lane, the calibration has results of its own.
PAID["varied"] = across.order()


def _unit(table, key):
    if key in ("pads_more_across", "catch_more"):
        return "varied"
    if "mass" in table or (table == "overall" and "mass" in key):
        return "mass-by-ticket"
    return "area" if table == "pay_area" or key.endswith("_area") else "volume"


@cache
def _filled(unit):
    """Entries of a day and of a calibration, and what the book's formulas make of them by an engine."""
    order = PAID[unit]
    if unit == "varied":
        log = across.cans("S1") | across.pads((0.5, 50), (3.0, 40), (6.0, 50), (9.0, 44), (11.5, 53))
        return log, _values(lay_out(order, order.machines[0], log))
    log = day(order, 4) | {("loads", 0, "stick_before"): 6.0, ("loads", 0, "stick_after"): 34.0}
    log |= pads_entries("en", "along", 0.5) | catch_entries(24, 0.5)
    log |= {("gauges", 0, key): value for key, value in ({"date": 46100.0} | CHECKED).items()}
    log |= {("changes", 0, key): value for key, value in CHANGED.items()}
    pads = pads_entries("en")
    log |= {("pads", row + 6, key): value for (table, row, key), value in pads.items() if table == "pads"}
    log |= {("catch", 3, "volume"): 0.53, _single("catch_seconds"): 10.0, _single("catch_nozzles"): NOZZLES}
    book = lay_out(order, order.machines[0], log)
    return log, _values(book)


@pytest.fixture(scope="module")
def filled():
    return _filled("volume")


def _values(book):
    keys, found, values = {sheet.name: sheet.key for sheet in book.sheets}, results(book), {}
    for table in tables():
        place = book.tables.get(table)
        if place is None and table in ("pay_mass", "pay_area", "monitor"):
            continue
        for column in compared(table):
            if column.name and column.name not in book.fields:
                continue  # of another unit of pay
            if column.name:
                sheet, row, number = book.fields[column.name]
                value = BookValue(found[sheet, row, number], sheet, a1(row, number))
                values[table, 0, column.key] = value
                continue
            for row in range(place.first_row, place.last_row + 1):
                number = place.columns[column.key]
                value = BookValue(found[keys[place.sheet], row, number], place.sheet, a1(row, number))
                values[table, row - place.first_row, column.key] = value
    return values


def _case(log, unit="volume"):
    order, machine = PAID[unit], PAID[unit].machines[0]
    entries = entries_of(log, order, machine)
    computation = compute(entries, order, machine)
    return Case(computation, uncertainty(computation, order, machine), order, machine)


@pytest.mark.parametrize("unit", PAID)
def test_an_honest_book_differs_in_nothing(unit):
    log, values = _filled(unit)
    assert list(agreement.check(_case(log, unit), values)) == []


def _wrong(value):
    """Another word, the other of two, or a number one percent and a half greater."""
    if isinstance(value, str):
        return "low" if value == "in" else "in"
    return not value if isinstance(value, bool) else value * 1.01 + 0.5


@pytest.mark.parametrize(("table", "key"), RESULTS)
def test_a_wrong_recomputation_is_reported_at_its_cell(table, key):
    unit = _unit(table, key)
    log, values = _filled(unit)
    case = _case(log, unit)
    rows = case.computation.results[table]
    row = next(number for number, each in rows.items() if each.get(key) is not None)
    was = rows[row][key]
    wrong = _wrong(was)
    case.computation.results[table] = {**rows, row: {**rows[row], key: wrong}}
    found = list(agreement.check(case, values))
    place = values[table, row, key]
    assert (place.sheet, place.cell) in {(each.sheet, each.cell) for each in found}


NUMBERS = ("number", "count", "station", "dip", "time", "date")
TYPED = ("1,200", "12,5", 45678.0, "6/7/2026", "eleven", "1.200", "12 gal", "-", "#REF!", True)
PLACES = [
    (table, key)
    for table in tables()
    for key, column in entry_columns(table).items()
    if column.reading in NUMBERS
]


@pytest.mark.parametrize("typed", TYPED, ids=str)
@pytest.mark.parametrize(("table", "key"), PLACES)
def test_what_is_typed_in_a_column_of_numbers_is_read_or_asked_about(filled, table, key, typed):
    log = filled[0] | {(table, 0, key): typed}
    machine = ORDER.machines[0]
    entries = entries_of(log, ORDER, machine)
    (entry,) = [each for each in entries if (each.table, each.row, each.column) == (table, 0, key)]
    assert isinstance(entry.value, float) or entry.trouble or entry.how
    if entry.trouble:
        findings = check_all(compute(entries, ORDER, machine), entries, ORDER, machine)
        assert (entry.trouble, entry.cell) in {(each.name, each.cell) for each in findings}
