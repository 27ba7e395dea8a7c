"""Thousands of returned books in one run: time, rate and memory.

``python -m tests.bench.many_books BOOKS [--jobs 2] [--reports] [--folder FOLDER]`` makes BOOKS filled books (all
different; orders, crews and days are invented), rechecks them in one run with a register, and prints what that took.
"""

from __future__ import annotations

import argparse
import os
import resource
import tempfile
import threading
import time
from collections import Counter
from concurrent.futures import ProcessPoolExecutor
from pathlib import Path

from sheetgen.batch import recheck_many
from sheetgen.demo.day import honest_day
from tests.recheck.honest_books import blank_book, fill_by_xml

ORDERS = 60


def make_book(number: int, folder: Path) -> None:
    """One filled book, its entries put into the file's own parts."""
    blank, book, order = blank_book(number % ORDERS)
    fill_by_xml(blank, book, honest_day(order, order.machines[0], seed=number), folder / f"{number:06d}.xlsx")


def _make(numbers: range, folder: Path) -> None:
    for number in numbers:
        make_book(number, folder)


def make_books(count: int, folder: Path, jobs: int) -> None:
    """All of them, over several processes."""
    with ProcessPoolExecutor(jobs) as pool:
        list(pool.map(_make, [range(first, count, jobs) for first in range(jobs)], [folder] * jobs))


class Memory:
    """Peak resident memory of this process and of the largest of its children, in MB, while it is watched."""

    def __init__(self) -> None:
        self.own = self.child = 0.0
        self._stop = threading.Event()
        self._thread = threading.Thread(target=self._watch, daemon=True)

    def __enter__(self) -> Memory:
        self._thread.start()
        return self

    def __exit__(self, *_: object) -> None:
        self._stop.set()
        self._thread.join()

    def _watch(self) -> None:
        own = os.getpid()
        while not self._stop.wait(0.5):
            self.own = max(self.own, _resident(own))
            children = Path(f"/proc/{own}/task/{own}/children").read_text().split()
            self.child = max([self.child, *(_resident(int(child)) for child in children)])


def _resident(process: int) -> float:
    try:
        pages = int(Path(f"/proc/{process}/statm").read_text().split()[1])
    except (FileNotFoundError, ProcessLookupError):
        return 0.0
    return pages * resource.getpagesize() / 2**20


def measure(count: int, jobs: int, folder: Path, reports: bool) -> str:
    """Make the books where they are not there yet, recheck them, and say what it took."""
    returned = folder / "returned"
    returned.mkdir(parents=True, exist_ok=True)
    begun = time.perf_counter()
    if len(list(returned.glob("*.xlsx"))) != count:
        make_books(count, returned, jobs)
    made = time.perf_counter() - begun
    size = sum(path.stat().st_size for path in returned.glob("*.xlsx")) / 2**20
    verdicts: Counter[str] = Counter()
    quarters: list[tuple[int, float]] = []
    out = folder / "rechecked" if reports else None
    before = os.times()
    begun = time.perf_counter()
    with Memory() as memory:
        for done, result in enumerate(
            recheck_many([returned], register=folder / "register.db", out_dir=out, jobs=jobs), start=1
        ):
            verdicts[result.verdict] += 1
            if done % max(1, count // 4) == 0:
                quarters.append((done, max(memory.own, memory.child)))
    took = time.perf_counter() - begun
    after = os.times()
    cpu = sum(after[:4]) - sum(before[:4])
    return "\n".join(
        (
            f"{count} books ({size:,.0f} MB), {jobs} processes, {'with' if reports else 'without'} report files",
            f"made in {made:,.0f} s; rechecked in {took:,.0f} s, {count / took:.2f} books/s",
            f"CPU time of all processes {cpu:,.0f} s, {cpu / count:.3f} s a book",
            f"peak memory: this process {memory.own:.0f} MB, the largest other {memory.child:.0f} MB",
            "peak so far, by books done: " + ", ".join(f"{done}: {peak:.0f} MB" for done, peak in quarters),
            "verdicts: " + ", ".join(f"{name} {number}" for name, number in verdicts.most_common()),
        )
    )


def main() -> None:
    """The command."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("books", type=int)
    parser.add_argument("--jobs", type=int, default=2)
    parser.add_argument("--reports", action="store_true", help="also write the report of every book")
    parser.add_argument(
        "--folder", type=Path, help="where to work; without it a folder that goes when it ends"
    )
    asked = parser.parse_args()
    if asked.folder is not None:
        print(measure(asked.books, asked.jobs, asked.folder, asked.reports))
        return
    with tempfile.TemporaryDirectory() as folder:
        print(measure(asked.books, asked.jobs, Path(folder), asked.reports))


if __name__ == "__main__":
    main()
