"""Real spreadsheet engines, for the tests: each recalculates a book and gives every cell's value.

LibreOffice is called headless, with a profile of its own that recalculates every file on loading; Gnumeric by its
converter of files; IronCalc is a library. Where one is absent the test says so; where the environment says CI, absence
fails.
"""

from __future__ import annotations

import atexit
import json
import math
import os
import select
import shutil
import signal
import subprocess
import tempfile
from collections.abc import Sequence
from contextlib import suppress
from functools import cache
from pathlib import Path

import openpyxl
import pytest

from sheetgen.xlsx.model import Book, Value

_PROFILE = """<?xml version="1.0" encoding="UTF-8"?>
<oor:items xmlns:oor="http://openoffice.org/2001/registry" xmlns:xs="http://www.w3.org/2001/XMLSchema">
<item oor:path="/org.openoffice.Office.Calc/Formula/Load"><prop oor:name="OOXMLRecalcMode" oor:op="fuse">
<value>0</value></prop></item>
<item oor:path="/org.openoffice.Office.Calc/Input"><prop oor:name="ReplaceCellsWarning" oor:op="fuse">
<value>false</value></prop></item></oor:items>
"""

Values = dict[tuple[str, int, int], Value]


def absent(engine: str) -> None:
    """Say that an engine is not there: a skip on a user's machine, a failure in CI."""
    if os.environ.get("CI"):
        pytest.fail(f"{engine} is not installed, and CI must have it")
    pytest.skip(f"{engine} is not installed: nothing was compared with it")


# What LibreOffice calls its ways to write each kind of file.
_FILTERS = {
    "xlsx": "Calc MS Excel 2007 XML", "pdf": "calc_pdf_Export", "fods": "OpenDocument Spreadsheet Flat XML",
}  # fmt: skip
Move = tuple[str, str, str]  # sheet, range to cut, cell to paste at


def office(path: Path, out: Path, kind: str = "xlsx") -> Path:
    """A file converted by LibreOffice headless, recalculated on loading."""
    return offices([path], out, kind)[0]


def offices(paths: list[Path], out: Path, kind: str = "xlsx") -> list[Path]:
    """Several files converted."""
    out.mkdir(parents=True, exist_ok=True)
    made = [out / f"{path.stem}.{kind}" for path in paths]
    for path, target in zip(paths, made, strict=True):
        _libreoffice().saves(path, target, kind)
    return made


def moved_by_libreoffice(path: Path, target: Path, moves: list[Move]) -> Path:
    """A file saved by LibreOffice after cutting and pasting with its own commands."""
    alone = (
        _LibreOffice()
    )  # it comes to grief over the next document when its clipboard holds cells of the last
    try:
        alone.saves(Path(shutil.copy(path, alone.folder)), target, "xlsx", moves)
    finally:
        alone.close()
    return target


class _LibreOffice:
    """One LibreOffice for all files of a process: starting it takes as long as converting a small book."""

    def __init__(self) -> None:
        program, python = shutil.which("soffice") or shutil.which("libreoffice"), "/usr/bin/python3"
        if (
            program is None
            or not Path(python).exists()
            or subprocess.run([python, "-c", "import uno"]).returncode
        ):
            absent("LibreOffice with its interface for Python (python3-uno)")
            raise AssertionError
        self._folder = tempfile.TemporaryDirectory(ignore_cleanup_errors=True)
        self.folder = profile = Path(self._folder.name)
        (profile / "user").mkdir()
        (profile / "user" / "registrymodifications.xcu").write_text(_PROFILE, encoding="utf-8")
        command = [program, f"-env:UserInstallation=file://{profile}", "--headless", "--norestore",
                   f"--accept=pipe,name={profile.name};urp;"]  # fmt: skip
        self._office = subprocess.Popen(
            command, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, start_new_session=True
        )
        script = str(Path(__file__).with_name("office_open.py"))
        self._asked = subprocess.Popen(
            [python, script, profile.name], stdin=subprocess.PIPE, stdout=subprocess.PIPE
        )
        atexit.register(self.close)

    def saves(self, path: Path, target: Path, kind: str, moves: Sequence[Move] = ()) -> None:
        """Let it open a file, cut and paste, and save as another."""
        given = [str(path.absolute()), str(target.absolute()), _FILTERS[kind], moves]
        assert self._asked.stdin
        assert self._asked.stdout
        self._asked.stdin.write(json.dumps(given).encode() + b"\n")
        self._asked.stdin.flush()
        ready, _, _ = select.select([self._asked.stdout], [], [], 300)
        said = self._asked.stdout.readline().decode() if ready else "no answer within five minutes"
        if said != "done\n":
            _libreoffice.cache_clear()
            self.close()
            raise AssertionError(f"LibreOffice made no {target.name}: {said}")

    def close(self) -> None:
        """End it, whatever it does."""
        for running in (self._asked, self._office):
            with suppress(ProcessLookupError):
                os.killpg(running.pid, signal.SIGKILL) if running is self._office else running.kill()
            running.wait()
        self._folder.cleanup()


@cache
def _libreoffice() -> _LibreOffice:
    return _LibreOffice()


def values_by_libreoffice(path: Path, book: Book, out: Path) -> Values:
    """Every formula cell's value after LibreOffice recalculated the file."""
    return values_in(office(path, out), book)


def gnumeric(path: Path, out: Path) -> Path:
    """A file recalculated and saved by Gnumeric, under the same name in another folder."""
    program = shutil.which("ssconvert")
    if program is None:
        absent("Gnumeric")
        raise AssertionError
    out.mkdir(parents=True, exist_ok=True)
    made = out / path.name
    command = [program, "--recalc", "--export-type=Gnumeric_Excel:xlsx2", str(path), str(made)]
    done = subprocess.run(command, capture_output=True, text=True, timeout=180, check=False)
    assert made.exists(), f"Gnumeric made no {made.name}: {done.stdout} {done.stderr}"
    return made


def values_by_gnumeric(path: Path, book: Book, out: Path) -> Values:
    """Every formula cell's value after Gnumeric recalculated the file."""
    return values_in(gnumeric(path, out), book)


def values_in(path: Path, book: Book) -> Values:
    """Every formula cell's value as a file carries it."""
    workbook = openpyxl.load_workbook(path, data_only=True)
    return {
        (sheet.key, row, col): _plain(workbook[sheet.name].cell(row + 1, col + 1).value)
        for sheet in book.sheets
        for (row, col), cell in sheet.cells.items()
        if cell.formula is not None
    }


def values_by_ironcalc(path: Path, book: Book) -> Values:
    """Every formula cell's value after IronCalc recalculated the file."""
    try:
        import ironcalc
    except ImportError:
        absent("IronCalc")
        raise
    model = ironcalc.load_from_xlsx(str(path), "en", "UTC", "en")
    model.evaluate()
    numbers = {properties["name"]: index for index, properties in enumerate(_sheets(model))}
    return {
        (sheet.key, row, col): _plain(model.get_cell_value(numbers[sheet.name], row + 1, col + 1))
        for sheet in book.sheets
        for (row, col), cell in sheet.cells.items()
        if cell.formula is not None
    }


def _sheets(model: object) -> list[dict[str, str]]:
    found = model.get_worksheets_properties()  # type: ignore[attr-defined]
    return [sheet if isinstance(sheet, dict) else {"name": sheet.name} for sheet in found]


def _plain(value: object) -> Value:
    if value is None:
        return ""
    if hasattr(value, "timetuple"):
        from openpyxl.utils.datetime import to_excel

        return to_excel(value)  # type: ignore[no-any-return]
    if hasattr(value, "hour"):
        # LibreOffice gives a formula of a time the format of a time; the time has fractions of a second.
        return (value.hour * 3600 + value.minute * 60 + value.second + value.microsecond / 1e6) / 86400
    return value  # type: ignore[return-value]


def differences(results: Values, other: Values, book: Book, relative: float = 1e-9) -> list[str]:
    """Where two evaluations differ: numbers beyond a relative bound, texts and truth values at all."""
    found = []
    for at, value in results.items():
        theirs = other[at]
        number = (int, float)
        if isinstance(value, number) and isinstance(theirs, number) and not isinstance(value, bool):
            same = math.isclose(value, theirs, rel_tol=relative, abs_tol=1e-12)
        else:
            same = value == theirs
        if not same:
            formula = book.sheet(at[0]).cells[at[1:]].formula
            found.append(
                f"{at[0]} row {at[1] + 1} column {at[2] + 1}: {value!r} and {theirs!r} for {formula}"
            )
    return found
