"""Which frauds and slips are found, under which name, and from which size on.

``python -m tests.simulated.measure_frauds [--write FOLDER]`` applies each case of :mod:`tests.simulated.frauds`,
:mod:`tests.simulated.further_frauds` and :mod:`tests.simulated.frauds_of_rows` at each size to simulated honest books
of its kinds of job and rechecks them, and each of :mod:`tests.simulated.file_frauds` to field books on the disk. A case
is found in a book where it brings an error or a query that the honest book has not.
"""

from __future__ import annotations

import sys
from collections import Counter
from collections.abc import Iterator, Sequence
from functools import cache
from pathlib import Path
from random import Random
from typing import NamedTuple

from sheetgen.audit.compute.pay import quantity_paid
from tests.audit.orders import put_before_the_rules
from tests.simulated.days import Log, honest
from tests.simulated.file_frauds import FILE_CASES, FileCase, FileTry, tried
from tests.simulated.file_frauds import KINDS as FILE_KINDS
from tests.simulated.frauds import CASES as COMMON
from tests.simulated.frauds import Case
from tests.simulated.frauds_of_rows import OF_ROWS
from tests.simulated.further_frauds import FURTHER, OTHER_JOBS
from tests.simulated.habits import neat
from tests.simulated.jobs import JOBS, Job
from tests.simulated.payables import payable

CASES, KINDS = [*COMMON, *FURTHER, *OF_ROWS], JOBS | OTHER_JOBS
SEEDS = (1, 2)
WORTH = 0.02  # of the payable: what is above it may not pass


class Try(NamedTuple):
    """One case at one size in one book.

    Attributes:
        gain: by which part of the honest payable the payable changed, in the unit of pay
        found: names of the errors and queries that it brought
        paid, own: what is payable by the recheck, and by the recomputation apart from the product
    """

    case: Case
    size: float
    kind: str
    seed: int
    gain: float
    found: frozenset[str]
    paid: float
    own: float


@cache
def _book(kind: str, seed: int) -> tuple[Log, float, Counter[tuple[str, str]]]:
    """An honest book, its payable, and what is found in it."""
    log = honest(KINDS[kind], seed)
    return log, *_rechecked(log, KINDS[kind])


def _rechecked(log: Log, job: Job) -> tuple[float, Counter[tuple[str, str]]]:
    typed = {place: value for place, value in neat(log, job, Random(0)).items() if value != ""}
    computation, findings = put_before_the_rules(typed, job.order)
    names = Counter((each.name, each.cell) for each in findings if each.severity != "note")
    return quantity_paid(computation.totals.overall, job.order) or 0.0, names


def tries(cases: Sequence[Case] = CASES, seeds: Sequence[int] = SEEDS) -> Iterator[Try]:
    """Every case at every size in every book."""
    for case in cases:
        for size in case.sizes:
            for kind in case.kinds:
                for seed in seeds:
                    log, due, before = _book(kind, seed)
                    forged = case.apply(log, KINDS[kind], size)
                    if forged == log:
                        continue
                    paid, after = _rechecked(forged, KINDS[kind])
                    names = frozenset(name for name, _ in after - before)
                    own = payable(
                        KINDS[kind], {place: value for place, value in forged.items() if value != ""}
                    )
                    yield Try(case, size, kind, seed, paid / due - 1, names, paid, own)


def passed(one: Try) -> bool:
    """Whether it is worth more than may pass, in favor of whoever wrote it, and nothing was found."""
    return one.gain > WORTH and not one.found


def paid_otherwise(one: Try) -> bool:
    """Whether the recheck pays another quantity than the recomputation of the same entries."""
    return abs(one.paid - one.own) > 1e-9


def lines(found: Sequence[Try | FileTry], cases: Sequence[Case | FileCase] = CASES) -> list[str]:
    """The table, in Markdown."""
    rows = ["| no. | fraud or slip | size | payable | found in | names |", "|---|---|---|---|---|---|"]
    for number, case in enumerate(cases, start=1):
        for size in case.sizes:
            mine = [each for each in found if each.case is case and each.size == size]
            if not mine:
                continue
            names = Counter(name for each in mine for name in each.found)
            gains = [100 * each.gain for each in mine]
            gain = f"{min(gains):+.1f} to {max(gains):+.1f} %"
            hits = sum(bool(each.found) for each in mine)
            told = ", ".join(sorted(names, key=lambda name: (-names[name], name))[:4])
            rows.append(f"| {number} | {case.name} | {size:g} | {gain} | {hits} of {len(mine)} | {told} |")
    return rows


_HEAD = """# Frauds and slips: which are found, under which name, from which size on

`python -m tests.simulated.measure_frauds --write samples/measured` made this page. {cases} frauds and slips, each at
several sizes, were put into simulated honest books ({tries} books in all). The size is a part of the volume of what is
changed, a number of degrees, inches or rows, as the case says. "Payable" is by how much the payable quantity changed.
A case is found in a book where it brings an error or a query that the honest book does not have.

Above 2 % of the payable, in favor of whoever wrote it: {above} books, of which {passing} passed without a query.
{which}
Payables that differ from a recomputation of the same entries that shares nothing with the product: {otherwise}.

{files} changes of the file itself, made by other means than typing, follow in a table of their own.

A lane or a section that no shot of a book names is work that is not finished: a note, for the crew may come again, and
the summary of all books of an order says what is left. A book in which every record was forged to agree (stick, meter,
tickets, times, stations and temperatures together) is an honest book of another day: no recheck of one book finds it.
What is written as on board before the first load, up to what the last reading leaves there, nothing in that book
contradicts: the distributor's book before may.

"""

_FILES = """

## In the file itself

The entries are honest, and something else in the book was changed. What is payable is computed from the entries alone.
Where every picture of one code is exchanged for the same other picture, nothing is found: a program may write all of
them anew. Where several charts of a sheet lost a line, that is a note, and not counted: some programs cannot write it.

"""


def main(arguments: list[str]) -> int:
    """Measure, print, and write the page where a folder is named."""
    found = list(tries())
    of_files = [tried(case, size, kind) for case in FILE_CASES for size in case.sizes for kind in FILE_KINDS]
    above = [each for each in found if each.gain > WORTH]
    missed = [each for each in above if passed(each)]
    for each in missed:
        print(f"passes: {each.case.name} at {each.size:g}, {each.kind} {each.seed}: {100 * each.gain:+.1f} %")
    otherwise = [each for each in found if paid_otherwise(each)]
    for each in otherwise:
        print(f"pays otherwise: {each.case.name} at {each.size:g}, {each.kind}: {each.paid:g}, {each.own:g}")
    print(f"{len(CASES)} cases, {len(found)} books, {len(above)} above 2 %, {len(missed)} passed")
    if "--write" in arguments:
        folder = Path(arguments[arguments.index("--write") + 1])
        which = "".join(f"* {each.case.name} at {each.size:g} ({each.kind})\n" for each in missed)
        head = _HEAD.format(
            cases=len(CASES),
            tries=len(found),
            above=len(above),
            passing=len(missed),
            which=which,
            otherwise=len(otherwise),
            files=len(FILE_CASES),
        )
        tables = "\n".join(lines(found)) + _FILES + "\n".join(lines(of_files, FILE_CASES))
        (folder / "frauds.md").write_text(f"{head}{tables}\n", "utf-8")
    return min(len(missed) + len(otherwise), 1)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
