"""A book's layout in a few kilobytes, so that a book of an older version can still be compared with what was issued."""

from __future__ import annotations

import json
import zlib
from dataclasses import asdict
from typing import Any

from sheetgen.xlsx.model import Book, Cell, Place, Sheet, Validation

_FORM = 1


def pack(book: Book) -> bytes:
    """What a comparison needs of a book: cells and what lies around them, validations, marks, names, places of logs."""
    data = {
        "form": _FORM,
        "identity": book.identity,
        "names": book.names,
        "fields": book.fields,
        "tables": {
            key: {**asdict(place), "inputs": sorted(place.inputs)} for key, place in book.tables.items()
        },
        "sheets": [_sheet(sheet) for sheet in book.sheets],
    }
    return zlib.compress(json.dumps(data, ensure_ascii=False, separators=(",", ":")).encode(), 9)


def unpack(data: bytes) -> Book:
    """The book that :func:`pack` packed, without looks.

    Raises:
        ValueError: it is not such a book, or of a form that this version does not know.
    """
    try:
        kept: dict[str, Any] = json.loads(zlib.decompress(data))
        if kept["form"] != _FORM:
            raise ValueError(f"a layout of form {kept['form']}")
        tables = {
            key: Place(**{**place, "inputs": frozenset(place["inputs"])})
            for key, place in kept["tables"].items()
        }
        fields = {key: (str(place[0]), int(place[1]), int(place[2])) for key, place in kept["fields"].items()}
        return Book(
            kept["identity"], [_unpacked(sheet) for sheet in kept["sheets"]], kept["names"], tables, fields
        )
    except (KeyError, TypeError, IndexError, zlib.error) as error:
        raise ValueError("not a packed layout") from error


def _sheet(sheet: Sheet) -> dict[str, Any]:
    cells = [
        [row, col, cell.value, cell.formula, cell.style, cell.number_format, cell.locked]
        for (row, col), cell in sheet.cells.items()
    ]
    return {
        "key": sheet.key,
        "name": sheet.name,
        "protected": sheet.protected,
        "out_of_sight": sheet.hidden,
        "cells": cells,
        "merges": sheet.merges,
        "validations": [asdict(rule) for rule in sheet.validations],
        "conditional": [[*spot, {"criteria": look.get("criteria", "")}] for *spot, look in sheet.conditional],
        "hidden": [
            [number for number, size in sizes.items() if size == 0]
            for sizes in (sheet.row_heights, sheet.column_widths)
        ],
        "around": {
            "comments": [[*at, text] for at, text in sheet.comments.items()],
            "links": [[*at, target] for at, target in sheet.links.items()],
            "pictures": [{key: picture[key] for key in ("at", "code")} for picture in sheet.pictures],
            "charts": sheet.charts,
            "page": {key: sheet.page[key] for key in ("footer", "area") if sheet.page.get(key)},
        },
    }


def _unpacked(kept: dict[str, Any]) -> Sheet:
    sheet = Sheet(kept["key"], kept["name"], protected=kept["protected"])
    sheet.hidden = kept.get("out_of_sight", False)  # nothing was, in an older book
    sheet.cells = {(row, col): Cell(*rest) for row, col, *rest in kept["cells"]}
    sheet.merges = [(top, left, bottom, right) for top, left, bottom, right in kept["merges"]]
    sheet.validations = [Validation(**rule) for rule in kept["validations"]]
    sheet.conditional = [
        (top, left, bottom, right, look) for top, left, bottom, right, look in kept.get("conditional", [])
    ]
    _put_around(sheet, kept.get("around"))
    sheet.row_heights |= dict.fromkeys(kept["hidden"][0], 0)
    sheet.column_widths |= dict.fromkeys(kept["hidden"][1], 0)
    return sheet


def _put_around(sheet: Sheet, around: dict[str, Any] | None) -> None:
    """What lies around the cells; registers of earlier versions did not keep it."""
    if around is None:
        sheet.cells_alone = True
        return
    sheet.comments = {(row, col): text for row, col, text in around["comments"]}
    sheet.links = {(row, col): target for row, col, target in around["links"]}
    sheet.pictures, sheet.charts, sheet.page = around["pictures"], around["charts"], around["page"]
