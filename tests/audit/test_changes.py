"""Every kind of change to the locked part of a book is found under its name, at its cell, and no other."""

from __future__ import annotations

import zipfile
from pathlib import Path
from typing import Any

import ironcalc
import pytest

from sheetgen import templates
from sheetgen.audit.findings import catalogue
from sheetgen.audit.model import Finding
from sheetgen.audit.proof.compare import MOST_ALIKE, compare
from sheetgen.xlsx.model import Cell, Sheet
from sheetgen.xlsx.read import read_book
from tests.audit.small_book import FIRST, ROWS, changed, small_book, with_entries, write


def found(path: Path, issued: Any = None, language: str = "en") -> list[Finding]:
    return compare(read_book(path), issued or small_book(), language)


def only(findings: list[Finding]) -> Finding:
    assert len(findings) == 1, findings
    return findings[0]


def test_a_filled_book_has_no_finding(tmp_path):
    assert found(write(with_entries(small_book()), tmp_path / "a.xlsx")) == []


# --- cells ---

CELLS = [
    (
        "formula-changed",
        "shots",
        (8, 5),
        {"formula": '=IF($B9="","",ROUND(($B9*$C9)/9,2))'},
        "Shot log",
        "F9",
    ),
    ("formula-changed", "shots", (8, 6), {"formula": '=IF(D9="","",D9-E10)'}, "Shot log", "G9"),
    ("formula-changed", "shots", (8, 7), {"formula": "=IF(AND(E9>=D9,TRUE),1,0)"}, "Shot log", "H9"),
    ("formula-changed", "shots", (8, 8), {"formula": '=IF(G9="","","within")'}, "Shot log", "I9"),
    ("formula-changed", "totals", (2, 1), {"formula": "=SUM('Shot log'!$F$5:$F$33)"}, "Totals", "B3"),
    ("formula-changed", "totals", (2, 1), {"formula": "=SUM('Shot log'!$G$5:$G$34)"}, "Totals", "B3"),
    ("formula-replaced-by-value", "shots", (8, 5), {"formula": None, "value": 400.0}, "Shot log", "F9"),
    ("formula-replaced-by-value", "shots", (8, 8), {"formula": None, "value": "within"}, "Shot log", "I9"),
    ("formula-removed", "shots", (8, 5), {"formula": None, "value": None}, "Shot log", "F9"),
    ("constant-changed", "job", (2, 1), {"value": 0.0500001}, "Job", "B3"),
    ("constant-changed", "job", (2, 1), {"value": "0.05"}, "Job", "B3"),
    ("constant-changed", "job", (4, 1), {"value": True}, "Job", "B5"),
    ("constant-changed", "job", (4, 1), {"value": 0.0}, "Job", "B5"),
    ("constant-changed", "job", (2, 0), {"value": "Bar rate"}, "Job", "A3"),
    ("constant-changed", "job", (2, 0), {"value": None}, "Job", "A3"),
    ("constant-changed", "job", (2, 1), {"value": None, "formula": "=0.05"}, "Job", "B3"),
    ("content-added", "job", (7, 1), {"value": 1.0}, "Job", "B8"),
    ("content-added", "job", (20, 9), {"value": "note"}, "Job", "J21"),
    ("content-added", "shots", (8, 12), {"formula": "=F9*2"}, "Shot log", "M9"),
    ("number-format-changed", "shots", (8, 5), {"number_format": "0"}, "Shot log", "F9"),
    ("number-format-changed", "shots", (8, 5), {"number_format": ";;;"}, "Shot log", "F9"),
    ("number-format-changed", "shots", (8, 5), {"number_format": '"400.0"'}, "Shot log", "F9"),
    ("number-format-changed", "shots", (8, 5), {"number_format": "0.0%"}, "Shot log", "F9"),
    ("number-format-changed", "totals", (3, 1), {"number_format": "#,##0.0;#,##0.0"}, "Totals", "B4"),
    ("number-format-changed", "job", (2, 1), {"number_format": "yyyy-mm-dd"}, "Job", "B3"),
    ("lock-removed", "shots", (8, 5), {"locked": False}, "Shot log", "F9"),
    ("entry-cell-locked", "shots", (8, 1), {"locked": True}, "Shot log", "B9"),
]


def test_a_percentage_is_said_as_one(tmp_path):
    path = write(changed(with_entries(small_book()), "job", (3, 1), value=0.6175), tmp_path / "a.xlsx")
    one = only(found(path))
    assert (one.cell, one.found, one.expected) == ("B4", "61.75 %", "57 %")


@pytest.mark.parametrize(("name", "sheet", "place", "fields", "tab", "cell"), CELLS)
def test_one_changed_cell_is_found(tmp_path, name, sheet, place, fields, tab, cell):
    path = write(changed(with_entries(small_book()), sheet, place, **fields), tmp_path / "a.xlsx")
    one = only(found(path))
    assert (one.name, one.sheet, one.cell, one.severity) == (name, tab, cell, catalogue()[name].severity)
    assert one.found != one.expected


def test_before_and_after_are_told_as_they_stand_in_the_cells(tmp_path):
    path = write(changed(small_book(), "job", (2, 1), value="0.05"), tmp_path / "a.xlsx")
    one = only(found(path))
    assert (one.found, one.expected) == ("“0.05”", "0.05")


@pytest.mark.parametrize(
    ("sheet", "place", "fields"),
    [
        ("job", (5, 1), {"formula": "=B3 / B4"}),
        ("job", (6, 1), {"formula": "=4.4988E-8*b6+0.1"}),
        ("shots", (8, 5), {"formula": '=if(B9="","",round(\'Shot log\'!$B$9*C9/9,1))'}),
        ("shots", (8, 7), {"formula": "=IF(AND((E9>D9),TRUE()),1,0)"}),
        ("shots", (8, 5), {"number_format": "0.0;-0.0"}),
        ("totals", (3, 1), {"number_format": "#,##0.0;[Red]-#,##0.0"}),
        ("shots", (8, 1), {"number_format": "0.0000"}),  # an entry cell: programs set it from what is typed
    ],
)
def test_what_means_the_same_is_no_finding(tmp_path, sheet, place, fields):
    assert found(write(changed(small_book(), sheet, place, **fields), tmp_path / "a.xlsx")) == []


def test_a_formula_turned_into_an_array_formula_is_found(tmp_path):
    def plant(key: str, worksheet: Any) -> None:
        if key == "totals":
            worksheet.write_array_formula("B5:B5", "{=SUM('Shot log'!H5:H34)}")

    findings = found(write(small_book(), tmp_path / "a.xlsx", sheet=plant))
    assert [(one.name, one.cell) for one in findings] == [("formula-changed", "B5")]
    assert findings[0].found.startswith("array formula")


def test_many_changes_alike_are_counted_in_one_finding(tmp_path):
    rows = range(0, 2 * MOST_ALIKE + 100, 2)  # each apart from the next
    issued = small_book()
    issued.sheets[0].cells |= {(row, 5): Cell(float(row)) for row in rows}
    other = small_book()
    other.sheets[0].cells |= {(row, 5): Cell(row + 0.5) for row in rows}
    findings = found(write(other, tmp_path / "a.xlsx"), issued)
    assert len(findings) == MOST_ALIKE + 1
    assert findings[-1].found == f"50 more cells like this on the sheet; the first is F{2 * MOST_ALIKE + 1}"


def test_a_range_changed_alike_is_one_finding_that_tells_its_first_cells(tmp_path):
    book = with_entries(small_book())
    for row in range(6, 16):
        for column in (5, 6):
            book = changed(book, "shots", (row, column), formula=f"={row}+{column}")
    book = changed(book, "shots", (20, 5), formula=None, value=1.0)
    path = write(book, tmp_path / "a.xlsx")
    one, other = found(path)
    assert (one.name, one.sheet, one.cell, one.severity) == ("formula-changed", "Shot log", "F7", "error")
    assert one.found == "20 cells F7:G16, such as F7: =6+5; G7: =6+6; F8: =7+5"
    assert one.expected.startswith("20 cells F7:G16, such as F7: =IF(")
    assert (other.name, other.cell) == ("formula-replaced-by-value", "F21")


def test_two_cells_side_by_side_are_told_each(tmp_path):
    book = changed(small_book(), "job", (2, 1), value=0.06)
    path = write(changed(book, "job", (3, 1), value=0.6), tmp_path / "a.xlsx")
    assert [(one.cell, one.found) for one in found(path)] == [("B3", "0.06"), ("B4", "60 %")]


# --- validations, names, protection ---


@pytest.mark.parametrize(
    ("typed", "said"), [(5, ("validation-removed", "error")), (None, ("entries-cut-and-pasted", "note"))]
)
def test_an_entry_without_its_validation_is_an_error_and_a_blank_cell_a_note(tmp_path, typed, said):
    book = small_book()
    book.sheets[1].cells[9, 1] = book.sheets[1].cells[9, 1]._replace(value=typed)
    rule = book.sheets[1].validations[0]
    upper = type(rule)(FIRST, 1, 8, 1, "decimal", ">=", "0")
    lower = type(rule)(10, 1, FIRST + ROWS - 1, 1, "decimal", ">=", "0")
    book.sheets[1].validations[:1] = [upper, lower]
    one = only(found(write(book, tmp_path / "a.xlsx")))
    assert (one.name, one.severity, one.cell) == (*said, "B10")
    assert "B10" in one.found


@pytest.mark.parametrize(
    ("index", "fields"),
    [
        (0, {"formula1": "-5"}),
        (0, {"operator": ">"}),
        (0, {"kind": "whole"}),
        (0, {"stop": False}),
        (1, {"formula1": '"10,11,12,13"'}),
        (2, {"formula2": "=600"}),
        (2, {"formula1": "=Job!$B$6"}),
        (3, {"formula1": "=E5<=D6"}),
    ],
)
def test_a_changed_validation_is_found(tmp_path, index, fields):
    book = small_book()
    rules = book.sheets[1].validations
    old = {name: getattr(rules[index], name) for name in type(rules[index]).__slots__}
    rules[index] = type(rules[index])(**{**old, **fields})
    one = only(found(write(book, tmp_path / "a.xlsx")))
    assert (one.name, one.cell) == ("validation-changed", f"{'BCDE'[index]}5")


def test_a_relative_validation_written_for_another_cell_is_the_same(tmp_path):
    book = small_book()
    rules = book.sheets[1].validations
    rule = rules.pop(3)
    rules.append(type(rule)(FIRST, 4, 8, 4, "custom", formula1="=E5<=D5", stop=False))
    rules.append(type(rule)(9, 4, FIRST + ROWS - 1, 4, "custom", formula1="=E10<=D10", stop=False))
    assert found(write(book, tmp_path / "a.xlsx")) == []


def test_all_validations_gone_is_one_note(tmp_path):
    book = small_book()
    book.sheets[1].validations.clear()
    one = only(found(write(book, tmp_path / "a.xlsx")))
    assert (one.name, one.severity) == ("locking-dropped-by-program", "note")


def test_one_unprotected_sheet_is_wrong_and_all_of_them_a_note(tmp_path):
    book = small_book()
    book.sheets[1].protected = False
    assert only(found(write(book, tmp_path / "a.xlsx"))).name == "sheet-unprotected"
    for sheet in book.sheets:
        sheet.protected = False
    assert only(found(write(book, tmp_path / "b.xlsx"))).name == "locking-dropped-by-program"


def test_weaker_protection_is_found(tmp_path):
    def plant(key: str, worksheet: Any) -> None:
        if key == "job":
            worksheet.protect("", {"insert_rows": True, "format_columns": True})

    one = only(found(write(small_book(), tmp_path / "a.xlsx", sheet=plant)))
    assert (one.name, one.found) == ("protection-weakened", "allowed: insertRows")


@pytest.mark.parametrize(
    ("names", "expected"),
    [
        ({"bar_rate": "Job!$B$7", "total_area": "Totals!$B$3"}, ["name-changed"]),
        ({"bar_rate": "Job!$B$6"}, ["name-removed"]),
        ({"bar_rate": "Job!$B$6", "total_area": "Totals!$B$3", "mine": "Job!$A$1"}, ["name-added"]),
        # A name of one sheet goes before the book's own on that sheet.
        (
            {"bar_rate": "Job!$B$6", "total_area": "Totals!$B$3", "Totals!bar_rate": "Job!$B$7"},
            ["name-changed"],
        ),
        ({}, ["locking-dropped-by-program"]),
    ],
)
def test_changed_names_are_found(tmp_path, names, expected):
    book = small_book()
    book.names = names
    assert [one.name for one in found(write(book, tmp_path / "a.xlsx"))] == expected


# --- sheets ---


def test_a_missing_sheet_is_found(tmp_path):
    book = small_book()
    book.sheets = book.sheets[:2]
    book.names.pop("total_area")
    findings = {one.name: one for one in found(write(book, tmp_path / "a.xlsx"))}
    assert set(findings) == {"sheet-missing", "name-removed"}
    assert findings["sheet-missing"].expected == "Totals"


def test_an_added_sheet_is_found(tmp_path):
    book = small_book()
    book.sheets.append(Sheet("mine", "Scratch", {(0, 0): Cell("note")}))
    one = only(found(write(book, tmp_path / "a.xlsx")))
    assert (one.name, one.sheet) == ("sheet-added", "Scratch")


@pytest.mark.parametrize(("call", "state"), [("hide", "hidden"), ("very_hidden", "veryHidden")])
def test_a_hidden_sheet_is_found(tmp_path, call, state):
    def plant(key: str, worksheet: Any) -> None:
        if key == "totals":
            getattr(worksheet, call)()

    one = only(found(write(small_book(), tmp_path / "a.xlsx", sheet=plant)))
    assert (one.name, one.sheet, one.found) == ("sheet-hidden", "Totals", state)


def test_hidden_rows_and_columns_are_found(tmp_path):
    def plant(key: str, worksheet: Any) -> None:
        if key == "shots":
            for row in (9, 10, 11, 20):
                worksheet.set_row(row, None, None, {"hidden": True})
            worksheet.set_column(6, 7, None, None, {"hidden": True})
            worksheet.set_row(500, None, None, {"hidden": True})  # beyond what was issued

    findings = found(write(small_book(), tmp_path / "a.xlsx", sheet=plant))
    assert [(one.name, one.found) for one in findings] == [
        ("rows-hidden", "10–12, 21 hidden, or too small to read"),
        ("columns-hidden", "G–H hidden, or too small to read"),
    ]


def test_merged_cells_are_found(tmp_path):
    def plant(key: str, worksheet: Any) -> None:
        if key == "shots":
            worksheet.merge_range("B20:B22", "")

    findings = found(write(small_book(), tmp_path / "a.xlsx", sheet=plant))
    assert "cells-merged" in {one.name for one in findings}


def test_a_renamed_sheet_is_recognised_and_the_rest_compared(tmp_path):
    path = tmp_path / "a.xlsx"
    model = ironcalc.load_from_xlsx(str(write(small_book(), tmp_path / "b.xlsx")), "en", "UTC", "en")
    model.rename_sheet(1, "Bitácora")
    model.set_user_input(2, 4, 2, "=SUM('Bitácora'!$G$5:$G$33)")
    model.evaluate()
    model.save_to_xlsx(str(path))
    findings = [one for one in found(path) if one.name != "locking-dropped-by-program"]
    assert [(one.name, one.sheet, one.cell) for one in findings] == [
        ("sheet-renamed", "Bitácora", ""),
        ("formula-changed", "Totals", "B4"),
    ]


# --- the book as a whole ---


def test_macros_are_found(tmp_path):
    path = write(small_book(), tmp_path / "a.xlsx")
    with zipfile.ZipFile(path, "a") as archive:
        archive.writestr("xl/vbaProject.bin", b"\x00")
    assert only(found(path)).name == "macro-part"


def test_a_link_to_another_file_is_found(tmp_path):
    def plant(key: str, worksheet: Any) -> None:
        if key == "job":
            worksheet.write_formula(30, 0, "='[1]Prices'!$A$1")

    path = write(small_book(), tmp_path / "a.xlsx", sheet=plant)
    with zipfile.ZipFile(path, "a") as archive:
        archive.writestr("xl/externalLinks/externalLink1.xml", "<externalLink/>")
        archive.writestr(
            "xl/externalLinks/_rels/externalLink1.xml.rels",
            '<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships">'
            '<Relationship Id="r1" Type="http://x/externalLinkPath" Target="file:///C:/prices.xlsx"'
            ' TargetMode="External"/></Relationships>',
        )
    names = {one.name: one for one in found(path)}
    assert set(names) == {"external-link", "content-added"}
    assert "prices.xlsx" in names["external-link"].found


@pytest.mark.parametrize(
    ("before", "after", "name"),
    [
        (b"<calcPr ", b'<calcPr calcMode="manual" ', "calculation-manual"),
        (b"<calcPr ", b'<calcPr iterate="1" ', "calculation-iterative"),
        (b"<calcPr ", b'<calcPr fullPrecision="0" ', "precision-as-displayed"),
        (b"<workbookPr ", b'<workbookPr date1904="1" ', "date-system-changed"),
    ],
)
def test_changed_settings_of_the_book_are_found(tmp_path, before, after, name):
    source, path = write(small_book(), tmp_path / "a.xlsx"), tmp_path / "b.xlsx"
    with zipfile.ZipFile(source) as old, zipfile.ZipFile(path, "w") as new:
        for part in old.namelist():
            new.writestr(part, old.read(part).replace(before, after, 1))
    assert only(found(path)).name == name


def test_formats_lost_in_the_whole_book_are_one_note_of_a_program(tmp_path):
    """Where one of them is left, each range that changed is a finding of its own."""
    book = read_book(write(with_entries(small_book()), tmp_path / "a.xlsx"))
    for sheet in book.sheets:
        sheet.cells = {at: cell._replace(number_format="General") for at, cell in sheet.cells.items()}
    note = only(compare(book, small_book()))
    assert (note.name, note.severity) == ("locking-dropped-by-program", "note")
    assert "number formats" in note.found
    totals = book.sheets[2].cells
    totals[2, 1] = totals[2, 1]._replace(number_format="#,##0.0")
    changed_formats = compare(book, small_book())
    assert {one.name for one in changed_formats} == {"number-format-changed"}
    assert {(one.sheet, one.found.split(",")[0]) for one in changed_formats} >= {
        ("Shot log", "90 cells F5:H34"), ("Job", "General"),
    }  # fmt: skip


def test_a_flood_of_checks_of_entries_is_counted_and_not_compared_one_by_one(tmp_path):
    book = read_book(write(small_book(), tmp_path / "a.xlsx"))
    book.sheets[1].validations += [{"sqref": " ".join(f"AA{row}" for row in range(1, 5_001)), "type": "none"}]
    one = only(compare(book, small_book()))
    assert (one.name, one.sheet, one.cell) == ("validation-changed", "Shot log", "")
    assert one.found == "5004 ranges with checks of entries"


# --- words ---


def test_nothing_of_a_file_can_play_tricks_on_a_terminal(tmp_path):
    path = write(changed(small_book(), "job", (2, 0), value="\x1b[2J\u202egnp.exe"), tmp_path / "a.xlsx")
    one = only(found(path))
    assert one.found.isprintable()


def test_every_finding_on_the_file_has_its_words_in_both_languages():
    kinds = [kind for kind in catalogue().values() if kind.group == "file"]
    assert len(kinds) >= 30
    for kind in kinds:
        for language in templates.LANGUAGES:
            for part in ("title", "why", "remedy"):
                assert kind.text(part, language).endswith(("", ".")[part != "title"])


def test_found_and_expected_are_in_the_language_of_the_order(tmp_path):
    path = write(changed(small_book(), "job", (2, 0), value=None), tmp_path / "a.xlsx")
    one = only(found(path, language="es"))
    assert (one.found, one.expected) == ("(en blanco)", "«Residual rate»")
