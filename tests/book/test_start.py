"""The first page leads to what it names, says what is open, and a small screen shows a shot with its result."""

from __future__ import annotations

import openpyxl
import pytest
from openpyxl.utils.cell import range_boundaries

from sheetgen.book.layout import lay_out
from sheetgen.book.tabs import groups
from sheetgen.demo.day import honest_day
from sheetgen.order.demo import demo_order
from sheetgen.templates import LANGUAGES, texts, toml
from sheetgen.xlsx.page import column_inches
from sheetgen.xlsx.results import results
from sheetgen.xlsx.write import write_book

LINKS_OF = {step["key"]: step["go"] for step in toml("sheets/start.toml")["step"]}
WINDOW = (1366, 768)  # dots of a small screen
FRAME = (66, 250)  # row numbers and scroll bar; bars, headings of columns, tabs and the line of the state


def of(order):
    return lay_out(order, order.machines[0])


def shown(sheet):
    return " ".join(str(cell.value) for cell in sheet.cells.values() if cell.value is not None)


@pytest.mark.parametrize("language", LANGUAGES)
def test_every_sheet_in_sight_is_led_to_and_no_hidden_one(language, tmp_path):
    book = of(demo_order("us", language))
    workbook = openpyxl.load_workbook(write_book(book, tmp_path / "book.xlsx"))
    first = workbook.worksheets[0]
    links = [cell.hyperlink for row in first.iter_rows() for cell in row if cell.hyperlink]
    targets = {link.location.rpartition("!") for link in links}
    named = {name.strip("'").replace("''", "'") for name, _, _ in targets}
    visible = {sheet.title for sheet in workbook.worksheets[1:] if sheet.sheet_state == "visible"}
    assert named == visible
    assert {sheet.name for sheet in book.sheets if sheet.hidden} == {
        texts(language)[f"sheet.{key}.tab"] for key in ("words", "record")
    }
    for name, _, cell in targets:
        column, row, _, _ = range_boundaries(cell)
        locked = workbook[name.strip("'")].cell(row, column).protection.locked
        assert locked == (cell == "A1"), (name, cell)  # a log opens at its first entry


def test_each_step_leads_to_the_sheets_that_it_speaks_of():
    book = of(demo_order())
    sheet, say = book.sheets[0], texts("en")
    rows = {cell.value: row for (row, col), cell in sheet.cells.items() if col == 0}
    for number, (key, go) in enumerate(LINKS_OF.items(), start=1):
        linked = [sheet.cells[at].value for at in sorted(sheet.links) if at[0] == rows[number]]
        assert linked == [say[f"sheet.{each}.tab"] for each in go], key
    assert 5 <= len(LINKS_OF) <= 7


@pytest.mark.parametrize("language", LANGUAGES)
def test_it_says_what_the_book_is_for_and_that_data_are_invented(language):
    order = demo_order("us", language)
    text = shown(of(order).sheets[0])
    for fact in (order.job.number, order.job.name, order.job.place, order.machines[0].name):
        assert fact in text
    mark = texts(language)["book.invented"]
    assert mark in text
    real = order.model_copy(update={"job": order.job.model_copy(update={"invented": False})})
    assert mark not in shown(of(real).sheets[0])


@pytest.mark.parametrize(("spoil", "line"), [({}, "checks.ready"), ({"width": None}, "checks.thing")])
def test_its_line_is_the_line_of_the_checks(spoil, line):
    order = demo_order()
    log = honest_day(order, order.machines[0], seed=4)
    log |= {("shots", 0, key): value for key, value in spoil.items()}
    book = lay_out(order, order.machines[0], log)
    values = results(book)
    (at,) = [at for at, cell in book.sheets[0].cells.items() if cell.formula]
    sheet, row, col = book.fields["checks_line"]
    assert values["start", *at] == values[sheet, row, col] == texts("en")[line]


def test_the_pack_ends_with_the_monitor_where_there_is_one():
    order = demo_order()
    machine = order.machines[0].model_copy(update={"monitor": True})
    book = lay_out(order, machine)
    (pack,) = [group.sheets for group in groups() if group.pack]
    pack = tuple(key for key in pack if key not in ("revision", "second_card", "card_back"))  # not always
    assert tuple(sheet.key for sheet in book.sheets[1 : 1 + len(pack)]) == pack
    assert texts("en").say("start.step.print", first="Card", last="Monitor") in shown(book.sheets[0])


def test_tabs_are_colored_by_group_and_crew_sheets_come_before_the_offices():
    sheets = of(demo_order()).sheets
    colors = {key: group.color for group in groups() for key in group.sheets}
    assert [sheet.tab_color for sheet in sheets] == [colors[sheet.key] for sheet in sheets]
    keys = [sheet.key for sheet in sheets]
    assert keys[0] == "start"
    assert max(map(keys.index, ("shots", "loads", "days", "checks"))) < min(map(keys.index, ("job", "plan")))


@pytest.mark.parametrize("variant", [("us", "en"), ("si", "es")])
@pytest.mark.parametrize("key", ["days", "loads", "shots", "changes"])
def test_a_small_screen_shows_a_row_with_its_result_and_the_reason(variant, key):
    book = of(demo_order(*variant))
    sheet, columns = book.sheet(key), book.tables[key].columns
    needed = max(columns["look"], columns.get("verdict", 0))
    wide = sum(96 * column_inches(sheet.column_widths[col]) for col in range(needed + 1)) * sheet.zoom / 100
    assert wide <= WINDOW[0] - FRAME[0]
    first = sheet.freeze[0]
    frozen = sum(sheet.row_heights.get(row, 15) for row in range(first))
    rows = (WINDOW[1] - FRAME[1]) * 0.75 * 100 / sheet.zoom - frozen  # points
    assert rows >= 5 * sheet.row_heights[first]
    assert sheet.zoom >= 75
