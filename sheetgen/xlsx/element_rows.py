"""Rows of a worksheet from parsed elements: the way that reads everything well-formed."""

from __future__ import annotations

from lxml import etree

from sheetgen.xlsx import markup
from sheetgen.xlsx.address import a1
from sheetgen.xlsx.cells import CellMaker
from sheetgen.xlsx.returned import ReturnedCell, Value
from sheetgen.xlsx.strings import text_of
from sheetgen.xlsx.unusable import unusable


def read_element_rows(rows: etree._Element, space: str, maker: CellMaker) -> None:
    """Adds the cells of a sheetData element; :class:`UnusableBook` for impossible or repeated addresses."""
    cells = maker.sheet.cells
    cell_tag = f"{space}c"
    hidden = []
    index = -1
    for row in rows.iterchildren(f"{space}row"):
        row_text = row.get("r") or str(index + 2)
        index = maker.row_index(row_text)
        if maker.row_settings(index, markup.attributes(row)):
            hidden.append(index)
        column = -1
        for element in row.iterchildren(cell_tag):
            reference = element.get("r")
            column = column + 1 if reference is None else _column(reference, row_text, maker)
            if (index, column) in cells:
                raise unusable(maker.path, "cell-twice", address=a1(index, column), sheet=maker.sheet.name)
            cells[index, column] = _cell(element, space, index, column, maker)
    maker.sheet.hidden_rows |= frozenset(hidden)
    maker.finish()


def _column(reference: str, row_text: str, maker: CellMaker) -> int:
    letters = reference.removesuffix(row_text)
    if letters == reference:
        raise unusable(maker.path, "address", address=reference, sheet=maker.sheet.name)
    return maker.column_index(letters, reference)


def _cell(element: etree._Element, space: str, row: int, column: int, maker: CellMaker) -> ReturnedCell:
    kind = element.get("t", "n")
    formula = None
    value: Value = None
    for part in element:
        if part.tag == f"{space}v":
            value = maker.value(kind, part.text)
        elif part.tag == f"{space}f":
            formula = maker.formula(part.text, markup.attributes(part), row, column)
        elif part.tag == f"{space}is":
            value = text_of(part, space)
    return maker.cell(value, formula, kind, maker.look(element.get("s")))
