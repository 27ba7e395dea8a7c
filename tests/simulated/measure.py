"""How many findings honest books have, by habit of typing.

``python -m tests.simulated.measure [BOOKS] [--files] [--write FOLDER]`` simulates BOOKS (320) books, eight kinds of job
by eight habits, in every unit of pay, rechecks the entries of each (with ``--files`` those of a field book on the disk,
whose own checks are read too), and says how many errors and queries each habit had and which they were. Every one of
them is a false alarm. Each payable is compared with that of ``tests.simulated.payables``. A book is made again alike by
its number.
"""

from __future__ import annotations

import sys
from collections import Counter
from collections.abc import Iterable
from functools import cache
from pathlib import Path
from random import Random
from tempfile import TemporaryDirectory
from typing import NamedTuple

import openpyxl

import sheetgen
from sheetgen.audit.compute.pay import quantity_paid
from sheetgen.audit.model import Finding
from sheetgen.book.build import write_filled
from sheetgen.templates import texts
from tests.audit.orders import put_before_the_rules
from tests.simulated.days import Log, honest
from tests.simulated.habits import HABITS
from tests.simulated.jobs import JOBS, Job, paid_by
from tests.simulated.payables import payable

_UNUSED = "book-could-not-use-entry"  # the crew is asked to type a number, the recheck reads what was typed
UNITS = ("volume", "mass", "mass-by-ticket", "area")


class Outcome(NamedTuple):
    """What a recheck says of one book.

    Attributes:
        findings: all of them
        paid: the quantity in the unit of pay
        ready: whether the book itself says that it is ready to send; None where there was no file
    """

    findings: list[Finding]
    paid: float | None
    ready: bool | None = None


@cache
def _paid_by(kind: str, unit: str) -> Job:
    return paid_by(JOBS[kind], unit)


class Book(NamedTuple):
    """One simulated book by its number."""

    number: int

    @property
    def kind(self) -> str:
        """The kind of job."""
        return list(JOBS)[self.number % len(JOBS)]

    @property
    def habit(self) -> str:
        """The habit of who types it."""
        return list(HABITS)[self.number // len(JOBS) % len(HABITS)]

    @property
    def job(self) -> Job:
        """The job, paid in one of the units by turns."""
        return _paid_by(self.kind, UNITS[(self.number + self.number // 64) % len(UNITS)])

    def sharp(self) -> Log:
        """What the crew wrote."""
        return honest(self.job, self.number)

    def typed(self) -> Log:
        """What stands in the cells."""
        return HABITS[self.habit](self.sharp(), self.job, Random(f"typing {self.number}"))

    def payable(self) -> float:
        """What is payable of what was typed, apart from the product."""
        typed = self.typed()
        return payable(self.job, {place: value for place, value in self.sharp().items() if place in typed})

    def rechecked(self) -> Outcome:
        """What the recheck says of its entries."""
        computation, findings = put_before_the_rules(self.typed(), self.job.order)
        return Outcome(findings, quantity_paid(computation.totals.overall, self.job.order))

    def returned(self, folder: Path) -> Outcome:
        """What the recheck says of a field book that was filled, and what that book says of itself."""
        order = self.job.order
        path = write_filled(order, order.machines[0], self.typed(), folder / f"{self.number}.xlsx")
        recheck = sheetgen.recheck(path)
        words = texts(order.language)
        shown = openpyxl.load_workbook(path, read_only=True, data_only=True)[words["sheet.checks.tab"]][
            "A3"
        ].value
        path.unlink()
        assert recheck.totals is not None
        return Outcome(
            recheck.findings, quantity_paid(recheck.totals.overall, order), shown == words["checks.ready"]
        )


class Tally:
    """Findings of many honest books."""

    def __init__(self) -> None:
        self.books: Counter[str] = Counter()
        self.found: Counter[tuple[str, str, str]] = Counter()  # habit, severity, name
        self.paid_otherwise: list[
            tuple[int, float | None, float]
        ] = []  # book, as rechecked, as computed apart
        self.bare = 0  # books of those below that ask for what the recheck only notes
        self.said_otherwise: list[
            int
        ] = []  # books that are ready to send and have a query, or the other way round

    def add(self, book: Book, outcome: Outcome) -> None:
        """Count one book."""
        self.books[book.habit] += 1
        self.found.update((book.habit, each.severity, each.name) for each in outcome.findings)
        own = book.payable()
        if outcome.paid is None or abs(outcome.paid - own) > 1e-9:
            self.paid_otherwise.append((book.number, outcome.paid, own))
        asked = any(each.severity != "note" or each.name == _UNUSED for each in outcome.findings)
        if outcome.ready is not None and outcome.ready == asked:
            self.said_otherwise.append(book.number)
            self.bare += any(each.name == "log-too-bare" for each in outcome.findings) and not asked

    def count(self, habit: str, severity: str) -> int:
        """Findings of a severity in the books of a habit."""
        return sum(number for key, number in self.found.items() if key[:2] == (habit, severity))

    def lines(self) -> list[str]:
        """The table, in Markdown."""
        lines = ["| habit | books | errors | queries a book | which |", "|---|---|---|---|---|"]
        for habit, books in self.books.items():
            names = Counter({
                name: number for (whose, severity, name), number in self.found.items()
                if whose == habit and severity != "note"
            })  # fmt: skip
            which = ", ".join(f"{name} {number}" for name, number in names.most_common())
            queries = self.count(habit, "query") / books
            lines.append(f"| {habit} | {books} | {self.count(habit, 'error')} | {queries:.2f} | {which} |")
        return lines


def measured(numbers: Iterable[int], show: bool = False, folder: Path | None = None) -> Tally:
    """Simulate and recheck books, in files where a folder for them is named; print what is asked where wanted."""
    tally = Tally()
    for number in numbers:
        book = Book(number)
        outcome = book.returned(folder) if folder else book.rechecked()
        tally.add(book, outcome)
        for each in outcome.findings if show else ():
            if each.severity != "note":
                print(f"book {number} ({book.kind}, {book.habit}): {each}", flush=True)
    return tally


_HEAD = """# Honest books and what is asked about them

`python -m tests.simulated.measure {count}{files} --write samples/measured` made this page: {count} simulated honest
books, eight kinds of job by eight habits of typing, paid by volume, by weight, by tickets and by area.
Each error or query in it is a false alarm. Payables that differ from a recomputation that shares nothing with the
product: {paid}.
{said}
"""
_SAID = """Books whose own line of checks says "Ready to send" where the recheck has an error, a query or an entry that
formulas cannot use, or the other way round: {said}. {bare} of them ask for times and load numbers that were left blank,
which the recheck notes. A book cannot know of readings that lean one way, or of a date behind the day of sending.
"""


def page_of(tally: Tally, count: int, files: bool) -> str:
    """The page, in Markdown."""
    said = _SAID.format(said=len(tally.said_otherwise), bare=tally.bare) if files else ""
    head = _HEAD.format(
        count=count, files=" --files" if files else "", paid=len(tally.paid_otherwise), said=said
    )
    return head + "\n".join(tally.lines()) + "\n"


def main(arguments: list[str]) -> int:
    """Measure, print, and write the page where a folder is named."""
    count, files = int(arguments[0]) if arguments and arguments[0].isdigit() else 320, "--files" in arguments
    with TemporaryDirectory() as folder:
        tally = measured(range(count), show=True, folder=Path(folder) if files else None)
    for book, found, own in tally.paid_otherwise:
        print(f"book {book}: {found} is payable by the recheck, {own} by the recomputation")
    print("ready, and asked about, or the other way round:", tally.said_otherwise)
    page = page_of(tally, count, files)
    print(page)
    if "--write" in arguments:
        place = Path(arguments[arguments.index("--write") + 1]) / "honest-books.md"
        place.write_text(page, "utf-8")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
