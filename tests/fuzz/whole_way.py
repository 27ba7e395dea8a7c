"""Sends spoilt inputs the whole way: read, rechecked, reported with copy and CSV; or read, planned and built.

    python -m tests.fuzz.whole_way MINUTES [FIRST] [--write FOLDER]

runs for so many minutes of the clock from case FIRST (0) on. Nothing may end but with a result or with an error in
words, take more than SECONDS of processor time or MEGABYTES of memory, change its input, leave a file that cannot be
opened, or write outside its folder. A case that fails is printed with its kind and number, and comes again with
``corpus.toml``. With ``--write`` the figures are added to those of earlier runs in ``runs.toml``, and all of them
become a page; begin then where the last run ended.
"""

from __future__ import annotations

import json
import os
import shutil
import sys
import tempfile
import time
import zipfile
from collections import Counter
from pathlib import Path
from random import Random
from unittest import mock

from starlette.testclient import TestClient

from sheetgen.audit.claim_sheet import read_claim
from sheetgen.audit.report import write_report
from sheetgen.audit.run import recheck_book
from sheetgen.book.build import write_filled
from sheetgen.desk.app import application
from sheetgen.desk.serve import desk_of
from sheetgen.errors import SheetgenError
from sheetgen.office.settings import VARIABLE, Settings, read_settings, settings_text
from sheetgen.order.read import read_order
from sheetgen.order.write import write_order
from sheetgen.plan import plan, plan_json, plan_text
from sheetgen.yard.read import read_yard
from sheetgen.yard.write import write_yard
from tests.audit.orders import small
from tests.fuzz.fuzz_reader import no_network
from tests.fuzz.mutations import spoiled, unpacked
from tests.fuzz.runs import HEAD, MEGABYTES, RUNS, as_toml, earlier_runs, page, run_of
from tests.fuzz.structured import (
    KINDS,
    carrying,
    claim_sheet,
    spoilt_order,
    spoilt_settings,
    uploads,
    with_odd_entries,
)
from tests.yard.yards import yard

SECONDS = 2.0
SETTINGS = {
    "key": "",
    "register": "register.db",
    "language": "es",
    "paper": "a4",
    "yard": "yard.xlsx",
    "out": "books",
}


class WholeWay:
    """Sound inputs, and what their spoilt copies led to."""

    def __init__(self, folder: Path, seconds: float = SECONDS) -> None:
        self._folder, self._seconds = folder / "work", seconds
        order = small()
        sound = write_filled(order, order.machines[0], {}, folder / "book.xlsx")
        self._book = sound.read_bytes()
        self._parts = unpacked(self._book)
        self._sheets = [name for name in self._parts if name.startswith("xl/worksheets/sheet")]
        self._carried = json.loads(order.canonical())
        self._order = write_order(folder / "order.xlsx", order=order).read_bytes()
        self._order_parts = unpacked(self._order)
        self._claim = _claim_workbook(folder / "claim.xlsx")
        self._yard = write_yard(folder / "yard.xlsx", yard=yard()).read_bytes()
        self._yard_parts = unpacked(self._yard)
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
        assert seconds < self._seconds, f"took {seconds:.1f} s"
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
            case "yard":
                data = spoiled(self._yard, self._yard_parts, number)
            case "settings":
                ending, data = ".toml", spoilt_settings(random, SETTINGS)
            case "upload":
                sent = uploads(random, (self._book, self._order, self._claim))
                ending, data = ".json", json.dumps([(*each, body.hex()) for *each, body in sent]).encode()
        path = self._folder / f"case{ending}"
        path.write_bytes(data)
        return path

    def _answer(self, kind: str, path: Path) -> str:
        try:
            match kind:
                case "claim":
                    read_claim(str(path))
                case "order":
                    made = plan(read_order(path))
                    json.dumps(plan_json(made), allow_nan=False)
                    plan_text(made, "en")
                case "yard":
                    read_yard(path)
                case "settings":
                    with mock.patch.dict(os.environ, {VARIABLE: str(path)}):
                        settings_text(read_settings(), "en")
                case "upload":
                    return _sent(json.loads(path.read_bytes()), self._folder / "desk")
                case _:
                    write_report(recheck_book(path), self._folder / "out", copy=True, csv=True)
        except SheetgenError as error:
            said = str(error)
        else:
            return "done"
        assert all(sign.isprintable() or sign == "\n" for sign in said), "control characters"
        return "refused"


def _sent(requests: list[list[str]], folder: Path) -> str:
    """What a desk answers to these requests: refused where one of them was."""
    desk = desk_of(folder, Settings())
    client = TestClient(application(desk))
    id = desk.deliveries.new().id
    answers = [
        client.request(method, address.replace("{id}", id), content=bytes.fromhex(body))
        for method, address, body in requests
    ]
    assert all(answer.status_code < 500 for answer in answers), [answer.status_code for answer in answers]
    assert not any("Traceback" in answer.text for answer in answers), "a traceback was shown"
    held = {path.relative_to(folder / id).parts for path in (folder / id).rglob("*") if path.is_file()}
    assert all(parts == ("delivery.json",) or parts[:-1] == ("received",) for parts in held), held
    beside = {path.name for path in (*folder.parent.iterdir(), *folder.iterdir())}
    assert beside <= {"case.json", "desk", id, "register.db"}, beside
    return "refused" if any(answer.status_code >= 400 for answer in answers) else "done"


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
    run = run_of(way, first, number, failed)
    print(page([run]))
    if folder is not None:
        runs = [*earlier_runs(), run]
        RUNS.write_text(HEAD + "".join(as_toml(each) for each in runs), encoding="utf-8", newline="\n")
        (folder / "fuzzing.md").write_text(page(runs), encoding="utf-8", newline="\n")
    return 1 if failed or run["megabytes"] > MEGABYTES else 0


if __name__ == "__main__":
    given = [each for each in sys.argv[1:] if each != "--write"]
    target = Path(given.pop()) if "--write" in sys.argv else None
    sys.exit(main(float(given[0]), *map(int, given[1:2]), folder=target))
