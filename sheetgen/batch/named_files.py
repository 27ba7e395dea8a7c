"""The returned files that a person named, one by one or by the folder."""

from __future__ import annotations

import os
from collections.abc import Iterable, Iterator
from pathlib import Path

from sheetgen.batch.done import DONE

# Workbooks of other kinds are returned books in the wrong format: they are named as such, not passed over.
_WORKBOOKS = frozenset({".xlsx", ".xlsm", ".xltx", ".xltm", ".xls", ".xlsb", ".ods", ".fods", ".ots"})
_REPORT = ".recheck.xlsx"
_SUMMARY = "summary.xlsx"


def returned_files(named: Iterable[str | Path]) -> list[Path]:
    """The files named, and the workbooks in the folders named and below: each once, folders in the order of names.

    What people's programs leave beside workbooks (lock files, hidden files) and this program's own reports are
    passed over in folders. A file that is named stands in the list even where there is none.
    """
    files: dict[str, Path] = {}
    for path in map(Path, named):
        for file in _inside(path) if path.is_dir() else [path]:
            files.setdefault(os.path.realpath(file), file)
    return list(files.values())


def report_names(files: Iterable[Path]) -> Iterator[tuple[Path, str]]:
    """Each file with the name of its report: its own, with a number behind it where an earlier file has that name."""
    taken: set[str] = set()
    for file in files:
        name, number = file.stem, 1
        while name.casefold() in taken:
            number += 1
            name = f"{file.stem} ({number})"
        taken.add(name.casefold())
        yield file, name


def _inside(folder: Path) -> Iterator[Path]:
    for top, folders, names in os.walk(folder):
        written_here = DONE in folders
        folders[:] = sorted(name for name in folders if not name.startswith("."))
        for name in sorted(names):
            if _is_returned(name) and not (written_here and name == _SUMMARY):
                yield Path(top, name)


def _is_returned(name: str) -> bool:
    lowered = name.lower()
    return (
        not name.startswith(("~$", "."))
        and Path(lowered).suffix in _WORKBOOKS
        and not lowered.endswith(_REPORT)
    )
