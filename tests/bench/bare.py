"""A book's cells as somebody would write them with XlsxWriter alone.

The same cells, number formats and looks, widths and heights, merges, validations, and every formula with its result.
Left out is what takes thought and little time: names, charts, pictures, conditional looks, page setup, protection.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import xlsxwriter

from sheetgen import templates
from sheetgen.xlsx.model import Book
from sheetgen.xlsx.results import Results
from sheetgen.xlsx.write import _validation  # what XlsxWriter calls the parts of a validation


def bare_writer(book: Book, values: Results, path: Path) -> Callable[[], None]:
    """What writes the book's cells into a file; everything it writes is plain lists by then."""
    looks = templates.toml("styles.toml")
    sheets = []
    for sheet in book.sheets:
        merges = [(*area, sheet.cells[area[:2]]) for area in sheet.merges]
        covered = {
            (row, column)
            for top, left, bottom, right in sheet.merges
            for row in range(top, bottom + 1)
            for column in range(left, right + 1)
            if (row, column) != (top, left)
        }
        cells = [
            (*place, cell.formula, values.get((sheet.key, *place)), cell.value, cell[2:])
            for place, cell in sheet.cells.items()
            if place not in covered
        ]
        rules = [
            ((rule.first_row, rule.first_col, rule.last_row, rule.last_col), _validation(rule))
            for rule in sheet.validations
        ]
        sheets.append((sheet.name, cells, merges, rules, sheet.column_widths, sheet.row_heights))

    def write() -> None:
        workbook = xlsxwriter.Workbook(str(path), {"strings_to_urls": False, "strings_to_formulas": False})
        formats: dict[tuple[str, str, bool], Any] = {}

        def look(key: tuple[str, str, bool]) -> Any:
            if key not in formats:
                style, number_format, locked = key
                facts = {**looks["base"], **looks[style], "locked": locked, "num_format": number_format}
                formats[key] = workbook.add_format(facts)
            return formats[key]

        for name, cells, merges, rules, widths, heights in sheets:
            worksheet = workbook.add_worksheet(name)
            for *area, cell in merges:
                worksheet.merge_range(*area, "", look(cell[2:]))
            for row, column, formula, result, value, key in cells:
                if formula is not None:
                    worksheet.write_formula(row, column, formula, look(key), result)
                elif value is None:
                    worksheet.write_blank(row, column, None, look(key))
                elif isinstance(value, bool):
                    worksheet.write_boolean(row, column, value, look(key))
                elif isinstance(value, str):
                    worksheet.write_string(row, column, value, look(key))
                else:
                    worksheet.write_number(row, column, value, look(key))
            for area, rule in rules:
                worksheet.data_validation(*area, rule)
            for column, width in widths.items():
                worksheet.set_column(column, column, width)
            for row, height in heights.items():
                worksheet.set_row(row, height)
        workbook.close()

    return write
