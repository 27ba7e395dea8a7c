"""One worksheet part (ECMA-376 part 1, 18.3.1.99): cells, protection, validations, merges, what is hidden."""

from __future__ import annotations

from lxml import etree

from sheetgen.xlsx import markup
from sheetgen.xlsx.address import MAX_COLUMNS, area
from sheetgen.xlsx.cells import TRUE, CellMaker, is_zero
from sheetgen.xlsx.element_rows import read_element_rows
from sheetgen.xlsx.package import Package
from sheetgen.xlsx.plain_rows import NotPlainError, cut_rows, read_plain_rows
from sheetgen.xlsx.returned import ReturnedSheet
from sheetgen.xlsx.strings import text_of
from sheetgen.xlsx.styles import DEFAULT, Style
from sheetgen.xlsx.unusable import beyond

MAX_MERGES = 5_000  # merged ranges of one sheet: a book has some hundred
_X14 = "{http://schemas.microsoft.com/office/spreadsheetml/2009/9/main}"  # [MS-XLSX] 2.4
_XM = "{http://schemas.microsoft.com/office/excel/2006/main}"


def read_worksheet(
    package: Package, part: str, sheet: ReturnedSheet, strings: list[str], styles: list[Style]
) -> None:
    """Fills ``sheet`` from its part. Unknown elements are stepped over."""
    data = package.read(part)
    package.weigh(part, data)
    root = _read_plainly(package, part, data, CellMaker(package, sheet, strings, styles))
    if root is None:
        for attempt in (sheet.cells, sheet.arrays, sheet.row_styles):
            attempt.clear()
        root = package.parsed(part, data)
        space = markup.space(root)
        for rows in root.iterchildren(f"{space}sheetData"):
            read_element_rows(rows, space, CellMaker(package, sheet, strings, styles))
    space = markup.space(root)
    for columns in root.iterchildren(f"{space}cols"):
        _read_columns(columns, sheet, styles)
    for protection in root.iterchildren(f"{space}sheetProtection"):
        sheet.protection = markup.attributes(protection)
        sheet.protected = sheet.protection.get("sheet") in TRUE
    for merges in root.iterchildren(f"{space}mergeCells"):
        found = (area(item.get("ref", "")) for item in list(merges)[: MAX_MERGES + 1])
        sheet.merges += [merge for merge in found if merge is not None]
    if len(sheet.merges) > MAX_MERGES:
        raise beyond(package.path, "merges", f"{MAX_MERGES:,}", part=part)
    _read_validations(root, space, sheet)
    for marks in root.iterchildren(f"{space}conditionalFormatting"):
        for rule in marks.iterchildren(f"{space}cfRule"):
            formula = (
                rule.findtext(f"{space}formula") if rule.get("type") == "expression" else rule.get("type")
            )
            sheet.conditional.append((marks.get("sqref", ""), markup.unescape(formula or "")))


def _read_plainly(package: Package, part: str, data: bytes, maker: CellMaker) -> etree._Element | None:
    """The part's root without its rows, whose cells are read then; None where they are not in plain form."""
    cut = cut_rows(data)
    if cut is None:
        return None
    root = package.parsed(part, cut[0])
    space = markup.space(root)
    rows = root.findall(f"{space}sheetData")
    if len(rows) != 1 or root.nsmap.get(None) != space.strip("{}"):
        return None
    try:
        read_plain_rows(cut[1], maker)
    except NotPlainError:
        return None
    return root


def read_comments(root: etree._Element) -> dict[tuple[int, int], str]:
    """The notes of a sheet by cell (18.7)."""
    space = markup.space(root)
    notes = {}
    for item in root.iterfind(f"{space}commentList/{space}comment"):
        place = area(item.get("ref", ""))
        text = item.find(f"{space}text")
        if place is not None and text is not None:
            notes[place[0], place[1]] = text_of(text, space)
    return notes


def _read_columns(columns: etree._Element, sheet: ReturnedSheet, styles: list[Style]) -> None:
    hidden: set[int] = set()
    for item in list(columns)[:MAX_COLUMNS]:
        first, last = _column_limit(item.get("min")), _column_limit(item.get("max"))
        if not 0 < first <= last:
            continue
        sheet.column_styles.append((first - 1, last - 1, *_style(item.get("style"), styles)))
        if (item.get("hidden") in TRUE or is_zero(item.get("width"))) and len(hidden) < MAX_COLUMNS:
            hidden.update(range(first - 1, last))
    sheet.hidden_columns = frozenset(hidden) | sheet.hidden_columns


def _column_limit(text: str | None) -> int:
    return (
        min(int(text), MAX_COLUMNS) if text and text.isascii() and text.isdecimal() and len(text) < 9 else 0
    )


def _style(text: str | None, styles: list[Style]) -> Style:
    number = int(text) if text and text.isascii() and text.isdecimal() and len(text) < 9 else 0
    return styles[number] if number < len(styles) else DEFAULT


def _read_validations(root: etree._Element, space: str, sheet: ReturnedSheet) -> None:
    for item in root.iterfind(f"{space}dataValidations/{space}dataValidation"):
        sheet.validations.append(_validation(item, item.get("sqref", ""), f"{space}formula", ""))
    for item in root.iterfind(f"{space}extLst/{space}ext/{_X14}dataValidations/{_X14}dataValidation"):
        places = item.find(f"{_XM}sqref")
        sqref = "" if places is None else places.text or ""
        sheet.validations.append(_validation(item, sqref, f"{_X14}formula", f"/{_XM}f"))


def _validation(item: etree._Element, sqref: str, tag: str, inner: str) -> dict[str, str]:
    found = markup.attributes(item)
    found["sqref"] = sqref
    for number in ("1", "2"):
        formula = item.find(f"{tag}{number}{inner}")
        if formula is not None and formula.text:
            found[f"formula{number}"] = markup.unescape(formula.text)
    return found
