"""Writing a book as an .xlsx file with XlsxWriter: the same book gives the same bytes."""

from __future__ import annotations

from collections.abc import Iterable
from io import BytesIO
from pathlib import Path
from typing import TYPE_CHECKING, Any

import xlsxwriter
from xlsxwriter.format import Format
from xlsxwriter.worksheet import Worksheet

from sheetgen.whole_file import write_whole
from sheetgen.xlsx.charts import insert_charts
from sheetgen.xlsx.looks import looks
from sheetgen.xlsx.model import CREATED, Book, Cell, Sheet, Validation
from sheetgen.xlsx.page import BOTTOM, MARGIN, PAPERS, TOP
from sheetgen.xlsx.workbook_file import SheetFile, WorkbookFile

if TYPE_CHECKING:
    from sheetgen.xlsx.results import Results


def write_book(book: Book, path: Path, values: Results | None = None) -> Path:
    """Write a book, every formula with its result; the file appears whole or not at all.

    Args:
        book: what to write
        path: where to; an existing file is replaced once the new one is complete
        values: results of the formulas, computed where not given
    """
    write_whole(path, book_bytes(book, values))
    return path


def book_bytes(book: Book, values: Results | None = None) -> bytes:
    """The bytes of a book's file, every formula with its result; see :func:`write_book`."""
    if values is None:
        from sheetgen.xlsx.results import results

        values = results(book)
    made = BytesIO()
    workbook = WorkbookFile(
        made,
        {
            "in_memory": True,
            "strings_to_urls": False,
            "strings_to_formulas": False,
            "default_format_properties": looks(book.styles).font,
        },
    )
    workbook.set_properties({"created": CREATED, **book.properties})
    workbook.set_calc_mode("auto")
    formats = _Formats(workbook, book.styles)
    for sheet in book.sheets:
        _write_sheet(workbook, workbook.add_worksheet(sheet.name), sheet, formats, values)
    workbook.worksheets()[0].activate()
    for name, reference in sorted(book.names.items()):
        workbook.define_name(name, f"={reference}")
    workbook.close()
    return made.getvalue()


class _Formats:
    """One XlsxWriter format for each look, number format and lock state."""

    def __init__(self, workbook: xlsxwriter.Workbook, styles: str) -> None:
        self._workbook, self._looks = workbook, looks(styles)
        self._made: dict[tuple[str, str, bool], Format] = {}

    def get(self, key: tuple[str, str, bool]) -> Format:
        """The format of a style, a number format and a lock state."""
        made = self._made.get(key)
        if made is None:
            style, number_format, locked = key
            look = self._looks.properties(style) | {"locked": locked}
            if look.pop("spaced", False) and number_format != "General":
                number_format = ";".join(f"{section}_)" for section in number_format.split(";"))
            if number_format != "General":
                look["num_format"] = number_format
            made = self._made[key] = self._workbook.add_format(look)
        return made

    def mark(self, look: str | dict[str, Any]) -> Format:
        """How a marked cell looks: as said, or for a figure outside a limit bold, italic and hatched, with a letter
        behind it that its number format gives."""
        if isinstance(look, dict):
            return self._workbook.add_format(look)
        return self._workbook.add_format(
            {
                "num_format": look,
                "bold": True,
                "italic": True,
                "pattern": 18,
                "bg_color": "#FFFFFF",
                "fg_color": "#B9C4C8",
            }
        )


def _write_sheet(
    workbook: xlsxwriter.Workbook, worksheet: SheetFile, sheet: Sheet, formats: _Formats, values: Results
) -> None:
    for top, left, bottom, right in sheet.merges:
        look = formats.get(sheet.cells[top, left][2:])
        worksheet.merge_range(top, left, bottom, right, "", look)
    cells: Iterable[tuple[tuple[int, int], Cell]] = sheet.cells.items()
    if covered := _covered(sheet):
        cells = ((at, cell) for at, cell in sheet.cells.items() if at not in covered)
    worksheet.fill(cells, formats.get, lambda row, col: values[sheet.key, row, col])
    for at, target in sheet.links.items():
        cell = sheet.cells[at]
        link = target if target.startswith(("internal:", "external:")) else f"internal:{target}"
        worksheet.write_url(*at, link, formats.get(cell[2:]), str(cell.value))
    _shape(worksheet, sheet)
    for rule in sheet.validations:
        worksheet.data_validation(
            rule.first_row, rule.first_col, rule.last_row, rule.last_col, _validation(rule)
        )
    for first_row, first_col, last_row, last_col, look in sheet.conditional:
        options: dict[str, Any] = {key: value for key, value in look.items() if key != "mark"}
        worksheet.conditional_format(
            first_row, first_col, last_row, last_col, {**options, "format": formats.mark(look["mark"])}
        )
    for at, text in sheet.comments.items():
        worksheet.write_comment(*at, text)
    insert_charts(workbook, worksheet, sheet)
    if sheet.pictures:
        from sheetgen.xlsx.pictures import insert_pictures

        insert_pictures(worksheet, sheet)
    _page(worksheet, sheet)
    if sheet.protected:
        worksheet.protect("", {"format_columns": True, "format_rows": True, "select_locked_cells": True})


def _covered(sheet: Sheet) -> set[tuple[int, int]]:
    """Cells of merged areas but the first of each."""
    return {
        (row, col)
        for top, left, bottom, right in sheet.merges
        for row in range(top, bottom + 1)
        for col in range(left, right + 1)
        if (row, col) != (top, left)
    }


def _shape(worksheet: Worksheet, sheet: Sheet) -> None:
    for col, width in sheet.column_widths.items():
        worksheet.set_column(col, col, width, None, {"hidden": width == 0})
    for row, height in sheet.row_heights.items():
        worksheet.set_row(row, height, None, {"hidden": height == 0})
    if sheet.freeze:
        worksheet.freeze_panes(*sheet.freeze)
    if sheet.filtered:
        worksheet.autofilter(*sheet.filtered)
    if sheet.selected:
        worksheet.set_selection(*sheet.selected, *sheet.selected)
    worksheet.hide_gridlines(2)
    if sheet.tab_color:
        worksheet.set_tab_color(sheet.tab_color)
    if sheet.hidden:
        worksheet.hide()
    worksheet.set_zoom(sheet.zoom)


def _validation(rule: Validation) -> dict[str, Any]:
    options: dict[str, Any] = {
        "validate": {"whole": "integer"}.get(rule.kind, rule.kind),
        "input_title": rule.prompt_title,
        "input_message": rule.prompt[:255],
        "error_title": rule.error_title[:32],
        "error_message": rule.error[:255],
        "error_type": "stop" if rule.stop else "warning",
    }
    if rule.kind == "list":
        text = rule.formula1
        options["source"] = text.strip('"').split(",") if text.startswith('"') else text
    elif rule.kind == "custom":
        options["value"] = rule.formula1
    elif rule.operator == "between":
        options |= {"criteria": "between", "minimum": rule.formula1, "maximum": rule.formula2}
    else:
        options |= {"criteria": rule.operator, "value": rule.formula1}
    return options


def _page(worksheet: Worksheet, sheet: Sheet) -> None:
    page = sheet.page
    if page["orientation"] == "landscape":
        worksheet.set_landscape()
    else:
        worksheet.set_portrait()
    worksheet.set_paper(PAPERS[page["paper"]].number)
    worksheet.set_margins(left=MARGIN, right=MARGIN, top=TOP, bottom=BOTTOM)
    worksheet.set_footer(page["footer"], {"margin": 0.3})
    if page.get("fit_width"):
        worksheet.fit_to_pages(page["fit_width"], page["fit_height"])
    else:
        worksheet.set_print_scale(page["scale"])
    if page.get("centered"):
        worksheet.center_horizontally()
    if "repeat_rows" in page:
        worksheet.repeat_rows(*page["repeat_rows"])
    if "repeat_columns" in page:
        worksheet.repeat_columns(*page["repeat_columns"])
    if "area" in page:
        worksheet.print_area(*page["area"])
    if page.get("row_breaks"):
        worksheet.set_h_pagebreaks(page["row_breaks"])
    if page.get("column_breaks"):
        worksheet.set_v_pagebreaks(page["column_breaks"])
