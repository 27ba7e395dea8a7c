"""What is kept of one returned book in a run of many, so that thousands need no more memory than their lines."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import replace
from itertools import combinations
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Literal

from pydantic import Field

from sheetgen import templates
from sheetgen.audit.compute.pay import paid_key, quantity_paid
from sheetgen.audit.findings import finding, words_of
from sheetgen.audit.model import Recheck
from sheetgen.audit.report.contents import by_weight
from sheetgen.audit.report.document import Counts, Part, Severity
from sheetgen.audit.report.figures import Figures
from sheetgen.audit.report.payable import open_and_not_payable, payable_facts
from sheetgen.audit.report.returned_file import as_text
from sheetgen.audit.report.verdict import below_material, conclusion_facts
from sheetgen.audit.report.volume_at_stake import Stakes
from sheetgen.figures import day_text
from sheetgen.order.model import Order
from sheetgen.order.pay_terms import paid_kind, pay_decimals, pay_unit
from sheetgen.output import printable
from sheetgen.xlsx.returned import is_number

if TYPE_CHECKING:
    from sheetgen.register.wording import AcrossFinding

_CHANGED = "return-changes-earlier"
_OTHER_DAYS = "return-of-other-days"


class ShotPart(Part):
    """What is paid for one shot, and what of that findings ask about, in the book's unit of pay.

    Attributes:
        row: of the shot log; in a summary as printed, from 1
        cell: its first entry, with the sheet
        paid: what is payable of it as calculated
        not_payable: not payable, as was decided
        in_question: of that, what hangs on findings that are not decided
    """

    row: Annotated[int, Field(ge=0)]
    cell: str
    paid: float
    not_payable: float
    in_question: float


class FoundAt(Part):
    """What was found, and where.

    Attributes:
        name: as sheetgen explain takes it
        severity: error changes a quantity or breaks proof, query needs an explanation, note asks for nothing
        sheet: of the book; empty for a finding about the whole
        cell: of that sheet; empty for a finding about the whole
        found: what is in the book, or what happened
    """

    name: str
    severity: Severity
    sheet: str
    cell: str
    found: str


class ListedFinding(FoundAt):
    """One finding of a book, as the table of all books has it.

    Attributes:
        number: in the book's own report
        at_stake: how much of the payable quantity hangs on it at most, in the unit of pay; null where that cannot be
            said
        below_material: less is at stake than the threshold of materiality
    """

    number: int
    at_stake: float | None
    below_material: bool = False


class Contract(Part):
    """What the order says of the contract's quantity, in the unit of pay, and of money beyond it or short of it.

    Attributes:
        estimate: quantity that the contract estimates
        overrun_limit: part over it that the unit price holds for
        overrun_price: beyond that; null for the unit price
        underrun_limit: part below it that the unit price holds for
        underrun_share: part of the unit price paid on a shortfall
        underrun_price: of all that was done, with a shortfall
    """

    estimate: float
    overrun_limit: float | None
    overrun_price: float | None
    underrun_limit: float | None
    underrun_share: float | None
    underrun_price: float | None


class BookLine(Part):
    """What a summary says of one returned book.

    Attributes:
        file: its name; with folders where two files have one name
        sha256: SHA-256 of its bytes, hexadecimal
        report: the book's own recheck workbook, as seen from the summary
        identity: of the issued book; empty where the file has none
        job: number of the job
        distributor: name of the distributor
        origin: as origin.status of the book's own report
        conclusion: as conclusion.severity of the book's own report, findings across books included
        counts: how many findings of each severity, those across books included
        kinds: number of findings by name
        payable: recomputed, in the unit beside it
        book: the book's own figure for it
        claim: what is claimed for it; null where nothing is
        difference: claimed, or the book's own figure, less recomputed
        money: what the difference is worth; null where there is no unit price
        unit: of what is paid, as printed: of volume, weight or area
        currency: empty where the order names none
        undisputed: of what is payable as recomputed, what no finding asks about
        in_question: of what is payable as recomputed, what hangs on findings
        not_payable: of what is payable as recomputed, what is not, as was decided
        open: errors and queries that are not decided
        decided: errors and queries that are decided
        unit_price: of a unit of pay; null where the order gives none
        per_volume: what is paid for one unit of undiluted volume, in the unit of pay; 1 where volume is
        amount: money for what is payable as recomputed; null where there is no unit price
        money_decimals: of an amount of money
        contract: the contract's quantity for all books of the job; null where the order gives none
        invented: whether the job is a demonstration and does not exist
        decimals: of a payable quantity, by the order's rounding
        days: dates of its shots, loads and days, ISO 8601; an empty one is not known
        shots: that something is paid for
        findings: empty in a summary, which has those of all books together
        language: of the order, as its folder of texts is named
        paper: of the order: letter or a4
    """

    file: str
    sha256: str
    report: str
    identity: str
    job: str
    distributor: str
    origin: str
    conclusion: Literal["error", "query", "note", "clean"]
    counts: Counts
    kinds: dict[str, int]
    payable: float | None
    book: float | None
    claim: float | None
    difference: float | None
    money: float | None
    unit: str
    currency: str
    undisputed: float | None
    in_question: float | None
    not_payable: float | None
    open: int
    decided: int
    unit_price: float | None
    per_volume: float = 1.0
    amount: float | None = None
    money_decimals: int = 2
    contract: Contract | None = None
    invented: bool
    decimals: int
    days: list[str]
    shots: list[ShotPart]
    findings: list[ListedFinding]
    language: str
    paper: str


def line_of(recheck: Recheck, report: str | Path = "") -> BookLine:
    """What the summary keeps of one book; ``report`` is its workbook as seen from the summary's folder."""
    figures, payable, stakes = Figures(recheck.told), payable_facts(recheck), Stakes.of(recheck)
    conclusion = conclusion_facts(recheck, payable)
    own = quantity_paid(recheck.totals.overall, recheck.order)
    place = recheck.book_values.get(("overall", 0, paid_key(recheck.order)))
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
        conclusion=recheck.conclusion,
        counts=conclusion.counts,
        kinds=dict(Counter(finding.name for finding in recheck.findings)),
        payable=own,
        book=book,
        claim=recheck.claim,
        difference=difference,
        money=None if own is None or asked is None else figures.amount_between(own, asked),
        unit=pay_unit(recheck.told),
        currency=recheck.order.pay.currency,
        undisputed=None if payable is None else payable.undisputed.quantity,
        in_question=None if payable is None else payable.in_question.quantity,
        not_payable=None if payable is None else payable.not_payable.quantity,
        open=conclusion.open,
        decided=conclusion.decided,
        unit_price=recheck.order.pay.unit_price,
        per_volume=stakes.per_volume,
        amount=None if payable is None else payable.recomputed.money,
        money_decimals=recheck.order.pay.money_decimals,
        contract=_contract(recheck.order),
        invented=recheck.order.job.invented,
        decimals=pay_decimals(recheck.order),
        days=_days(recheck),
        shots=_shots(recheck, stakes),
        findings=[
            ListedFinding(
                number=number,
                name=one.name,
                severity=one.severity,
                sheet=one.sheet,
                cell=one.cell,
                found=one.found,
                at_stake=None if stake is None else stake * stakes.per_volume,
                below_material=below_material(recheck, one, stake),
            )
            for number, (one, stake) in enumerate(by_weight(recheck, stakes), start=1)
        ],
        language=recheck.told.language,
        paper=recheck.order.paper,
    )


def _contract(order: Order) -> Contract | None:
    if order.pay.estimate is None:
        return None
    return Contract(**{key: getattr(order.pay, key) for key in Contract.model_fields})


def _days(recheck: Recheck) -> list[str]:
    dates = {row["date"] for rows in (recheck.shot_rows, recheck.load_rows, recheck.day_rows) for row in rows}
    return sorted(day_text(date) for date in dates)


def _shots(recheck: Recheck, stakes: Stakes) -> list[ShotPart]:
    still_open, not_payable = open_and_not_payable(recheck, stakes)
    taken, asked = stakes.by_shot(not_payable), stakes.by_shot([*still_open, *not_payable])
    places: dict[int, str] = {}
    for one in recheck.entries:
        if one.table == "shots":
            places.setdefault(one.row, f"{one.sheet} {one.cell}")
    parts = stakes.paid
    if paid_kind(recheck.order) != "volume":
        taken, asked = stakes.quantity_of(taken), stakes.quantity_of(asked)
        parts = stakes.quantities
    return [
        ShotPart(
            row=row,
            cell=places.get(row, ""),
            paid=paid,
            not_payable=taken[row],
            in_question=max(0.0, asked[row] - taken[row]),
        )
        for row, paid in parts.items()
        if paid > 0
    ]


def days_apart(lines: Sequence[BookLine]) -> bool:
    """Whether several copies of a book have days, all of them known, and none in common."""
    known = [set(line.days) for line in lines]
    if len(known) < 2 or any(not days or "" in days for days in known):
        return False
    return not any(one & other for one, other in combinations(known, 2))


def told_as_days(across: Iterable[AcrossFinding], lines: Iterable[BookLine]) -> list[AcrossFinding]:
    """Findings across books, with copies for other days said as such, and not as changes of each other."""
    of = {line.file: line for line in lines}
    told = []
    for one in across:
        pair = [of[path] for path in map(as_text, (one.path, one.other_path)) if path in of]
        apart = one.finding.name == _CHANGED and len(pair) == 2 and days_apart(pair)
        told.append(_other_days(one, *pair) if apart else one)
    return told


def _other_days(one: AcrossFinding, line: BookLine, other: BookLine) -> AcrossFinding:
    say = templates.texts(line.language)
    facts = {"days": _listed(line), "other": printable(one.other_path), "other_days": _listed(other)}
    return replace(one, finding=finding(_OTHER_DAYS, **words_of(_OTHER_DAYS, say, facts)))


def _listed(line: BookLine, most: int = 6) -> str:
    return ", ".join(line.days[:most]) + (", …" if len(line.days) > most else "")
