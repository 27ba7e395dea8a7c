"""The tables of a report as CSV files, safe to open in a spreadsheet program.

A text that a spreadsheet program would take for a formula is written with an apostrophe before it: a returned book may
have been written by a stranger. Numbers are plain, with a decimal point; headings are the keys of the report's JSON;
rows are numbered as they are printed, from 1. UTF-8 with a byte order mark, so that spreadsheet programs read the
letters of every language.
"""

from __future__ import annotations

import csv
from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import Any

from pydantic import BaseModel

from sheetgen.recheck.report.document import Document, Line, ShotLine
from sheetgen.whole_file import whole_file

TABLES = ("findings", "shots", "loads", "days", "sections", "entries")
# What spreadsheet programs take for the beginning of a formula; common practice, no source.
_FORMULA = ("=", "+", "-", "@", "\t", "\r", "\n", "＝", "＋", "－", "＠")


def write_csv_tables(document: Document, path: Path) -> list[Path]:
    """Write ``<path>.<table>.csv`` for every table; each appears whole or not at all."""
    written = []
    for table in TABLES:
        rows = list(_rows(getattr(document, table)))
        target = path.with_name(f"{path.name}.{table}.csv")
        _write(target, rows)
        written.append(target)
    return written


def safe(value: Any) -> Any:
    """A value as it may stand in a cell of a CSV file."""
    if value is None:
        return ""
    if isinstance(value, str) and value.lstrip(" \xa0").startswith(_FORMULA):
        return f"'{value}"
    return value


def _rows(lines: Iterable[BaseModel]) -> Iterable[Sequence[Any]]:
    """A heading, then one row a line; nothing but an empty heading where there is no line."""
    flat = [_flat(line) for line in lines]
    head = list(dict.fromkeys(key for line in flat for key in line))
    yield head
    for line in flat:
        yield [line.get(key) for key in head]


def _flat(line: BaseModel) -> dict[str, Any]:
    if not isinstance(line, Line):
        plain = line.model_dump()
        return plain | {"row": None if plain["row"] is None else plain["row"] + 1}
    flat: dict[str, Any] = {"row": line.row + 1, "label": line.label}
    if isinstance(line, ShotLine):
        flat |= {"judged": line.judged, "allowed": line.allowed}
    for key, result in line.results.items():
        flat |= {
            f"{key} book": result.book,
            f"{key} recomputed": result.recomputed,
            f"{key} difference": result.difference,
        }
    return flat


def _write(path: Path, rows: Iterable[Sequence[Any]]) -> None:
    with whole_file(path) as unfinished, unfinished.open("w", encoding="utf-8-sig", newline="") as file:
        csv.writer(file).writerows([safe(value) for value in row] for row in rows)
