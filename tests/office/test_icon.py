"""The icon that takes dropped files: what is written for each system, and on Linux what it does."""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import sys
import time
from pathlib import Path

import pytest

from sheetgen.errors import SheetgenError
from sheetgen.office.icon import (
    Place,
    command_file,
    desktop_entry,
    desktop_folder,
    droplet_script,
    make_icon,
    remove_icon,
)
from tests.command_line import run_text as run
from tests.office.conftest import SLIPS

PATIENCE = 120.0  # seconds before a wait gives up; no result depends on it
SYSTEMS = ("linux", "win32", "darwin")
ODD = '/opt/my $HOME `pro"g\\ra%m; &/python'
COMMAND = [ODD, "-P", "-m", "sheetgen", "open", "--show"]


def compiler(code="utf-16-be"):
    """Stands in the place of osacompile: a droplet with the script in it, as that program keeps texts."""

    def compile_script(command, input, text, check):
        program, option, made, source = command
        assert (program, option, source, text, check) == ("osacompile", "-o", "-", True, True)
        scripts = Path(made, "Contents", "Resources", "Scripts")
        scripts.mkdir(parents=True)
        (scripts / "main.scpt").write_bytes(b"Fasd" + input.encode(code))

    return compile_script


@pytest.fixture
def desktop(tmp_path):
    """The folder of a desktop."""
    folder = tmp_path / "Desktop"
    folder.mkdir()
    return folder


def place(system, desktop, python=sys.executable):
    return Place(system, desktop, python, compiler())


def arguments_of(entry: str, files: list[str]) -> list[str]:
    """The command that a desktop runs for an entry, read as its specification says and not as it was written."""
    (line,) = re.findall(r"^Exec=(.*)$", entry, re.MULTILINE)
    signs = {"s": " ", "n": "\n", "t": "\t", "r": "\r", "\\": "\\"}
    line = re.sub(r"\\(.)", lambda found: signs[found[1]], line)
    words = re.findall(r'"((?:[^"\\`$]|\\["`$\\])*)"(?=\s|$)|([^\s"\'\\><~|&;$*?#()`]+)(?=\s|$)', line)
    assert " ".join(f'"{quoted}"' if quoted else bare for quoted, bare in words) == line
    found: list[str] = []
    for quoted, bare in words:
        if bare == "%F":
            found += files
        else:
            found.append(re.sub(r"\\(.)", r"\1", quoted or bare).replace("%%", "%"))
    return found


def test_a_desktop_entry_gives_the_command_and_the_files_unchanged():
    entry = desktop_entry(COMMAND, "en")
    assert arguments_of(entry, ["/home/a b/1.xlsx", "/x/%.xlsx"]) == [
        *COMMAND,
        "/home/a b/1.xlsx",
        "/x/%.xlsx",
    ]
    assert entry.index("[Desktop Entry]") < entry.index("Exec=")
    keys = dict(line.split("=", 1) for line in entry.splitlines()[2:])
    assert {"Type", "Name", "Exec", "MimeType"} <= set(keys)
    assert keys["Terminal"] == "false"
    assert all(keys[key].endswith(";") for key in ("MimeType", "Categories"))


def test_a_command_file_passes_on_what_was_dropped():
    python = r"C:\Program Files\Añb 100%\python.exe"
    lines = command_file([python, *COMMAND[1:]]).split("\r\n")
    assert r'"C:\Program Files\Añb 100%%\python.exe" -P -m sheetgen open --show %*' in lines
    assert lines.index("chcp 65001 >nul") < next(at for at, line in enumerate(lines) if "%*" in line)
    assert lines[-2:] == ["if errorlevel 2 pause", ""]
    assert lines[0] == "@echo off"  # no mark of bytes before it


@pytest.mark.skipif(sys.platform == "win32", reason="needs a shell of POSIX")
def test_the_line_of_a_droplet_is_one_command_for_a_shell(tmp_path):
    script = droplet_script(COMMAND)
    (line,) = re.findall(r'do shell script "(.*)" & fileNames & "(?:.*)"', script)
    line = re.sub(r'\\(["\\])', r"\1", line)  # a text of AppleScript
    printed = subprocess.run(
        ["/bin/sh", "-c", f"printf '%s\\n' {line}"], capture_output=True, text=True, check=True
    )
    assert printed.stdout.splitlines() == COMMAND
    assert "quoted form of POSIX path" in script


@pytest.mark.parametrize("system", SYSTEMS)
def test_an_icon_is_made_made_again_and_taken_away(system, desktop):
    (desktop / "other.txt").write_text("stays")
    here = place(system, desktop)
    for language in ("es", "en", "en"):
        icon = make_icon(here, language)
        assert icon.exists()
    assert icon.suffix == {"linux": ".desktop", "win32": ".cmd", "darwin": ".app"}[system]
    assert len([*desktop.iterdir()]) == 3  # nothing unfinished is left
    assert sorted(remove_icon(here)) == sorted({here.icon("en"), here.icon("es")})
    assert remove_icon(here) == []
    assert [path.name for path in desktop.iterdir()] == ["other.txt"]


@pytest.mark.parametrize("code", ["utf-8", "utf-16-le", "utf-16-be"])
def test_a_droplet_is_known_again_however_its_script_is_kept(desktop, code):
    here = Place("darwin", desktop, sys.executable, compiler(code))
    make_icon(here, "en")
    assert remove_icon(here) == [here.icon("en")]


@pytest.mark.parametrize("system", SYSTEMS)
@pytest.mark.parametrize("kind", ["file", "folder", "link"])
def test_another_file_of_the_icons_name_is_neither_changed_nor_taken_away(system, desktop, kind):
    here = place(system, desktop)
    icon = here.icon("en")
    if kind == "file":
        icon.write_text("somebody's own")
    elif kind == "folder":
        (icon / "Contents").mkdir(parents=True)
    else:
        icon.symlink_to(make_icon(place(system, desktop), "es"))
    before = icon.lstat()
    with pytest.raises(SheetgenError, match="found another file under the icon's name"):
        make_icon(here, "en")
    assert icon not in remove_icon(here)
    assert icon.lstat() == before


@pytest.mark.parametrize("system", SYSTEMS)
def test_where_no_desktop_is_that_is_said(system, tmp_path):
    with pytest.raises(SheetgenError, match="found no folder of the desktop"):
        make_icon(place(system, tmp_path / "Desktop"), "en")


def test_the_folder_is_the_one_that_the_system_has_set(tmp_path, monkeypatch):
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path))
    assert desktop_folder("linux", Path("/home/x")) == Path("/home/x/Desktop")
    (tmp_path / "user-dirs.dirs").write_text(
        '# own\nXDG_DESKTOP_DIR="$HOME/Mi escritorio"\nXDG_MUSIC_DIR="/m"\n'
    )
    assert desktop_folder("linux", Path("/home/x")) == Path("/home/x/Mi escritorio")
    (tmp_path / "user-dirs.dirs").write_text('XDG_DESKTOP_DIR="/srv/a \\"b\\""\n')
    assert desktop_folder("linux", Path("/home/x")) == Path('/srv/a "b"')
    assert desktop_folder("darwin", Path("/Users/x")) == Path("/Users/x/Desktop")


@pytest.fixture
def user(tmp_path, desktop):
    """The surroundings of a user: a desktop, and a program that opens files and says which."""
    (tmp_path / "bin").mkdir()
    opener = tmp_path / "bin" / "xdg-open"
    opener.write_text(f'#!/bin/sh\nprintf "%s\\n" "$1" >> "{tmp_path}/opened"\n')
    opener.chmod(0o755)
    own = {
        "HOME": str(tmp_path), "XDG_CONFIG_HOME": str(tmp_path / "config"), "SHEETGEN_SETTINGS": os.devnull,
        "PATH": f"{tmp_path / 'bin'}:{os.environ['PATH']}",
    }  # fmt: skip
    return {**os.environ, **own}


def opened(tmp_path) -> list[Path]:
    return [Path(line) for line in (tmp_path / "opened").read_text(encoding="utf-8").splitlines()]


@pytest.mark.skipif(sys.platform != "linux", reason="desktop entries are for Linux")
@pytest.mark.parametrize("by", ["as the specification says", "gio"])
def test_files_dropped_on_the_icon_are_done_and_their_results_opened(desktop, tmp_path, files, user, by):
    if by == "gio" and shutil.which("gio") is None:
        pytest.skip("no gio here, which starts desktop entries (apt-get install libglib2.0-bin)")
    python = (
        tmp_path / ("my $HOME py" if by == "gio" else "my $HOME py%F") / "py`thon"
    )  # gio takes no % there
    python.parent.mkdir()
    python.write_text(f'#!/bin/sh\nexec "{sys.executable}" "$@"\n')
    python.chmod(0o755)
    icon = make_icon(place("linux", desktop, str(python)), "en")
    assert os.access(icon, os.X_OK)
    dropped = tmp_path / "week 23 & 100%"
    dropped.mkdir()
    for name in ("order.xlsx", "spoilt.xlsx"):
        shutil.copy(files / name, dropped / name)
    given = [str(dropped / "order.xlsx"), str(dropped / "spoilt.xlsx")]
    if by == "gio":
        command = ["gio", "launch", str(icon), *given]
    else:
        command = arguments_of(icon.read_text(encoding="utf-8"), given)
    subprocess.run(command, env=user, cwd=tmp_path, check=by == "gio", capture_output=True, timeout=300)
    expected = [
        dropped / "books" / "plan" / "DEMO-0001_plan.xlsx",
        dropped / "books" / "DEMO-0001_Distributor-A.xlsx",
        dropped / "rechecked" / "spoilt.recheck.xlsx",
    ]
    if by == "gio":  # which does not wait for what it starts
        wait_until(lambda: (tmp_path / "opened").exists() and len(opened(tmp_path)) == len(expected))
    assert opened(tmp_path) == expected
    assert all(path.is_file() for path in expected)


def wait_until(holds) -> None:
    """Wait for what was started and not waited for; no result depends on how long."""
    ends = time.monotonic() + PATIENCE
    while not holds():
        assert time.monotonic() < ends
        time.sleep(0.1)


@pytest.mark.skipif(sys.platform != "linux", reason="desktop entries are for Linux")
def test_what_could_not_be_done_is_opened_as_a_text(tmp_path, files, user):
    shutil.copy(files / "mistaken.xlsx", tmp_path / "mistaken.xlsx")
    command = [sys.executable, "-P", "-m", "sheetgen", "open", "--show"]
    files_given = [tmp_path / "mistaken.xlsx", files / "note.xlsx"]
    done = subprocess.run(
        [*command, *files_given], env=user, cwd=tmp_path, capture_output=True, text=True, check=False
    )
    assert done.returncode == 2
    marked, said = opened(tmp_path)
    assert marked.name == "mistaken - to correct.xlsx"
    text = said.read_text(encoding="utf-8")
    assert all(f"{sheet}!{cell}" in text for sheet, cell in SLIPS)
    assert "note.xlsx: found" in text
    assert "note.xlsx: found" in done.stderr


@pytest.mark.skipif(sys.platform != "linux", reason="looks at what is on a Linux desktop")
def test_one_command_makes_it_and_takes_it_away(tmp_path, desktop, user):
    done = run("desk", "--icon", cwd=tmp_path, env=user)
    assert (done.returncode, done.stderr) == (0, "")
    (icon,) = desktop.iterdir()
    assert str(icon) in done.stdout
    assert arguments_of(icon.read_text(encoding="utf-8"), [])[:4] == [sys.executable, "-P", "-m", "sheetgen"]
    done = run("desk", "--no-icon", cwd=tmp_path, env=user)
    assert (done.returncode, str(icon) in done.stdout, [*desktop.iterdir()]) == (0, True, [])
    assert "no icon of this program" in run("desk", "--no-icon", cwd=tmp_path, env=user).stdout
