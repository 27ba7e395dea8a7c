"""Function tables: typed once from the maker's manual, carried by the order, printed on the back of the card."""

from __future__ import annotations

from functools import cache

import pytest

from sheetgen.book.changed_order import changes_between
from sheetgen.book.layout import lay_out
from sheetgen.order.demo import demo_order
from sheetgen.order.model import Order
from sheetgen.order.write import lay_out_order
from sheetgen.templates import texts
from tests.order.order_grids import grids, mistakes, put, read

TABLE = [
    {"name": "Spray from the bar", "valves": ("open", "", "closed")},
    {"name": "Fill the tank", "valves": ("closed", "open")},
]
FIRST = 5  # row of the first function on its sheet; columns: 2 distributor, 3 function, 4 valve 1


@cache
def with_table(system="us", lang="en", table=(0, 1)):
    data = demo_order(system, lang).model_dump()
    data["machines"][0]["functions"] = [TABLE[line] for line in table]
    return Order.model_validate(data)


@cache
def laid_out():
    return lay_out_order("us", "en", with_table())


def typed(*entries):
    file = grids(laid_out(), "us", "en")
    for row, col, value in entries:
        put(file, "functions", (FIRST + row, col), value)
    return file


@pytest.mark.parametrize(("system", "lang"), [("us", "en"), ("si", "es")])
def test_what_is_written_is_read_again(system, lang):
    order = with_table(system, lang)
    assert read(grids(lay_out_order(system, lang, order), system, lang)) == order


def test_a_row_that_is_added_belongs_to_the_distributor_it_names():
    file = typed((2, 2, "distributor a"), (2, 3, "Hand spray"), (2, 6, "OPEN"))
    [*_before, last] = read(file).machines[0].functions
    assert (last.name, last.valves) == ("Hand spray", ("", "", "open"))


@pytest.mark.parametrize(
    ("entries", "cell", "expected"),
    [
        (((2, 2, "Nobody's"), (2, 3, "Spray"), (2, 4, "open")), "C8", "a distributor of this workbook"),
        (((2, 3, "Spray"), (2, 4, "open")), "C8", "an entry"),
        (((0, 3, None),), "D6", "an entry"),
        (((0, 4, "ajar"),), "E6", "one of: open, closed"),
        (((0, 4, None), (0, 6, None)), "E6", "open or closed for at least one valve"),
        (((1, 3, "SPRAY from the bar"),), "D7", "each function of a distributor once"),
    ],
)
def test_a_mistake_is_named_at_its_cell(entries, cell, expected):
    [mistake] = mistakes(typed(*entries))
    assert (mistake.sheet, mistake.cell, mistake.expected) == ("Functions", cell, expected)


@pytest.mark.parametrize(("system", "lang"), [("us", "en"), ("si", "es")])
def test_the_back_of_the_card_has_the_table_and_the_manual_first(system, lang):
    order = with_table(system, lang)
    sheet, say = lay_out(order, order.machines[0]).sheet("card_back"), texts(lang)
    values = {at: cell.value for at, cell in sheet.cells.items() if cell.value is not None}
    row = next(row for (row, col), value in values.items() if (col, value) == (0, "Spray from the bar"))
    opened, closed = (say[f"order.words.valve.{each}"] for each in ("open", "closed"))
    assert [values.get((row, col)) for col in range(1, 5)] == [opened, "–", closed, "–"]
    assert [values.get((row + 1, col)) for col in range(5)] == ["Fill the tank", closed, opened, "–", "–"]
    assert say["card_back.manual_first"] in values.values()
    assert [values.get((row - 1, col)) for col in range(1, 4)] == ["1", "2", "3"]


def test_a_distributor_without_table_and_certificates_has_no_back():
    order = demo_order()
    assert "card_back" not in {sheet.key for sheet in lay_out(order, order.machines[0]).sheets}


def test_a_revision_says_which_table_changes():
    [changed] = changes_between(with_table(table=(0,)), with_table())
    assert (changed.sheet, changed.field) == ("machines", "functions")
    assert changed.was == "Spray from the bar: 1 open, 3 closed"
    assert changed.now == f"{changed.was}; Fill the tank: 1 closed, 2 open"


def test_an_order_made_before_there_were_such_tables_is_read():
    file = grids(lay_out_order("us", "en", demo_order()), "us", "en")
    del file.grids["functions"]
    rows = file.grids["machines"].row_keys()
    for path in ("calibration", "calibration_until", "tank.certificate_until"):
        del file.grids["machines"].cells[rows[path], 0]
    assert read(file) == demo_order()
