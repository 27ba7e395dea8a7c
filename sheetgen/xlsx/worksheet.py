"""One worksheet part (ECMA-376 part 1, 18.3.1.99): cells, protection, validations, merges, what is hidden."""

from __future__ import annotations

from lxml import etree

from sheetgen.xlsx import markup
from sheetgen.xlsx.address import MAX_COLUMNS, area
from sheetgen.xlsx.around_cells import read_around
from sheetgen.xlsx.cells import NARROWEST_COLUMN, TRUE, CellMaker, less
from sheetgen.xlsx.element_rows import read_element_rows
from sheetgen.xlsx.package import Package
from sheetgen.xlsx.plain_rows import NotPlainError, cut_rows, read_plain_rows
from sheetgen.xlsx.returned import ReturnedSheet
from sheetgen.xlsx.strings import text_of
from sheetgen.xlsx.styles import DEFAULT, NO_MARK, Style
from sheetgen.xlsx.unusable import beyond

MAX_MERGES = 5_000  # merged ranges of one sheet: a book has some hundred
_X14 = "{http://schemas.microsoft.com/office/spreadsheetml/2009/9/main}"  # [MS-XLSX] 2.4
_XM = "{http://schemas.microsoft.com/office/excel/2006/main}"


def read_worksheet(
    package: Package,
    part: str,
    sheet: ReturnedSheet,
    strings: list[str],
    styles: list[Style],
    marks: list[str],
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
            maker = CellMaker(package, sheet, strings, styles)
            maker.height = _default_height(root, space)
            read_element_rows(rows, space, maker)
    space = markup.space(root)
    for columns in root.iterchildren(f"{space}cols"):
        _read_columns(columns, sheet, styles)
    _read_default_width(root, space, sheet)
    for protection in root.iterchildren(f"{space}sheetProtection"):
        sheet.protection = markup.attributes(protection)
        sheet.protected = sheet.protection.get("sheet") in TRUE
    for merges in root.iterchildren(f"{space}mergeCells"):
        found = (area(item.get("ref", "")) for item in list(merges)[: MAX_MERGES + 1])
        sheet.merges += [merge for merge in found if merge is not None]
    if len(sheet.merges) > MAX_MERGES:
        raise beyond(package.path, "merges", f"{MAX_MERGES:,}", part=part)
    _read_validations(root, space, sheet)
    _read_conditional(root, space, sheet, marks)
    read_around(package, part, root, sheet)


def _read_conditional(root: etree._Element, space: str, sheet: ReturnedSheet, marks: list[str]) -> None:
    """Each rule with its formula; around the formula stands what its look does, where it shows nothing."""
    for item in root.iterchildren(f"{space}conditionalFormatting"):
        for rule in item.iterchildren(f"{space}cfRule"):
            formula = rule.get("type") or ""
            if formula == "expression":
                look, formula = _mark(rule.get("dxfId"), marks), rule.findtext(f"{space}formula") or ""
                formula = f"{look}({formula})" if look else formula
            sheet.conditional.append((item.get("sqref", ""), markup.unescape(formula)))


def _mark(text: str | None, marks: list[str]) -> str:
    number = int(text) if text and text.isascii() and text.isdecimal() and len(text) < 9 else len(marks)
    return marks[number] if number < len(marks) else NO_MARK


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
    maker.height = _default_height(root, space)
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
        sheet.column_styles.append((first - 1, last - 1, *_style(item.get("style"), styles)[:2]))
        if (item.get("hidden") in TRUE or less(item.get("width"), NARROWEST_COLUMN)) and len(
            hidden
        ) < MAX_COLUMNS:
            hidden.update(range(first - 1, last))
    sheet.hidden_columns = frozenset(hidden) | sheet.hidden_columns


def _read_default_width(root: etree._Element, space: str, sheet: ReturnedSheet) -> None:
    """Columns that no line of the file gives a width have the sheet's own (18.3.1.81)."""
    defaults = root.find(f"{space}sheetFormatPr")
    if defaults is not None and less(defaults.get("defaultColWidth"), NARROWEST_COLUMN):
        wide = {column for first, last, *_ in sheet.column_styles for column in range(first, last + 1)}
        sheet.hidden_columns |= {column for _, column in sheet.cells} - wide


def _default_height(root: etree._Element, space: str) -> str | None:
    """The height of rows that state none; it counts where it was set by a person."""
    defaults = root.find(f"{space}sheetFormatPr")
    set_by_hand = defaults is not None and defaults.get("customHeight") in TRUE
    return defaults.get("defaultRowHeight") if defaults is not None and set_by_hand else None


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
