"""The demonstration: the whole flow on an invented job, a clean return and one with planted errors."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from sheetgen.audit.compute.pay import quantity_paid
from sheetgen.audit.findings import in_a_line
from sheetgen.audit.model import Recheck
from sheetgen.audit.report import write_report
from sheetgen.audit.report.contents import by_weight
from sheetgen.audit.report.volume_at_stake import Stakes
from sheetgen.audit.run import recheck_book
from sheetgen.book.build import book_name, build_books
from sheetgen.book.layout import lay_out
from sheetgen.demo.day import honest_day
from sheetgen.demo.planted import planted
from sheetgen.figures import number_text
from sheetgen.order.demo import demo_order
from sheetgen.order.model import Machine, Order
from sheetgen.order.pay_terms import pay_decimals, pay_unit
from sheetgen.order.read import read_order
from sheetgen.order.write import write_order
from sheetgen.templates import texts
from sheetgen.whole_file import write_unless_there
from sheetgen.xlsx.model import Book
from sheetgen.xlsx.write import book_bytes

SEED = 7


@dataclass(frozen=True, slots=True)
class Made:
    """What the demonstration wrote, and what it found in it."""

    order: Path
    books: list[Path]
    returned: list[Path]
    rechecks: list[Recheck]
    reports: list[Path]


def run_demo(out: Path, units: str = "us", language: str = "en") -> str:
    """Write everything into a folder and say in a few lines what was done and where the files are."""
    return _summary(out, make_demo(out, units, language), language)


def make_demo(out: Path, units: str = "us", language: str = "en") -> Made:
    """Write an order, its field books, two returned books and their rechecks."""
    for folder in ("books", "returned", "rechecked"):
        (out / folder).mkdir(parents=True, exist_ok=True)
    order_path = out / "order.xlsx"
    write_order(order_path, order=demo_order(units, language), replace=False)
    order = read_order(order_path)
    machine = order.machines[0]
    books = build_books(order, out / "books")
    returned = _returned(order, machine, out / "returned")
    rechecks = [recheck_book(path) for path in returned]
    reports = [
        path
        for result in rechecks
        for path in write_report(result, out / "rechecked", copy=bool(result.findings))
    ]
    return Made(order_path, books, returned, rechecks, reports)


def _returned(order: Order, machine: Machine, folder: Path) -> list[Path]:
    """A book as a careful crew sends it back, and one with errors in its entries and a changed formula."""
    honest = honest_day(order, machine, seed=SEED)
    name = book_name(order, machine).removesuffix(".xlsx")
    clean = lay_out(order, machine, honest)
    spoilt, _planted = planted(honest, order, machine)
    book = lay_out(order, machine, spoilt)
    _paste_over(book, "shots", 1, "hot", 120.0)
    # Another file in its place is left alone: in the office's own folder it may be a crew's.
    return [
        write_unless_there(folder / f"{name}_{which}.xlsx", book_bytes(made))
        for which, made in (("clean", clean), ("with-errors", book))
    ]


def _paste_over(book: Book, table: str, row: int, column: str, value: float) -> None:
    """Put a number where a formula was, as happens when somebody lifts the protection."""
    place = book.tables[table]
    at = (place.first_row + row, place.columns[column])
    sheet = book.sheet(table)
    sheet.cells[at] = sheet.cells[at]._replace(formula=None, value=value)


def _summary(out: Path, made: Made, language: str) -> str:
    say = texts(language)
    lines = [
        say["demo_run.headline"],
        "",
        say.say("demo_run.order", path=made.order),
        say.say("demo_run.books", path=made.books[0]),
    ]
    for path, result in zip(made.returned, made.rechecks, strict=True):
        lines += ["", say.say("demo_run.returned", path=path), f"  {_verdict(result, language)}"]
        weighed = by_weight(result, Stakes.of(result))
        lines += [f"  {in_a_line(finding, language)}" for finding, _ in weighed]
    lines += ["", say.say("demo_run.reports", path=out / "rechecked"), say["demo_run.next"]]
    return "\n".join(lines)


def _verdict(result: Recheck, language: str) -> str:
    say = texts(language)
    counts = {
        severity: sum(one.severity == severity for one in result.findings) for severity in ("error", "query")
    }
    payable = quantity_paid(result.totals.overall, result.order)
    key = "demo_run.nothing" if not result.findings else "demo_run.found"
    return say.say(
        key,
        error=counts["error"],
        query=counts["query"],
        payable=number_text(payable or 0, language, pay_decimals(result.order)),
        unit=pay_unit(result.told),
    )
