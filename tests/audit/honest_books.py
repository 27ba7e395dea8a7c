"""Honest filled books, typed as people type and saved again by the programs people use: nothing in them is wrong.

``python -m tests.audit.honest_books [BOOKS] [FIRST]`` makes BOOKS (1,000) filled files from number FIRST (0) on,
rechecks each, and says how many there were of each way to fill and to save, how many findings were ``error`` (there
must be none), and how often each ``query`` and ``note`` came. A book is made again alike by its number.

Orders, crews and days are invented.
"""

from __future__ import annotations

import sys
import tempfile
import zipfile
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache
from io import BytesIO
from itertools import permutations
from pathlib import Path
from random import Random
from xml.sax.saxutils import escape

import openpyxl
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey
from lxml import etree

from sheetgen.audit.model import Recheck
from sheetgen.audit.run import recheck_book
from sheetgen.book.layout import lay_out
from sheetgen.demo.day import Log, honest_day
from sheetgen.order.model import Order
from sheetgen.signing import public_text, sign
from sheetgen.xlsx.address import a1
from sheetgen.xlsx.model import Book
from sheetgen.xlsx.write import write_book
from tests.audit.honest_orders import order_of
from tests.audit.honest_typing import typed
from tests.audit.resaving import PROGRAMS, resaved, resaved_together

BOOKS_OF_AN_ORDER = 20  # one after another; they differ in their days, their typing and what saved them
_ONE = tuple((one,) for one in PROGRAMS)
_TWO = tuple(permutations(PROGRAMS, 2))
# Most books are saved by nobody else or by one program; every chain of two comes once in 36 books.
CHAINS: tuple[tuple[str, ...], ...] = ((), *_ONE, *_TWO[:6], *_ONE, (), *_ONE, *_TWO[6:], (), *_ONE)
# Filling the parts of the file itself leaves the results of the blank book; only what calculates can follow.
FILLINGS = ("generator", "openpyxl", "xml")
CALCULATE = ("ironcalc", "formualizer", "LibreOffice")
_BATCH = 36
_KEY = Ed25519PrivateKey.from_private_bytes(bytes(range(32)))
_MAIN = "{http://schemas.openxmlformats.org/spreadsheetml/2006/main}"


@dataclass(frozen=True, slots=True)
class HonestBook:
    """One filled book: its order and day, how it was filled, and by what it was saved since."""

    number: int

    @property
    def chain(self) -> tuple[str, ...]:
        """The programs that saved it, one after another."""
        return CHAINS[self.number % len(CHAINS)]

    @property
    def filling(self) -> str:
        """How the entries came into it."""
        filling = FILLINGS[self.number // len(CHAINS) % len(FILLINGS)]
        calculated = bool(self.chain) and self.chain[0] in CALCULATE
        return filling if filling != "xml" or calculated else "openpyxl"

    @property
    def order(self) -> Order:
        """What it was issued for."""
        return order_of(self.number // BOOKS_OF_AN_ORDER)

    def log(self) -> Log:
        """What the crew wrote, as it typed it."""
        order, chance = self.order, Random(self.number)
        day = honest_day(order, order.machines[0], seed=self.number, days=1 + self.number % 2)
        return typed(day, order, chance)

    def generate(self, folder: Path) -> Path:
        """The file as the program writes a filled book."""
        return write_book(_laid_out(self.order, self.log()), folder / f"book{self.number}.xlsx")

    def fill(self, folder: Path) -> Path:
        """The filled file."""
        path, log = folder / f"book{self.number}.xlsx", self.log()
        if self.filling == "generator":
            return self.generate(folder)
        blank = _blank(self.number // BOOKS_OF_AN_ORDER)
        if self.filling == "openpyxl":
            blank.fill_by_openpyxl(log, path)
        else:
            _by_xml(blank.data, blank.book, log, path)
        return path


def _signed(message: bytes) -> tuple[str, str]:
    return public_text(_KEY), sign(_KEY, message)


def _laid_out(order: Order, log: Log | None = None) -> Book:
    return lay_out(order, order.machines[0], log, _signed)


class _Blank:
    """The blank book of an order, as the office issues it."""

    def __init__(self, order: Order) -> None:
        self.book = _laid_out(order)
        with tempfile.TemporaryDirectory() as folder:
            self.data = write_book(self.book, Path(folder) / "blank.xlsx").read_bytes()

    def fill_by_openpyxl(self, log: Log, path: Path) -> None:
        """The entries put into the blank book; openpyxl saves a workbook with pictures only once."""
        workbook = openpyxl.load_workbook(BytesIO(self.data))
        for sheet, cell, value in _cells(self.book, log):
            workbook[sheet][cell] = value
        workbook.save(path)


@lru_cache(2)
def _blank(number: int) -> _Blank:
    return _Blank(order_of(number))


def _cells(book: Book, log: Log) -> Iterator[tuple[str, str, object]]:
    """Sheet, address and value of every entry."""
    for (table, row, column), value in log.items():
        place = book.tables[table]
        yield place.sheet, a1(place.first_row + row, place.columns[column]), value


def _by_xml(blank: bytes, book: Book, log: Log, path: Path) -> None:
    """The entries put into the worksheet parts, as a phone's program might: inline texts, plain numbers."""
    numbers = {sheet.name: number for number, sheet in enumerate(book.sheets, start=1)}
    entries: dict[str, dict[str, object]] = {}
    for sheet, cell, value in _cells(book, log):
        entries.setdefault(f"xl/worksheets/sheet{numbers[sheet]}.xml", {})[cell] = value
    source = path.with_suffix(".blank")
    source.write_bytes(blank)
    with zipfile.ZipFile(source) as old, zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as new:
        for part in old.namelist():
            data = old.read(part)
            new.writestr(part, _filled(data, entries[part]) if part in entries else data)
    source.unlink()


def _filled(part: bytes, entries: dict[str, object]) -> bytes:
    root = etree.fromstring(part)
    cells = {cell.get("r"): cell for cell in root.iter(f"{_MAIN}c")}
    for address, value in entries.items():
        cell = cells[address]
        if isinstance(value, str):
            cell.set("t", "inlineStr")
            text = f'<is xmlns="{_MAIN[1:-1]}"><t xml:space="preserve">{escape(value)}</t></is>'
            cell.append(etree.fromstring(text))
        else:
            etree.SubElement(cell, f"{_MAIN}v").text = repr(value)
    return bytes(etree.tostring(root, xml_declaration=True, encoding="UTF-8", standalone=True))


def returned(books: list[HonestBook], folder: Path) -> Iterator[tuple[HonestBook, Path]]:
    """The files of some books as they come back, each after all the programs of its chain."""
    paths = {book: book.fill(folder) for book in books}
    for step in range(2):
        office = [book for book in books if book.chain[step : step + 1] == ("LibreOffice",)]
        together = resaved_together([paths[book] for book in office], folder / f"office{step}")
        paths |= dict(zip(office, together, strict=True))
        for book in books:
            if step < len(book.chain) and book not in office:
                paths[book] = resaved(paths[book], book.chain[step], folder / f"step{step}")
    yield from paths.items()


def recheck(path: Path) -> Recheck:
    """What the office finds in a returned file."""
    return recheck_book(path, public_key=public_text(_KEY))


class Tally:
    """What was made, and what was found in it."""

    def __init__(self) -> None:
        self.made: Counter[str] = Counter()
        self.books = 0
        self.found: dict[str, Counter[str]] = {severity: Counter() for severity in ("error", "query", "note")}

    def add(self, book: HonestBook, result: Recheck) -> None:
        """One rechecked book; what is more than a note in it is printed at once."""
        self.books += 1
        self.made["saved by " + (", then ".join(book.chain) or "nobody")] += 1
        self.made["filled by " + book.filling] += 1
        for severity, count in self.found.items():
            count.update({each.name for each in result.findings if each.severity == severity})
        for each in result.findings:
            if each.severity != "note":
                print(f"book {book.number} {book.filling} {book.chain}: {each}", flush=True)

    @property
    def wrong(self) -> int:
        """Books with a wrong finding, each as often as it has names of them."""
        return sum(self.found["error"].values())

    def lines(self) -> Iterator[str]:
        """The summary."""
        for text, number in sorted(self.made.items()):
            yield f"{number:5d} {text}"
        for severity, count in self.found.items():
            for name, number in count.most_common():
                yield f"{severity}: {name} in {number} of {self.books} books ({100 * number / self.books:.1f} %)"
        yield f"{self.books} books; wrong findings: {self.wrong}"


def main(count: int, first: int) -> int:
    """Make and recheck the books; the number of findings that were wrong."""
    tally = Tally()
    for start in range(first, first + count, _BATCH):
        books = [HonestBook(number) for number in range(start, min(start + _BATCH, first + count))]
        with tempfile.TemporaryDirectory() as folder:
            for book, path in returned(books, Path(folder)):
                tally.add(book, recheck(path))
        print("\n".join(tally.lines()), file=sys.stderr, flush=True)
    print("\n".join(tally.lines()))
    return tally.wrong


if __name__ == "__main__":
    arguments = [int(each) for each in sys.argv[1:]]
    sys.exit(min(main(*(arguments + [1000, 0][len(arguments) :])), 1))
