"""What a field book must be whatever the order: locked, complete, the same bytes again, opened by a strict reader."""

from __future__ import annotations

import hashlib
import re

import openpyxl
import pytest

from sheetgen import templates
from sheetgen.book.build import book_name, build_books
from sheetgen.book.layout import lay_out
from sheetgen.book.record import MARK, identity, read
from sheetgen.order.demo import demo_order
from sheetgen.xlsx.write import write_book
from tests.selection import exhaustive
from tests.validator import schema_errors

VARIANTS = [("us", "en"), ("si", "es"), exhaustive((("us", "es"),)), exhaustive((("si", "en"),))]


@pytest.fixture(scope="module", params=VARIANTS, ids="-".join)
def order(request):
    return demo_order(*request.param)


@pytest.mark.usefixtures("made_anew")
def test_the_same_order_gives_the_same_bytes(order, tmp_path):
    digests = set()
    for folder in ("first", "second"):
        (path,) = build_books(order, tmp_path / folder)
        digests.add(hashlib.sha256(path.read_bytes()).hexdigest())
    assert len(digests) == 1


def test_only_input_cells_are_unlocked_and_every_sheet_is_protected(order, tmp_path):
    book = lay_out(order, order.machines[0])
    workbook = openpyxl.load_workbook(write_book(book, tmp_path / "book.xlsx"))
    for sheet in book.sheets:
        worksheet = workbook[sheet.name]
        assert worksheet.protection.sheet, sheet.name
        for (row, col), cell in sheet.cells.items():
            assert worksheet.cell(row + 1, col + 1).protection.locked == cell.locked, (sheet.name, row, col)
            assert cell.locked or cell.formula is None


def test_every_result_is_a_formula_and_every_input_has_a_place(order):
    book = lay_out(order, order.machines[0])
    for place in book.tables.values():
        sheet = next(sheet for sheet in book.sheets if sheet.name == place.sheet)
        for key, col in place.columns.items():
            cell = sheet.cells[place.first_row, col]
            if key in place.inputs:
                assert not cell.locked
                assert cell.formula is None
            else:
                assert cell.locked


def test_the_record_gives_the_order_back(order):
    book = lay_out(order, order.machines[0])
    sheet = book.sheet("record")
    assert sheet.cells[0, 0].value == MARK
    rows = [
        (sheet.cells[row, 0].value, sheet.cells[row, 1].value)
        for row in range(1, max(r for r, _ in sheet.cells) + 1)
    ]
    record = read(rows)
    assert record.order == order
    assert record.machine == order.machines[0].name
    assert record.identity == book.identity == identity(order, order.machines[0])


def test_the_identity_changes_with_anything_in_the_order(order):
    changed = order.model_copy(update={"pay": order.pay.model_copy(update={"excess_limit": 0.11})})
    assert identity(changed, changed.machines[0]) != identity(order, order.machines[0])


def test_defined_names_point_at_cells_that_hold_something(order):
    book = lay_out(order, order.machines[0])
    tabs = {sheet.name: sheet for sheet in book.sheets}
    for name, reference in book.names.items():
        assert re.fullmatch(r"[a-z][a-z0-9_]*", name)
        tab, cells = reference.rsplit("!", 1)
        row, col = _first_cell(cells)
        assert (row, col) in tabs[tab.strip("'").replace("''", "'")].cells, name


def test_no_formula_is_volatile_or_newer_than_the_programs_it_must_open_in(order):
    # Functions of ECMA-376 part 1, 18.17.7, and IFERROR, COUNTIFS, SUMIFS of the 2007 application; none volatile.
    allowed = set(templates.toml("functions.toml")["allowed"])
    used = set()
    for sheet in lay_out(order, order.machines[0]).sheets:
        for cell in sheet.cells.values():
            used |= set(re.findall(r"([A-Z][A-Z0-9.]+)\(", re.sub(r'"[^"]*"', '""', cell.formula or "")))
    assert used - allowed == set()
    assert used & {"NOW", "TODAY", "RAND", "RANDBETWEEN", "OFFSET", "INDIRECT", "CELL", "INFO"} == set()


def test_formulas_are_within_the_limits_of_the_format(order):
    for sheet in lay_out(order, order.machines[0]).sheets:
        assert len(sheet.name) <= 31
        for cell in sheet.cells.values():
            assert len(cell.formula or "") <= 8192


def test_the_file_is_valid_by_the_open_xml_schema(order, tmp_path):
    (path,) = build_books(order, tmp_path)
    assert schema_errors(path) == []


def test_invented_data_is_marked_on_the_job_sheet_and_on_every_log(order):
    book = lay_out(order, order.machines[0])
    say = templates.texts(order.language, order.units)
    shown = [str(cell.value) for cell in book.sheet("job").cells.values()]
    assert say["book.invented"] in shown
    for key in ("shots", "loads", "days"):
        assert any(say["book.invented_short"] in str(cell.value) for cell in book.sheet(key).cells.values())


def test_the_file_name_has_letters_that_every_system_takes(order):
    for name, end in (
        ("Nº 7 / rear: left", "_No-7-rear-left.xlsx"),
        ("Camión Ñandú 2", "_Camion-Nandu-2.xlsx"),
    ):
        machine = order.machines[0].model_copy(update={"name": name})
        named = order.model_copy(update={"machines": (machine,)})
        assert re.fullmatch(r"[A-Za-z0-9._-]+\.xlsx", book_name(named, machine))
        assert book_name(named, machine).endswith(end)


def test_a_validation_stands_on_input_cells_only(order):
    book = lay_out(order, order.machines[0])
    for sheet in book.sheets:
        for rule in sheet.validations:
            for row in (rule.first_row, rule.last_row):
                assert not sheet.cells[row, rule.first_col].locked, (sheet.name, rule)


def test_prompts_fit_what_the_format_allows(order):
    # ECMA-376 part 1, 18.3.1.32: a title of 32 characters, a message of 255.
    for sheet in lay_out(order, order.machines[0]).sheets:
        for rule in sheet.validations:
            assert len(rule.prompt_title) <= 32
            assert len(rule.prompt) <= 255


def test_entries_stand_in_their_cells(order):
    entries = {("shots", 4, "remarks"): "wind", ("loads", 0, "ticket"): "T-1"}
    book = lay_out(order, order.machines[0], entries)
    for (table, row, column), value in entries.items():
        place = book.tables[table]
        assert book.sheet(table).cells[place.first_row + row, place.columns[column]].value == value


def _first_cell(cells: str) -> tuple[int, int]:
    from openpyxl.utils.cell import column_index_from_string, coordinate_from_string

    letters, row = coordinate_from_string(cells.split(":")[0].replace("$", ""))
    return row - 1, column_index_from_string(letters) - 1
