"""Claimed quantities: one number, or a claim sheet with a line for each book."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Mapping
from pathlib import Path, PureWindowsPath

from sheetgen.xlsx.unusable import unusable

_MOST = 1e9  # gallons or liters: far more than all books of an office together
BOOK, PAYABLE = ("book", "libro"), ("payable", "a pagar")


def read_claim(text: str) -> float | dict[str, float]:
    """A claim as the command line gives it: a number, or the file of a claim sheet.

    Returns:
        the number, or claimed quantities by identity or file name without its ending, in lower case

    Raises:
        UnusableBook: it is neither, or a line of the sheet cannot be read; the line is named.
    """
    number = _number(text)
    return read_claim_sheet(Path(text)) if number is None else number


def read_claim_sheet(path: Path) -> dict[str, float]:
    """The claimed quantities of a claim sheet, by :func:`book_key`."""
    rows = list(_rows(path))
    heads = [str(cell or "").strip().casefold() for cell in rows[0]] if rows else []
    columns = [
        next((heads.index(name) for name in names if name in heads), None) for names in (BOOK, PAYABLE)
    ]
    if None in columns:
        raise unusable(str(path), "claim-headings", "claim-sheet", heads=", ".join(heads) or "-")
    claims: dict[str, float] = {}
    for number, row in enumerate(rows[1:], start=2):
        book, payable = (
            row[column] if column is not None and column < len(row) else "" for column in columns
        )
        if not str(book or "").strip() and not str(payable or "").strip():
            continue
        key = book_key(str(book))
        if key in claims:
            raise unusable(str(path), "claim-twice", "claim-once", book=book, row=number)
        claims[key] = _quantity(path, number, payable)
    return claims


def book_key(name: str) -> str:
    """What a book is looked up by: its identity or file name, without the ending, in lower case."""
    return (
        PureWindowsPath(name.strip()).name.casefold().removesuffix(".xlsx")
    )  # it parts paths at / and \\ alike


def claimed_for(claim: float | Mapping[str, float] | None, path: str, identity: str) -> float | None:
    """What is claimed for one book; None where nothing is."""
    if claim is None or isinstance(claim, (int, float)):
        return claim
    return next((claim[key] for key in (book_key(identity), book_key(path)) if key and key in claim), None)


def _quantity(path: Path, number: int, value: object) -> float:
    text = str(value if value is not None else "").strip()
    quantity = _number(text)
    if quantity is None:
        why = "claim-quantity" if text else "claim-without-quantity"
        raise unusable(str(path), why, "claim-quantity", quantity=text, row=number)
    return quantity


def _number(text: str) -> float | None:
    """The number that a text is; None for any other text, and for what is no quantity ("nan", "inf", 1e300)."""
    try:
        number = float(text)
    except ValueError:
        return None
    return number if abs(number) <= _MOST else None


def _rows(path: Path) -> Iterable[list[object]]:
    try:
        data = path.read_bytes()
    except OSError as error:
        raise unusable(str(path), "claim-unreadable", "claim-sheet") from error
    if data[:2] == b"PK":
        from sheetgen.xlsx.read import read_book

        sheets = read_book(path).sheets
        cells = sheets[0].cells if sheets else {}
        last_row, last_col = (max((at[part] for at in cells), default=-1) for part in (0, 1))
        blank = [[None] * (last_col + 1) for _ in range(last_row + 1)]
        table: list[list[object]] = [list(row) for row in blank]
        for (row, col), cell in cells.items():
            table[row][col] = cell.value
        return table
    try:
        return [list(row) for row in csv.reader(io.StringIO(data.decode("utf-8-sig")))]
    except (UnicodeDecodeError, csv.Error) as error:
        raise unusable(str(path), "claim-no-text", "claim-sheet") from error
