"""Blank cells that a program turned into zeros, all over a book: no one's change, and no one's entries.

Seen in files that openpyxl wrote and IronCalc saved again: the one marks a blank cell with the type of a number, the
other takes that for the number 0. It shows in the cells that were issued blank and locked: where every one of them is
0 now, a person did not do it, and a 0 in an entry cell says nothing either. A single 0 stays what it is: content added
to the locked part, or an entry.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from sheetgen import templates
from sheetgen.audit.findings import finding
from sheetgen.audit.model import Finding
from sheetgen.xlsx.model import Book, Cell, Sheet
from sheetgen.xlsx.returned import ReturnedBook, ReturnedCell, ReturnedSheet

_LEAST = 20  # zeros in locked cells below which a person may have typed them


def without_filled_blanks(
    returned: ReturnedBook, issued: Book, language: str
) -> tuple[ReturnedBook, list[Finding]]:
    """The book with its blanks as they were issued, and the note that says so; the very same book where none are.

    Zeros in entry cells are blank in it as well: of those nobody can tell which were typed.
    """
    sheets = {sheet.name: sheet for sheet in issued.sheets}
    known = [(sheet, sheets[sheet.name]) for sheet in returned.sheets if sheet.name in sheets]
    locked = [cell for sheet, as_issued in known for cell in _locked_blanks(sheet, as_issued)]
    if any(cell.kind == "blank" for cell in locked) or sum(map(_zero, locked)) < _LEAST:
        return returned, []
    blanked = {sheet.name: _blanked(sheet, as_issued.cells) for sheet, as_issued in known}
    say = templates.texts(language)
    note = finding(
        "blanks-filled-with-zeros",
        found=say.say("proof.zeros", count=sum(count for _, count in blanked.values())),
        expected=say["proof.blank"],
    )
    cleaned = [blanked[sheet.name][0] if sheet.name in blanked else sheet for sheet in returned.sheets]
    return replace(returned, sheets=cleaned), [note]


def _locked_blanks(sheet: ReturnedSheet, issued: Sheet) -> Iterator[ReturnedCell]:
    """What the file has in cells that were issued blank and locked; not in covered ones, nor where a text is empty."""
    covered = {
        (row, column)
        for top, left, bottom, right in issued.merges
        for row in range(top, bottom + 1)
        for column in range(left, right + 1)
    }
    for place, cell in issued.cells.items():
        if (
            cell.locked
            and _blank(cell)
            and cell.value is None
            and place not in covered
            and place in sheet.cells
        ):
            yield sheet.cells[place]


def _blanked(sheet: ReturnedSheet, cells: dict[tuple[int, int], Cell]) -> tuple[ReturnedSheet, int]:
    zeros = {
        place: got._replace(value=None, kind="blank")
        for place, got in sheet.cells.items()
        if _zero(got) and _blank(cells.get(place, Cell()))
    }
    return replace(sheet, cells=sheet.cells | zeros), len(zeros)


def _blank(cell: Cell) -> bool:
    return cell.formula is None and cell.value in (None, "")


def _zero(got: ReturnedCell) -> bool:
    return got.formula is None and got.kind == "number" and got.value == 0
