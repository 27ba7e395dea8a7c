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

import sheetgen
from sheetgen.errors import UnusableBook
from sheetgen.recheck.findings import catalogue
from sheetgen.recheck.model import Recheck
from sheetgen.recheck.report.document import Counts, Part, Severity
from sheetgen.recheck.report.figures import Figures
from sheetgen.recheck.report.returned_file import as_text, told_apart
from sheetgen.recheck.report.verdict import counts

if TYPE_CHECKING:
    from sheetgen.register import AcrossFinding


class BookLine(Part):
    """What a summary says of one returned book."""

    file: str = Field(description="its name; with folders where two files have one name")
    sha256: str
    report: str = Field(description="the book's own recheck workbook, as seen from the summary")
    identity: str
    job: str
    distributor: str
    origin: str
    verdict: Literal["wrong", "doubt", "note", "clean"]
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


class UnusableLine(Part):
    """A file that could not be used."""

    file: str
    found: str
    expected: str
    remedy: str


class AcrossLine(Part):
    """What one book says against another, or against an earlier return."""

    name: str
    severity: Severity
    file: str
    other: str = Field(description="the other file; empty where there is none")
    sheet: str
    cell: str
    found: str
    expected: str
    matters: str


class KindLine(Part):
    """One kind of finding over all books."""

    name: str
    severity: Severity
    count: int
    books: int


class TotalLine(Part):
    """The books of one unit and currency together, each book once however often it came back."""

    unit: str
    currency: str
    books: int = Field(description="that are in the sums")
    undecided: int = Field(
        description="left out of the sums: the book came back more than once, with different quantities"
    )
    payable: float
    difference: float
    money: float


class UnsupportedLine(Part):
    """A line of the claim sheet that no returned book stands behind."""

    book: str = Field(description="as the claim sheet names it, in lower case and without an ending")
    claimed: float = Field(description="in the unit that its book would have")


class SummaryDocument(Part):
    """The whole summary. ``templates_src/summary.schema.json`` is its JSON Schema."""

    format: Literal["sheetgen recheck summary"] = "sheetgen recheck summary"
    version: Literal[1] = 1
    program: str
    books: list[BookLine]
    totals: list[TotalLine]
    kinds: list[KindLine]
    across: list[AcrossLine]
    unsupported: list[UnsupportedLine]
    unusable: list[UnusableLine]


def line_of(recheck: Recheck, report: str | Path = "") -> BookLine:
    """What the summary keeps of one book; ``report`` is its workbook as seen from the summary's folder."""
    figures = Figures(recheck.order)
    own = recheck.totals.overall.get("payable")
    place = recheck.book_values.get(("overall", 0, "payable"))
    shown = place.value if place is not None else None
    book = float(shown) if isinstance(shown, int | float) and not isinstance(shown, bool) else None
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


def summary_of(
    lines: Sequence[BookLine],
    unusable: Sequence[UnusableBook],
    across: Sequence[AcrossFinding] = (),
    unsupported: Mapping[str, float] = MappingProxyType({}),
) -> SummaryDocument:
    """The summary as data."""
    paths = [line.file for line in lines] + [as_text(one.path) for one in unusable]
    names = told_apart(paths)
    return SummaryDocument(
        program=f"sheetgen {sheetgen.__version__}",
        books=[line.model_copy(update={"file": names[line.file]}) for line in lines],
        totals=_totals(lines),
        kinds=_kinds(lines),
        across=[_across(found, names) for found in across],
        unsupported=[
            UnsupportedLine(book=as_text(book), claimed=claimed)
            for book, claimed in sorted(unsupported.items())
        ],
        unusable=[
            UnusableLine(
                file=names[as_text(one.path)], found=one.found, expected=one.expected, remedy=one.remedy
            )
            for one in unusable
        ],
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
        out_dir: the folder, made where it is missing; a summary that is there is replaced
        language, paper: of the workbook: "en" or "es", "letter" or "a4"
        across: what the books say against each other, from the register
        unsupported: claimed quantities that no returned book stands behind, by what the claim sheet calls the book
    """
    from sheetgen.recheck.report.summary_sheets import write_summary_workbook
    from sheetgen.recheck.report.write import write_json

    folder = Path(out_dir)
    folder.mkdir(parents=True, exist_ok=True)
    document = summary_of(lines, unusable, across, unsupported)
    workbook = write_summary_workbook(document, folder / "summary.xlsx", language, paper)
    write_json(document, folder / "summary.json")
    return [workbook, folder / "summary.json"]


def _across(found: AcrossFinding, names: dict[str, str]) -> AcrossLine:
    one = found.finding
    path, other = as_text(found.path), as_text(found.other_path)
    return AcrossLine(
        name=one.name,
        severity=one.severity,
        file=names.get(path, path),
        other=names.get(other, other),
        sheet=one.sheet,
        cell=one.cell,
        found=one.found,
        expected=one.expected,
        matters=one.matters,
    )


def _totals(lines: Sequence[BookLine]) -> list[TotalLine]:
    groups: dict[tuple[str, str], list[BookLine]] = {}
    for line in lines:
        groups.setdefault((line.unit, line.currency), []).append(line)
    return [_total(unit, currency, group) for (unit, currency), group in groups.items()]


def _total(unit: str, currency: str, group: Sequence[BookLine]) -> TotalLine:
    """Paying every return of a book would pay it twice; which of two that differ counts, nobody here can tell."""
    returns: dict[str, list[BookLine]] = {}
    for place, line in enumerate(group):
        returns.setdefault(line.identity or f"no identity, line {place}", []).append(line)
    agreed = [same for same in returns.values() if len({one.payable for one in same}) == 1]
    counted = [next((one for one in same if one.claim is not None), same[0]) for same in agreed]
    return TotalLine(
        unit=unit,
        currency=currency,
        books=len(counted),
        undecided=len(group) - sum(map(len, agreed)),
        payable=sum(line.payable or 0.0 for line in counted),
        difference=sum(line.difference or 0.0 for line in counted),
        money=sum(line.money or 0.0 for line in counted),
    )


def _kinds(lines: Sequence[BookLine]) -> list[KindLine]:
    """Gravest first, then the most frequent."""
    found: Counter[str] = Counter()
    books: Counter[str] = Counter()
    for line in lines:
        found.update(line.kinds)
        books.update(line.kinds.keys())
    severities = ("wrong", "doubt", "note")
    kinds = [
        KindLine(name=name, severity=catalogue()[name].severity, count=number, books=books[name])
        for name, number in found.items()
    ]
    return sorted(kinds, key=lambda kind: (severities.index(kind.severity), -kind.count, kind.name))
