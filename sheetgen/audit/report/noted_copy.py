"""A copy of the returned file with a note at the cell of each finding.

Every part of the file stays as it came back, values as they were last worked out included; only the notes are added,
and what leads to them. A finding that is about no cell of the file is noted at the first cell of its sheet, or of the
book. The returned file itself is never touched.
"""

from __future__ import annotations

import io
import posixpath
import re
import zipfile
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import xlsxwriter
from lxml import etree
from xlsxwriter.utility import xl_cell_to_rowcol

from sheetgen.audit.report.document import Document, FindingLine
from sheetgen.audit.report.figures import Figures
from sheetgen.errors import SheetgenError, UnusableBook
from sheetgen.output import ACTING
from sheetgen.whole_file import write_whole
from sheetgen.xlsx.markup import space
from sheetgen.xlsx.package import Package, open_package
from sheetgen.xlsx.repack import part_bytes, repacked, worksheet_parts
from sheetgen.xlsx.unusable import unusable
from sheetgen.xlsx.worksheet import read_comments

Cell = tuple[int, int]
_ADDRESS = re.compile(r"[A-Z]{1,3}[1-9][0-9]{0,6}")
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


class NoCopy(SheetgenError):
    """No copy can be made of a book that can be rechecked: a part is damaged that a recheck does not need."""


def write_noted_copy(document: Document, returned: str | Path, figures: Figures, path: Path) -> None:
    """Write the copy; it appears whole or not at all.

    Args:
        document: the report on the returned file
        returned: that file
        path: of the copy

    Raises:
        UnusableBook: the file cannot be read any more, or is another than the one that was rechecked.
        NoCopy: a part that leads to the notes is damaged.
    """
    package = open_package(returned)
    if document.file.sha256 and package.sha256 != document.file.sha256:
        raise unusable(str(returned), "changed")
    try:
        data = _noted(package, worksheet_parts(package), document, figures)
    except UnusableBook as error:
        raise NoCopy(str(error)) from error
    write_whole(path, data)


def _noted(package: Package, parts: dict[str, str], document: Document, figures: Figures) -> bytes:
    """The copy's bytes."""
    by_sheet = _notes(document, figures, list(parts))
    sheets = {name: package.xml(parts[name]) for name in by_sheet}
    links = {name: _links(package, parts[name]) for name in by_sheet}
    for name, notes in by_sheet.items():
        for link in links[name]:
            if link.get("Type", "").endswith("/comments"):  # what the crew noted stays
                for cell, text in read_comments(package.xml(_target(package, parts[name], link))).items():
                    notes[cell] = [text, *notes.get(cell, [])]
    made = _made(list(by_sheet.values()), [_widths(sheet) for sheet in sheets.values()])
    new: dict[str, bytes] = {}
    for number, (name, (comments, drawing)) in enumerate(zip(by_sheet, made, strict=True), start=1):
        new[f"xl/recheck-notes{number}.xml"] = comments
        new[f"xl/drawings/recheck-notes{number}.vml"] = drawing
        _lead(sheets[name], links[name], parts[name].rpartition("/")[0], number)
        new[parts[name]] = part_bytes(sheets[name])
        new[_links_part(parts[name])] = part_bytes(links[name])
    new["[Content_Types].xml"] = part_bytes(_types(package.xml("[Content_Types].xml"), len(by_sheet)))
    return repacked(package, new)


def _notes(document: Document, figures: Figures, sheets: list[str]) -> dict[str, dict[Cell, list[str]]]:
    """The texts to stand at each cell, by sheet; the first sheet's first cell says what the file is."""
    say, counts = figures.say, document.verdict.counts
    head = say.say(
        "report.copy.head", file=document.file.name, sha256=document.file.sha256, error=counts.error,
        query=counts.query, note=counts.note,
    )  # fmt: skip
    notes: dict[str, dict[Cell, list[str]]] = {sheets[0]: {(0, 0): [head]}}
    for one in document.findings:
        sheet = one.sheet if one.sheet in sheets else sheets[0]
        cell = xl_cell_to_rowcol(one.cell) if sheet == one.sheet and _ADDRESS.fullmatch(one.cell) else (0, 0)
        notes.setdefault(sheet, {}).setdefault(cell, []).append(_note(one, figures))
    return {name: notes[name] for name in sheets if name in notes}


def _note(one: FindingLine, figures: Figures) -> str:
    say = figures.say
    place = f"{one.sheet} {one.cell}".strip() or say["report.findings.whole"]
    lines = [
        f"{say[f'report.sign.{one.severity}']} {say[f'report.severity.{one.severity}']}, {place}: {one.title}",
        f"{say['report.copy.found']}: {one.found}" if one.found else "",
        f"{say['report.copy.expected']}: {one.expected}" if one.expected else "",
        one.matters,
        one.why,
        f"{say['report.copy.remedy']}: {one.remedy}",
        f"({one.name})",
    ]
    return "\n".join(line for line in lines if line)


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


def _lead(sheet: etree._Element, links: etree._Element, folder: str, number: int) -> None:
    """Lead a sheet to its new notes in place of the old ones, by relative paths: some programs know no others."""
    at = space(sheet)
    office = _STRICT if "purl.oclc.org" in at else _OFFICE
    old = sheet.find(f"{at}legacyDrawing")
    dropped = {old.get(f"{{{office}}}id")} if old is not None else set()
    if old is not None:
        sheet.remove(old)
    for link in list(links):
        if link.get("Id") in dropped or link.get("Type", "").rsplit("/", 1)[-1] in _REPLACED:
            links.remove(link)
    for id, kind, target in (
        ("recheckNotes", "comments", f"xl/recheck-notes{number}.xml"),
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
        name = f"/xl/recheck-notes{number}.xml"
        etree.SubElement(root, f"{{{_TYPES}}}Override", PartName=name, ContentType=_COMMENTS_TYPE)
    return root
