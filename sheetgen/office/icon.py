"""An icon on the desktop that takes dropped files: it hands them to ``sheetgen open --show``, and opens the desk alone.

Linux: a desktop entry (freedesktop.org, Desktop Entry Specification 1.5). Windows: a command file, to which Explorer
gives what is dropped on it. macOS: a droplet, made by the system's own osacompile, since dropped files reach a program
there as an event and not as arguments. Windows and macOS were not tried; the tests see what is written.
"""

from __future__ import annotations

import os
import re
import shlex
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Callable
from pathlib import Path
from typing import NamedTuple

from sheetgen import templates
from sheetgen.errors import SheetgenError
from sheetgen.output import in_full
from sheetgen.whole_file import write_whole

_MARK = "sheetgen desktop icon"  # by which an icon of this program is known again
_LARGEST = 1_000_000  # bytes of a file that is looked into
_ENDINGS = {"win32": ".cmd", "darwin": ".app"}
_SCRIPT = Path("Contents", "Resources", "Scripts", "main.scpt")  # in a droplet
_TYPES = (
    "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
    "application/vnd.ms-excel.sheet.macroEnabled.12",
    "text/csv", "inode/directory",
)  # fmt: skip


class Place(NamedTuple):
    """Where an icon belongs.

    Attributes:
        system: as :data:`sys.platform` has it
        desktop: the folder
        python: the interpreter that runs this program
        run: runs a program of the system, as :func:`subprocess.run`
    """

    system: str
    desktop: Path
    python: str
    run: Callable[..., object] = subprocess.run

    def icon(self, language: str) -> Path:
        """The icon's file; on macOS a folder that passes for one."""
        ending = _ENDINGS.get(self.system, ".desktop")
        return self.desktop / f"{templates.texts(language)['icon.name']}{ending}"

    @property
    def command(self) -> list[str]:
        """What is run with the files that were dropped; no module of the folder it is run in can take its place."""
        return [self.python, "-P", "-m", "sheetgen", "open", "--show"]


def this_place() -> Place:
    """The desktop of this user."""
    return Place(sys.platform, desktop_folder(sys.platform, Path.home()), sys.executable)


def make_icon(place: Place, language: str) -> Path:
    """Make the icon, or make it anew where it is there.

    Raises:
        SheetgenError: there is no such folder, or something else lies there under the icon's name.
    """
    icon, say = place.icon(language), templates.texts(language)
    if not place.desktop.is_dir():
        raise SheetgenError(say.say("icon.no_desktop", folder=_shown(place.desktop)))
    if os.path.lexists(icon) and not _is_ours(icon):
        raise SheetgenError(say.say("icon.in_the_way", path=_shown(icon)))
    if place.system == "darwin":
        _make_droplet(place, icon)
    elif place.system == "win32":
        write_whole(icon, command_file(place.command).encode())
    else:
        write_whole(icon, desktop_entry(place.command, language).encode())
        icon.chmod(0o755)
    return icon


def remove_icon(place: Place) -> list[Path]:
    """Take the icon away, whatever language it was made in; other files of its name stay."""
    icons = [place.icon(language) for language in templates.LANGUAGES]
    ours = [icon for icon in dict.fromkeys(icons) if _is_ours(icon)]
    for icon in ours:
        shutil.rmtree(icon) if icon.is_dir() else icon.unlink()
    return ours


def desktop_entry(command: list[str], language: str) -> str:
    """A desktop entry; Exec is quoted twice, as an argument and as a text (sections "Exec key", "Value types")."""
    say = templates.texts(language)
    quoted = (re.sub(r'(["`$\\])', r"\\\1", each).replace("%", "%%") for each in command)
    exec_line = " ".join(f'"{each}"' for each in quoted).replace("\\", "\\\\")
    lines = {
        "Type": "Application", "Version": "1.5", "Name": say["icon.name"], "Comment": say["icon.means"],
        "Exec": f"{exec_line} %F", "Icon": "x-office-spreadsheet", "Terminal": "false",
        "MimeType": "".join(f"{each};" for each in _TYPES), "Categories": "Office;",
    }  # fmt: skip
    return f"# {_MARK}\n[Desktop Entry]\n" + "".join(f"{key}={value}\n" for key, value in lines.items())


def command_file(command: list[str]) -> str:
    """A Windows command file; it stays open where the program could not even say what is wrong."""
    quoted = " ".join(f'"{each}"' if each == command[0] else each for each in command).replace("%", "%%")
    lines = ["@echo off", f"rem {_MARK}", "chcp 65001 >nul", f"{quoted} %*", "if errorlevel 2 pause"]
    return "".join(f"{line}\r\n" for line in lines)


def droplet_script(command: list[str]) -> str:
    """The script of a droplet (AppleScript Language Guide, "open handlers"); status 2 and more shows what was said."""
    line = shlex.join(command).replace("\\", "\\\\").replace('"', '\\"')
    return f'''property madeBy : "{_MARK}"
on run
	do shell script "{line} > /dev/null 2>&1 &"
end run
on open droppedItems
	set fileNames to ""
	repeat with oneItem in droppedItems
		set fileNames to fileNames & " " & quoted form of POSIX path of oneItem
	end repeat
	do shell script "{line}" & fileNames & "; [ $? -lt 2 ]"
end open
'''


def desktop_folder(system: str, home: Path) -> Path:
    """The folder of the desktop: as the system has it set, else the usual one."""
    if system == "win32":
        return _windows_desktop() or home / "Desktop"
    if system != "darwin":
        settings = Path(os.environ.get("XDG_CONFIG_HOME") or home / ".config") / "user-dirs.dirs"
        try:
            found = re.search(r'^XDG_DESKTOP_DIR="(.*)"$', settings.read_text(encoding="utf-8"), re.MULTILINE)
        except (OSError, UnicodeDecodeError):
            found = None
        if found:
            return Path(re.sub(r"\\(.)", r"\1", found[1].replace("$HOME", str(home), 1)))
    return home / "Desktop"


def _windows_desktop() -> Path | None:
    """The desktop that Explorer shows, which may lie in a folder that is kept elsewhere too."""
    if sys.platform != "win32":
        return None
    import winreg

    key = r"Software\Microsoft\Windows\CurrentVersion\Explorer\User Shell Folders"
    try:
        with winreg.OpenKey(winreg.HKEY_CURRENT_USER, key) as folders:
            return Path(os.path.expandvars(winreg.QueryValueEx(folders, "Desktop")[0]))
    except OSError:
        return None


def _make_droplet(place: Place, icon: Path) -> None:
    with tempfile.TemporaryDirectory(dir=place.desktop, prefix=".") as folder:
        made = Path(folder, icon.name)
        script = droplet_script(place.command)
        place.run(["osacompile", "-o", str(made), "-"], input=script, text=True, check=True)
        if icon.is_dir():
            shutil.rmtree(icon)
        made.rename(icon)


def _is_ours(icon: Path) -> bool:
    """Whether an icon of this program lies there: its mark is in it, in a droplet in the signs of a compiled text."""
    file = icon / _SCRIPT if icon.is_dir() else icon
    try:
        if icon.is_symlink() or not file.is_file() or file.stat().st_size > _LARGEST:
            return False
        data = file.read_bytes()
    except OSError:
        return False
    return any(_MARK.encode(code) in data for code in ("utf-8", "utf-16-le", "utf-16-be"))


def _shown(path: Path) -> str:
    return in_full(path)
