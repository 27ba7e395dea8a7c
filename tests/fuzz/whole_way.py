"""Sends spoilt inputs the whole way: read, rechecked, reported with copy and CSV; or read, planned and built.

    python -m tests.fuzz.whole_way MINUTES [FIRST] [--write FOLDER]

runs for so many minutes of the clock from case FIRST (0) on. Nothing may end but with a result or with an error in
words, take more than SECONDS of processor time or MEGABYTES of memory, change its input, leave a file that cannot be
opened, or write outside its folder. A case that fails is printed with its kind and number, and comes again with
``corpus.toml``. With ``--write`` the figures are added to those of earlier runs in ``runs.toml``, and all of them
become a page; begin then where the last run ended.

Cases run some thousand to a process, which builds the sound inputs once (``runs.py`` starts it and sees how it ends).
Of each hundred cases ``structured.SHARES`` says how many are of a kind; of the books nine of ten have few rows. The
book that was issued is laid out once for all cases that leave its order as it was, and the time that it took counts
in each of them.
"""

from __future__ import annotations

import json
import os
import shutil
import sys
import tempfile
import time
import zipfile
from collections.abc import Callable
from functools import partial
from pathlib import Path
from random import Random
from typing import Any, NamedTuple
from unittest import mock

from starlette.testclient import TestClient

from sheetgen.audit.claim_sheet import read_claim
from sheetgen.audit.report import write_report
from sheetgen.audit.run import recheck_book
from sheetgen.book.build import write_filled
from sheetgen.book.layout import lay_out
from sheetgen.desk.app import application
from sheetgen.desk.serve import desk_of
from sheetgen.errors import SheetgenError
from sheetgen.office.settings import VARIABLE, Settings, read_settings, settings_text
from sheetgen.order.model import Machine, Order
from sheetgen.order.read import read_order
from sheetgen.order.write import write_order
from sheetgen.plan import plan, plan_json, plan_text
from sheetgen.xlsx.model import Book
from sheetgen.yard.read import read_yard
from sheetgen.yard.write import write_yard
from tests.audit.orders import small
from tests.fuzz.fuzz_reader import no_network
from tests.fuzz.mutations import Parts, spoiled, unpacked
from tests.fuzz.runs import SECONDS, Run, case_of, keep, page, run_cases
from tests.fuzz.structured import (
    carrying,
    claim_sheet,
    spoilt_order,
    spoilt_settings,
    uploads,
    with_odd_entries,
)
from tests.yard.yards import yard

FEW_ROWS = {"shots": 3, "loads": 2, "days": 1}
SETTINGS = {
    "key": "",
    "register": "register.db",
    "language": "es",
    "paper": "a4",
    "yard": "yard.xlsx",
    "out": "books",
}


class Sound(NamedTuple):
    """A book as it was issued, and what of it is spoilt."""

    data: bytes
    parts: Parts
    sheets: list[str]
    carried: dict[str, Any]


class WholeWay:
    """Sound inputs, and what their spoilt copies led to."""

    def __init__(self, folder: Path, seconds: float = SECONDS) -> None:
        self._folder, self._seconds = folder / "work", seconds
        self._laid_out: dict[tuple[str, str, object], tuple[Book, float, Callable[[], Book]]] = {}
        self._waived = 0.0  # seconds of laying out that this case took from an earlier one
        order = small()
        self._books = [_sound(order, folder), _sound(small(size=FEW_ROWS), folder)]
        self._order = write_order(folder / "order.xlsx", order=order).read_bytes()
        self._order_parts = unpacked(self._order)
        self._claim = _claim_workbook(folder / "claim.xlsx")
        self._yard = write_yard(folder / "yard.xlsx", yard=yard()).read_bytes()
        self._yard_parts = unpacked(self._yard)

    def case(self, kind: str, number: int, few_rows: bool = True) -> tuple[str, float]:
        """One case, its end and its seconds; ``AssertionError`` or the program's own crash where it fails.

        Args:
            kind, number: the case
            few_rows: whether the book of few rows is spoilt but in every tenth case
        """
        shutil.rmtree(self._folder, ignore_errors=True)
        self._folder.mkdir()
        sound = self._books[few_rows and number % 10 > 0]
        path = self._made(kind, Random(f"{kind} {number}"), number, sound)
        data = path.read_bytes()
        self._waived, start = 0.0, time.process_time()
        with mock.patch("sheetgen.book.layout.lay_out", self._lay_out):
            answer = self._answer(kind, path)
        seconds = time.process_time() - start + self._waived
        assert seconds < self._seconds, f"took {seconds:.1f} s"
        assert path.read_bytes() == data, "the input was changed"
        _check_outputs(self._folder / "out", answer)
        return answer, seconds

    def _lay_out(
        self, order: Order, machine: Machine, sign: Callable[[bytes], tuple[str, str]] | None = None
    ) -> Book:
        """A book laid out; one of the sound orders but once."""
        start = time.process_time()
        text = order.canonical()
        known = (text, machine.name, sign(b"") if sign else None)
        if known in self._laid_out:
            made, seconds, _again = self._laid_out[known]
            self._waived += seconds
            return made
        made = lay_out(order, machine, sign=sign)
        if any(json.loads(text) == each.carried for each in self._books):
            again = partial(lay_out, order, machine, sign=sign)
            self._laid_out[known] = made, time.process_time() - start, again
        return made

    def unchanged(self) -> bool:
        """Whether the books that were laid out once are still what they were."""
        return all(made == again() for made, _seconds, again in self._laid_out.values())

    def _made(self, kind: str, random: Random, number: int, sound: Sound) -> Path:
        ending, data = ".xlsx", b""
        match kind:
            case "book":
                data = spoiled(sound.data, sound.parts, number)
            case "entries":
                data = with_odd_entries(random, sound.parts, sound.sheets)
            case "carried":
                data = carrying(sound.parts, spoilt_order(random, sound.carried))
            case "order":
                data = spoiled(self._order, self._order_parts, number)
            case "claim":
                ending, data = claim_sheet(random, self._claim)
            case "yard":
                data = spoiled(self._yard, self._yard_parts, number)
            case "settings":
                ending, data = ".toml", spoilt_settings(random, SETTINGS)
            case "upload":
                sent = uploads(random, (sound.data, self._order, self._claim))
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


def _sound(order: Order, folder: Path) -> Sound:
    data = write_filled(order, order.machines[0], {}, folder / "book.xlsx").read_bytes()
    parts = unpacked(data)
    sheets = [name for name in parts if name.startswith("xl/worksheets/sheet")]
    return Sound(data, parts, sheets, json.loads(order.canonical()))


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


def work(first: int, end: int) -> None:
    """Run cases and print, as a line of JSON, which begins and how it ended."""
    with tempfile.TemporaryDirectory() as folder, no_network():
        way = WholeWay(Path(folder))
        run_cases(way.case, map(case_of, range(first, end)))
        assert way.unchanged(), "a case changed the book that was laid out"


def main(minutes: float, first: int = 0, folder: Path | None = None) -> int:
    """Run the cases, the kinds in turn; 1 where one failed."""
    run = Run(first)
    run.go_on(time.monotonic() + 60 * minutes)
    print(page([run.figures()]))
    if folder is not None:
        keep(run.figures(), folder)
    return 1 if run.failed else 0


if __name__ == "__main__":
    given = [each for each in sys.argv[1:] if each not in ("--write", "--work")]
    if "--work" in sys.argv:
        work(*map(int, given))
    else:
        target = Path(given.pop()) if "--write" in sys.argv else None
        sys.exit(main(float(given[0]), *map(int, given[1:2]), folder=target))
