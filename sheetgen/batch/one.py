"""One returned file of a batch: rechecked, reported, noted as done; or the reason why not."""

from __future__ import annotations

import hashlib
import os
import traceback
from collections.abc import Callable
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from sheetgen import templates
from sheetgen.batch.done import forget_done, read_done, write_done
from sheetgen.batch.result import Result
from sheetgen.errors import SheetgenError, UnusableBook
from sheetgen.recheck.unusable import printable, unusable

if TYPE_CHECKING:
    from sheetgen.order.model import Order
    from sheetgen.recheck.model import Recheck

RecheckOne = Callable[..., "Recheck"]
WriteReport = Callable[..., "list[Path]"]


@dataclass(frozen=True, slots=True)
class Task:
    """What is to be done with every file of a batch; it goes to each process once.

    Attributes:
        out_dir: where reports go; None for none
        program: the program's version
        asked: digest of everything that the result depends on beside the file and the program
        fresh: make reports again that are there already
    """

    recheck_one: RecheckOne
    write_report: WriteReport
    order: Order | None
    out_dir: Path | None
    program: str
    asked: str
    fresh: bool = False


def default_recheck(path: Path, order: Order | None = None) -> Recheck:
    """The recheck of one returned book."""
    from sheetgen.recheck.run import recheck_book

    return recheck_book(path, order)


def default_report(recheck: Recheck, out_dir: Path, *, name: str) -> list[Path]:
    """The report of one returned book."""
    from sheetgen.recheck.report import write_report

    return write_report(recheck, out_dir, name=name)


def recheck_file(path: Path, name: str, task: Task) -> Result:
    """Recheck one file, and write its report under a name; never raises but to be stopped."""
    try:
        sha256 = _digest(path)
        kept = None if task.fresh else read_done(path, sha256, name, task)
        return kept or _made(path, sha256, name, task)
    except UnusableBook as error:
        return Result(path, error=error)
    except SheetgenError as error:
        return Result(path, error=_reason(path, "defect", reason=error), detail=traceback.format_exc())
    except FileNotFoundError:
        return Result(path, error=unusable(str(path), "missing", "workbook"))
    except IsADirectoryError:
        return Result(path, error=unusable(str(path), "not-a-file", "workbook"))
    except OSError as error:
        return Result(path, error=unusable(str(path), "unreadable", reason=error.strerror or error))
    except Exception as error:  # a defect must not stop the other files; its traceback is kept
        reason = f"{type(error).__name__}: {error}"
        return Result(path, error=_reason(path, "defect", reason=reason), detail=traceback.format_exc())


def lost_file(path: Path) -> Result:
    """The result for a file at which the process that worked on it died."""
    return Result(path, error=_reason(path, "died"))


def _made(path: Path, sha256: str, name: str, task: Task) -> Result:
    from sheetgen.recheck.report.summary import line_of
    from sheetgen.register.summary import summarize

    recheck = task.recheck_one(path, order=task.order)
    if (recheck.sha256 or _digest(path)) != sha256:
        raise _reason(path, "changed")
    reports = _reported(recheck, path, name, task)
    result = Result(
        path,
        sha256,
        replace(summarize(recheck, str(path)), sha256=sha256),
        line_of(recheck, reports[0].name if reports else ""),
        tuple(recheck.findings),
        reports,
    )
    try:
        write_done(result, name, task)
    except OSError as error:
        raise _reason(path, "not_written", reason=error.strerror or error) from error
    return result


def _reported(recheck: Recheck, path: Path, name: str, task: Task) -> tuple[Path, ...]:
    if task.out_dir is None:
        return ()
    try:
        forget_done(name, task)
        return tuple(task.write_report(recheck, task.out_dir, name=name))
    except OSError as error:
        raise _reason(path, "not_written", reason=error.strerror or error) from error


def _digest(path: Path) -> str:
    if path.exists() and not path.is_file():
        raise IsADirectoryError
    with path.open("rb") as file:
        return hashlib.file_digest(file, "sha256").hexdigest()


def _reason(path: Path, why: str, **facts: Any) -> UnusableBook:
    say = templates.texts("en")
    shown = {key: printable(str(value)) for key, value in facts.items()}
    found, expected, remedy = (
        say.say(f"batch.{why}.{part}", **shown) for part in ("found", "expected", "remedy")
    )
    return UnusableBook(printable(os.fsdecode(path), 4096), found, expected, remedy)
