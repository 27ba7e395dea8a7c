"""What a run leaves beside its reports, so that a later run can continue: one small file for each finished report.

It is written last. A report without it is not finished, and is made again.
"""

from __future__ import annotations

import hashlib
import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from functools import cache
from pathlib import Path
from typing import IO, TYPE_CHECKING, Any

from pydantic import TypeAdapter, ValidationError
from pydantic.dataclasses import dataclass as checked
from pydantic_core import to_json

from sheetgen import templates
from sheetgen.audit.model import Finding
from sheetgen.audit.report.own_files import saved_since
from sheetgen.batch import places
from sheetgen.batch.task import Result
from sheetgen.errors import SheetgenError
from sheetgen.whole_file import UNFINISHED, remove_left

if TYPE_CHECKING:
    from sheetgen.batch.places import Place
    from sheetgen.batch.task import Task

DONE = ".done"  # folder, inside the output folder
_FORMAT = 1


@cache
def _record() -> TypeAdapter[Any]:
    from sheetgen.batch.book_line import BookLine
    from sheetgen.register.summary import Summary

    @checked(frozen=True)
    class Record:
        """A finished report, and everything that it was made from."""

        format: int
        sha256: str
        program: str
        asked: str
        returned: str
        reports: tuple[str, ...]
        findings: tuple[Finding, ...]
        summary: Summary
        line: BookLine

    return TypeAdapter(Record)


def write_done(result: Result, name: str, task: Task) -> None:
    """Note that a report is finished."""
    if task.out_dir is None:
        return
    record = {
        "format": _FORMAT,
        "sha256": result.sha256,
        "program": task.program,
        "asked": task.asked,
        "returned": _place(result.path),
        "reports": [report.name for report in result.reports],
        "findings": result.findings,
        "summary": result.summary,
        "line": result.line,
    }
    text = to_json(record)
    path = _path(task.out_dir, name)
    places.make_folder(path.parent)
    places.write_whole(path, text)


def read_done(path: Place, sha256: str, name: str, task: Task) -> Result | None:
    """The result of an earlier run, where its report is there and would be the same; None where it has to be made.

    The same means: the same bytes at the same place, rechecked by the same version for the same order and questions.
    """
    if task.out_dir is None:
        return None
    try:
        text = places.read_whole(_path(task.out_dir, name))
        record = _record().validate_json(text)
    except (OSError, ValidationError):
        return None
    same = (record.format, record.sha256, record.program, record.asked, record.returned)
    if same != (_FORMAT, sha256, task.program, task.asked, _place(path)):
        return None
    reports = tuple(task.out_dir / report for report in record.reports)
    if not reports or not all(places.is_file(report) for report in reports):
        return None
    if any(saved_since(report) for report in reports if isinstance(report, Path)):
        return None  # somebody decided on findings in it
    return Result(path, sha256, record.summary, record.line, record.findings, reports, kept=True)


def forget_done(name: str, task: Task) -> None:
    """Before a report is made again: should that be cut off, what is left must not pass for finished."""
    if task.out_dir is not None:
        places.remove(_path(task.out_dir, name))


@contextmanager
def sole_use(folder: Place) -> Iterator[None]:
    """Make the output folder, and keep other runs out of it; the system ends that with this process.

    A storage named by a URL has no such locks. Two runs into one folder there do their work twice, and each file is
    whole and the same whichever of them wrote it last.

    Raises:
        SheetgenError: another run is writing into it, or it is a file.
    """
    say = templates.spoken_texts()
    if not places.is_folder(folder) and places.is_file(folder):
        raise SheetgenError(say.say("batch.not_a_folder", folder=folder))
    if not isinstance(folder, Path):
        _make_elsewhere(folder)
        yield
        return
    (folder / DONE).mkdir(parents=True, exist_ok=True)
    with (folder / DONE / "in-use").open("a+b") as file:
        if not _locked(file):
            raise SheetgenError(say.say("batch.in_use", folder=folder))
        for place in (folder, folder / DONE):
            for left in place.glob(
                f".*{UNFINISHED}"
            ):  # by a run that was killed; nobody else writes here now
                remove_left(left)
        yield


def _make_elsewhere(folder: Place) -> None:
    try:
        places.make_folder(folder / DONE)
    except OSError as error:
        say = templates.spoken_texts()
        raise SheetgenError(
            say.say("batch.no_storage", place=folder, reason=error.strerror or error)
        ) from error


def _locked(file: IO[bytes]) -> bool:
    """Whether this process has the file now: by a lock that the system drops when the process ends, however it does."""
    try:
        if sys.platform == "win32":
            import msvcrt

            file.seek(0)
            msvcrt.locking(file.fileno(), msvcrt.LK_NBLCK, 1)
        else:
            import fcntl

            fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except OSError:
        return False
    return True


def _path(out_dir: Place, name: str) -> Place:
    """Named by a digest: the name of a returned file may already be as long as a name can be."""
    return out_dir / DONE / f"{hashlib.sha256(name.encode('utf-8', 'surrogateescape')).hexdigest()[:32]}.json"


def _place(path: Place) -> str:
    """Reports hold links to the returned file, so a moved file needs a new report."""
    if not isinstance(path, Path):
        return str(path)
    return os.fsencode(path.absolute()).decode("utf-8", "backslashreplace")
