"""The head of the paper form of the shots: gallons can be looked up, and the totals of the page have their boxes."""

from __future__ import annotations

import re
from itertools import pairwise

import pytest

from sheetgen.book.layout import lay_out
from sheetgen.book.log_sheet import FIRST_ROW, GROUP_ROW, UNIT_ROW
from sheetgen.order.demo import demo_order
from sheetgen.order.tank import chart_of
from sheetgen.templates import texts
from tests.audit.orders import small

ORDERS = {
    "inch-pound, English": lambda: demo_order("us", "en"),
    "metric, Spanish": lambda: demo_order("si", "es"),
    "a wide order": lambda: small("us", "es"),
    "sixteenths": lambda: small(reading__dip_notation="sixteenths"),
}
LINE = re.compile(r"(\d+(?:\.\d+)?) = (\d+(?:\.\d+)?)")


@pytest.fixture(params=ORDERS)
def form(request):
    """An order, its book and the texts above the headings of the shot log, from left to right."""
    order = ORDERS[request.param]()
    book = lay_out(order, order.machines[0])
    cells = book.sheet("shots").cells
    above = [cells[GROUP_ROW, column].value for column in range(1, 21) if (GROUP_ROW, column) in cells]
    return order, book, [text for text in above if text]


def test_the_strip_is_the_tank_chart_from_the_bottom_to_the_top(form):
    order, _, above = form
    chart = chart_of(order.machines[0], order)
    read = [(float(depth), float(volume)) for text in above for depth, volume in LINE.findall(text)]
    depths = [depth for depth, _ in read]
    assert depths == sorted(depths)
    assert 15 <= len(depths) <= 48
    assert depths[-1] == chart.height
    steps = {round(after - before, 6) for before, after in pairwise(depths[:-1])}
    assert len(steps) == 1
    assert depths[0] in steps
    half = 0.05 if order.units == "us" else 0.5  # of the last digit that is printed
    for depth, volume in read:
        assert abs(chart.volume(depth) - volume) <= half + 1e-9


def test_no_text_above_the_entries_completes_a_number_that_is_typed(form):
    _, _, above = form
    assert [text for text in above if text[0].isdigit()] == []


def test_the_boxes_ask_for_what_the_control_totals_want(form):
    order, _, above = form
    say = texts(order.language)
    assert above[-1].count("__________") == 3
    lines = [say[f"strip.{key}"] for key in ("totals", "shots", "hot", "last")]
    volume = "gal" if order.units == "us" else "L"
    ends = ["", " __________", f" __________ {volume}", " __________"]
    assert above[-1].splitlines() == [line + end for line, end in zip(lines, ends, strict=True)]


def test_gallons_and_rate_are_boxes_of_the_form_and_blank_on_paper(form):
    _, book, _ = form
    sheet, columns = book.sheet("shots"), book.tables["shots"].columns
    last_printed = sheet.page["area"][3]
    assert columns["remarks"] < columns["hot"] < columns["hot_rate"] == last_printed < columns["verdict"]
    assert sheet.page["repeat_rows"] == (0, UNIT_ROW)  # the strip stands on every page
    for key in ("hot", "hot_rate"):
        cell = sheet.cells[FIRST_ROW, columns[key]]
        assert cell.locked
        assert cell.formula
