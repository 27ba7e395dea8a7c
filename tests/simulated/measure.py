"""How many findings honest books have, by habit of typing.

``python -m tests.simulated.measure [BOOKS] [--write FOLDER]`` simulates BOOKS (320) books, eight kinds of job by eight
habits, rechecks the entries of each, and says how many errors and queries each habit had and which they were. Every
one of them is a false alarm. A book is made again alike by its number.
"""

from __future__ import annotations

import sys
from collections import Counter
from pathlib import Path
from random import Random
from typing import NamedTuple

from sheetgen.audit.model import Finding
from tests.audit.orders import put_before_the_rules
from tests.simulated.days import Log, honest
from tests.simulated.habits import HABITS
from tests.simulated.jobs import JOBS, Job


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
        """The job."""
        return JOBS[self.kind]

    def sharp(self) -> Log:
        """What the crew wrote."""
        return honest(self.job, self.number)

    def typed(self) -> Log:
        """What stands in the cells."""
        return HABITS[self.habit](self.sharp(), self.job, Random(f"typing {self.number}"))

    def findings(self) -> list[Finding]:
        """What the recheck finds."""
        return put_before_the_rules(self.typed(), self.job.order)[1]


class Tally:
    """Findings of many honest books."""

    def __init__(self) -> None:
        self.books: Counter[str] = Counter()
        self.found: Counter[tuple[str, str, str]] = Counter()  # habit, severity, name

    def add(self, book: Book, findings: list[Finding]) -> None:
        """Count one book."""
        self.books[book.habit] += 1
        self.found.update((book.habit, each.severity, each.name) for each in findings)

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


def measured(count: int, show: bool = False) -> Tally:
    """Simulate and recheck the first books; false alarms are printed as they come where asked."""
    tally = Tally()
    for number in range(count):
        book = Book(number)
        findings = book.findings()
        tally.add(book, findings)
        for each in findings if show else ():
            if each.severity != "note":
                print(f"book {number} ({book.kind}, {book.habit}): {each}")
    return tally


_HEAD = """# Honest books and what is asked about them

`python -m tests.simulated.measure {count} --write samples/measured` made this page: {count} simulated honest books,
eight kinds of job by eight habits of typing. Each error or query in it is a false alarm.

"""


def main(arguments: list[str]) -> int:
    """Measure, print, and write the page where a folder is named."""
    count = int(arguments[0]) if arguments and arguments[0].isdigit() else 320
    tally = measured(count, show=True)
    page = "\n".join(tally.lines())
    print(page)
    if "--write" in arguments:
        folder = Path(arguments[arguments.index("--write") + 1])
        (folder / "honest-books.md").write_text(_HEAD.format(count=count) + page + "\n", "utf-8")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
