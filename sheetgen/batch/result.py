"""What a batch gives for each returned file, small enough to go from process to process by the thousand."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Literal

from sheetgen.audit.model import Finding
from sheetgen.errors import UnusableBook

if TYPE_CHECKING:
    from sheetgen.batch.book_line import BookLine
    from sheetgen.batch.places import Place
    from sheetgen.register.outcome import Outcome
    from sheetgen.register.summary import Summary


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
