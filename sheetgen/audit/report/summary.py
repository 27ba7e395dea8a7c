"""Many returned books on a few pages: one line for each, the findings by kind, and what could not be used.

A :class:`BookLine` is all that is kept of a book, so that a batch of thousands needs no more memory than its lines.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from pathlib import Path
from types import MappingProxyType
from typing import TYPE_CHECKING, Literal

from pydantic import Field

from sheetgen.audit.model import Recheck
from sheetgen.audit.report.document import Counts, Part
from sheetgen.audit.report.figures import Figures
from sheetgen.audit.report.returned_file import as_text
from sheetgen.audit.report.verdict import counts
from sheetgen.errors import UnusableBook
from sheetgen.whole_file import together
from sheetgen.xlsx.returned import is_number

if TYPE_CHECKING:
    from sheetgen.register import AcrossFinding


SUMMARY = ("summary.xlsx", "summary.json")


class BookLine(Part):
    """What a summary says of one returned book."""

    file: str = Field(description="its name; with folders where two files have one name")
    sha256: str
    report: str = Field(description="the book's own recheck workbook, as seen from the summary")
    identity: str
    job: str
    distributor: str
    origin: str
    verdict: Literal["error", "query", "note", "clean"]
    counts: Counts
    kinds: dict[str, int] = Field(description="number of findings by name")
    payable: float | None = Field(description="recomputed, in the unit beside it")
    book: float | None = Field(description="the book's own figure for it")
    claim: float | None
    difference: float | None = Field(description="claimed, or the book's own figure, less recomputed")
    money: float | None = Field(description="what the difference is worth; null where there is no unit price")
    unit: str
    currency: str
    decimals: int = Field(description="of a payable quantity, by the order's rounding")
    language: str
    paper: str


def line_of(recheck: Recheck, report: str | Path = "") -> BookLine:
    """What the summary keeps of one book; ``report`` is its workbook as seen from the summary's folder."""
    figures = Figures(recheck.order)
    own = recheck.totals.overall.get("payable")
    place = recheck.book_values.get(("overall", 0, "payable"))
    shown = place.value if place is not None else None
    book = float(shown) if is_number(shown) else None
    asked = book if recheck.claim is None else recheck.claim
    difference = None if asked is None or own is None else asked - own
    return BookLine(
        file=as_text(recheck.path),
        sha256=recheck.sha256,
        report=Path(report).as_posix().encode("utf-8", "replace").decode() if str(report) else "",
        identity=recheck.identity,
        job=recheck.order.job.number,
        distributor=recheck.machine.name,
        origin=recheck.origin,
        verdict=recheck.verdict,
        counts=counts(recheck.findings),
        kinds=dict(Counter(finding.name for finding in recheck.findings)),
        payable=own,
        book=book,
        claim=recheck.claim,
        difference=difference,
        money=None if difference is None else figures.worth(difference),
        unit=figures.unit("volume"),
        currency=recheck.order.pay.currency,
        decimals=recheck.order.rounding.pay,
        language=recheck.order.language,
        paper=recheck.order.paper,
    )


def write_summary(
    lines: Sequence[BookLine],
    unusable: Sequence[UnusableBook],
    out_dir: str | Path,
    language: str = "en",
    paper: str = "letter",
    across: Sequence[AcrossFinding] = (),
    unsupported: Mapping[str, float] = MappingProxyType({}),
) -> list[Path]:
    """Write ``summary.xlsx`` and ``summary.json`` into a folder, and say where they are.

    Args:
        lines: one for each returned book, from :func:`line_of`, in the order they are to stand in
        unusable: what was raised for the files that could not be used
        out_dir: the folder, made where it is missing; a summary that is there is replaced, any other file is not
        language, paper: of the workbook: "en" or "es", "letter" or "a4"
        across: what the books say against each other, from the register
        unsupported: claimed quantities that no returned book stands behind, by what the claim sheet calls the book

    Raises:
        ReportInTheWay: another file lies in the place of the summary, or one that was changed since.
    """
    from sheetgen.audit.report.own_files import refuse_others
    from sheetgen.audit.report.summary_document import summary_of
    from sheetgen.audit.report.summary_sheets import write_summary_workbook
    from sheetgen.audit.report.write import write_json

    folder = Path(out_dir)
    document = summary_of(lines, unusable, across, unsupported)
    with together(folder, refuse_others) as stage:
        written = [
            write_summary_workbook(document, stage / SUMMARY[0], language, paper),
            write_json(document, stage / SUMMARY[1]),
        ]
    return [folder / file.name for file in written]
