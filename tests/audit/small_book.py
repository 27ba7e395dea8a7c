"""A small issued book with everything that proof looks at, and its file written with XlsxWriter alone."""

from __future__ import annotations

import copy
from pathlib import Path
from typing import Any

import xlsxwriter

from sheetgen.xlsx.model import Book, Cell, Sheet, Validation

ROWS = 30  # of the log
FIRST = 4  # its first row, from 0


def small_book() -> Book:
    """An order sheet, a log and totals: constants, formulas, entry cells, validations, names, formats."""
    job = Sheet("job", "Job")
    job.cells = {
        (0, 0): Cell("Job"),
        (2, 0): Cell("Residual rate"),
        (2, 1): Cell(0.05, number_format="0.00"),
        (3, 0): Cell("Residue"),
        (3, 1): Cell(0.57, number_format="0%"),
        (4, 0): Cell("Diluted"),
        (4, 1): Cell(False),
        (5, 0): Cell("Bar rate"),
        (5, 1): Cell(formula="=(B3/B4)", number_format="0.0000"),
        (6, 0): Cell("Coefficient"),
        (6, 1): Cell(formula="=0.000000044988*B6+10%"),
        (7, 1): Cell(None),
    }
    log = Sheet("shots", "Shot log")
    titles = ("No.", "Length, ft", "Width, ft", "Dip before", "Dip after", "Area", "Used", "Check", "Verdict")
    log.cells = {(2, column): Cell(title) for column, title in enumerate(titles)}
    log.cells[0, 0] = Cell("Shot log")
    for row in range(FIRST, FIRST + ROWS):
        line = row + 1
        log.cells[row, 0] = Cell(row - FIRST + 1, number_format="0")
        for column in range(1, 5):
            log.cells[row, column] = Cell(None, locked=False, number_format="0.00")
        log.cells[row, 5] = Cell(
            formula=f'=IF($B{line}="","",ROUND(($B{line}*$C{line})/9,1))', number_format="0.0"
        )
        log.cells[row, 6] = Cell(formula=f'=IF(D{line}="","",D{line}-E{line})', number_format="0.0")
        log.cells[row, 7] = Cell(formula=f"=IF(AND(E{line}>D{line},TRUE),1,0)", number_format="0")
        log.cells[row, 8] = Cell(formula=f'=IF(G{line}="","",IF(G{line}/F{line}>Job!$B$6,"high","within"))')
    last = FIRST + ROWS
    log.validations = [
        Validation(FIRST, 1, last - 1, 1, "decimal", ">=", "0"),
        Validation(FIRST, 2, last - 1, 2, "list", formula1='"10,11,12"'),
        Validation(FIRST, 3, last - 1, 3, "decimal", "between", "=Job!$B$5", "=60"),
        Validation(FIRST, 4, last - 1, 4, "custom", formula1=f"=E{FIRST + 1}<=D{FIRST + 1}", stop=False),
    ]
    totals = Sheet("totals", "Totals")
    totals.merges = [(0, 0, 0, 2)]
    totals.cells = {
        (0, 0): Cell("Totals"),
        (2, 0): Cell("Area"),
        (2, 1): Cell(formula=f"=SUM('Shot log'!$F${FIRST + 1}:$F${last})", number_format="#,##0.0"),
        (3, 0): Cell("Used"),
        (3, 1): Cell(formula=f"=SUM('Shot log'!$G${FIRST + 1}:$G${last})", number_format="#,##0.0"),
        (4, 0): Cell("Checks"),
        (4, 1): Cell(formula=f"=SUM('Shot log'!H{FIRST + 1}:H{last})"),
        (5, 0): Cell("Rate"),
        (5, 1): Cell(formula='=IF(B3=0,"",B4/B3)', number_format="0.0000"),
    }
    names = {"bar_rate": "Job!$B$6", "total_area": "Totals!$B$3"}
    return Book("0000-0000-0000", [job, log, totals], names, {}, {})


def with_entries(book: Book) -> Book:
    """The book as a crew fills it: eight shots."""
    filled = copy.deepcopy(book)
    cells = filled.sheet("shots").cells
    for row in range(FIRST, FIRST + 8):
        number = row - FIRST
        entries = (300.0 + 20 * number, 12.0, 40.0 - number, 39.25 - number)
        for column, value in enumerate(entries, start=1):
            cells[row, column] = Cell(value, locked=False, number_format="0.00")
    return filled


def changed(book: Book, sheet: str, place: tuple[int, int], **fields: Any) -> Book:
    """The book with other fields in one cell; ``None`` for all of them removes the cell."""
    other = copy.deepcopy(book)
    cells = other.sheet(sheet).cells
    old = cells.get(place, Cell())
    cells[place] = Cell(
        **{
            "value": old.value,
            "formula": old.formula,
            "number_format": old.number_format,
            "locked": old.locked,
            **fields,
        }
    )
    return other


def write(book: Book, path: Path, /, **settings: Any) -> Path:
    """The book's file. ``settings`` are what a test plants in the file as a whole."""
    workbook = xlsxwriter.Workbook(str(path), settings.get("options", {}))
    formats: dict[tuple[str, bool], Any] = {}
    for sheet in book.sheets:
        worksheet = workbook.add_worksheet(sheet.name)
        for place, cell in sheet.cells.items():
            key = (cell.number_format, cell.locked)
            if key not in formats:
                formats[key] = workbook.add_format({"num_format": key[0], "locked": key[1]})
            _write_cell(worksheet, place, cell, formats[key])
        for merge in sheet.merges:
            worksheet.merge_range(*merge, "", formats["General", True])
            _write_cell(worksheet, merge[:2], sheet.cells[merge[:2]], formats["General", True])
        for rule in sheet.validations:
            worksheet.data_validation(*_area(rule), _validation(rule))
        if sheet.protected:
            worksheet.protect("", {"format_columns": True, "format_rows": True})
        settings.get("sheet", lambda name, made: None)(sheet.key, worksheet)
    for name, reference in book.names.items():
        workbook.define_name(name, f"={reference}")
    settings.get("book", lambda made: None)(workbook)
    workbook.close()
    return path


def _write_cell(worksheet: Any, place: tuple[int, int], cell: Cell, look: Any) -> None:
    if cell.formula is not None:
        worksheet.write_formula(*place, cell.formula, look, 0)
    elif cell.value is None:
        worksheet.write_blank(*place, None, look)
    elif isinstance(cell.value, bool):
        worksheet.write_boolean(*place, cell.value, look)
    elif isinstance(cell.value, str):
        worksheet.write_string(*place, cell.value, look)
    else:
        worksheet.write_number(*place, cell.value, look)


def _area(rule: Validation) -> tuple[int, int, int, int]:
    return rule.first_row, rule.first_col, rule.last_row, rule.last_col


def _validation(rule: Validation) -> dict[str, Any]:
    options: dict[str, Any] = {"validate": rule.kind, "error_type": "stop" if rule.stop else "warning"}
    if rule.kind == "list":
        options["source"] = rule.formula1.strip('"').split(",")
    elif rule.kind == "custom":
        options["value"] = rule.formula1
    elif rule.operator == "between":
        options |= {"criteria": "between", "minimum": rule.formula1, "maximum": rule.formula2}
    else:
        options |= {"criteria": rule.operator, "value": rule.formula1}
    return options
