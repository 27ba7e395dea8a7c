"""Typing values into the cells of a file, as a person does in a spreadsheet program: nothing else in it changes.

Texts are written in their cells, so that the shared texts stay as they are. What the formulas had given before is left
out, and the file asks for a calculation when it is opened (``fullCalcOnLoad``, ECMA-376 part 1, 18.2.2): no program
shows results of entries that are not there any more.
"""

from __future__ import annotations

import re
from collections.abc import Mapping

from lxml import etree

from sheetgen.xlsx.address import a1, area
from sheetgen.xlsx.markup import space
from sheetgen.xlsx.package import Package
from sheetgen.xlsx.repack import main_part, part_bytes, repacked, worksheet_parts

Typed = Mapping[tuple[int, int], float | str]

_ESCAPED = re.compile(r"_(?=x[0-9A-Fa-f]{4}_)")  # a text that reads as an escape (22.9.2.19)
_SPACE = "{http://www.w3.org/XML/1998/namespace}space"
# What stands before calcPr in a workbook (18.2.27).
_BEFORE_CALCULATION = {
    "fileVersion", "fileSharing", "workbookPr", "AlternateContent", "revisionPtr", "workbookProtection", "bookViews",
    "sheets", "functionGroups", "externalReferences", "definedNames",
}  # fmt: skip


def with_typed(package: Package, typed: Mapping[str, Typed]) -> bytes:
    """Give the file with values typed into cells, by tab name and (row, column) from 0."""
    new = {}
    for name, part in worksheet_parts(package).items():
        root = package.xml(part)
        changed = _drop_results(root)
        if typed.get(name):
            _Rows(root).type(typed[name])
            changed = True
        if changed:
            new[part] = part_bytes(root)
    main = main_part(package)
    new[main] = part_bytes(_asking_for_results(package.xml(main)))
    return repacked(package, new)


def _drop_results(root: etree._Element) -> bool:
    """Take the results of all formulas of a sheet away; whether there were any formulas."""
    at, found = space(root), False
    for cell in root.iterfind(f"{at}sheetData/{at}row/{at}c"):
        if cell.find(f"{at}f") is not None:
            found = True
            cell.attrib.pop("t", "")
            for result in cell.findall(f"{at}v"):
                cell.remove(result)
    return found


def _asking_for_results(root: etree._Element) -> etree._Element:
    """Let a workbook ask for a calculation when it is opened."""
    at = space(root)
    settings = root.find(f"{at}calcPr")
    if settings is None:
        before = [part for part in root if etree.QName(part).localname in _BEFORE_CALCULATION]
        settings = etree.Element(f"{at}calcPr")
        before[-1].addnext(settings)
    settings.set("fullCalcOnLoad", "1")
    return root


class _Rows:
    """The rows and cells of a sheet by their places; what has no address of its own gets it."""

    def __init__(self, root: etree._Element) -> None:
        self._at = space(root)
        data = root.find(f"{self._at}sheetData")
        assert data is not None  # a sheet that was read has rows
        self._data, self._rows = data, dict[int, etree._Element]()
        self._styles = [
            (int(item.get("min", "1")) - 1, int(item.get("max", "1")) - 1, item.get("style"))
            for item in root.iterfind(f"{self._at}cols/{self._at}col")
        ]
        number = 0
        for row in data.iterfind(f"{self._at}row"):
            number = int(row.get("r", number + 1))
            row.set("r", str(number))
            self._rows[number - 1] = row

    def type(self, typed: Typed) -> None:
        """Put values into cells."""
        for number in sorted({row for row, _column in typed}):
            row = self._row(number)
            cells = self._cells(row, number)
            for column in sorted(column for line, column in typed if line == number):
                self._fill(self._cell(row, cells, number, column), typed[number, column])

    def _row(self, number: int) -> etree._Element:
        if number not in self._rows:
            row = etree.Element(f"{self._at}row", r=str(number + 1))
            before = [known for known in self._rows if known < number]
            self._data.insert(0, row)
            if before:
                self._rows[max(before)].addnext(row)
            self._rows[number] = row
        return self._rows[number]

    def _cells(self, row: etree._Element, number: int) -> dict[int, etree._Element]:
        found, column = dict[int, etree._Element](), -1
        for cell in row.iterfind(f"{self._at}c"):
            place = area(cell.get("r", ""))
            column = place[1] if place else column + 1
            cell.set("r", a1(number, column))
            found[column] = cell
        return found

    def _cell(
        self, row: etree._Element, cells: dict[int, etree._Element], number: int, column: int
    ) -> etree._Element:
        if column not in cells:
            cell = etree.Element(f"{self._at}c", r=a1(number, column))
            style = row.get("s") or next(
                (s for first, last, s in self._styles if first <= column <= last), None
            )
            if style:
                cell.set("s", style)
            before = [known for known in cells if known < column]
            row.insert(0, cell)
            if before:
                cells[max(before)].addnext(cell)
            cells[column] = cell
        return cells[column]

    def _fill(self, cell: etree._Element, value: float | str) -> None:
        for part in list(cell):
            cell.remove(part)
        cell.attrib.pop("t", "")
        if isinstance(value, str):
            cell.set("t", "inlineStr")
            inside = etree.SubElement(cell, f"{self._at}is")
            text = etree.SubElement(inside, f"{self._at}t")
            text.text = _ESCAPED.sub("_x005F_", value)
            text.set(_SPACE, "preserve")
        else:
            etree.SubElement(cell, f"{self._at}v").text = repr(float(value)).removesuffix(".0")
