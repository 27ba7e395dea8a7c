"""Texts of sheets fit their cells, measured by the widths of letters that Adobe publishes for Helvetica.

The sheets are lettered in Arial, whose letters are as wide as Helvetica's; matplotlib carries Adobe's metrics of the
fourteen core fonts of PDF. How the program itself estimates a text (``sheetgen/xlsx/text_fit.py``) is not used here.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Any

import matplotlib
import pytest
from fontTools.agl import toUnicode

from sheetgen.book.layout import lay_out
from sheetgen.order.demo import demo_order
from sheetgen.order.model import Order
from sheetgen.order.write import lay_out_order
from sheetgen.xlsx.looks import Looks
from sheetgen.xlsx.model import Book, Sheet
from sheetgen.yard.write import lay_out_yard
from tests.selection import exhaustive

METRICS = Path(matplotlib.get_data_path()) / "fonts" / "pdfcorefonts"
LINE = 1.15  # of the size of the font: ascent, descent and gap of Arial, 0.905 + 0.212 + 0.033
COLUMN, EDGE = (
    5.25,
    3.75,
)  # points of a character of a column's width and of its edges: 7 and 5 dots of 1/96 in
HEIGHT = 15.0  # points of a row that says none
LAST = 40  # column that no sheet of texts reaches
SPLIT = {True: r"[\s-]", False: "$^"}  # where a text that wraps goes on in the next line
UNKNOWN = 1000  # thousandths of the size: a sign that the metrics lack, such as a tick
LOGS = ("days", "loads", "shots", "changes", "monitor", "gauges", "pages")
PAIRS = [("us", "en"), ("si", "es"), exhaustive((("si", "en"),)), exhaustive((("us", "es"),))]


@cache
def _widths(bold: bool) -> dict[str, int]:
    """Thousandths of the size that each letter is wide."""
    found = {}
    for line in (METRICS / f"Helvetica{'-Bold' * bold}.afm").read_text(encoding="latin-1").splitlines():
        if line.startswith("C "):
            facts = dict(part.split(maxsplit=1) for part in line.split(";") if part.strip())
            found[toUnicode(facts["N"].strip())] = int(facts["WX"])
    return found


def _width(text: str, size: float, bold: bool) -> float:
    """Points."""
    known = _widths(bold)
    letters = unicodedata.normalize("NFC", text)
    return sum(known.get(letter, UNKNOWN) for letter in letters) * size / 1000


def _lines(text: str, room: float, size: float, bold: bool) -> int:
    """Lines of a text that goes on in the next one where a word does not fit."""
    blank, lines = _width(" ", size, bold), 0
    for part in text.split("\n"):
        lines, used = lines + 1, 0.0
        for word in part.split(" "):
            length = _width(word, size, bold)
            if used and used + blank + length > room:
                lines, used = lines + 1, 0.0
            used += length + (blank if used else 0.0)
    return lines


def _richer(units: str, language: str) -> Order:
    """The demonstration with what an order can ask for besides, for a book in two languages."""
    order = demo_order(units, language)
    data: dict[str, Any] = order.model_dump()
    us = units == "us"
    data["material"] |= {"grade": "MC-70", "material_class": "cutback", "specific_gravity": 0.95, "residue": 0.6,
                         "spray_min": 120 if us else 50, "spray_max": 180 if us else 80, "heat_max": None,
                         "spray_planned": 150 if us else 65, "flash_point": 100 if us else 38}  # fmt: skip
    machine = data["machines"][0] | {
        "monitor": True,
        "functions": ({"name": "1", "valves": ("open", "closed")},),
    }
    data["machines"] = (machine,)
    first, second, *others = data["sections"]
    first |= {"work": "prime", "surface": "granular-base", "rate": 0.2 if us else 0.9, "basis": "undiluted"}
    second |= {"work": "chip-seal", "rate": 0.3 if us else 1.4, "basis": "undiluted", "tolerance": 0.6}
    data["sections"] = (first, second, *others)
    data["pay"] |= {"unit": "mass", "estimate": 6}
    data["second_language"] = "es" if language == "en" else "en"
    return Order.model_validate(data)


def _books(units: str, language: str) -> Iterator[Book]:
    yield lay_out_order(units, language, demo_order(units, language))
    yield lay_out_yard(units, language)
    for order in (demo_order(units, language), _richer(units, language)):
        yield lay_out(order, order.machines[0])


def _places(sheet: Sheet) -> Iterator[tuple[int, int, int, int, str, str]]:
    """Each text that is seen, with the last row and column of the cells merged with it, and its style."""
    merged = {(row, col): (last_row, last_col) for row, col, last_row, last_col in sheet.merges}
    top, left, bottom, right = sheet.page.get("area", (0, 0, 10_000, 10_000))
    if sheet.key in LOGS:  # they print their form, and show their results on a screen
        bottom = right = 10_000
    for (row, col), cell in sheet.cells.items():
        words = cell.value if isinstance(cell.value, str) and cell.formula is None else ""
        inside = top <= row <= bottom and left <= col <= right
        if words.strip() and inside and sheet.column_widths.get(col) != 0:
            yield row, col, *merged.get((row, col), (row, col)), words, cell.style


def _room(sheet: Sheet, first: int, last: int, indent: float) -> float:
    """Points between the edges of a column, or of the first and the last of several (ECMA-376 part 1, 18.3.1.13)."""
    characters = sum(sheet.column_widths.get(col, 8.43) for col in range(first, last + 1))
    return COLUMN * (characters - indent) + EDGE * (last - first)


def _misfits(book: Book) -> Iterator[tuple[str, int, int, str, str]]:
    """Sheet, row, column, how a text does not fit there, and the text."""
    looks = Looks(book.styles)
    for sheet in book.sheets:
        taken = {place for place, cell in sheet.cells.items() if cell.formula or cell.value not in (None, "")}
        for row, col, last_row, last_col, text, style in _places(sheet):
            look = looks.lettering(style)
            alone = (last_row, last_col) == (row, col) and not look.wraps
            while alone and last_col < LAST and (row, last_col + 1) not in taken:
                last_col += 1  # it goes on over blank cells
            room = _room(sheet, col, last_col, look.indent)
            longest = max(_width(word, look.size, look.bold) for word in re.split(SPLIT[look.wraps], text))
            if longest > room:
                yield sheet.key, row, col, "too wide", text
            stated = last_row > row or last_col > col or row in sheet.row_heights  # no program fits it then
            height = sum(sheet.row_heights.get(each, HEIGHT) for each in range(row, last_row + 1))
            if stated and look.wraps and _lines(text, room, look.size, look.bold) * look.size * LINE > height:
                yield sheet.key, row, col, "too high", text


@pytest.mark.parametrize("pair", PAIRS, ids="-".join)
def test_every_text_of_a_workbook_fits_its_cells(pair):
    found = [misfit for book in _books(*pair) for misfit in _misfits(book)]
    assert found == []


def test_a_narrower_column_and_a_lower_row_are_found():
    book = lay_out_yard("us", "en")
    sheet = book.sheet("machines")
    (note,) = (place for place, cell in sheet.cells.items() if cell.value == "As on its plate.")
    before = set(_misfits(book))
    sheet.column_widths[note[1]] = 5
    found = set(_misfits(book)) - before
    assert ("machines", *note, "too high", "As on its plate.") in found
    sheet.column_widths[note[1]] = 3
    assert ("machines", *note, "too wide", "As on its plate.") in set(_misfits(book)) - before
