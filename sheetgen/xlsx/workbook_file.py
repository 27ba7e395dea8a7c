"""A workbook file that says by what it was made: XlsxWriter names a spreadsheet program there, which made none of it.

The recheck shows what a returned file says wrote it last; a book that nobody saved again says "sheetgen".
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from functools import lru_cache
from io import StringIO
from pathlib import Path

import xlsxwriter
from xlsxwriter.app import App
from xlsxwriter.exceptions import FileCreateError
from xlsxwriter.format import Format
from xlsxwriter.packager import Packager
from xlsxwriter.worksheet import CellFormulaTuple, Worksheet, re_dynamic_function

from sheetgen.xlsx.chart_file import with_defaults_stated
from sheetgen.xlsx.model import Cell, Value

PROGRAM = "sheetgen"
_WITHOUT_DIGITS = str.maketrans("", "", "0123456789")


class SheetFile(Worksheet):  # type: ignore[misc]
    """A worksheet of many formulas that differ in their rows alone."""

    def _write_formula(
        self, row: int, col: int, formula: str, cell_format: Format | None = None, value: Value = 0
    ) -> int:
        if not _left_alone(formula.translate(_WITHOUT_DIGITS)) or self._check_dimensions(row, col):
            written: int = super()._write_formula(row, col, formula, cell_format, value)
            return written
        self.table[row][col] = CellFormulaTuple(formula.removeprefix("="), cell_format, value)
        return 0

    def _prepare_formula(self, formula: str, expand_future_functions: bool = False) -> str:
        return _prepared(formula, expand_future_functions)

    def fill(
        self,
        cells: Iterable[tuple[tuple[int, int], Cell]],
        look: Callable[[tuple[str, str, bool]], Format],
        result: Callable[[int, int], Value],
    ) -> None:
        """Write cells, each by its kind: past XlsxWriter's own doors, which tell addresses from rows at every cell.

        Args:
            look: gives the format of a style, a number format and a lock state
            result: gives the result of the formula at a row and a column
        """
        blank, text, number = self._write_blank, self._write_string, self._write_number
        for (row, col), cell in cells:
            value, formula = cell[0], cell[1]
            made = look(cell[2:])
            if formula is not None:
                self._write_formula(row, col, formula, made, result(row, col))
            elif value is None:
                blank(row, col, None, made)
            elif isinstance(value, str):
                text(row, col, value, made)
            elif isinstance(value, bool):
                self._write_boolean(row, col, value, made)
            else:
                number(row, col, value, made)


# XlsxWriter looks through each formula for a hundred functions that it must complete or write otherwise, which takes
# half of all writing. Here it does so once for all formulas that are the same but for their digits, in all books of a
# process.


@lru_cache(maxsize=10_000)
def _left_alone(shape: str) -> bool:
    """Whether formulas of a shape, the formula without its digits, are written as they are."""
    return not re_dynamic_function.search(shape) and _prepared(shape, False) == shape.removeprefix("=")


@lru_cache(maxsize=1_000)
def _prepared(formula: str, expand_future_functions: bool) -> str:
    prepared: str = Worksheet()._prepare_formula(formula, expand_future_functions)
    return prepared


class WorkbookFile(xlsxwriter.Workbook):  # type: ignore[misc]
    """An XlsxWriter workbook with the program's own name in its properties (ECMA-376 part 1, 22.2)."""

    worksheet_class = SheetFile

    def close(self) -> None:
        """Write the file; an error of the system is one, and no other kind of error as in the library."""
        try:
            super().close()
        except FileCreateError as error:
            raise error.args[0] from error

    def _get_packager(self) -> Packager:  # XlsxWriter leaves this to be overridden
        return _Packager()


class _Packager(Packager):  # type: ignore[misc]
    def _write_chart_files(self) -> None:
        others = len(self.filenames)
        super()._write_chart_files()
        for file, _part, _binary in self.filenames[others:]:
            if isinstance(file, StringIO):  # a workbook that is put together in memory
                part = with_defaults_stated(file.getvalue().encode())
                file.seek(0)
                file.truncate()
                file.write(part.decode())
            else:
                Path(file).write_bytes(with_defaults_stated(Path(file).read_bytes()))

    def _write_app_file(self) -> None:
        application = _Application()
        sheets = [sheet.name for sheet in self.workbook.worksheets()]
        for name in sheets:
            application._add_part_name(name)
        application._add_heading_pair(["Worksheets", len(sheets)])
        application._set_properties(self.workbook.doc_properties)
        application._set_xml_writer(self._filename("docProps/app.xml"))
        application._assemble_xml_file()


class _Application(App):  # type: ignore[misc]
    def _write_application(self) -> None:
        self._xml_data_element("Application", PROGRAM)

    def _write_app_version(self) -> None:
        """None: it would be another program's number."""
