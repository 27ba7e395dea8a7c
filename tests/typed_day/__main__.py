"""Type a day of 14 shots in a real LibreOffice window: ``python -m tests.typed_day FOLDER [--program SOFFICE]``.

Needs a display program (``Xvfb``), a window manager (``openbox``), ``xdotool``, and a LibreOffice with windows:
Debian's ``libreoffice-calc``, or its packages taken apart in a folder of their own (``dpkg -x``; ``BRAND_BASE_DIR`` in
``program/fundamentalrc`` names the folder). Run by hand; without them it says what is missing and types nothing. The
book that was saved, a picture of the window (X window dump) and ``keys.txt`` come into the folder, which must be new.
Ends with 1 where the recheck finds an error or a query, or other totals than those of the day.
"""

from __future__ import annotations

import argparse
import os
import shutil
import subprocess
import sys
import time
from pathlib import Path

from openpyxl import load_workbook

from sheetgen.audit.run import recheck_book
from sheetgen.book.build import write_filled
from sheetgen.demo.day import honest_day
from sheetgen.order.demo import demo_order
from sheetgen.templates import texts
from tests.typed_day.keys import AS_TYPED, NEXT_SHEET, keys_of

SHOTS = 14
_SETTINGS = """<?xml version="1.0" encoding="UTF-8"?>
<oor:items xmlns:oor="http://openoffice.org/2001/registry">
<item oor:path="/org.openoffice.Office.Common/Save/Document"><prop oor:name="WarnAlienFormat" oor:op="fuse">
<value>false</value></prop></item>
</oor:items>
"""
_QUESTION = 15  # seconds until what was typed before is worked on
_RESTART = 81  # how the program ends when it has made its profile
_PATIENCE = 240  # seconds for the window to open, and for the file to be saved
_NAMES = {'"': "quotedbl", ".": "period", "-": "minus", "+": "plus", " ": "space", "/": "slash", ":": "colon"}


def day_of_shots(order):
    """Give an honest day with so many rows of the shot log."""
    for seed in range(200):
        log = honest_day(order, order.machines[0], seed=seed)
        if len({row for table, row, _ in log if table == "shots"}) == SHOTS:
            return log
    raise SystemExit(f"no honest day of {SHOTS} shots")


def opened(program: Path, book: Path, folder: Path) -> subprocess.Popen[bytes]:
    """Open a book in a window and wait for it; the first start makes the profile and ends."""
    profile = folder / "profile"
    (profile / "user").mkdir(parents=True)
    (profile / "user" / "registrymodifications.xcu").write_text(_SETTINGS, encoding="utf-8")
    command = [program, f"-env:UserInstallation={profile.resolve().as_uri()}", "--norestore", "--nologo",
               "--nofirststartwizard", "--calc", book]  # fmt: skip
    running = subprocess.Popen(command)
    until = time.monotonic() + _PATIENCE
    while time.monotonic() < until:
        if running.poll() == _RESTART:
            running = subprocess.Popen(command)
        found = subprocess.run(
            ["xdotool", "search", "--name", book.name], capture_output=True, text=True, check=False
        )
        if found.stdout.strip():
            time.sleep(10)  # the window is there before what is in it
            subprocess.run(["xdotool", "windowfocus", "--sync", found.stdout.split()[-1]], check=False)
            return running
        time.sleep(1)
    running.kill()
    raise SystemExit("no window opened")


def press(keys: list[str]) -> None:
    """Press keys one after the other, in portions that a command line holds."""
    names = [_NAMES.get(key, key) for key in keys]
    for first in range(0, len(names), 60):
        subprocess.run(["xdotool", "key", "--delay", "40", *names[first : first + 60]], check=True)


def answered(keys: list[str]) -> None:
    """Press keys, and wait for the question before each answer to one."""
    while AS_TYPED in keys:
        place = keys.index(AS_TYPED)
        press(keys[:place])
        time.sleep(_QUESTION)
        press(keys[place : place + 1])
        time.sleep(_QUESTION)
        keys = keys[place + 1 :]
    press(keys)


def all_keys(log, order, book: Path) -> list[str]:
    """Give every key from the opened book to the last entry: to each log, and its rows."""
    workbook = load_workbook(book)
    names = [sheet.title for sheet in workbook if sheet.sheet_state == "visible"]
    at, keys = names.index(workbook.active.title), []
    logs = {texts(order.language)[f"sheet.{table}.tab"]: table for table in ("days", "loads", "shots")}
    for place, name in enumerate(names):
        if name in logs:
            table = logs[name]
            rows = range(1 + max(row for each, row, _ in log if each == table))
            keys += [*[NEXT_SHEET] * (place - at), *keys_of(log, table, rows, order)]
            at = place
    return keys


def saved(book: Path) -> None:
    """Save the book with the keys of the program, and wait until the file is whole."""
    before = book.stat().st_mtime_ns
    press(["ctrl+s"])
    until = time.monotonic() + _PATIENCE
    while book.stat().st_mtime_ns == before:
        if time.monotonic() > until:
            raise SystemExit("the book was not saved")
        time.sleep(1)
    time.sleep(5)


def main() -> int:
    """Type the day and hold the saved book against it."""
    parser = argparse.ArgumentParser()
    parser.add_argument("folder", type=Path)
    parser.add_argument("--program", type=Path, default=Path("/usr/lib/libreoffice/program/soffice.bin"))
    given = parser.parse_args()
    windows = given.program.parent / "libvclplug_genlo.so"
    missing = [name for name in ("Xvfb", "xdotool", "openbox") if not shutil.which(name)]
    if missing or not windows.exists():
        print(
            "skipped: no",
            ", ".join([*missing, *([] if windows.exists() else [f"windows in {given.program}"])]),
        )
        return 0
    order = demo_order("us", "en")
    log, book = day_of_shots(order), given.folder / "day.xlsx"
    given.folder.mkdir(parents=True, exist_ok=True)
    right = recheck_book(write_filled(order, order.machines[0], log, given.folder / "right.xlsx"))
    write_filled(order, order.machines[0], {}, book)
    os.environ |= {"DISPLAY": ":77", "SAL_USE_VCLPLUGIN": "gen"}
    screen = subprocess.Popen(["Xvfb", ":77", "-screen", "0", "1366x768x24", "-fbdir", given.folder])
    program = manager = None
    try:
        time.sleep(2)
        manager = subprocess.Popen(["openbox"])  # gives the keys to a question that comes before the window
        program = opened(given.program, book, given.folder)
        keys = all_keys(log, order, book)
        answered(keys)
        saved(book)
        shutil.copy(given.folder / "Xvfb_screen0", given.folder / "window.xwd")
    finally:
        for each in (program, manager, screen):
            if each is not None:
                each.kill()
                each.wait()
    return told(keys, log, order, book, right, given.folder)


def told(keys, log, order, book: Path, right, folder: Path) -> int:
    """Print the numbers of keys and what the recheck says; give the exit status."""
    of_shots = [keys_of(log, "shots", range(SHOTS), order, short) for short in (True, False)]
    result = recheck_book(book)
    asked = [(each.severity, each.name, each.cell) for each in result.findings if each.severity != "note"]
    same = result.totals.overall == right.totals.overall
    lines = [
        f"keys in all, from the opened book to the last entry: {len(keys)}",
        f"keys of the {SHOTS} shots: {len(of_shots[0])}; with every cell typed in full: {len(of_shots[1])}",
        f"errors and queries of the recheck: {asked or 'none'}",
        f"totals: {'those of the day' if same else 'others than those of the day'}",
    ]
    (folder / "keys.txt").write_text("\n".join(lines) + "\n", encoding="utf-8")
    print(*lines, sep="\n")
    return 0 if same and not asked else 1


if __name__ == "__main__":
    sys.exit(main())
