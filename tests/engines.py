"""Real spreadsheet engines, for the tests: each recalculates a book and gives every cell's value.

LibreOffice is called headless, with a profile of its own that recalculates every file on loading; Gnumeric by its
converter of files; IronCalc is a library. Where one is absent the test says so; where the environment says CI, absence
fails.
"""

from __future__ import annotations

import json
import math
import os
import shutil
import signal
import subprocess
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager, suppress
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


def office(path: Path, out: Path, kind: str = 'xlsx:"Calc MS Excel 2007 XML"') -> Path:
    """A file converted by LibreOffice headless, recalculated on loading."""
    return offices([path], out, kind)[0]


def offices(paths: list[Path], out: Path, kind: str = 'xlsx:"Calc MS Excel 2007 XML"') -> list[Path]:
    """Several files converted in one call of LibreOffice: most of its time goes into starting."""
    program = shutil.which("soffice") or shutil.which("libreoffice")
    if program is None:
        absent("LibreOffice")
        raise AssertionError
    with _profile() as profile:
        out.mkdir(parents=True, exist_ok=True)
        command = [program, f"-env:UserInstallation=file://{profile}", "--headless", "--convert-to",
                   kind.replace('"', ""), "--outdir", str(out), *map(str, paths)]  # fmt: skip
        seconds = 180 + 20 * len(paths)
        done = subprocess.run(command, capture_output=True, text=True, timeout=seconds, check=False)
    made = [out / f"{path.stem}.{kind.split(':')[0]}" for path in paths]
    missing = [path.name for path in made if not path.exists()]
    assert not missing, f"LibreOffice made no {missing[0]}: {done.stdout} {done.stderr}"
    return made


@contextmanager
def _profile() -> Iterator[str]:
    with tempfile.TemporaryDirectory(ignore_cleanup_errors=True) as profile:
        user = Path(profile) / "user"
        user.mkdir()
        (user / "registrymodifications.xcu").write_text(_PROFILE, encoding="utf-8")
        yield profile


Move = tuple[str, str, str]  # sheet, range to cut, cell to paste at


def moved_by_libreoffice(path: Path, target: Path, moves: list[Move]) -> Path:
    """A file saved by LibreOffice after cutting and pasting with its own commands; one document for each run of it."""
    program, python = shutil.which("soffice") or shutil.which("libreoffice"), "/usr/bin/python3"
    if (
        program is None
        or not Path(python).exists()
        or subprocess.run([python, "-c", "import uno"]).returncode
    ):
        absent("LibreOffice with its interface for Python (python3-uno)")
        raise AssertionError
    with _profile() as profile:
        pipe = Path(profile).name
        command = [program, f"-env:UserInstallation=file://{profile}", "--headless", "--norestore",
                   f"--accept=pipe,name={pipe};urp;"]  # fmt: skip
        running = subprocess.Popen(
            command, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, start_new_session=True
        )
        script = str(Path(__file__).with_name("office_moves.py"))
        # A copy in the profile: what marks a file as open outlives the program's end.
        opened = shutil.copy(path, profile)
        asked = [python, script, pipe, opened, str(target), json.dumps(moves)]
        try:
            done = subprocess.run(asked, capture_output=True, text=True, timeout=240, check=False)
        finally:
            with suppress(ProcessLookupError):
                os.killpg(running.pid, signal.SIGKILL)
            running.wait()
    assert done.returncode == 0, done.stderr
    return target


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
