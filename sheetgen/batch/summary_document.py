"""What the summary of many returned books says, as data: its JSON file, and what its pages are drawn from."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from types import MappingProxyType
from typing import TYPE_CHECKING, Literal

from pydantic import Field

from sheetgen.audit.findings import catalogue
from sheetgen.audit.report.document import Part, Severity
from sheetgen.audit.report.returned_file import as_text, told_apart
from sheetgen.batch.book_line import BookLine
from sheetgen.errors import UnusableBook
from sheetgen.version import VERSION

if TYPE_CHECKING:
    from sheetgen.register import AcrossFinding


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
    undisputed: float
    in_question: float
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
        program=f"sheetgen {VERSION}",
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
        undisputed=sum(line.undisputed or 0.0 for line in counted),
        in_question=sum(line.in_question or 0.0 for line in counted),
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
    severities = ("error", "query", "note")
    kinds = [
        KindLine(name=name, severity=catalogue()[name].severity, count=number, books=books[name])
        for name, number in found.items()
    ]
    return sorted(kinds, key=lambda kind: (severities.index(kind.severity), -kind.count, kind.name))
