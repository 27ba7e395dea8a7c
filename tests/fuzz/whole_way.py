"""Sends spoilt inputs the whole way: read, rechecked, reported with copy and CSV; or read, planned and built.

    python -m tests.fuzz.whole_way MINUTES [FIRST] [--write FOLDER]

runs for so many minutes of the clock from case FIRST (0) on. Nothing may end but with a result or with an error in
words, take more than SECONDS of processor time, change its input, or leave a file that cannot be opened. A case that
fails is printed with its kind and number, and comes again with ``corpus.toml``. With ``--write`` the figures become a
page.
"""

from __future__ import annotations

import json
import platform
import resource
import shutil
import sys
import tempfile
import time
import zipfile
from collections import Counter
from pathlib import Path
from random import Random

from sheetgen.audit.claim_sheet import read_claim
from sheetgen.audit.report import write_report
from sheetgen.audit.run import recheck_book
from sheetgen.book.build import write_filled
from sheetgen.errors import SheetgenError
from sheetgen.order.read import read_order
from sheetgen.order.write import write_order
from sheetgen.plan import plan, plan_json, plan_text
from tests.audit.orders import small
from tests.fuzz.fuzz_reader import no_network
from tests.fuzz.mutations import spoiled, unpacked
from tests.fuzz.structured import KINDS, carrying, claim_sheet, spoilt_order, with_odd_entries

SECONDS = 2.0
MEGABYTES = 300
SAID = ("refused", "done")


class WholeWay:
    """Sound inputs, and what their spoilt copies led to."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder / "work"
        order = small()
        sound = write_filled(order, order.machines[0], {}, folder / "book.xlsx")
        self._book = sound.read_bytes()
        self._parts = unpacked(self._book)
        self._sheets = [name for name in self._parts if name.startswith("xl/worksheets/sheet")]
        self._carried = json.loads(order.canonical())
        self._order = write_order(folder / "order.xlsx", order=order).read_bytes()
        self._order_parts = unpacked(self._order)
        self._claim = _claim_workbook(folder / "claim.xlsx")
        self.answers: Counter[tuple[str, str]] = Counter()
        self.slowest = (0.0, "", -1)

    def case(self, kind: str, number: int) -> None:
        """One case; ``AssertionError`` or the program's own crash where it fails."""
        shutil.rmtree(self._folder, ignore_errors=True)
        self._folder.mkdir()
        path = self._made(kind, Random(f"{kind} {number}"), number)
        data = path.read_bytes()
        start = time.process_time()
        answer = self._answer(kind, path)
        seconds = time.process_time() - start
        self.slowest = max(self.slowest, (seconds, kind, number))
        self.answers[kind, answer] += 1
        assert seconds < SECONDS, f"took {seconds:.1f} s"
        assert path.read_bytes() == data, "the input was changed"
        _check_outputs(self._folder / "out", answer)

    def _made(self, kind: str, random: Random, number: int) -> Path:
        ending, data = ".xlsx", b""
        match kind:
            case "book":
                data = spoiled(self._book, self._parts, number)
            case "entries":
                data = with_odd_entries(random, self._parts, self._sheets)
            case "carried":
                data = carrying(self._parts, spoilt_order(random, self._carried))
            case "order":
                data = spoiled(self._order, self._order_parts, number)
            case "claim":
                ending, data = claim_sheet(random, self._claim)
        path = self._folder / f"case{ending}"
        path.write_bytes(data)
        return path

    def _answer(self, kind: str, path: Path) -> str:
        try:
            if kind == "claim":
                read_claim(str(path))
            elif kind == "order":
                made = plan(read_order(path))
                json.dumps(plan_json(made), allow_nan=False)
                plan_text(made, "en")
            else:
                write_report(recheck_book(path), self._folder / "out", copy=True, csv=True)
        except SheetgenError as error:
            said = str(error)
        else:
            return "done"
        assert all(sign.isprintable() or sign == "\n" for sign in said), "control characters"
        return "refused"


def _claim_workbook(path: Path) -> bytes:
    import openpyxl

    workbook = openpyxl.Workbook()
    workbook.active.append(["book", "payable"])
    workbook.active.append(["DEMO", 120.5])
    workbook.save(path)
    return path.read_bytes()


def _check_outputs(out: Path, answer: str) -> None:
    files = sorted(out.iterdir()) if out.is_dir() else []
    assert answer != "refused" or files == [], "files of something that was refused"
    for file in files:
        if file.suffix == ".json":
            json.loads(file.read_bytes())
        elif file.suffix == ".xlsx":
            with zipfile.ZipFile(file) as archive:
                assert archive.testzip() is None
        else:
            file.read_text(encoding="utf-8-sig")


def main(minutes: float, first: int = 0, folder: Path | None = None) -> int:
    """Run the cases, the kinds in turn; 1 where one failed."""
    ends = time.monotonic() + 60 * minutes
    failed: list[str] = []
    number = first
    with tempfile.TemporaryDirectory() as work, no_network():
        way = WholeWay(Path(work))
        while time.monotonic() < ends:
            for kind in KINDS:
                try:
                    way.case(kind, number)
                except KeyboardInterrupt:
                    raise
                except BaseException as error:  # a panic of an extension module is no Exception
                    failed.append(f"{kind} {number}: {type(error).__name__}: {str(error)[:200]}")
                    print(failed[-1], flush=True)
            number += 1
    page = _page(way, failed, number - first)
    print(page)
    if folder is not None:
        (folder / "fuzzing.md").write_text(page, encoding="utf-8", newline="\n")
    return 1 if failed else 0


def _page(way: WholeWay, failed: list[str], rounds: int) -> str:
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1024
    seconds, kind, number = way.slowest
    rows = [
        f"| {kind} | {rounds:,} | " + " | ".join(f"{way.answers[kind, answer]:,}" for answer in SAID) + " |"
        for kind in KINDS
    ]
    return "\n".join(
        [
            "# Spoilt inputs, the whole way",
            "",
            "Made by `python -m tests.fuzz.whole_way MINUTES --write FOLDER`: every input is one sound file with one",
            "to eight mutations of its structure. Books are rechecked and reported with copy and CSV, orders are read",
            "and planned, claim sheets are read.",
            "",
            f"Machine: {platform.machine()}, one process at low priority beside other work; Python "
            f"{platform.python_version()}.",
            "",
            "| input | cases | refused in words | done |",
            "| --- | ---: | ---: | ---: |",
            *rows,
            "",
            f"- {rounds * len(KINDS):,} cases; failed: {len(failed)} (an error that is not in words, more than "
            f"{SECONDS:g} s of processor time, a changed input, a broken output)",
            f"- slowest: {seconds:.2f} s of processor time ({kind} {number}); peak memory {peak} MB",
            *(f"- failed: {each}" for each in failed[:40]),
            "",
        ]
    )


if __name__ == "__main__":
    given = [each for each in sys.argv[1:] if each != "--write"]
    target = Path(given.pop()) if "--write" in sys.argv else None
    sys.exit(main(float(given[0]), *map(int, given[1:2]), folder=target))
