"""A recheck and a report that stand in for the real ones, so that a batch can be tried by the hundred.

A returned file is a text: a word that says what happens with it, and a number that makes it another file. Functions
of a module, because they go to other processes.
"""

from __future__ import annotations

import os
import signal
import sys
import time
from dataclasses import replace
from functools import cache
from pathlib import Path

from sheetgen.audit.findings import finding
from sheetgen.errors import UnusableBook

LINES = 400  # of a report; the last one says that it is whole


def make_returns(folder: Path, words: list[str]) -> list[Path]:
    """A file for each word, in the order of their names."""
    folder.mkdir(exist_ok=True)
    files = []
    for number, word in enumerate(words):
        files.append(folder / f"book {number:03}.xlsx")
        files[-1].write_text(f"{word} {number}")
    return files


@cache
def _honest(language: str):
    from sheetgen.demo.day import honest_day
    from sheetgen.order.demo import demo_order
    from tests.register.test_summary import rechecked

    order = demo_order("us", language)
    return rechecked(order, honest_day(order, order.machines[0], seed=1))


def recheck(path, order=None, claim=None):
    """What the word in the file says."""
    words = path.read_text().split()
    happens = words[0]
    if happens == "unusable":
        raise UnusableBook(str(path), "a word", "a book", "Send the book.")
    if happens == "defect":
        raise ZeroDivisionError("planted")
    if happens == "die":
        os.kill(os.getpid(), signal.SIGKILL)
    if happens == "written-to":
        path.write_text(path.read_text() + " and more")
    if happens == "slow":
        time.sleep(0.05)
    found = [finding("gap-in-lane")] if happens == "query" else []
    made = _honest("en" if order is None else order.language)
    return replace(made, path=str(path), sha256="", identity=f"book {words[1]}", findings=found, claim=claim)


def recheck_noted(path, order=None, made=None):
    """The same; each time that a file is rechecked, its name goes into the list ``made``."""
    with Path(made).open("a") as names:
        names.write(f"{path.name}\n")
    return recheck(path, order)


def report(result, out_dir, *, name):
    """Two files, each whole or not at all, the second a while after the first."""
    return [_write(out_dir / f"{name}.{part}.txt", result.path) for part in ("first", "second")]


def report_of_this_program(path):
    """A workbook that this program made as a report."""
    from sheetgen.batch.summary import write_summary

    workbook, *others = write_summary([], [], path.parent / "made")
    workbook.replace(path)
    for other in others:
        other.unlink()
    workbook.parent.rmdir()


def report_full_disk(result, out_dir, *, name):
    """No room."""
    raise OSError(28, "No space left on device")


def _write(path: Path, text: str) -> Path:
    unfinished = path.with_name(f".{path.name}.unfinished")
    with unfinished.open("w") as file:
        for line in range(LINES):
            file.write(f"{text} {line}\n")
            if line % 100 == 0:
                file.flush()
                time.sleep(0.002)
        file.write("whole\n")
    unfinished.replace(path)
    return path


def whole(path: Path) -> bool:
    """Whether a report file was written to its end."""
    lines = path.read_text().splitlines()
    return len(lines) == LINES + 1 and lines[-1] == "whole"


def main() -> None:
    """Run a batch: folder, output folder, jobs, register. Prints the process and a line for each result."""
    from sheetgen.batch import recheck_many

    signal.signal(signal.SIGINT, signal.default_int_handler)  # a shell ignores it for what it starts behind
    folder, out, jobs, register = sys.argv[1:]
    results = recheck_many(
        [folder], out_dir=out, jobs=int(jobs), register=register, recheck_one=recheck, write_report=report
    )
    try:
        for result in results:
            print(result.path.name, "kept" if result.kept else "made", flush=True)
    except KeyboardInterrupt:
        print("stopped", flush=True)


if __name__ == "__main__":
    # By its own name, under which the processes of the batch find these functions too.
    from tests.batch import fakes

    fakes.main()
