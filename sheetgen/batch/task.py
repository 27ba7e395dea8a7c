"""What is to be done with every file of a run, and what comes of each: both go from process to process."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING, Literal

from sheetgen.audit.model import Finding
from sheetgen.batch.file_limits import MEGABYTES, SECONDS
from sheetgen.errors import UnusableBook
from sheetgen.templates import spoken

if TYPE_CHECKING:
    from sheetgen.audit.model import Recheck
    from sheetgen.batch.book_line import BookLine
    from sheetgen.batch.places import Place
    from sheetgen.order.model import Order
    from sheetgen.register.returns import Outcome
    from sheetgen.register.summary import Summary
    from sheetgen.xlsx.model import Book

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
        seconds: processor time that one file may take
        megabytes: memory that a process of a batch may take
        language: of the person who reads why a file could not be used
    """

    recheck_one: RecheckOne
    write_report: WriteReport
    order: Order | None
    out_dir: Place | None
    program: str
    asked: str
    fresh: bool = False
    seconds: float = SECONDS
    megabytes: int = MEGABYTES
    language: str = field(default_factory=spoken)


@dataclass(frozen=True, slots=True)
class Result:
    """The recheck of one returned file in short, or why there is none.

    Attributes:
        path: the file, as it was named or found: a path, or a ``UPath`` where it lies in a storage named by a URL
        summary: what is kept of the recheck for comparing books; None where the file could not be used
        line: what a summary of many books says of it
        findings: all of them
        reports: the files of its report; empty where none was to be written
        kept: whether this is the report of an earlier run, which still holds
        error: why the file could not be used, None where it could
        detail: of a defect of this program, the traceback for whoever mends it
        outcome: what the register says of it, None without a register
    """

    path: Place
    sha256: str = ""
    summary: Summary | None = None
    line: BookLine | None = None
    findings: tuple[Finding, ...] = ()
    reports: tuple[Place, ...] = ()
    kept: bool = False
    error: UnusableBook | None = None
    detail: str = field(default="", repr=False)
    outcome: Outcome | None = None

    @property
    def conclusion(self) -> Literal["error", "query", "note", "clean", "unusable"]:
        """The gravest severity among its findings, "clean" where there is none, "unusable" without a recheck."""
        if self.line is None:
            return "unusable"
        return self.line.conclusion


@dataclass(frozen=True, slots=True)
class IssuedAs:
    """Gives a book of an identity as it was issued; for ``partial(recheck_book, issued_as=IssuedAs(place))``.

    An open register cannot go to another process. This opens it when it is asked, which is for books of other
    templates alone.

    Attributes:
        place: the register's file or database address
    """

    place: str

    def __call__(self, identity: str) -> Book | None:
        """The book, None where the register does not know it."""
        from sheetgen.register.register import open_register

        with open_register(self.place) as register:
            return register.layout(identity)
