"""Texts of a workbook: the shared ones (ECMA-376 part 1, 18.4) and those written in the cell."""

from __future__ import annotations

from lxml import etree

from sheetgen.xlsx import markup


def read_strings(root: etree._Element | None) -> list[str]:
    """The shared texts by the number that cells refer to; none where the book has no such part."""
    if root is None:
        return []
    space = markup.space(root)
    return [text_of(item, space) for item in root.iterchildren(f"{space}si")]


def text_of(item: etree._Element, space: str) -> str:
    """The text of one item, its runs joined; phonetic hints (rPh) are no part of it."""
    if len(item) == 1 and item[0].tag == f"{space}t":
        return markup.unescape(item[0].text or "")
    pieces = []
    for part in item:
        if part.tag == f"{space}t":
            pieces.append(part.text or "")
        elif part.tag == f"{space}r":
            pieces += [text.text or "" for text in part.iterchildren(f"{space}t")]
    return markup.unescape("".join(pieces))
