"""The returned files that a person named, one by one or by the folder."""

from __future__ import annotations

import os
from collections.abc import Iterable, Iterator
from pathlib import Path, PurePosixPath
from typing import TYPE_CHECKING

from sheetgen import templates
from sheetgen.batch import places
from sheetgen.batch.finished_reports import DONE
from sheetgen.errors import SheetgenError

if TYPE_CHECKING:
    from sheetgen.batch.places import Place

# Workbooks of other kinds are returned books in the wrong format: they are named as such, not passed over.
_WORKBOOKS = frozenset({".xlsx", ".xlsm", ".xltx", ".xltm", ".xls", ".xlsb", ".ods", ".fods", ".ots"})
_REPORTS = (".recheck.xlsx", ".recheck.copy.xlsx", ".recheck.copy.xlsm")
_SUMMARY = "summary.xlsx"


def returned_files(named: Iterable[str | Place]) -> list[Place]:
    """The files named, and the workbooks in the folders named and below: each once, folders in the order of names.

    What people's programs leave beside workbooks (lock files, hidden files) and this program's own reports are
    passed over in folders. A file that is named stands in the list even where there is none.

    Raises:
        SheetgenError: a storage named by a URL cannot be used.
    """
    files: dict[str, Place] = {}
    for path in map(places.place, named):
        for file in _found_inside(path) if places.is_folder(path) else [path]:
            files.setdefault(os.path.realpath(file) if isinstance(file, Path) else str(file), file)
    return list(files.values())


def report_names(files: Iterable[Place]) -> Iterator[tuple[Place, str]]:
    """Each file with the name of its report: its own, with a number behind it where an earlier file has that name."""
    taken: set[str] = set()
    for file in files:
        name, number = file.stem, 1
        while name.casefold() in taken:
            number += 1
            name = f"{file.stem} ({number})"
        taken.add(name.casefold())
        yield file, name


def _found_inside(folder: Place) -> Iterator[Place]:
    try:
        yield from _inside(folder)
    except OSError as error:
        say = templates.texts("en")
        raise SheetgenError(
            say.say("batch.no_storage", place=folder, reason=error.strerror or error)
        ) from error


def _inside(folder: Place) -> Iterator[Place]:
    for top, folders, names in places.walk(folder):
        written_here = DONE in folders
        folders[:] = sorted(name for name in folders if not name.startswith("."))
        for name in sorted(names):
            if _is_returned(name) and not (written_here and name == _SUMMARY):
                yield top / name


def _is_returned(name: str) -> bool:
    lowered = name.lower()
    return (
        not name.startswith(("~$", "."))
        and PurePosixPath(lowered).suffix in _WORKBOOKS
        and not lowered.endswith(_REPORTS)
    )
