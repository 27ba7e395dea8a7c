"""What few programs write, and what the standard allows all the same: read as it says, or refused with its name."""

from __future__ import annotations

import re
import zipfile
from pathlib import Path

import pytest
from lxml import etree

from sheetgen.audit.proof.compare import compare
from sheetgen.errors import UnusableBook
from sheetgen.xlsx import markup, package
from sheetgen.xlsx.read import MAX_SHEETS, read_book
from sheetgen.xlsx.returned import ReturnedCell, ReturnedSheet
from sheetgen.xlsx.worksheet import read_comments
from tests.audit.small_book import small_book, write
from tests.audit.test_reader import MAIN, with_rows

SHEET = "xl/worksheets/sheet1.xml"


@pytest.fixture(scope="module")
def sound(tmp_path_factory):
    return write(small_book(), tmp_path_factory.mktemp("sound") / "sound.xlsx")


def with_part(sound: Path, folder: Path, part: str, change, method=zipfile.ZIP_DEFLATED) -> Path:
    """The sound book with one part changed; ``None`` leaves it out."""
    path = folder / "rare.xlsx"
    with zipfile.ZipFile(sound) as old, zipfile.ZipFile(path, "w", method) as new:
        for name in old.namelist():
            data = change(old.read(name)) if name == part else old.read(name)
            if data is not None:
                new.writestr(name, data)
    return path


# Cells


@pytest.mark.parametrize(
    ("cell", "formula"),
    [
        ('<f t="array" ref="A1:A3">B1:B3*2</f>', "=B1:B3*2"),
        ('<f t="dataTable" ref="A1:A3" dt2D="1" r1="B1" r2="C1"/>', "=TABLE(B1,C1)"),  # 18.3.1.40
        ('<f t="dataTable" ref="A1:A3"/>', "=TABLE(,)"),
        ('<f t="other">B1*2</f>', "=B1*2"),
        ("<f></f>", None),
    ],
)
def test_a_formula_of_every_kind_is_seen(tmp_path, cell, formula):
    sheet = with_rows(tmp_path, f'<row r="1"><c r="A1">{cell}<v>1</v></c></row>').sheets[0]
    assert sheet.cells[0, 0].formula == formula
    assert sheet.arrays == ({(0, 0): "A1:A3"} if 't="array"' in cell else {})


@pytest.mark.parametrize(
    ("text", "value"),
    [("2026-05-04", 46146.0), ("2026-05-04T06:00:00Z", 46146.25), ("soon", "soon"), ("46146", "46146")],
)
def test_a_date_cell_that_holds_no_date_stays_a_text(tmp_path, text, value):
    cell = with_rows(tmp_path, f'<row r="1"><c r="A1" t="d"><v>{text}</v></c></row>').sheets[0].cells[0, 0]
    assert cell.value == value


@pytest.mark.parametrize(
    ("rows", "values", "hidden"),
    [
        ("<row r='1' hidden='1'><c r=\"A1\"><v>1</v></c></row>", {(0, 0): 1}, {0}),
        ('<row r="1" hidden="1" ><c r="A1"><v>1</v></c></row>', {(0, 0): 1}, {0}),
        ('<row r="1"><c r="A1"><v>1</v><other/></c></row>', {(0, 0): 1}, set()),
        ('<row r="1"><c r="A1"><v><![CDATA[1]]></v></c></row>', {(0, 0): 1}, set()),
        ('<row r="1" ht="15"\n><c r="A1"><v>1</v></c></row>', {(0, 0): 1}, set()),
    ],
    ids=["apostrophes", "a blank", "another element", "a section of characters", "a line break"],
)
def test_rows_in_another_way_of_writing_are_read_by_the_parser(tmp_path, rows, values, hidden):
    sheet = with_rows(tmp_path, rows).sheets[0]
    assert ({at: cell.value for at, cell in sheet.cells.items()}, sheet.hidden_rows) == (values, hidden)


@pytest.mark.parametrize(
    "rows",
    [
        b'<row r="1"><c r="A1" t="str"><v>\xff</v></c></row>',
        b'<row r="1" r="2"><c r="A1"><v>1</v></c></row>',
        b'<row r="1" ht="1" ht="2"><c r="A1"><v>1</v></c></row>',
        b'<row r="1"><c r="A1"><v>1</v></c>',
        b'</row><row r="1"><c r="A1"><v>1</v></c>',
        b'<row r="1"><c r="A1" t="str"><v>]]></v></c></row>',
        b'<row r="1"><c r="A1" t="str"><v>\x01</v></c></row>',
    ],
)
def test_rows_that_are_no_xml_are_refused(sound, tmp_path, rows):
    data = f'<worksheet xmlns="{MAIN}"><sheetData>'.encode() + rows + b"</sheetData></worksheet>"
    with pytest.raises(UnusableBook, match=re.escape(SHEET)):
        read_book(with_part(sound, tmp_path, SHEET, lambda _old: data))


@pytest.mark.parametrize(
    "data",
    [
        f'<worksheet xmlns="{MAIN}"/>',
        f'<worksheet xmlns="{MAIN}"><sheetData/></worksheet>',
        f'<worksheet xmlns="{MAIN}"><sheetData></sheetData></worksheet>',
        # Rows of no namespace, or of another one, are no rows of a worksheet.
        f'<x:worksheet xmlns:x="{MAIN}"><sheetData><row r="1"><c r="A1"><v>1</v></c></row></sheetData></x:worksheet>',
    ],
)
def test_a_sheet_without_rows_has_no_cells(sound, tmp_path, data):
    book = read_book(with_part(sound, tmp_path, SHEET, lambda _old: data.encode()))
    assert (book.sheets[0].cells, len(book.sheets)) == ({}, 3)


def test_the_look_of_a_cell_is_its_own_else_its_rows_else_its_columns():
    sheet = ReturnedSheet("Shots", "visible", {(1, 1): ReturnedCell(None, None, "blank", False, "0.0")})
    sheet.row_styles[2] = (False, "0.00")
    sheet.column_styles += [(1, 3, False, "0%"), (3, 5, True, "@")]
    looks = {(1, 1): (False, "0.0"), (2, 1): (False, "0.00"), (3, 1): (False, "0%"), (3, 3): (False, "0%"),
             (3, 4): (True, "@"), (3, 6): (True, "General"), (3, 0): (True, "General")}  # fmt: skip
    assert {at: sheet.style(*at) for at in looks} == looks


def test_a_style_whose_format_has_no_number_is_general(sound, tmp_path):
    def change(old):
        return re.sub(rb'<xf numFmtId="\d+"', b'<xf numFmtId="many"', old)

    book = read_book(with_part(sound, tmp_path, "xl/styles.xml", change))
    assert {cell.number_format for sheet in book.sheets for cell in sheet.cells.values()} == {"General"}
    assert {cell.locked for cell in book.sheets[1].cells.values()} == {True, False}


def test_a_note_without_a_text_or_a_cell_is_none():
    notes = "".join(
        f'<comment ref="{ref}">{text}</comment>'
        for ref, text in (
            ("B3", "<text><t>by telephone</t></text>"),
            ("B4", ""),
            ("??", "<text><t>x</t></text>"),
        )
    )
    root = etree.fromstring(f'<comments xmlns="{MAIN}"><commentList>{notes}</commentList></comments>')
    assert read_comments(root) == {(2, 1): "by telephone"}


# Sheets and parts


def test_a_sheet_that_is_a_chart_has_no_cells_and_was_added(tmp_path):
    def plant(workbook):
        chart = workbook.add_chart({"type": "line"})
        chart.add_series({"values": "=Job!$B$3:$B$4"})
        workbook.add_chartsheet("Curve").set_chart(chart)

    book = read_book(write(small_book(), tmp_path / "a.xlsx", book=plant))
    assert (book.sheets[-1].name, book.sheets[-1].cells) == ("Curve", {})
    (found,) = compare(book, small_book())
    assert (found.name, found.sheet) == ("sheet-added", "Curve")


def test_two_sheets_of_one_name_are_refused(sound, tmp_path):
    path = with_part(
        sound, tmp_path, "xl/workbook.xml", lambda old: old.replace(b'name="Totals"', b'name="JOB"')
    )
    with pytest.raises(UnusableBook, match="job"):
        read_book(path)


def with_more_sheets(sound: Path, folder: Path, more: int) -> Path:
    """The sound book with further sheets: each with its own entry, relationship, content type and part."""
    path = folder / "more.xlsx"
    numbers = range(9, 9 + more)
    kind = "http://schemas.openxmlformats.org/officeDocument/2006/relationships/worksheet"
    media = "application/vnd.openxmlformats-officedocument.spreadsheetml.worksheet+xml"
    added = {
        "xl/workbook.xml": ("</sheets>", '<sheet name="n{0}" sheetId="{0}" r:id="more{0}"/>'),
        "xl/_rels/workbook.xml.rels": (
            "</Relationships>",
            f'<Relationship Id="more{{0}}" Type="{kind}" Target="worksheets/sheet{{0}}.xml"/>',
        ),
        "[Content_Types].xml": (
            "</Types>",
            f'<Override PartName="/xl/worksheets/sheet{{0}}.xml" ContentType="{media}"/>',
        ),
    }
    with zipfile.ZipFile(sound) as old, zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as new:
        for name in old.namelist():
            data = old.read(name)
            if name in added:
                end, entry = added[name]
                entries = "".join(entry.format(number) for number in numbers)
                data = data.replace(end.encode(), f"{entries}{end}".encode())
            new.writestr(name, data)
        for number in numbers:
            new.writestr(f"xl/worksheets/sheet{number}.xml", old.read(SHEET))
    return path


@pytest.mark.parametrize("more", [-3, -2])
def test_sheets_are_counted(sound, tmp_path, more):
    """Three are there: as many as are allowed are read, one more is refused before any is."""
    path = with_more_sheets(sound, tmp_path, MAX_SHEETS + more)
    if more == -3:
        assert len(read_book(path).sheets) == MAX_SHEETS
    else:
        with pytest.raises(UnusableBook, match=str(MAX_SHEETS)):
            read_book(path)


@pytest.mark.parametrize("id", ["rId1", "rId9"])
def test_sheets_that_are_one_part_are_refused_as_such(sound, tmp_path, id):
    """Whether a second sheet repeats the first one's relationship or has another one to the same part."""
    sheet = f'<sheet name="again" sheetId="9" r:id="{id}"/></sheets>'.encode()
    path = with_part(sound, tmp_path, "xl/workbook.xml", lambda old: old.replace(b"</sheets>", sheet))
    if id == "rId9":
        (tmp_path / "links").mkdir()
        kind = "http://schemas.openxmlformats.org/officeDocument/2006/relationships/worksheet"
        link = f'<Relationship Id="{id}" Type="{kind}" Target="worksheets/sheet1.xml"/></Relationships>'
        path = with_part(
            path,
            tmp_path / "links",
            "xl/_rels/workbook.xml.rels",
            lambda old: old.replace(b"</Relationships>", link.encode()),
        )
    with pytest.raises(UnusableBook, match="share one part"):
        read_book(path)


def test_a_file_that_does_not_say_what_wrote_it_is_read(sound, tmp_path):
    book = read_book(with_part(sound, tmp_path, "docProps/app.xml", lambda _old: None))
    assert (book.program, len(book.sheets)) == ("", 3)


def test_a_name_that_no_system_takes_is_no_file():
    with pytest.raises(UnusableBook) as caught:
        read_book("a\0.xlsx")
    assert "\0" not in caught.value.found


def test_another_way_of_packing_is_named_with_its_part(sound, tmp_path):
    path = with_part(sound, tmp_path, SHEET, lambda old: old, zipfile.ZIP_BZIP2)
    with pytest.raises(UnusableBook) as caught:
        read_book(path)
    assert "[Content_Types].xml" in caught.value.found


@pytest.mark.parametrize(
    ("where", "bound"), [(package, "MAX_MARKUP"), (markup, "MAX_WEIGHT"), (package, "MAX_FORMULAS")]
)
def test_more_marks_or_formulas_than_any_book_has_are_refused(sound, monkeypatch, where, bound):
    assert len(read_book(sound).sheets) == 3
    monkeypatch.setattr(where, bound, 90)
    with pytest.raises(UnusableBook) as caught:
        read_book(sound)
    assert "90" in caught.value.expected
