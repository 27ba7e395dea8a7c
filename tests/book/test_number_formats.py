"""How many digits of a number a book shows."""

from __future__ import annotations

import pytest

from sheetgen.book.layout import lay_out
from sheetgen.book.number_formats import plain_format
from sheetgen.xlsx.results import results
from tests.plan.test_plan_sheet import ORDERS


@pytest.mark.parametrize(
    ("value", "shown"),
    [
        (231, "0"),
        (1_000_000.0, "#,##0"),
        (453.59237, "0.00000"),  # the pound, exact in grams: all of it
        (0.99913, "0.00000"),
        (4.1868, "0.0000"),
        (50 / 3, "0.0000"),
        (0.5424919595981168, "0.000000"),
        (16.018463373960138, "0.0000"),
        (0.2641720523581484, "0.000000"),
        (-0.125, "0.000"),
        (0, "0"),
    ],
)
def test_a_fixed_number_shows_its_digits_or_six_of_them(value, shown):
    assert plain_format(value) == shown


@pytest.mark.parametrize("kind", ["demonstration", "chip seal and prime, metric"])
def test_no_number_is_shown_with_all_the_digits_of_a_division(kind):
    order = ORDERS[kind]()
    book = lay_out(order, order.machines[0])
    worked_out = results(book)
    for sheet in book.sheets:
        for (row, col), cell in sheet.cells.items():
            value = cell.value if cell.formula is None else worked_out[sheet.key, row, col]
            if isinstance(value, float) and cell.number_format == "General":
                assert len(f"{value:.15g}".replace(".", "").strip("-0")) <= 8, (sheet.key, row, col, value)
