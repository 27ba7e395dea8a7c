"""A returned book as it would read without shifted lines and renamed sheets, for those who read it by issued places."""

from __future__ import annotations

from dataclasses import replace
from typing import TypeVar

from sheetgen.audit.proof.adjust import settled
from sheetgen.audit.proof.pairing import Pair, Pairing, pair_sheets
from sheetgen.xlsx.model import Book
from sheetgen.xlsx.returned import ReturnedBook, ReturnedSheet

Content = TypeVar("Content")


def as_issued(returned: ReturnedBook, issued: Book, pairing: Pairing | None = None) -> ReturnedBook:
    """The returned book with every cell at its issued place, under its issued sheet name.

    What stands in inserted lines is left out; deleted lines are blank. The very same object comes back where no sheet
    was renamed and no line shifted, as in nearly every book. Formulas keep their returned text.
    ``pairing`` is that of the two, where it is known already.
    """
    pairing = pairing or pair_sheets(returned, issued)
    if settled(pairing.places):
        return returned
    pairs = {id(pair.returned): pair for pair in pairing.pairs}
    sheets = [_sheet(sheet, pairs[id(sheet)]) if id(sheet) in pairs else sheet for sheet in returned.sheets]
    return replace(returned, sheets=sheets)


def _sheet(sheet: ReturnedSheet, pair: Pair) -> ReturnedSheet:
    if pair.place.still:
        return replace(sheet, name=pair.issued.name)
    merges = [
        (*first, *last)
        for top, left, bottom, right in sheet.merges
        if (first := pair.then(top, left)) is not None and (last := pair.then(bottom, right)) is not None
    ]
    return replace(
        sheet,
        name=pair.issued.name,
        cells=_moved_back(sheet.cells, pair),
        comments=_moved_back(sheet.comments, pair),
        merges=merges,
    )


def _moved_back(contents: dict[tuple[int, int], Content], pair: Pair) -> dict[tuple[int, int], Content]:
    moved = {}
    for place, content in contents.items():
        then = pair.then(*place)
        if then is not None:
            moved[then] = content
    return moved
