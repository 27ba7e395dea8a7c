"""Reading a returned workbook whole: :func:`read_book`, the one door that a returned file comes in by."""

from __future__ import annotations

import datetime as dt
from collections import Counter
from pathlib import Path

from lxml import etree

from sheetgen.errors import UnusableBook
from sheetgen.xlsx import markup
from sheetgen.xlsx.cells import TRUE
from sheetgen.xlsx.model import CREATED
from sheetgen.xlsx.package import Package, Relationship, open_package
from sheetgen.xlsx.returned import ReturnedBook, ReturnedSheet
from sheetgen.xlsx.strings import read_strings
from sheetgen.xlsx.styles import Style, read_marks, read_styles
from sheetgen.xlsx.unusable import beyond, unusable
from sheetgen.xlsx.worksheet import read_comments, read_worksheet

MAX_SHEETS = 250
_MACRO_WORDS = ("vbaproject", "macrosheet", "activex", "vnd.ms-office.vba")
_TERMS = "{http://purl.org/dc/terms/}"
_OUTSIDE_WORDS = ("externallink", "connections", "querytable")


def read_book(path: str | Path) -> ReturnedBook:
    """Everything that a returned workbook says and that proof needs, with nothing judged.

    The file is only read. Raises :class:`~sheetgen.errors.UnusableBook` for all that is no sound .xlsx file.
    """
    package = open_package(path)
    main = next(item.target for item in package.relationships("") if item.kind == "officeDocument")
    root = package.xml(main)
    space = markup.space(root)
    targets = {item.id: item for item in package.relationships(main)}
    strings = read_strings(_related(package, targets, "sharedStrings"))
    looks = _related(package, targets, "styles")
    if looks is not None and not str(looks.tag).endswith("}styleSheet"):  # 18.8.39
        raise unusable(package.path, "part-damaged", part="styles")
    theme = None if looks is None else _related(package, targets, "theme")
    styles, marks = read_styles(looks, theme), read_marks(looks, theme)
    entries = root.findall(f"{space}sheets/{space}sheet")
    if len(entries) > MAX_SHEETS:
        raise beyond(package.path, "sheets", MAX_SHEETS)
    names = [entry.get("name", "").casefold() for entry in entries]
    twice = next((name for name in names if names.count(name) > 1), None)
    if twice is not None:
        raise unusable(package.path, "sheet-twice", sheet=twice)
    parts = _sheet_parts(package, entries, targets)
    sheets = [
        _read_sheet(package, entry, part, strings, styles, marks)
        for entry, part in zip(entries, parts, strict=True)
    ]
    settings = _attributes(root, f"{space}workbookPr")
    return ReturnedBook(
        path=package.path,
        sha256=package.sha256,
        program=_program(package),
        saved=_saved(package),
        sheets=sheets,
        names=_names(root, space, sheets),
        external_links=_outside(package),
        macro_parts=_macros(package),
        date_1904=settings.get("date1904") in TRUE,
        protection=_attributes(root, f"{space}workbookProtection") | _attributes(root, f"{space}fileSharing"),
        calculation=settings | _attributes(root, f"{space}calcPr"),
    )


def _related(package: Package, targets: dict[str, Relationship], kind: str) -> etree._Element | None:
    part = next((item.target for item in targets.values() if item.kind == kind and not item.outside), None)
    return None if part is None else package.xml(part)


def _sheet_parts(
    package: Package, entries: list[etree._Element], targets: dict[str, Relationship]
) -> list[Relationship]:
    """The part of each sheet, which no other sheet and no other relationship of the workbook may point at."""
    counts = Counter(item.target.casefold() for item in targets.values())
    parts: dict[str, Relationship] = {}
    for entry in entries:
        id = next((str(value) for name, value in entry.attrib.items() if str(name).endswith("}id")), "")
        target = targets.get(id)
        if target is None or target.outside:
            raise unusable(package.path, "part-missing", part=entry.get("name", ""))
        if id in parts or counts[target.target.casefold()] > 1:
            raise unusable(package.path, "part-shared", part=target.target)
        parts[id] = target
    return list(parts.values())


def _read_sheet(
    package: Package,
    entry: etree._Element,
    part: Relationship,
    strings: list[str],
    styles: list[Style],
    marks: list[str],
) -> ReturnedSheet:
    sheet = ReturnedSheet(entry.get("name", ""), entry.get("state", "visible"))
    if part.kind == "worksheet":
        read_worksheet(package, part.target, sheet, strings, styles, marks)
        for item in package.relationships(part.target):
            if item.kind == "comments" and package.has(item.target):
                sheet.comments.update(read_comments(package.xml(item.target)))
    return sheet


def _attributes(root: etree._Element, tag: str) -> dict[str, str]:
    found = root.find(tag)
    return {} if found is None else markup.attributes(found)


def _names(root: etree._Element, space: str, sheets: list[ReturnedSheet]) -> dict[str, str]:
    names = {}
    for item in root.iterfind(f"{space}definedNames/{space}definedName"):
        name, sheet = item.get("name", ""), item.get("localSheetId")
        if sheet is not None:
            known = sheet.isascii() and sheet.isdecimal() and int(sheet[:6]) < len(sheets)
            name = f"{sheets[int(sheet[:6])].name if known else '?'}!{name}"
        names[name] = markup.unescape(item.text or "")
    return names


def _program(package: Package) -> str:
    """The program and version that the file's own properties name; empty where they name none."""
    part = next((item.target for item in package.relationships("") if item.kind == "extended-properties"), "")
    if not package.has(part):
        return ""
    root = package.xml(part)
    space = markup.space(root)
    words = (root.findtext(f"{space}Application"), root.findtext(f"{space}AppVersion"))
    return " ".join(word.strip() for word in words if word)[:100]


def _saved(package: Package) -> str:
    """When the file says it was last saved, in UTC (ISO 8601); empty where it says nothing, or stands as it was issued.

    It proves nothing, so a part that cannot be read is no reason to refuse the book.
    """
    part = next((item.target for item in package.relationships("") if item.kind == "core-properties"), "")
    if not package.has(part):
        return ""
    try:
        text = package.xml(part).findtext(f"{_TERMS}modified") or ""
        when = dt.datetime.fromisoformat(text.strip()[:40])
        when = (when if when.tzinfo else when.replace(tzinfo=dt.UTC)).astimezone(dt.UTC)
    except (UnusableBook, ValueError, OverflowError):
        return ""
    return "" if when == CREATED else when.strftime("%Y-%m-%dT%H:%M:%SZ")


def _macros(package: Package) -> tuple[str, ...]:
    kinds = package.content_types()
    return tuple(
        part
        for part in package.parts
        if any(word in kinds.get(part.lower(), "") for word in _MACRO_WORDS)
        or part.lower().endswith("vbaproject.bin")
    )


def _outside(package: Package) -> tuple[str, ...]:
    kinds = package.content_types()
    found: list[str] = []
    for part in package.parts:
        place = part.lower()
        if place.endswith(".xml") and any(
            word in f"{place} {kinds.get(place, '')}" for word in _OUTSIDE_WORDS
        ):
            links = [item.target for item in package.relationships(part) if item.outside]
            found += links or [part]
    return tuple(found)
