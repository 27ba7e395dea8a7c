"""Thousands of returned books in one run: time, rate and memory.

``python -m tests.bench.many_books BOOKS [--jobs 2] [--reports] [--folder FOLDER]`` makes BOOKS filled books (orders,
crews and days are invented), rechecks them in one run with a register, and prints what that took. There are 120
different books, the others are copies that differ in a comment of the file, so that each is another return of it.
"""

from __future__ import annotations

import argparse
import shutil
import tempfile
import threading
import time
import zipfile
from collections import Counter
from concurrent.futures import ProcessPoolExecutor
from pathlib import Path

import psutil

from sheetgen.batch import recheck_many
from tests.audit.honest_books import HonestBook
from tests.bench.page import machine

DIFFERENT = 120
_MB = 2**20


def make_books(count: int, folder: Path, jobs: int) -> None:
    """All of them; the different ones over several processes."""
    different = min(count, DIFFERENT)
    with ProcessPoolExecutor(jobs) as pool:
        list(pool.map(_make, range(different), [folder] * different))
    for number in range(different, count):
        copy = folder / f"book{number}.xlsx"
        shutil.copy(folder / f"book{number % different}.xlsx", copy)
        with zipfile.ZipFile(copy, "a") as archive:
            archive.comment = f"return {number}".encode()


def _make(number: int, folder: Path) -> None:
    HonestBook(number).generate(folder)


class Watch:
    """CPU time and peak resident memory of this process and of all below it, while it is watched.

    Attributes:
        own, other: peak memory of this process, and of the largest other one, MB
        cpu: CPU time of all of them, seconds
    """

    def __init__(self) -> None:
        self.own = self.other = 0.0
        self._used: dict[int, float] = {}
        self._stop = threading.Event()
        self._thread = threading.Thread(target=self._run, daemon=True)

    @property
    def cpu(self) -> float:
        return sum(self._used.values())

    def __enter__(self) -> Watch:
        self._look()
        self._before = self.cpu
        self._thread.start()
        return self

    def __exit__(self, *_: object) -> None:
        self._stop.set()
        self._thread.join()
        self._used[-1] = -self._before

    def _run(self) -> None:
        while not self._stop.wait(0.25):
            self._look()

    def _look(self) -> None:
        this = psutil.Process()
        for process in [this, *this.children(recursive=True)]:
            try:
                memory, times = process.memory_info().rss / _MB, process.cpu_times()
            except psutil.Error:  # gone meanwhile
                continue
            self._used[process.pid] = times.user + times.system
            if process.pid == this.pid:
                self.own = max(self.own, memory)
            else:
                self.other = max(self.other, memory)


def measure(count: int, jobs: int, folder: Path, reports: bool) -> str:
    """Make the books where they are not there yet, recheck them, and say what it took."""
    returned = folder / "returned"
    returned.mkdir(parents=True, exist_ok=True)
    begun = time.perf_counter()
    if len(list(returned.glob("*.xlsx"))) != count:
        make_books(count, returned, jobs)
    made = time.perf_counter() - begun
    size = sum(path.stat().st_size for path in returned.glob("*.xlsx")) / _MB
    verdicts: Counter[str] = Counter()
    quarters: list[tuple[int, float]] = []
    out = folder / "rechecked" if reports else None
    begun = time.perf_counter()
    with Watch() as watch:
        for done, result in enumerate(
            recheck_many([returned], register=folder / "register.db", out_dir=out, jobs=jobs), start=1
        ):
            verdicts[result.conclusion] += 1
            if done % max(1, count // 4) == 0:
                quarters.append((done, max(watch.own, watch.other)))
    took = time.perf_counter() - begun
    return "\n".join(
        (
            f"{count} books ({size:,.0f} MB), {jobs} processes, {'with' if reports else 'without'} report files",
            f"made in {made:,.0f} s; rechecked in {took:,.0f} s, {count / took:.2f} books/s",
            f"CPU time of all processes {watch.cpu:,.0f} s, {watch.cpu / count:.3f} s a book",
            f"peak memory: this process {watch.own:.0f} MB, the largest other {watch.other:.0f} MB",
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
    parser.add_argument("--write", type=Path, help="a folder for the page")
    asked = parser.parse_args()
    where = machine()
    with tempfile.TemporaryDirectory() as folder:
        said = measure(asked.books, asked.jobs, asked.folder or Path(folder), asked.reports)
    print(said)
    if asked.write is not None:
        asked.write.mkdir(parents=True, exist_ok=True)
        (asked.write / "many-books.md").write_text(page(said, where), encoding="utf-8")


def page(said: str, where: str) -> str:
    """What a run took, as a page."""
    lines = "\n".join(f"- {line}" for line in said.splitlines())
    return (
        f"# Many books in one run\n\nMade by `python -m tests.bench.many_books BOOKS --write FOLDER`. {DIFFERENT} "
        "different filled books (orders, crews and days are invented), the others copies of them that differ in a "
        f"comment of the file.\n\nMachine: {where}\n\n{lines}\n"
    )


if __name__ == "__main__":
    main()
