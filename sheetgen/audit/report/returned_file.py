"""Links from a report to the cells of the returned file, as the file lies beside the report."""

from __future__ import annotations

import os
from collections.abc import Iterable
from functools import lru_cache
from pathlib import Path
from typing import NamedTuple

from sheetgen.output import ACTING

_LONGEST = 2079  # characters of a link that Excel follows
# What a link would misread in a path. Letters of any language stay as they are.
_ESCAPED = {ord(sign): f"%{ord(sign):02X}" for sign in '%#? "<>[]^`{}'} | {
    code: f"%{code:02X}" for code in range(32)
}


class ReturnedFile(NamedTuple):
    """The returned file as seen from the folder of the report.

    Attributes:
        path: relative where the two lie on one drive
    """

    path: str

    @classmethod
    def seen_from(cls, folder: Path, path: str) -> ReturnedFile:
        """The file at ``path`` as seen from a folder."""
        file = Path(path).resolve()
        try:
            relative = Path(os.path.relpath(file, folder.resolve()))
        except ValueError:  # another drive
            relative = file
        return cls(relative.as_posix())

    def cell(self, sheet: str, cell: str) -> str:
        """The link to a cell, empty where there is none to lead to."""
        if not sheet or not cell:
            return ""
        return link_to(self.path, place(sheet, cell))


def file_name(path: str | Path) -> str:
    """A file's name as a text."""
    return as_text(Path(path).name)


def as_text(path: str | Path) -> str:
    """A path as a text; bytes in it that are no text are replaced by question marks."""
    return str(path).encode("utf-8", "replace").decode()


def told_apart(paths: Iterable[str]) -> dict[str, str]:
    """What to call each of several files: its name, with the folders that differ where two have one name."""
    files = {path: Path(path) for path in paths}
    if len({file.name for file in files.values()}) == len(files):
        return {path: file.name for path, file in files.items()}
    try:
        common = os.path.commonpath([file.parent for file in files.values()])
    except ValueError:  # of several drives, or some relative and some not
        return {path: file.as_posix() for path, file in files.items()}
    return {path: Path(os.path.relpath(file, common)).as_posix() for path, file in files.items()}


def link_to(path: str, anchor: str = "") -> str:
    """XlsxWriter's link to another file, every sign that would be misread in it escaped; empty for no path."""
    if not path:
        return ""
    link = _escaped(path) + (f"#{anchor}" if anchor else "")
    return link if len(link) <= _LONGEST and not ACTING.search(link) else ""


@lru_cache(maxsize=1)  # a report has a thousand links to one file
def _escaped(path: str) -> str:
    return f"external:{path.translate(_ESCAPED)}"


def place(sheet: str, cell: str) -> str:
    """A cell's address with its sheet, such as ``'Day log'!B7``."""
    quoted = sheet.replace("'", "''")
    return f"'{quoted}'!{cell}"
