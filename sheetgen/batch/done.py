"""What a run leaves beside its reports, so that a later run can continue: one small file for each finished report.

It is written last. A report without it is not finished, and is made again.
"""

from __future__ import annotations

import contextlib
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

from sheetgen import templates
from sheetgen.batch.result import Result
from sheetgen.errors import SheetgenError
from sheetgen.recheck.model import Finding

if TYPE_CHECKING:
    from sheetgen.batch.one import Task

DONE = ".done"  # folder, inside the output folder
_FORMAT = 1


@cache
def _record() -> TypeAdapter[Any]:
    from sheetgen.recheck.report.summary import BookLine
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
    text = _record().dump_json(_record().validate_python(record))
    path = _path(task.out_dir, name)
    path.parent.mkdir(exist_ok=True)
    unfinished = path.with_name(f".{path.name}.unfinished")
    try:
        unfinished.write_bytes(text)
        unfinished.replace(path)
    finally:
        unfinished.unlink(missing_ok=True)


def read_done(path: Path, sha256: str, name: str, task: Task) -> Result | None:
    """The result of an earlier run, where its report is there and would be the same; None where it has to be made.

    The same means: the same bytes at the same place, rechecked by the same version for the same order and questions.
    """
    if task.out_dir is None:
        return None
    try:
        record = _record().validate_json(_path(task.out_dir, name).read_bytes())
    except (OSError, ValidationError):
        return None
    same = (record.format, record.sha256, record.program, record.asked, record.returned)
    if same != (_FORMAT, sha256, task.program, task.asked, _place(path)):
        return None
    reports = tuple(task.out_dir / report for report in record.reports)
    if not reports or not all(report.is_file() for report in reports):
        return None
    return Result(path, sha256, record.summary, record.line, record.findings, reports, kept=True)


def forget_done(name: str, task: Task) -> None:
    """Before a report is made again: should that be cut off, what is left must not pass for finished."""
    if task.out_dir is not None:
        with contextlib.suppress(FileNotFoundError):
            _path(task.out_dir, name).unlink()


@contextmanager
def sole_use(folder: Path) -> Iterator[None]:
    """Make the output folder, and keep other runs out of it; the system ends that with this process.

    Raises:
        SheetgenError: another run is writing into it, or it is a file.
    """
    say = templates.texts("en")
    if folder.exists() and not folder.is_dir():
        raise SheetgenError(say.say("batch.not_a_folder", folder=folder))
    (folder / DONE).mkdir(parents=True, exist_ok=True)
    with (folder / DONE / "in-use").open("a+b") as file:
        if not _locked(file):
            raise SheetgenError(say.say("batch.in_use", folder=folder))
        yield


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


def _path(out_dir: Path, name: str) -> Path:
    """Named by a digest: the name of a returned file may already be as long as a name can be."""
    return out_dir / DONE / f"{hashlib.sha256(name.encode('utf-8', 'surrogateescape')).hexdigest()[:32]}.json"


def _place(path: Path) -> str:
    """Reports hold links to the returned file, so a moved file needs a new report."""
    return os.fsencode(path.absolute()).decode("utf-8", "backslashreplace")
