"""The returned files that a person named, one by one or by the folder."""

from __future__ import annotations

import os
import unicodedata
from collections.abc import Callable, Iterable, Iterator
from pathlib import Path, PurePosixPath
from typing import TYPE_CHECKING, Literal

from sheetgen import templates
from sheetgen.audit.report.own_files import is_report
from sheetgen.batch import places
from sheetgen.batch.finished_reports import DONE
from sheetgen.errors import SheetgenError

if TYPE_CHECKING:
    from sheetgen.batch.places import Place

    Why = Literal["report", "left-by-program", "hidden", "no-workbook"]
    PassedOver = Callable[[Place, Why], None]

# Workbooks of other kinds are returned books in the wrong format: they are named as such, not passed over.
_WORKBOOKS = frozenset({".xlsx", ".xlsm", ".xltx", ".xltm", ".xls", ".xlsb", ".ods", ".fods", ".ots"})
# In a storage that only the network reaches, files with other names are not looked into before they are rechecked.
_LIKE_REPORTS = (".recheck.xlsx", ".recheck.copy.xlsx", ".recheck.copy.xlsm", "_plan.xlsx", "_compared.xlsx")
_SUMMARY = "summary.xlsx"
_LONGEST = 200  # bytes of a report's name before its endings: systems hold 255


def returned_files(named: Iterable[str | Place], passed_over: PassedOver | None = None) -> list[Place]:
    """The files named, and the workbooks in the folders named and below: each once, folders in the order of names.

    What people's programs leave beside workbooks (lock files, hidden files), files that are no workbooks and this
    program's own reports are passed over in folders. A report is known by what is in it, not by its name. A file that
    is named stands in the list even where there is none, and so does a folder that may not be read or has no workbook
    in it: it cannot be rechecked, and must not look as if it had been.

    Args:
        passed_over: called with each file that is passed over, and why

    Raises:
        SheetgenError: a storage named by a URL cannot be used.
    """
    files: dict[str, Place] = {}
    tell = passed_over or (lambda _file, _why: None)
    for path in map(places.place, named):
        for file in _found_inside(path, tell) if places.is_folder(path) else [path]:
            files.setdefault(os.path.realpath(file) if isinstance(file, Path) else str(file), file)
    return list(files.values())


def report_names(files: Iterable[Place]) -> Iterator[tuple[Place, str]]:
    """Each file with the name of its report: its own, with a number behind it where an earlier file has that name."""
    taken: set[str] = set()
    for file in files:
        stem = _fitting(file.stem)
        name, number = stem, 1
        while _alike(name) in taken:
            number += 1
            name = f"{stem} ({number})"
        taken.add(_alike(name))
        yield file, name


def _fitting(stem: str) -> str:
    """A name that leaves room for the endings of a report, and that is a text whatever bytes the file's name has."""
    text = stem.encode("utf-8", "surrogateescape").decode("utf-8", "replace").replace("\ufffd", "_")
    return text.encode()[:_LONGEST].decode("utf-8", "ignore")


def _alike(name: str) -> str:
    """What names have in common that some systems take for the same file."""
    return unicodedata.normalize("NFC", name).casefold()


def _found_inside(folder: Place, passed_over: PassedOver) -> Iterator[Place]:
    found = False
    try:
        for file in _inside(folder, passed_over):
            found = True
            yield file
    except OSError as error:
        say = templates.spoken_texts()
        raise SheetgenError(
            say.say("batch.no_storage", place=folder, reason=error.strerror or error)
        ) from error
    if not found:
        yield folder


def _inside(folder: Place, passed_over: PassedOver) -> Iterator[Place]:
    closed: list[Path] = []
    for top, folders, names in places.walk(folder, closed.append):
        for name in sorted(folders):
            if name.startswith(".") and name != DONE:
                passed_over(top / name, "hidden")
        folders[:] = sorted(name for name in folders if not name.startswith("."))
        for name in sorted(names):
            why = _why_not(top, name)
            if why is None:
                yield top / name
            else:
                passed_over(top / name, why)
    yield from closed


def _why_not(top: Place, name: str) -> Why | None:
    """Why a file in a folder is no returned book; None for one that is to be rechecked."""
    lowered = name.lower()
    if name.startswith("~$"):
        return "left-by-program"
    if name.startswith("."):
        return "hidden"
    if PurePosixPath(lowered).suffix not in _WORKBOOKS:
        return "no-workbook"
    like_report = lowered.endswith(_LIKE_REPORTS) or ".recheck.decided-" in lowered or lowered == _SUMMARY
    if (like_report or isinstance(top, Path)) and is_report(top / name):
        return "report"
    return None
