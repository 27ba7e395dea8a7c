"""The names of the book: every one listed, where it stands, what it holds, and usable in the office's formulas."""

from __future__ import annotations

import re

import openpyxl
import pytest

from sheetgen import templates
from sheetgen.demo.day import honest_day
from sheetgen.order.demo import demo_order
from sheetgen.xlsx.model import Cell, Sheet
from sheetgen.xlsx.write import write_book
from tests.book.calibrated import Filled, filled_book
from tests.engines import differences, values_by_ironcalc, values_by_libreoffice
from tests.selection import exhaustive

VARIANTS = [("us", "en"), ("si", "es"), exhaustive((("us", "es"),)), exhaustive((("si", "en"),))]
NAME, WHAT, UNIT, NOW, WHERE = range(5)


@pytest.fixture(scope="module", params=VARIANTS, ids="-".join)
def filled(request) -> Filled:
    order = demo_order(*request.param)
    return filled_book(order, honest_day(order, order.machines[0], seed=3))


def _rows(filled: Filled) -> dict[str, int]:
    """The row of each name in the list."""
    cells = filled.book.sheet("words").cells
    return {
        cell.value: row
        for (row, col), cell in cells.items()
        if col == NAME and (row, WHERE) in cells and cell.value in filled.book.names
    }


def test_every_defined_name_is_listed_once_and_nothing_else(filled):
    cells = filled.book.sheet("words").cells
    links = filled.book.sheet("words").links
    listed = [cells[row, NAME].value for row, _col in links]
    assert sorted(listed) == sorted(filled.book.names)


def test_every_name_says_what_it_is_in_the_language_of_the_book(filled):
    say = templates.texts(filled.order.language, filled.order.units)
    cells = filled.book.sheet("words").cells
    for name, row in _rows(filled).items():
        assert cells[row, WHAT].value == say[f"name.{name}"]


def test_every_name_shows_what_its_cell_holds(filled):
    for name, row in _rows(filled).items():
        first, _colon, last = filled.book.names[name].rsplit("!", 1)[1].partition(":")
        if last:
            continue
        held, shown = filled.named(name), filled.at("words", row, NOW)
        assert shown == ("" if held is None else held), (name, first)


def test_every_place_is_the_cell_that_the_name_points_to(filled):
    sheet = filled.book.sheet("words")
    for name, row in _rows(filled).items():
        assert sheet.links[row, WHERE] == filled.book.names[name].replace("$", "")
        assert sheet.cells[row, WHERE].value == filled.book.names[name].replace("$", "").replace("'", "")


def test_units_are_those_of_the_system(filled):
    unit = {"us": {"discharge": "gal/min", "dip_full": "in", "bar_widths": "ft", "pads_mean": "gal/yd²"},
            "si": {"discharge": "L/min", "dip_full": "mm", "bar_widths": "m", "pads_mean": "L/m²"}}  # fmt: skip
    spanish = {"in": "pulg", "ft": "pie"}
    cells, rows = filled.book.sheet("words").cells, _rows(filled)
    for name, expected in unit[filled.order.units].items():
        if filled.order.language == "es":
            expected = spanish.get(expected, expected)
        assert cells[rows[name], UNIT].value == expected


def test_the_links_are_in_the_file(filled, tmp_path):
    path = write_book(filled.book, tmp_path / "book.xlsx", filled.values)
    worksheet = openpyxl.load_workbook(path)[filled.book.sheet("words").name]
    for (row, col), target in filled.book.sheet("words").links.items():
        link = worksheet.cell(row + 1, col + 1).hyperlink
        assert link.location == target
        assert link.target is None  # nothing outside the book


def test_the_examples_give_what_their_text_says(filled):
    say, cells = templates.texts(filled.order.language, filled.order.units), filled.book.sheet("words").cells
    figures = templates.toml("sheets/words.toml")[filled.order.units]
    texts = {
        cell.value: row for (row, col), cell in cells.items() if col == NAME and isinstance(cell.value, str)
    }
    given = {
        key: filled.at("words", texts[say.say(f"vocabulary.example.{key}", **figures)], WHERE)
        for key in ("money", "mean_rate", "volume_at", "own_width")
    }
    assert given["money"] == pytest.approx(filled.named("total_payable") * figures["price"])
    assert given["mean_rate"] == pytest.approx(filled.named("total_sprayed") / filled.named("total_area"))
    speed = (
        filled.named("area_divisor")
        * filled.named("discharge_used")
        / (figures["width"] * filled.named("rates_hot"))
    )
    assert given["own_width"] == pytest.approx(speed)
    tank = filled.book.sheet("tank")
    volumes = {
        cell.value: filled.at("tank", row, col + 1)
        for (row, col), cell in tank.cells.items()
        if col == 14 and isinstance(cell.value, int | float)
    }
    assert given["volume_at"] == volumes[figures["depth"]]


def test_an_office_formula_with_names_gives_the_same_in_libreoffice(tmp_path):
    """A sheet of the office's own beside ours, its formulas written with the names as they stand in the list."""
    filled = Filled(demo_order())  # its own: a sheet is added to it
    say, figures = templates.texts("en"), templates.toml("sheets/words.toml")["us"]
    own = Sheet(
        "own",
        "Office",
        page=dict(filled.book.sheet("words").page, row_breaks=[], area=(0, 0, 5, 1)),
        protected=False,
    )
    keys = ("money", "mean_rate", "volume_at", "own_width")
    for row, key in enumerate(keys):
        own.cells[row, 0] = Cell(None, say.say(f"vocabulary.example.{key}", **figures))
    filled.book.sheets.append(own)
    values = filled.values | {("own", row, 0): 0 for row in range(len(keys))}
    path = write_book(filled.book, tmp_path / "book.xlsx", values)
    office = values_by_libreoffice(path, filled.book, tmp_path / "office")
    cells = filled.book.sheet("words").cells
    for row, key in enumerate(keys):
        text = say.say(f"vocabulary.example.{key}", **figures)
        listed = next(at for at, cell in cells.items() if cell.value == text)
        expected = filled.at("words", listed[0], WHERE)
        assert office["own", row, 0] == (pytest.approx(expected) if expected != "" else ""), key


def test_the_sheet_says_what_locking_is_not(filled):
    say = templates.texts(filled.order.language, filled.order.units)
    shown = {cell.value for cell in filled.book.sheet("words").cells.values()}
    assert {say["vocabulary.use"], say["vocabulary.lock"]} <= shown
    record = say["sheet.record.tab"]
    assert re.search(rf"\b{record}\b", say["vocabulary.lock"])  # names the sheet as its tab does


def test_both_engines_agree_with_the_list(tmp_path):
    order = demo_order("si", "es")
    filled = filled_book(order, honest_day(order, order.machines[0], seed=3))
    own = {at: value for at, value in filled.values.items() if at[0] == "words"}
    path = write_book(filled.book, tmp_path / "book.xlsx", filled.values)
    assert differences(own, values_by_ironcalc(path, filled.book), filled.book) == []
    assert differences(own, values_by_libreoffice(path, filled.book, tmp_path / "office"), filled.book) == []
