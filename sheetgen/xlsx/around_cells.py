"""What lies on a sheet around its cells: links, what is drawn over them, what is printed on each page.

A part of this kind that is damaged is no reason to refuse the book: what it holds is not there then.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from html import unescape

from lxml import etree

from sheetgen.errors import UnusableBook
from sheetgen.xlsx import markup
from sheetgen.xlsx.cells import TRUE
from sheetgen.xlsx.package import Package, Relationship
from sheetgen.xlsx.returned import Drawn, ReturnedSheet

MOST_DRAWN = 500  # on one sheet
_LONGEST = 20_000  # characters of what one of them holds
_KINDS = {"pic": "picture", "graphicFrame": "chart"}
_SERIES = re.compile(
    rb"<(?:\w+:)?f>([^<]*)<|<a:t>([^<]*)<"
)  # of a chart (21.2.2.65): where it takes data from; words
_CONTROLS = re.compile(rb'ObjectType="(\w+)"')  # [MS-OI29500] of a drawing in VML
_PAGE_TEXTS = {"odd": None, "even": "differentOddEven", "first": "differentFirst"}


def read_around(package: Package, part: str, root: etree._Element, sheet: ReturnedSheet) -> None:
    """Fill in the links, drawings and page texts of a sheet from the root of its part."""
    space = markup.space(root)
    targets = {item.id: item for item in package.relationships(part)}
    for link in root.iterfind(f"{space}hyperlinks/{space}hyperlink"):
        target = targets.get(_relation(link))
        inside = link.get("location", "")
        sheet.links.append((link.get("ref", ""), target.target if target and target.outside else inside))
    sheet.page_texts = _page_texts(root, space)
    for found in _drawn(package, root, targets):
        sheet.drawn.append(found)
        if len(sheet.drawn) >= MOST_DRAWN:
            break


def _relation(item: etree._Element) -> str:
    """The relationship that an element names, in whichever namespace."""
    return next(
        (str(value) for name, value in item.attrib.items() if str(name).endswith(("}id", "}embed"))), ""
    )


def _page_texts(root: etree._Element, space: str) -> dict[str, str]:
    """The headers and footers in use (18.3.1.46): those of even and first pages only where they differ."""
    item = root.find(f"{space}headerFooter")
    if item is None:
        return {}
    return {
        f"{pages}{what}": markup.unescape(text)
        for pages, flag in _PAGE_TEXTS.items()
        if flag is None or item.get(flag) in TRUE
        for what in ("Header", "Footer")
        if (text := item.findtext(f"{space}{pages}{what}"))
    }


def _drawn(package: Package, root: etree._Element, targets: dict[str, Relationship]) -> Iterator[Drawn]:
    for item in root.iterchildren():
        name = etree.QName(item).localname
        target = targets.get(_relation(item))
        if name in ("picture", "oleObjects"):
            yield Drawn("picture" if name == "picture" else "shape", 0, 0, name)
        elif target is None or target.outside or not package.has(target.target):
            continue
        elif name == "drawing":
            yield from _anchored(package, target.target)
        elif name == "legacyDrawing":
            for kind in _CONTROLS.findall(_bytes(package, target.target)):
                if kind != b"Note":
                    yield Drawn("shape", 0, 0, kind.decode("ascii"))


def _anchored(package: Package, part: str) -> Iterator[Drawn]:
    """Each thing in a drawing part, with the cell that it begins at (20.5.2)."""
    try:
        root, targets = package.xml(part), {item.id: item for item in package.relationships(part)}
    except UnusableBook:
        return
    space = markup.space(root)
    for anchor in root.iterchildren():
        corner = anchor.find(f"{space}from")
        row, column = (_number(corner, f"{space}{what}") for what in ("row", "col"))
        for item in anchor.iterchildren():
            name = etree.QName(item).localname
            if name in ("from", "to", "ext", "pos", "clientData"):
                continue
            kind = _KINDS.get(name, "shape")
            yield Drawn(kind, row, column, _content(package, kind, item, targets)[:_LONGEST])


def _content(package: Package, kind: str, item: etree._Element, targets: dict[str, Relationship]) -> str:
    if kind == "shape":
        return " ".join("".join(str(part) for part in item.itertext()).split())
    named = (targets.get(_relation(each)) for each in item.iter())
    part = next((target.target for target in named if target is not None and not target.outside), "")
    if kind == "picture":
        return package.fingerprint(part)
    found = (series or words for series, words in _SERIES.findall(_bytes(package, part)))
    return "\n".join(unescape(each.decode("utf-8", "replace")).strip('"') for each in found)


def _bytes(package: Package, part: str) -> bytes:
    try:
        return package.read(part)
    except UnusableBook:
        return b""


def _number(corner: etree._Element | None, tag: str) -> int:
    text = "" if corner is None else (corner.findtext(tag) or "").strip()
    return int(text) if text.isdecimal() and text.isascii() and len(text) < 8 else 0
