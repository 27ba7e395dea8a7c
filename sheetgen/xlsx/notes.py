"""Notes put at the cells of a file that exists: every other part of it stays as it is.

Values as they were last calculated included; only the notes are added, and what leads to them.
"""

from __future__ import annotations

import io
import posixpath
import re
import zipfile
from collections.abc import Callable, Iterable, Iterator, Sequence
from typing import Any, TypeAlias

import xlsxwriter
from lxml import etree
from xlsxwriter.utility import xl_cell_to_rowcol

from sheetgen.output import ACTING
from sheetgen.xlsx.markup import space
from sheetgen.xlsx.package import Package
from sheetgen.xlsx.repack import part_bytes, repacked
from sheetgen.xlsx.worksheet import read_comments

Cell = tuple[int, int]
_ADDRESS = re.compile(r"[A-Z]{1,3}[1-9][0-9]{0,6}")
Notes: TypeAlias = dict[str, dict[Cell, list[str]]]  # by sheet and cell, rows and columns from 0
NOTES = "xl/recheck-notes"  # how the parts of a copy begin that hold its notes
_WIDTH, _CHARACTERS, _LINE, _LONGEST = 380, 62, 17, 30_000  # of a note: pixels, signs a line, pixels a line
_COLUMNS, _WIDEST = 16_384, 255  # of a sheet, and characters of a column: what the format holds
# ECMA-376 part 1, 18.3.1.99: what follows legacyDrawing in a worksheet.
_AFTER = {
    "legacyDrawingHF", "drawingHF", "picture", "oleObjects", "controls", "webPublishItems", "tableParts", "extLst",
    "AlternateContent",
}  # fmt: skip
_REPLACED = ("comments", "threadedComment")
_PLAIN: Any = {None: "http://schemas.openxmlformats.org/package/2006/relationships"}  # no prefix
_TYPES = "http://schemas.openxmlformats.org/package/2006/content-types"
_LINKS = "http://schemas.openxmlformats.org/package/2006/relationships"
_OFFICE = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
_STRICT = "http://purl.oclc.org/ooxml/officeDocument/relationships"
_COMMENTS_TYPE = "application/vnd.openxmlformats-officedocument.spreadsheetml.comments+xml"
_DRAWING_TYPE = "application/vnd.openxmlformats-officedocument.vmlDrawing"


def notes_at(texts: Iterable[tuple[str, str, str]], sheets: Sequence[str]) -> Notes:
    """Give the notes of a file with these sheets, of the sheet, address and text of each.

    What is about no cell is noted at the first one of its sheet; what is about no sheet, at the first one of the file.
    """
    found: Notes = {}
    for sheet, address, text in texts:
        known = sheet in sheets
        cell = xl_cell_to_rowcol(address) if known and _ADDRESS.fullmatch(address) else (0, 0)
        found.setdefault(sheet if known else sheets[0], {}).setdefault(cell, []).append(text)
    return {name: found[name] for name in sheets if name in found}


def with_notes(
    package: Package,
    parts: dict[str, str],
    by_sheet: Notes,
    stays: Callable[[str], bool] = lambda _note: True,
) -> bytes:
    """The bytes of a copy of a workbook with notes at its cells.

    Args:
        package: the workbook
        parts: of :func:`sheetgen.xlsx.repack.worksheet_parts`
        by_sheet: the texts to put at each cell; what was noted there before stands above them
        stays: whether a note that was there before is kept

    Raises:
        UnusableBook: a part that leads to the notes is damaged.
    """
    sheets = {name: package.xml(parts[name]) for name in by_sheet}
    links = {name: _links(package, parts[name]) for name in by_sheet}
    for name, notes in by_sheet.items():
        for cell, text in _noted_before(package, parts[name], links[name]):
            if stays(text):
                notes[cell] = [text, *notes.get(cell, [])]
        _lead_nowhere(sheets[name], links[name])
    noted = {name: notes for name, notes in by_sheet.items() if notes}
    made = _made(list(noted.values()), [_widths(sheets[name]) for name in noted])
    new: dict[str, bytes] = {}
    for number, (name, (comments, drawing)) in enumerate(zip(noted, made, strict=True), start=1):
        new[f"{NOTES}{number}.xml"] = comments
        new[f"xl/drawings/recheck-notes{number}.vml"] = drawing
        _lead(sheets[name], links[name], parts[name].rpartition("/")[0], number)
    for name in by_sheet:
        new[parts[name]] = part_bytes(sheets[name])
        new[_links_part(parts[name])] = part_bytes(links[name])
    new["[Content_Types].xml"] = part_bytes(_types(package.xml("[Content_Types].xml"), len(noted)))
    return repacked(package, new)


def noted_sheets(package: Package, parts: dict[str, str]) -> list[str]:
    """The worksheets that have notes, by name."""
    return [name for name, part in parts.items() if any(_noted_before(package, part, _links(package, part)))]


def _noted_before(package: Package, part: str, links: etree._Element) -> Iterator[tuple[Cell, str]]:
    """What stands at the cells of a sheet already."""
    for link in links:
        if link.get("Type", "").endswith("/comments"):
            yield from read_comments(package.xml(_target(package, part, link))).items()


def _made(
    by_sheet: list[dict[Cell, list[str]]], widths: list[list[tuple[int, int, float]]]
) -> Iterator[tuple[bytes, bytes]]:
    """The parts that hold each sheet's notes, and their boxes, as XlsxWriter writes them."""
    file = io.BytesIO()
    with xlsxwriter.Workbook(file, {"in_memory": True}) as book:
        for notes, columns in zip(by_sheet, widths, strict=True):
            sheet = book.add_worksheet()
            for first, last, width in columns:
                sheet.set_column(first, last, width)
            for (row, column), texts in sorted(notes.items()):
                text = _shortened(ACTING.sub("·", "\n\n".join(texts)))
                lines = sum(1 + len(line) // _CHARACTERS for line in text.split("\n"))
                box = {"author": "sheetgen", "width": _WIDTH, "height": _LINE * min(lines + 1, 40)}
                sheet.write_comment(row, column, text, box)
    with zipfile.ZipFile(file) as archive:
        for number in range(1, len(by_sheet) + 1):
            yield (
                archive.read(f"xl/comments{number}.xml"),
                archive.read(f"xl/drawings/vmlDrawing{number}.vml"),
            )


def _shortened(text: str) -> str:
    """As long as a note may be, in the units of UTF-16 that spreadsheet programs count."""
    if len(text) <= _LONGEST // 2:
        return text
    return text.encode("utf-16-le")[: 2 * _LONGEST].decode("utf-16-le", "ignore")


def _widths(sheet: etree._Element) -> list[tuple[int, int, float]]:
    """Column widths as the sheet has them: first, last, width; the boxes are placed by them."""
    at = space(sheet)
    widths = []
    for column in sheet.iterfind(f"{at}cols/{at}col"):
        try:
            first, last = int(column.get("min", "1")), min(int(column.get("max", "1")), _COLUMNS)
            width = float(column.get("width", "nan"))
        except ValueError:  # of a hand-made or damaged file; spreadsheet programs pass over it too
            continue
        if 1 <= first <= last and 0 <= width <= _WIDEST:
            widths.append((first - 1, last - 1, width))
    return widths


def _links_part(part: str) -> str:
    folder, _, name = part.rpartition("/")
    return f"{folder}/_rels/{name}.rels"


def _links(package: Package, part: str) -> etree._Element:
    """What a sheet leads to; an empty list where it leads to nothing yet."""
    source = _links_part(part)
    return (
        package.xml(source)
        if package.has(source)
        else etree.Element(f"{{{_LINKS}}}Relationships", nsmap=_PLAIN)
    )


def _target(package: Package, part: str, link: etree._Element) -> str:
    return next(each.target for each in package.relationships(part) if each.id == link.get("Id"))


def _lead_nowhere(sheet: etree._Element, links: etree._Element) -> None:
    """Take the old notes of a sheet away."""
    old = sheet.find(f"{space(sheet)}legacyDrawing")
    dropped = {old.get(f"{{{_office(sheet)}}}id")} if old is not None else set()
    if old is not None:
        sheet.remove(old)
    for link in list(links):
        if link.get("Id") in dropped or link.get("Type", "").rsplit("/", 1)[-1] in _REPLACED:
            links.remove(link)


def _office(sheet: etree._Element) -> str:
    return _STRICT if "purl.oclc.org" in space(sheet) else _OFFICE


def _lead(sheet: etree._Element, links: etree._Element, folder: str, number: int) -> None:
    """Lead a sheet to its new notes, by relative paths: some programs know no others."""
    at, office = space(sheet), _office(sheet)
    for id, kind, target in (
        ("recheckNotes", "comments", f"{NOTES}{number}.xml"),
        ("recheckBoxes", "vmlDrawing", f"xl/drawings/recheck-notes{number}.vml"),
    ):
        etree.SubElement(
            links,
            f"{{{_LINKS}}}Relationship",
            Id=id,
            Type=f"{office}/{kind}",
            Target=posixpath.relpath(target, folder),
        )
    boxes = etree.Element(f"{at}legacyDrawing", nsmap={"recheck": office})
    boxes.set(f"{{{office}}}id", "recheckBoxes")
    following = [child for child in sheet if etree.QName(child).localname in _AFTER]
    if following:
        following[0].addprevious(boxes)
    else:
        sheet.append(boxes)


def _types(root: etree._Element, sheets: int) -> etree._Element:
    """The content types with those of the new parts."""
    if not any(item.get("Extension", "").lower() == "vml" for item in root):
        root.insert(0, etree.Element(f"{{{_TYPES}}}Default", Extension="vml", ContentType=_DRAWING_TYPE))
    for number in range(1, sheets + 1):
        name = f"/{NOTES}{number}.xml"
        etree.SubElement(root, f"{{{_TYPES}}}Override", PartName=name, ContentType=_COMMENTS_TYPE)
    return root
