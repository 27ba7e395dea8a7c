"""What the summary of many returned books says, as data: its JSON file, and what its pages are drawn from."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from itertools import chain
from types import MappingProxyType
from typing import TYPE_CHECKING, Literal

from sheetgen.audit.findings import SEVERITIES, catalogue
from sheetgen.audit.model import Finding
from sheetgen.audit.report.document import Counts, Part, Severity
from sheetgen.audit.report.returned_file import as_text, told_apart
from sheetgen.audit.report.volume_at_stake import Held, covered
from sheetgen.batch.book_line import BookLine, Contract, FoundAt, ListedFinding, ShotPart, days_apart
from sheetgen.batch.sample_plan import SamplePlan, SampleTerms, plan_sample
from sheetgen.errors import UnusableBook
from sheetgen.trade.pay import PayTerms
from sheetgen.trade.rounding import round_half_away, without_dust
from sheetgen.version import VERSION

_COUNTED_LATER = "shots-in-later-book"  # of the register, which a summary can be made without

if TYPE_CHECKING:
    from sheetgen.register.wording import AcrossFinding


class UnusableLine(Part):
    """A file that could not be used.

    Attributes:
        file: its name; with folders where two files have one name
        found: what is wrong with it
        expected: what would be right
        remedy: what to do
    """

    file: str
    found: str
    expected: str
    remedy: str


class AcrossLine(FoundAt):
    """What one book says against another, or against an earlier return.

    Attributes:
        file: the file that the finding is about
        other: the other file; empty where there is none
        expected: what would be right
        matters: what hangs on it
    """

    file: str
    other: str
    expected: str
    matters: str


class FindingOf(FoundAt):
    """One finding of one of the books, or between two of them.

    Attributes:
        file: its name, as under books
        identity: of the book
        number: in the book's own report; null for one between two books
        at_stake: as in the book's own report, in the unit beside it
        unit: of what is paid, as printed
        money: what that is worth; null where there is no unit price
        currency: empty where the order names none
        below_material: less is at stake than the threshold of materiality
    """

    file: str
    identity: str
    number: int | None
    at_stake: float | None
    unit: str
    money: float | None
    currency: str
    below_material: bool


class KindLine(Part):
    """One kind of finding over all books.

    Attributes:
        name: as sheetgen explain takes it
        severity: of the kind
        count: findings of this kind in all books
        books: books with one or more of them
    """

    name: str
    severity: Severity
    count: int
    books: int


class TotalLine(Part):
    """The books of one unit of pay and currency together, each book once however often it came back.

    Attributes:
        unit: of what is paid, as printed
        currency: of money; empty where the orders name none
        books: that are in the sums
        undecided: left out of the sums: the book came back more than once, with different quantities
        together: lines of copies of one book for different days, added to each other
        payable: sum of what is payable as calculated
        undisputed: of that, what no open finding asks about
        in_question: of that, what hangs on findings that are not decided
        not_payable: of that, what is not payable, as was decided
        difference: sum of what is claimed, or of the books' own figures, less recomputed
        money: what the difference is worth
        amount: money for what is payable as calculated; null where a book has no unit price
    """

    unit: str
    currency: str
    books: int
    undecided: int
    together: int
    payable: float
    undisputed: float
    in_question: float
    not_payable: float
    difference: float
    money: float
    amount: float | None


class JobLine(Part):
    """All books of a job that the contract estimates a quantity for, together: what is paid if the work is done.

    Attributes:
        job: number of the job
        unit: of what is paid, as printed
        currency: of money; empty where the orders name none
        books: that are in the sums
        payable: sum of what is payable as calculated
        estimate: quantity that the contract estimates
        beyond: of what is payable, beyond the overrun allowed
        short: short of the underrun allowed, if the work is done
        amount: money for what is payable; null where there is no unit price
        amount_if_ended: the same if the work is done with these books
    """

    job: str
    unit: str
    currency: str
    books: int
    payable: float
    estimate: float
    beyond: float
    short: float
    amount: float | None
    amount_if_ended: float | None


class UnsupportedLine(Part):
    """A line of the claim sheet that no returned book supports.

    Attributes:
        book: as the claim sheet names it, in lower case and without an ending
        claimed: in the unit that its book would have
    """

    book: str
    claimed: float


class SummaryDocument(Part):
    """The whole summary. ``templates_src/summary.schema.json`` is its JSON Schema.

    Attributes:
        format: says which schema applies
        version: rises when a field changes its meaning, its name, or goes
        program: name and version of the program that rechecked
        books: one for each returned file that could be read
        totals: one for each unit and currency
        jobs: one for each job that the contract estimates a quantity for
        kinds: most serious first, then the most frequent
        findings: of all books: in their order, most serious first in each
        across: what books say against each other, or against an earlier return
        unsupported: lines of the claim sheet that no returned book supports
        unusable: files that could not be read
        sample: for each currency, and each unit of books without a price; empty where none was asked for
    """

    format: Literal["sheetgen recheck summary"] = "sheetgen recheck summary"
    version: Literal[3] = 3
    program: str
    books: list[BookLine]
    totals: list[TotalLine]
    jobs: list[JobLine]
    kinds: list[KindLine]
    findings: list[FindingOf]
    across: list[AcrossLine]
    unsupported: list[UnsupportedLine]
    unusable: list[UnusableLine]
    sample: list[SamplePlan]


def summary_of(
    lines: Sequence[BookLine],
    unusable: Sequence[UnusableBook],
    across: Sequence[AcrossFinding] = (),
    unsupported: Mapping[str, float] = MappingProxyType({}),
    sample: SampleTerms | None = None,
) -> SummaryDocument:
    """The summary as data."""
    lines = with_across(counted_once(lines, across), across)
    paths = [line.file for line in lines] + [as_text(one.path) for one in unusable]
    names = told_apart(paths)
    return SummaryDocument(
        program=f"sheetgen {VERSION}",
        books=[line.model_copy(update={"file": names[line.file], "findings": []}) for line in lines],
        findings=[one for line in lines for one in _findings(line, names[line.file], across)],
        totals=_totals(lines),
        jobs=_jobs(lines),
        kinds=_kinds(lines, across),
        across=[across_line(found, names) for found in across],
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
        sample=[] if sample is None else _samples(lines, names, sample),
    )


def _findings(line: BookLine, file: str, across: Sequence[AcrossFinding]) -> Iterator[FindingOf]:
    """What is said of a book: by its own recheck, and by those of others."""
    own: list[tuple[int | None, ListedFinding | Finding, float | None]] = [
        (one.number, one, one.at_stake) for one in line.findings
    ]
    own += [
        (None, one.finding, (one.finding.stake or 0.0) * line.per_volume or None)
        for one in across
        if as_text(one.path) == line.file
    ]
    for number, one, stake in own:
        money = None if stake is None or line.unit_price is None else stake * line.unit_price
        yield FindingOf(
            file=file, identity=line.identity, number=number, name=one.name, severity=one.severity,
            sheet=one.sheet, cell=one.cell, found=one.found, at_stake=stake, unit=line.unit, money=money,
            currency=line.currency, below_material=isinstance(one, ListedFinding) and one.below_material,
        )  # fmt: skip


def across_line(found: AcrossFinding, names: dict[str, str]) -> AcrossLine:
    """Give a finding across books as JSON has it; ``names`` are those of files where they are not their paths."""
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
    return [_total(unit, currency, group) for (unit, currency), group in _groups(lines).items()]


def _groups(lines: Sequence[BookLine]) -> dict[tuple[str, str], list[BookLine]]:
    groups: dict[tuple[str, str], list[BookLine]] = {}
    for line in lines:
        groups.setdefault((line.unit, line.currency), []).append(line)
    return groups


def _samples(lines: Sequence[BookLine], names: dict[str, str], terms: SampleTerms) -> list[SamplePlan]:
    """A sample of the books that are in a total, for each currency, and each unit of books that have no price."""
    named = [line.model_copy(update={"file": names[line.file]}) for line in lines]
    alike: dict[str, list[BookLine]] = {}
    for (unit, currency), group in _groups(named).items():
        priced = all(line.unit_price is not None for line in group)
        alike.setdefault(currency if priced else unit, []).extend(chain(*_counted(group)[0]))
    plans = [plan_sample(books, terms) for books in alike.values()]
    return [plan for plan in plans if plan is not None]


def _counted(group: Sequence[BookLine]) -> tuple[list[list[BookLine]], int]:
    """The lines of a group that are paid, by book: one of each, or all its copies where no day is in two of them.

    With how many lines those of undecided books are.
    """
    returns: dict[str, list[BookLine]] = {}
    for place, line in enumerate(group):
        returns.setdefault(line.identity or f"no identity, line {place}", []).append(line)
    apart = [same for same in returns.values() if days_apart(same)]
    agreed = [
        same for same in returns.values() if same not in apart and len({one.payable for one in same}) == 1
    ]
    counted = [[next((one for one in same if one.claim is not None), same[0])] for same in agreed]
    return [*counted, *apart], len(group) - sum(map(len, [*agreed, *apart]))


def _difference(copies: list[BookLine]) -> tuple[float, float]:
    """What is claimed for a book, or its own figure, less the recomputed one; and what that is worth."""
    if len(copies) == 1 or copies[0].claim is None:
        return sum(one.difference or 0.0 for one in copies), sum(one.money or 0.0 for one in copies)
    quantity = copies[0].claim - sum(one.payable or 0.0 for one in copies)  # the claim is for all of its days
    return quantity, quantity * (copies[0].unit_price or 0.0)


def _total(unit: str, currency: str, group: Sequence[BookLine]) -> TotalLine:
    """Paying every return of a book would pay it twice; which of two that differ counts, nobody here can tell."""
    books, undecided = _counted(group)
    counted, differences = list(chain(*books)), list(map(_difference, books))
    return TotalLine(
        unit=unit,
        currency=currency,
        books=len(books),
        undecided=undecided,
        together=sum(len(each) for each in books if len(each) > 1),
        payable=sum(line.payable or 0.0 for line in counted),
        undisputed=sum(line.undisputed or 0.0 for line in counted),
        not_payable=sum(line.not_payable or 0.0 for line in counted),
        in_question=sum(line.in_question or 0.0 for line in counted),
        difference=sum(volume for volume, _ in differences),
        money=sum(money for _, money in differences),
        amount=amount_of(counted),
    )


def amount_of(lines: Sequence[BookLine]) -> float | None:
    """Give the money for what is payable of several books; None where one that has something has no price."""
    amounts = [line.amount for line in lines if line.payable]
    if None in amounts:
        return None
    return without_dust(sum(each or 0.0 for each in amounts))


def _jobs(lines: Sequence[BookLine]) -> list[JobLine]:
    """The jobs with a contract's quantity, each book of them once."""
    groups: dict[tuple[str, str, str], list[BookLine]] = {}
    contracts: dict[tuple[str, str, str], Contract] = {}
    for line in lines:
        if line.contract is not None:
            key = (line.job, line.unit, line.currency)
            groups.setdefault(key, []).append(line)
            contracts[key] = line.contract
    return [_job(*key, group, contracts[key]) for key, group in groups.items()]


def _job(job: str, unit: str, currency: str, group: Sequence[BookLine], contract: Contract) -> JobLine:
    """By the contract's terms as the last of the books has them."""
    (books, _), last = _counted(group), group[-1]
    terms = PayTerms(unit_price=last.unit_price, money_decimals=last.money_decimals, **contract.model_dump())
    quantity = round_half_away(
        without_dust(sum(line.payable or 0.0 for line in chain(*books))), last.decimals
    )
    return JobLine(
        job=job,
        unit=unit,
        currency=currency,
        books=len(books),
        payable=quantity,
        estimate=contract.estimate,
        beyond=terms.beyond(quantity),
        short=terms.short(quantity),
        amount=terms.amount(quantity),
        amount_if_ended=terms.amount_if_ended(quantity),
    )


def counted_once(lines: Sequence[BookLine], across: Sequence[AcrossFinding]) -> list[BookLine]:
    """The lines without the shots that count in the book of a revision."""
    elsewhere: dict[str, set[int]] = {}
    for one in across:
        if one.finding.name == _COUNTED_LATER:
            elsewhere.setdefault(as_text(one.path), set()).update(one.finding.shots)
    return [_without(line, elsewhere[line.file]) if line.file in elsewhere else line for line in lines]


def _without(line: BookLine, rows: set[int]) -> BookLine:
    """A line without some of its shots; what is claimed for them is claimed twice."""
    kept = [shot for shot in line.shots if shot.row not in rows]
    gone = [shot for shot in line.shots if shot.row in rows]

    def less(total: float | None, part: str) -> float | None:
        if total is None:
            return None
        rest = round_half_away(total - sum(getattr(shot, part) for shot in gone), line.decimals)
        return max(0.0, rest) if kept else 0.0

    payable, not_payable = less(line.payable, "paid"), less(line.not_payable, "not_payable")
    question = less(line.in_question, "in_question")
    new: dict[str, object] = {
        "shots": kept,
        "payable": payable,
        "not_payable": not_payable,
        "in_question": question,
    }
    if None not in (payable, not_payable, question):
        new["undisputed"] = max(0.0, (payable or 0.0) - (not_payable or 0.0) - (question or 0.0))
    if line.claim is not None and payable is not None:
        new["difference"] = line.claim - payable
        new["money"] = None if line.unit_price is None else (line.claim - payable) * line.unit_price
    if line.amount is not None and payable is not None:
        # of the shots that are left, at the unit price: the contract's quantity is that of all books of the job
        new["amount"] = PayTerms(unit_price=line.unit_price, money_decimals=line.money_decimals).amount(
            payable
        )
    return line.model_copy(update=new)


def with_across(lines: Sequence[BookLine], across: Sequence[AcrossFinding]) -> list[BookLine]:
    """The lines with what the books say against each other: in counts, conclusion and what is in question.

    What stands at a cell counts in both books; its material is in question in the later one alone, from which it
    would be taken.
    """
    said: dict[str, list[Finding]] = {}
    later: dict[str, list[Finding]] = {}
    for one in across:
        path, other = as_text(one.path), as_text(one.other_path)
        later.setdefault(path, []).append(one.finding)
        for file in {path, other} if one.finding.sheet and other else {path}:
            said.setdefault(file, []).append(one.finding)
    return [
        _with(line, said[line.file], later.get(line.file, [])) if line.file in said else line
        for line in lines
    ]


def _with(line: BookLine, said: list[Finding], later: list[Finding]) -> BookLine:
    counted = Counter(one.severity for one in said)
    counts = Counts(**{key: getattr(line.counts, key) + counted[key] for key in SEVERITIES})
    conclusion = next((key for key in SEVERITIES if getattr(counts, key)), "clean")
    shots = _asked(line, [one for one in later if one.severity != "note"])
    question = round_half_away(sum(shot.in_question for shot in shots), line.decimals)
    left = (line.payable or 0.0) - (line.not_payable or 0.0)
    question = min(left, max(question, line.in_question or 0.0))
    known = {} if line.payable is None else {"in_question": question, "undisputed": left - question}
    still_open = line.open + counted["error"] + counted["query"]
    new = {"counts": counts, "conclusion": conclusion, "shots": shots, "open": still_open, **known}
    return line.model_copy(update=new)


def _asked(line: BookLine, findings: list[Finding]) -> list[ShotPart]:
    """What is in question of each shot of a book, by its own findings and by those across books."""
    paid = {shot.row: shot.paid - shot.not_payable for shot in line.shots}
    held = [Held(shot.in_question, (shot.row,)) for shot in line.shots]
    for one in findings:
        rows = tuple(one.shots or paid) if one.sheet else ()
        whole = sum(paid.get(row, 0.0) for row in rows)
        held.append(Held(whole if one.stake is None else one.stake * line.per_volume, rows))
    taken = covered(held, paid)
    return [shot.model_copy(update={"in_question": taken[shot.row]}) for shot in line.shots]


def _kinds(lines: Sequence[BookLine], across: Sequence[AcrossFinding]) -> list[KindLine]:
    """Gravest first, then the most frequent. A finding across books is one, of two books."""
    found: Counter[str] = Counter()
    books: Counter[str] = Counter()
    for line in lines:
        found.update(line.kinds)
        books.update(line.kinds.keys())
    found.update(one.finding.name for one in across)
    files = {(one.finding.name, file) for one in across for file in (one.path, one.other_path) if file}
    books.update(name for name, _ in files)
    kinds = [
        KindLine(name=name, severity=catalogue()[name].severity, count=number, books=books[name])
        for name, number in found.items()
    ]
    return sorted(kinds, key=lambda kind: (SEVERITIES.index(kind.severity), -kind.count, kind.name))
