"""Two computations of one log: the recheck's, and the book's own formulas as a spreadsheet engine evaluates
them.

The two share the entries, the published tables and the stated rounding, no expression. Numbers agree to 1e-9.
"""

import pytest

from sheetgen.audit.compute.book import compute
from sheetgen.audit.entries.book_values import BookValue
from sheetgen.audit.entries.read import entries_of
from sheetgen.audit.rules.check import check_all
from sheetgen.book.layout import lay_out
from sheetgen.demo.planted import planted
from sheetgen.xlsx.address import a1
from sheetgen.xlsx.results import results
from tests.audit.orders import VARIANTS, day

TABLES = ("shots", "loads", "days", "sections")


def book_values(order, log):
    """What the formulas of a filled book give, as a returned file would hold it."""
    book = lay_out(order, order.machines[0], log)
    keys = {sheet.name: sheet.key for sheet in book.sheets}
    found = results(book)
    values = {}
    for table in TABLES:
        place = book.tables[table]
        for column, number in place.columns.items():
            for row in range(place.first_row, place.last_row + 1):
                cell = (keys[place.sheet], row, number)
                if cell in found:
                    key = (table, row - place.first_row, column)
                    values[key] = BookValue(found[cell], place.sheet, a1(row, number))
    for key, (sheet, row, number) in book.fields.items():
        if key.startswith("total_"):
            value = BookValue(found[sheet, row, number], sheet, a1(row, number))
            values["overall", 0, key.removeprefix("total_")] = value
    return values


@pytest.mark.parametrize("name", VARIANTS)
def test_recheck_and_formulas_agree_in_every_value(name):
    order = VARIANTS[name]
    machine = order.machines[0]
    log = day(order, seed=7)
    entries = entries_of(log, order, machine)
    values = book_values(order, log)
    assert len(values) > 300  # the comparison has something to compare
    findings = check_all(compute(entries, order, machine), entries, order, machine, values)
    assert [finding for finding in findings if "differ" in finding.name or finding.severity == "error"] == []


WRONG_ENTRIES = (
    "temperature-missing",
    "temperature-outside-chart",
    "volume-reading-missing",
    "stick-reading-rose-during-shot",
    "stick-reading-outside-chart",
    "negative-entry",
    "waste-above-volume",
    "section-not-ordered",
    "shot-without-length",
    "day-not-logged",
    "load-quantity-missing",
    "diluted-against-order",
    "day-reading-missing",
)


@pytest.mark.parametrize("name", WRONG_ENTRIES)
def test_both_say_the_same_of_a_wrong_entry_too(name):
    order = VARIANTS["inch-pound"]
    machine = order.machines[0]
    log, _ = planted(day(order, 5), order, machine, [name])
    entries = entries_of(log, order, machine)
    findings = check_all(compute(entries, order, machine), entries, order, machine, book_values(order, log))
    assert name in {finding.name for finding in findings}
    assert [finding for finding in findings if "differs-from-recheck" in finding.name] == []
