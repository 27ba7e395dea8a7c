"""Claimed quantities: one number, or a claim sheet with a line for each book."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from itertools import product
from pathlib import Path, PureWindowsPath

from sheetgen import templates
from sheetgen.errors import ClaimError, Mistake, UnusableBook
from sheetgen.file_names import file_stems
from sheetgen.output import printable
from sheetgen.reading.numbers import number
from sheetgen.reading.outcome import Expected, Known, Outcome, plain_number
from sheetgen.reading.separated import separated
from sheetgen.units import SYSTEMS, converted, units
from sheetgen.xlsx.address import a1
from sheetgen.xlsx.package import file_bytes
from sheetgen.xlsx.returned import Value
from sheetgen.xlsx.unusable import unusable

BOOK, PAYABLE = ("book", "libro"), ("payable", "a pagar")
MAX_LINES = 20_000
_FIRST_ROWS = 20  # in which the headings are looked for
_GREATEST = 1e9
_LONGEST = 60
_PAID = ("volume", "large_mass", "area")  # kinds of quantities that a contract can pay
Row = dict[int, Value]


class Claimed(float):
    """A claimed quantity, with pint's name of the unit that was typed behind it; empty for the book's own unit."""

    unit: str = ""

    def in_unit(self, own: str) -> float:
        """Give the quantity in the unit of a book."""
        return converted(self, self.unit, own) if self.unit else float(self)


@dataclass(slots=True)
class _Sheet:
    """The lines of a claim sheet, and the mistakes found in them so far."""

    path: str
    tab: str = ""  # of a workbook; its cells are named, of a text the lines
    grouping_points: bool = True
    mistakes: list[Mistake] = field(default_factory=list)

    def wrong(self, why: str, expected: str, row: int, column: int, **facts: object) -> None:
        """Note a mistake at a line or cell; ``why`` is a key below ``unusable``."""
        say = templates.spoken_texts()
        shown = {key: printable(str(value), _LONGEST) for key, value in facts.items()}
        found = say.say(f"unusable.{why}.found", row=row + 1, **shown)
        remedy = say.say(f"unusable.{why}.remedy", **shown)
        cell = a1(row, column) if self.tab else ""
        self.mistakes.append(Mistake(self.tab, cell, found, say[f"unusable.expected.{expected}"], remedy))


def read_claim(text: str) -> float | dict[str, float]:
    """Read a claim as the command line gives it: a number, or the file of a claim sheet.

    Returns:
        the number, or claimed quantities by identity or file name without its ending, in lower case

    Raises:
        UnusableBook: it is neither, or lines of the sheet cannot be read; each of them is named.
    """
    read = _number(text, grouping_points=False)
    return read_claim_sheet(Path(text)) if read is None else read


def read_claim_sheet(path: Path) -> dict[str, float]:
    """Read the claimed quantities of a claim sheet, by :func:`book_key`."""
    sheet = _Sheet(str(path))
    rows = _rows(sheet)
    first, columns = _headings(rows, sheet)
    claims: dict[str, float] = {}
    for line, row in rows:
        if line > first:
            _take(row, line, columns, claims, sheet)
    if sheet.mistakes:
        raise ClaimError(sheet.path, sheet.mistakes)
    return claims


def is_claim_sheet(path: Path) -> bool:
    """Whether a file has the headings of a claim sheet, whatever stands below them."""
    sheet = _Sheet(str(path))
    try:
        _headings(_rows(sheet), sheet)
    except UnusableBook:
        return False
    return True


def is_claim_text(data: bytes) -> bool:
    """Whether a text has the headings of a claim sheet; a workbook under the name of a text has none."""
    sheet = _Sheet("")
    try:
        _headings([] if data[:2] == b"PK" else _text_rows(data, sheet, _FIRST_ROWS), sheet)
    except UnusableBook:
        return False
    return True


def book_key(name: str) -> str:
    """Give what a book is looked up by: its identity or file name, without the ending, in lower case."""
    # A path of Windows is parted at / and \ alike.
    return PureWindowsPath(name.strip()).name.casefold().removesuffix(".xlsx")


def keys_of(path: str, identity: str, job: str, distributor: str) -> list[str]:
    """Give what a claim sheet can call a book: its identity, the file that came back, the file that was issued."""
    issued = file_stems(job, [distributor])[0] if distributor else ""
    return [key for key in map(book_key, (identity, path, issued)) if key]


def claimed_for(
    claim: float | Mapping[str, float] | None,
    path: str,
    identity: str,
    job: str = "",
    distributor: str = "",
    system: str = "us",
    kind: str = "volume",
) -> float | None:
    """Give what is claimed for one book, in its unit of pay of a kind of ``tables/units.csv``; None where nothing is.

    Raises:
        UnusableBook: the claim is in a unit of something else than what is paid.
    """
    if isinstance(claim, Mapping):
        claim = next((claim[key] for key in keys_of(path, identity, job, distributor) if key in claim), None)
    if not isinstance(claim, Claimed):
        return claim
    own = units(system)[kind]
    try:
        return claim.in_unit(own.name)
    except ValueError as error:
        typed, paid = f"{claim:.10g} {claim.unit}", own.label(templates.spoken())
        raise unusable(path, "claim-unit", "claim-quantity", quantity=typed, unit=paid) from error


def _headings(rows: list[tuple[int, Row]], sheet: _Sheet) -> tuple[int, tuple[int, int]]:
    """Find the row of the headings, and the columns of book and quantity."""
    for line, row in rows[:_FIRST_ROWS]:
        heads = {str(value).strip().casefold(): column for column, value in reversed(row.items())}
        found = [next((heads[name] for name in names if name in heads), None) for names in (BOOK, PAYABLE)]
        if found[0] is not None and found[1] is not None:
            return line, (found[0], found[1])
    heads_shown = ", ".join(str(value).strip().casefold() for value in rows[0][1].values()) if rows else ""
    raise unusable(sheet.path, "claim-headings", "claim-sheet", heads=heads_shown or "-")


def _take(row: Row, line: int, columns: tuple[int, int], claims: dict[str, float], sheet: _Sheet) -> None:
    book, payable = (row.get(column) for column in columns)
    name = _text(book)
    if not name and not _text(payable):
        return
    if not name:
        sheet.wrong("claim-without-book", "claim-book", line, columns[0])
        return
    if book_key(name) in claims:
        sheet.wrong("claim-twice", "claim-once", line, columns[0], book=name)
        return
    quantity = _number(payable, sheet.grouping_points)
    if quantity is None:
        why = "claim-quantity" if _text(payable) else "claim-without-quantity"
        sheet.wrong(why, "claim-quantity", line, columns[1], quantity=_text(payable))
    claims[book_key(name)] = quantity or 0.0


def _text(value: Value) -> str:
    if isinstance(value, float):
        return f"{value:.15g}"
    return str(value if value is not None else "").strip()


def _number(value: Value, grouping_points: bool) -> Claimed | None:
    """Read a quantity, with or without a unit that can be paid; None for anything else, and beyond all bounds.

    Three digits behind a mark are thousands: no payable quantity has three decimals.
    """
    for kind, system in product(_PAID, SYSTEMS):
        known = Known(system, "en", grouping_points=grouping_points)
        read = number(value, Expected(kind, (0.0, _GREATEST), step=1.0), known)
        if read.mistake != "other_unit":
            return _claimed(read, plain_number(value), units(system)[kind].name)
    return None


def _claimed(read: Outcome, bare: bool, own: str) -> Claimed | None:
    if read.mistake or not isinstance(read.value, float) or not 0 <= read.value <= _GREATEST:
        return None
    claimed = Claimed(read.value)
    claimed.unit = own if read.reason == "own_unit" and not bare else ""
    return claimed


def _rows(sheet: _Sheet) -> list[tuple[int, Row]]:
    """Give the lines that hold something, each with its number from 0 and its cells by column."""
    data = file_bytes(sheet.path, "claim-sheet", missing="claim-unreadable")
    rows = list(_workbook_rows(sheet) if data[:2] == b"PK" else _text_rows(data, sheet))
    if len(rows) > MAX_LINES:
        raise unusable(sheet.path, "claim-lines", "claim-lines", lines=f"{MAX_LINES:,}")
    return rows


def _workbook_rows(sheet: _Sheet) -> Iterable[tuple[int, Row]]:
    from sheetgen.xlsx.read import read_book

    rows: dict[int, Row] = {}
    for first in read_book(sheet.path).sheets[:1]:
        sheet.tab = printable(first.name)
        for (line, column), cell in sorted(first.cells.items()):
            if cell.value is not None:
                rows.setdefault(line, {})[column] = cell.value
    return rows.items()


def _text_rows(data: bytes, sheet: _Sheet, most: int | None = None) -> list[tuple[int, Row]]:
    found = separated(data, most)
    if found is None:
        raise unusable(sheet.path, "claim-no-text", "claim-sheet")
    mark, rows = found
    sheet.grouping_points = mark != ","  # where a comma is the decimal sign, a point sets thousands apart
    return [(line, dict[int, Value](cells)) for line, cells in rows]
