"""A recheck with findings of every severity, and with results of the book that differ in every way they can."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from typing import Any

from sheetgen.audit.compute.book import as_dict, compute
from sheetgen.audit.compute.uncertainty import uncertainty
from sheetgen.audit.entries.book_values import BookValue, read_book_values
from sheetgen.audit.entries.read import read_entries
from sheetgen.audit.findings import finding
from sheetgen.audit.model import Finding, Recheck
from sheetgen.audit.rules.check import check_all
from sheetgen.book.layout import lay_out
from sheetgen.demo.day import honest_day
from sheetgen.order.demo import demo_order
from sheetgen.templates import texts
from sheetgen.xlsx.address import a1
from sheetgen.xlsx.model import Book, Cell
from sheetgen.xlsx.returned import ReturnedBook, ReturnedCell, ReturnedSheet

# A name with every sign that a link could misread.
PATH = "returned books/Ñandú & Sons #7 100% (back).xlsx"
CLAIM = 1234.5


@cache
def report_case(units: str = "us", lang: str = "en") -> Recheck:
    """The demonstration's honest day, one temperature lost, one dip of a slip, and results tampered with."""
    order = demo_order(units, lang)
    machine = order.machines[0]
    log = honest_day(order, machine, seed=5, days=2)
    say = texts(lang)
    log |= {
        ("shots", 1, "remarks"): '=HYPERLINK("evil")',
        ("shots", 2, "width"): f"{machine.bar_widths[0]} {_foot(units)}",
    }
    log.pop(("shots", 3, "temperature"))
    issued = lay_out(order, machine)
    returned = as_returned(lay_out(order, machine, log))
    entries = read_entries(returned, issued, order, machine)
    computation = compute(entries, order, machine)
    known = uncertainty(computation, order, machine)
    values = _book_values(read_book_values(returned, issued), computation, say)
    findings = [*_made_up(issued), *check_all(computation, entries, order, machine, values, CLAIM, known)]
    return Recheck(
        path=PATH, identity=issued.identity, origin="unsigned", order=order, machine=machine, findings=findings,
        entries=entries, shot_rows=[as_dict(row) for row in computation.shot_rows],
        load_rows=[as_dict(row) for row in computation.load_rows], totals=computation.totals, book_values=values,
        day_rows=[as_dict(row) for row in computation.day_rows],
        section_rows=[as_dict(row) for row in computation.section_rows], sha256="0123456789abcdef" * 4,
        program="A spreadsheet 1.0", template="1", claim=CLAIM, uncertainty=known,
    )  # fmt: skip


def changed(recheck: Recheck, **fields: Any) -> Recheck:
    """The recheck with other fields."""
    return replace(recheck, **fields)


def as_returned(book: Book) -> ReturnedBook:
    """A book as its own file would be read, without results of its formulas."""
    sheets = []
    for sheet in book.sheets:
        cells = {at: _cell(cell) for at, cell in sheet.cells.items()}
        sheets.append(ReturnedSheet(sheet.name, "visible", cells, sheet.protected, merges=list(sheet.merges)))
    return ReturnedBook(PATH, "0" * 64, "", sheets, dict(book.names))


def _cell(cell: Cell) -> ReturnedCell:
    value = float(cell.value) if type(cell.value) is int else cell.value
    if value is None:
        kind = "blank"
    else:
        kind = "bool" if isinstance(value, bool) else "text" if isinstance(value, str) else "number"
    return ReturnedCell(value, cell.formula, kind, cell.locked, cell.number_format)


def _foot(units: str) -> str:
    return "ft" if units == "us" else "m"


def _book_values(places: dict[Any, BookValue], computation: Any, say: Any) -> dict[Any, BookValue]:
    """The book's own results: as recomputed, but for one of every sort of difference."""
    own: dict[Any, Any] = {
        (table, row, key): value
        for table, rows in computation.results.items()
        for row, values in rows.items()
        for key, value in values.items()
    }
    values = {}
    for key, place in places.items():
        value = own.get(key)
        if key[2] == "verdict" and value is not None:
            value = say[f"words.{value}"]
        values[key] = BookValue(value, place.sheet, place.cell)
    for key, value in (
        (("shots", 0, "base"), values["shots", 0, "base"].value + 5),  # a number
        (("shots", 7, "verdict"), say["words.low"]),  # a word
        (("shots", 4, "area"), None),  # none in the file
        (("shots", 5, "mix_rate"), "#REF!"),  # an error value
        (("shots", 6, "deviation"), values["shots", 6, "deviation"].value + 1e-7),  # by less than is printed
        (("loads", 0, "factor"), True),  # a truth value
        (("overall", 0, "payable"), values["overall", 0, "payable"].value + 12),
    ):
        values[key] = BookValue(value, values[key].sheet, values[key].cell)
    return values


def _made_up(issued: Book) -> list[Finding]:
    """Findings as the other parts of the recheck give them: of the file, of whole books, of a sheet with a quote."""
    shots = issued.tables["shots"]
    at = a1(shots.first_row, shots.columns["base"])
    return [
        finding("locking-dropped-by-program", found="protection", expected="as issued"),
        finding("formula-changed", sheet=shots.sheet, cell=at, found="=1+1", expected="=ROUND(R6*S6,1)", row=0),
        finding("sheet-added", sheet="The foreman's notes", cell="B2", found="The foreman's notes", expected="none"),
        finding("stick-reading-rose-during-shot", sheet=shots.sheet,
                cell=a1(shots.first_row + 2, shots.columns["dip_after"]),
                found="12 in before, 13 in after", expected="less after", matters="counts as minus 80 gal", row=2),
        finding("unknown-template-version", sheet=issued.sheet("record").name, cell="B3", found="9", expected="1"),
    ]  # fmt: skip
