"""One returned file of a batch: rechecked, reported, noted as done; or the reason why not."""

from __future__ import annotations

import errno
import hashlib
import os
import traceback
from collections.abc import Callable, Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any, NoReturn, TypeVar

from sheetgen import templates
from sheetgen.audit.garbage_collection import collection_paused
from sheetgen.audit.report.own_files import has_name_of_report, refuse_others
from sheetgen.batch import places
from sheetgen.batch.finished_reports import forget_done, read_done, write_done
from sheetgen.batch.places import Desk, desk
from sheetgen.batch.task import Result, Task
from sheetgen.errors import ReportInTheWay, SheetgenError, UnusableBook
from sheetgen.output import in_full, printable
from sheetgen.xlsx.unusable import beyond, unusable

if TYPE_CHECKING:
    from sheetgen.audit.model import Recheck
    from sheetgen.batch.places import Place
    from sheetgen.order.model import Order

T = TypeVar("T")


def default_recheck(path: Path, order: Order | None = None) -> Recheck:
    """The recheck of one returned book."""
    from sheetgen.audit.run import recheck_book

    return recheck_book(path, order)


def default_report(recheck: Recheck, out_dir: Path, *, name: str) -> list[Path]:
    """The report of one returned book."""
    from sheetgen.audit.report import write_report

    return write_report(recheck, out_dir, name=name)


@collection_paused()
def recheck_file(path: Place, name: str, task: Task, data: bytes | None = None) -> Result:
    """Recheck one file, and write its report under a name; never raises but to be stopped.

    Args:
        data: the bytes of the file, where they came from another machine
    """

    def done_or_made() -> Result:
        if data is None and not isinstance(path, Path):
            _refuse_too_large(path)
        with desk(path, task.out_dir, data) as at:
            sha256 = _digest(at.file)
            kept = None if task.fresh else read_done(path, sha256, name, task)
            return kept or noted(_made(at, sha256, name, task), name, task)

    return told(path, done_or_made)


def recheck_sent(path: Place, name: str, task: Task, data: bytes) -> tuple[Result, tuple[bytes, ...]]:
    """Recheck a file that came as bytes; its report as bytes too, in the order of ``Result.reports``.

    Nothing is written or noted: that is for the machine that the reports belong to. Never raises but to be stopped.
    """
    contents: tuple[bytes, ...] = ()

    def made() -> Result:
        nonlocal contents
        with desk(path, task.out_dir, data) as at:
            result = _made(at, _digest(at.file), name, task, deliver=False)
            contents = tuple(report.read_bytes() for report in result.reports if isinstance(report, Path))
            assert task.out_dir is not None or not contents
            reports = tuple(task.out_dir / each.name for each in result.reports) if task.out_dir else ()
            return replace(result, reports=reports)

    return told(path, made), contents


def told(path: Place, work: Callable[[], T]) -> T | Result:
    """What comes of the work on one file, or a result that says why there is none."""
    try:
        return work()
    except UnusableBook as error:
        return Result(path, error=error)
    except ReportInTheWay as error:
        return Result(path, error=reason(path, "in_the_way", files=error.files))
    except SheetgenError as error:
        return Result(path, error=reason(path, "defect", reason=error), detail=traceback.format_exc())
    except (FileNotFoundError, IsADirectoryError):
        return Result(path, error=_no_file(path))
    except OSError as error:
        return Result(path, error=unusable(str(path), "unreadable", reason=error.strerror or error))
    except MemoryError:
        return Result(path, error=reason(path, "too_large"))
    except Exception as error:  # a defect must not stop the other files; its traceback is kept
        what = f"{type(error).__name__}: {error}"
        return Result(path, error=reason(path, "defect", reason=what), detail=traceback.format_exc())


def program() -> str:
    """This version of the program, as far as results depend on it."""
    from sheetgen.book.version import TEMPLATE_VERSION
    from sheetgen.version import VERSION

    return f"{VERSION} templates {TEMPLATE_VERSION}"


def read_book_bytes(path: Place) -> tuple[bytes, str]:
    """A file for another machine, and its digest; raises what :func:`told` tells."""
    if path.exists() and not path.is_file():
        raise IsADirectoryError
    _refuse_too_large(path)
    data = places.read_whole(path)
    return data, hashlib.sha256(data).hexdigest()


def lost_file(path: Place) -> Result:
    """The result for a file at which the process that worked on it died."""
    return Result(path, error=reason(path, "died"))


def slow_file(path: Place, task: Task) -> Result:
    """The result for a file that took more of the processor's time than any book needs."""
    return Result(path, error=reason(path, "too_long", seconds=f"{task.seconds:g}"))


def noted(result: Result, name: str, task: Task) -> Result:
    """Note that the report of a result is finished."""
    try:
        write_done(result, name, task)
    except OSError as error:
        raise reason(result.path, "not_written", reason=error.strerror or error) from error
    return result


def _made(at: Desk, sha256: str, name: str, task: Task, deliver: bool = True) -> Result:
    from sheetgen.batch.book_line import line_of
    from sheetgen.register.summary import summarize

    path = at.path
    try:
        recheck = task.recheck_one(at.file, order=task.order)
        if (recheck.sha256 or _digest(at.file)) != sha256:
            raise reason(path, "changed")
        reports = _reported(recheck, at, name, task, deliver)
    except UnusableBook as error:
        if not at.apart:
            raise
        shown = in_full(path)
        raise UnusableBook(shown, error.found, error.expected, error.remedy) from error
    recheck = replace(recheck, path=str(path)) if at.apart else recheck
    return Result(
        path,
        sha256,
        replace(summarize(recheck, str(path)), sha256=sha256),
        line_of(recheck, reports[0].name if reports else ""),
        tuple(recheck.findings),
        reports,
    )


def _reported(recheck: Recheck, at: Desk, name: str, task: Task, deliver: bool) -> tuple[Place, ...]:
    """The files of the report, delivered to where they belong."""
    if at.out_dir is None or task.out_dir is None:
        return ()
    try:
        if deliver:
            forget_done(name, task)
        written = tuple(task.write_report(recheck, at.out_dir, name=name))
        if not deliver or not at.apart:
            return written
        return delivered([(task.out_dir / report.name, report.read_bytes()) for report in written])
    except OSError as error:
        raise reason(at.path, "not_written", reason=error.strerror or error) from error


def delivered(reports: Sequence[tuple[Place, bytes]]) -> tuple[Place, ...]:
    """Write the files of a report that was made elsewhere, and say where they are; raises what writing them does.

    Which files a caller's own kind of report may replace is that caller's affair.
    """
    refuse_others(report for report, _data in reports if has_name_of_report(report.name))
    for report, data in reports:
        places.write_whole(report, data)
    return tuple(report for report, _data in reports)


def _no_file(path: Place) -> UnusableBook:
    """Why something that is no file was named, or stands for a folder without a returned book in it."""
    if not places.is_folder(path):
        return unusable(str(path), "not-a-file" if path.exists() else "missing", "workbook")
    try:
        next(iter(places.walk(path, _raise_denied)), None)
    except OSError as error:
        return reason(path, "closed_folder", reason=error.strerror or error)
    return reason(path, "no_books")


def _raise_denied(folder: Path) -> NoReturn:
    raise PermissionError(errno.EACCES, os.strerror(errno.EACCES), str(folder))


def _refuse_too_large(path: Place) -> None:
    """Before a file is fetched."""
    from sheetgen.xlsx.package import MAX_FILE, MEGABYTE

    size = places.size_of(path)
    if size > MAX_FILE:
        raise beyond(str(path), "file", MAX_FILE // MEGABYTE, "too-large", size=f"{size / MEGABYTE:,.0f} MB")


def _digest(path: Path) -> str:
    if path.exists() and not path.is_file():
        raise IsADirectoryError
    with path.open("rb") as file:
        return hashlib.file_digest(file, "sha256").hexdigest()


def reason(path: Place, why: str, **facts: Any) -> UnusableBook:
    """Why a batch gives no result for a file, in the words below ``batch`` of that name."""
    say = templates.spoken_texts()
    shown = {key: printable(str(value)) for key, value in facts.items()}
    found, expected, remedy = (
        say.say(f"batch.{why}.{part}", **shown) for part in ("found", "expected", "remedy")
    )
    return UnusableBook(in_full(path), found, expected, remedy)
