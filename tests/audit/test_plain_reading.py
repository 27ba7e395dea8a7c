"""The recheck's own reader and openpyxl, an independent one, get the same out of every sample and its re-saves.

Values, formulas, types, lock flags, number formats, merged ranges, checks of entries, names, protection, notes, and
what is hidden: all that both can see. Where they may differ is listed by name in ``plain_reading.py``.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from sheetgen.xlsx.read import read_book
from sheetgen.xlsx.returned import ReturnedBook, ReturnedSheet
from tests.audit.plain_reading import differences
from tests.audit.resaving import PROGRAMS, resaved
from tests.audit.small_book import small_book, with_entries, write
from tests.selection import exhaustive

SAMPLES = Path(__file__).parents[2] / "samples"
FILES = sorted(SAMPLES.rglob("*.xlsx"))
# Of each kind of workbook one as it is; after every program the returned book with the most in it.
USUAL = {path.parent.name: path for path in FILES}
AFTER = next(path for path in FILES if path.parent.name == "returned" and "with-errors" in path.name)
CASES = [
    case if (case[1] == "as it is" and case[0] in USUAL.values()) or case[0] == AFTER else exhaustive(case)
    for path in FILES
    for program in ("as it is", *PROGRAMS)
    if (case := (path, program)) and (program == "as it is" or path in (AFTER, *USUAL.values()))
]


def test_there_are_samples_of_every_kind_of_workbook():
    assert {path.parent.name for path in FILES} >= {"samples", "books", "returned", "rechecked"}


@pytest.mark.parametrize(("path", "program"), CASES, ids=lambda each: getattr(each, "stem", each))
def test_both_readers_get_the_same(path, program, tmp_path):
    path = path if program == "as it is" else resaved(path, program, tmp_path)
    assert list(differences(path, read_book(path))) == []


def _cell(sheet: ReturnedSheet, has: Callable[..., bool], **fields: object) -> None:
    place = next(place for place, cell in sheet.cells.items() if has(cell))
    sheet.cells[place] = sheet.cells[place]._replace(**fields)


ALTERED: dict[str, Callable[[ReturnedBook, ReturnedSheet], object]] = {
    "value": lambda _, sheet: _cell(sheet, lambda cell: cell.kind == "number", value=-1.5),
    "formula": lambda _, sheet: _cell(sheet, lambda cell: cell.formula, formula="=1+1"),
    "kind": lambda _, sheet: _cell(sheet, lambda cell: cell.kind == "text", kind="error"),
    "locked": lambda _, sheet: _cell(sheet, lambda cell: not cell.locked, locked=True),
    "number format": lambda _, sheet: _cell(sheet, lambda cell: cell.formula, number_format="0.000000"),
    "merges": lambda _, sheet: sheet.merges.append((60, 0, 61, 1)),
    "validations": lambda _, sheet: sheet.validations[0].update(formula1="1"),
    "protected": lambda _, sheet: setattr(sheet, "protected", False),
    "protection formatCells": lambda _, sheet: sheet.protection.update(formatCells="0"),
    "state": lambda _, sheet: setattr(sheet, "state", "hidden"),
    "hidden rows": lambda _, sheet: setattr(sheet, "hidden_rows", frozenset({7})),
    "hidden columns": lambda _, sheet: setattr(sheet, "hidden_columns", frozenset({3})),
    "notes": lambda _, sheet: sheet.comments.update({(5, 1): "A note"}),
    "name total_area": lambda book, _: book.names.update(total_area="Totals!$A$1"),
    "sheets": lambda book, _: book.sheets.pop(),
    "only the recheck's reader": lambda _, sheet: sheet.cells.update({(4000, 2): sheet.cells[0, 0]}),
}


@pytest.fixture(scope="module")
def small(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return write(with_entries(small_book()), tmp_path_factory.mktemp("small") / "small.xlsx")


@pytest.mark.parametrize("what", ALTERED)
def test_a_reading_that_went_wrong_is_seen(small, what):
    read = read_book(small)
    assert list(differences(small, read)) == []
    ALTERED[what](read, next(sheet for sheet in read.sheets if sheet.name == "Shot log"))
    found = list(differences(small, read))
    assert found
    assert all(what in line for line in found)
