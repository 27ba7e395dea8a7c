"""What the reader makes of a file, against openpyxl's own reading and against the text of the standard."""

from __future__ import annotations

import datetime as dt
import html
import zipfile
from pathlib import Path
from typing import Any

import openpyxl
import pytest
import xlsxwriter
from openpyxl.formula.translate import Translator

from sheetgen.xlsx.read import read_book
from sheetgen.xlsx.references import moved
from sheetgen.xlsx.returned import ReturnedBook
from tests.audit.resaving import PROGRAMS, resaved
from tests.audit.small_book import small_book, with_entries, write

MAIN = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
STRICT = "http://purl.oclc.org/ooxml/spreadsheetml/main"


def with_rows(
    tmp_path: Path, rows: str, extra: str = "", space: str = MAIN, name: str = "a.xlsx"
) -> ReturnedBook:
    """A book whose first sheet has these rows, written by hand."""
    source, path = write(small_book(), tmp_path / "source.xlsx"), tmp_path / name
    sheet = f'<?xml version="1.0" encoding="UTF-8"?>\n<worksheet xmlns="{space}">'
    sheet += f"<sheetData>{rows}</sheetData>{extra}</worksheet>"
    with zipfile.ZipFile(source) as old, zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as new:
        for part in old.namelist():
            new.writestr(part, sheet if part == "xl/worksheets/sheet1.xml" else old.read(part))
    return read_book(path)


@pytest.mark.parametrize("program", ["none", *PROGRAMS])
def test_values_and_formulas_are_those_that_openpyxl_reads(tmp_path, program):
    path = write(with_entries(small_book()), tmp_path / "a.xlsx")
    path = path if program == "none" else resaved(path, program, tmp_path)
    book = read_book(path)
    formulas, values = openpyxl.load_workbook(path), openpyxl.load_workbook(path, data_only=True)
    assert [sheet.name for sheet in book.sheets] == formulas.sheetnames
    seen = 0
    for sheet in book.sheets:
        for (row, column), cell in sheet.cells.items():
            theirs = formulas[sheet.name].cell(row + 1, column + 1)
            expected = values[sheet.name].cell(row + 1, column + 1).value
            if cell.formula is not None:
                assert cell.formula == theirs.value
            elif isinstance(expected, bool) or isinstance(cell.value, bool):
                assert cell.value is expected
            if cell.value not in (None, ""):
                assert cell.value == expected
                seen += 1
            assert cell.locked == theirs.protection.locked
    assert seen > 80


def test_kinds_of_cells(tmp_path):
    path = tmp_path / "a.xlsx"
    workbook = xlsxwriter.Workbook(str(path))
    sheet = workbook.add_worksheet("Kinds")
    open_cell = workbook.add_format({"locked": False, "num_format": "0.00"})
    sheet.write_number(0, 0, 1.5, open_cell)
    sheet.write_string(0, 1, "350 F")
    sheet.write_boolean(0, 2, True)
    sheet.write_formula(0, 3, "=1/0", None, "#DIV/0!")
    sheet.write_formula(0, 4, '="a"&"b"', None, "ab")
    sheet.write_blank(0, 5, None, open_cell)
    sheet.write_datetime(0, 6, dt.datetime(2026, 5, 4, 6), workbook.add_format({"num_format": "yyyy-mm-dd"}))
    sheet.write_rich_string(0, 7, "half ", workbook.add_format({"bold": True}), "bold")
    sheet.write_string(0, 8, "line 1\nline 2 _x000D_")
    workbook.close()
    cells = read_book(path).sheets[0].cells
    kinds = [(cells[0, column].kind, cells[0, column].value) for column in range(9)]
    assert kinds == [
        ("number", 1.5),
        ("text", "350 F"),
        ("bool", True),
        ("error", "#DIV/0!"),
        ("text", "ab"),
        ("blank", None),
        ("number", 46146.25),
        ("text", "half bold"),
        ("text", "line 1\nline 2 _x000D_"),
    ]
    assert [cells[0, column].locked for column in (0, 1, 5)] == [False, True, False]
    assert cells[0, 0].number_format == "0.00"
    assert cells[0, 6].number_format == "yyyy-mm-dd"


SHARED = (
    '<row r="2"><c r="B2"><f t="shared" ref="B2:C4" si="0">{formula}</f><v>1</v></c>'
    '<c r="C2"><f t="shared" si="0"/></c></row>'
    '<row r="3"><c r="B3"><f t="shared" si="0"/><v>1</v></c></row>'
    '<row r="4"><c r="C4"><f t="shared" si="0"/><v>1</v></c></row>'
)


@pytest.mark.parametrize(
    "formula",
    [
        "A2*2",
        "$A2+A$1+$A$1",
        "SUM(A1:A9)+SUM(B:B)+SUM(2:2)",
        "'Rate 5'!A2&amp;\"A2\"&amp;Job!B7",
        "IF(A2&gt;B$1,LOG10(A2),ATAN2(A2,B2))",
        "rate_1*A2+TAX2024_X",
        "INDEX(chart,A2)",
    ],
)
def test_shared_formulas_are_written_out_as_openpyxl_writes_them(tmp_path, formula):
    """ECMA-376 part 1, 18.3.1.40."""
    cells = with_rows(tmp_path, SHARED.format(formula=formula)).sheets[0].cells
    plain = "=" + html.unescape(formula)
    for place, address in (((1, 2), "C2"), ((2, 1), "B3"), ((3, 2), "C4")):
        assert cells[place].formula == Translator(plain, "B2").translate_formula(address)


def test_a_shared_formula_met_before_its_definition_is_written_out_too(tmp_path):
    rows = (
        '<row r="1"><c r="A1"><f t="shared" si="3"/></c></row>'
        '<row r="2"><c r="A2"><f t="shared" ref="A1:A2" si="3">B2</f></c></row>'
    )
    assert with_rows(tmp_path, rows).sheets[0].cells[0, 0].formula == "=B1"


@pytest.mark.parametrize(
    ("formula", "rows", "columns", "expected"),
    [
        ("=A1", 1, 1, "=B2"),
        ("=$A1", 1, 1, "=$A2"),
        ("=A$1", 1, 1, "=B$1"),
        ("=AZ10", 0, 1, "=BA10"),
        ('="A1"&A1', 2, 0, '="A1"&A3'),
        ("='A1'!A1", 1, 0, "='A1'!A2"),
        ("=A1+#REF!", 1, 0, "=A2+#REF!"),
        ("=Table1[A1]+A1", 1, 0, "=Table1[A1]+A2"),
    ],
)
def test_a_copied_formula(formula, rows, columns, expected):
    assert moved(formula, rows, columns) == expected


def test_cells_without_addresses_follow_each_other(tmp_path):
    """ECMA-376 part 1, 18.3.1.4: the reference is optional."""
    rows = '<row><c><v>1</v></c><c><v>2</v></c></row><row r="5"><c><v>3</v></c></row>'
    cells = with_rows(tmp_path, rows).sheets[0].cells
    assert {place: cell.value for place, cell in cells.items()} == {(0, 0): 1, (0, 1): 2, (4, 0): 3}


def test_a_strict_file_with_dates_of_iso_8601_is_read(tmp_path):
    rows = '<row r="1"><c r="A1" t="d"><v>2026-05-04T06:00:00</v></c>'
    rows += '<c r="B1" t="inlineStr"><is><t>x</t></is></c></row>'
    cells = with_rows(tmp_path, rows, space=STRICT).sheets[0].cells
    assert cells[0, 0].value == 46146.25
    assert cells[0, 1].value == "x"


@pytest.mark.parametrize("text", ["nan", "inf", "1_000", "0x10", "12,5", "1e999", "--1"])
def test_what_python_takes_for_a_number_and_a_spreadsheet_does_not_stays_a_text(tmp_path, text):
    cell = with_rows(tmp_path, f'<row r="1"><c r="A1"><v>{text}</v></c></row>').sheets[0].cells[0, 0]
    assert (cell.kind, cell.value) == ("text", text)


def test_settings_of_a_sheet(tmp_path):
    extra = (
        '<sheetProtection sheet="1" formatRows="0"/><mergeCells><mergeCell ref="A1:B2"/></mergeCells>'
        '<dataValidations><dataValidation type="decimal" sqref="C1:C5 E1"><formula1>0</formula1></dataValidation>'
        "</dataValidations>"
        '<extLst><ext><x14:dataValidations xmlns:x14="http://schemas.microsoft.com/office/spreadsheetml/2009/9/main"'
        ' xmlns:xm="http://schemas.microsoft.com/office/excel/2006/main"><x14:dataValidation type="list">'
        "<x14:formula1><xm:f>Job!$A$1:$A$3</xm:f></x14:formula1><xm:sqref>D1:D9</xm:sqref></x14:dataValidation>"
        "</x14:dataValidations></ext></extLst>"
    )
    sheet = with_rows(tmp_path, '<row r="3" hidden="1"/><row r="4" ht="0"/>', extra).sheets[0]
    assert sheet.protected
    assert sheet.protection == {"sheet": "1", "formatRows": "0"}
    assert sheet.merges == [(0, 0, 1, 1)]
    assert sheet.hidden_rows == {2, 3}
    assert [(one["type"], one["sqref"], one["formula1"]) for one in sheet.validations] == [
        ("decimal", "C1:C5 E1", "0"),
        ("list", "D1:D9", "Job!$A$1:$A$3"),
    ]


def test_comments_and_names_and_the_program(tmp_path):
    def plant(key: str, worksheet: Any) -> None:
        if key == "job":
            worksheet.write_comment("B3", "by telephone")
            worksheet.set_column(3, 4, None, None, {"hidden": True})
            worksheet.print_area("A1:B9")

    book = read_book(write(small_book(), tmp_path / "a.xlsx", sheet=plant))
    assert book.sheets[0].comments == {(2, 1): "by telephone"}
    assert book.sheets[0].hidden_columns == {3, 4}
    assert book.names["bar_rate"] == "Job!$B$6"
    assert book.names["Job!_xlnm.Print_Area"] == "Job!$A$1:$B$9"
    assert book.program.startswith("Microsoft Excel")
    assert len(book.sha256) == 64


@pytest.mark.parametrize(
    "rows",
    [
        '<row r="1"><c r="A1"><f t="array" ref="A1:A3">B1:B3*2</f><v>1</v></c></row>',
        '<row r="1" spans="1:3" ht="15"><c r="A1" s="1"/><c r="B1" s="1" t="str"><f>"a"</f><v>a</v></c></row>',
        '<row r="1"><c r="A1" t="str"><f>""</f><v></v></c><c r="B1"><f>1</f></c><c r="C1" t="b"><v>1</v></c></row>',
        '<row r="1"/><row r="2"></row><row r="3"><c r="C3"><v>1</v></c></row>',
        '<row r="1"><c r="A1" t="inlineStr"><is><t xml:space="preserve"> a &amp; b </t></is></c></row>',
        '<row r="1"><c r="A1"><f>IF(B1&lt;2,&quot;x&quot;,&quot;&gt;&quot;)</f><v>1</v></c></row>',
        '<row r="1"><c r="A1" t="n"><v>1E-3</v></c><c r="B1" t="e"><v>#N/A</v></c></row>',
    ],
)
def test_both_ways_of_reading_rows_give_the_same_cells(tmp_path, rows):
    """A comment in the part sends it to the parser; without one it is in plain form."""
    plain = with_rows(tmp_path, rows)
    parsed = with_rows(tmp_path, rows, "<!-- to the parser -->", name="b.xlsx")
    assert plain.sheets == parsed.sheets
