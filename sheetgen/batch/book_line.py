"""What is kept of one returned book in a run of many, so that thousands need no more memory than their lines."""

from __future__ import annotations

from collections import Counter
from pathlib import Path
from typing import Literal

from pydantic import Field

from sheetgen.audit.compute.pay import paid_key, quantity_paid
from sheetgen.audit.model import Recheck
from sheetgen.audit.report.contents import by_weight
from sheetgen.audit.report.document import Counts, NameOfFinding, Part, SeverityOfFinding, SheetOfFinding
from sheetgen.audit.report.figures import Figures
from sheetgen.audit.report.payable import open_and_not_payable, payable_facts
from sheetgen.audit.report.returned_file import as_text
from sheetgen.audit.report.verdict import below_material, conclusion_facts
from sheetgen.audit.report.volume_at_stake import Stakes
from sheetgen.figures import day_text
from sheetgen.order.model import Order
from sheetgen.order.pay_terms import paid_kind, pay_decimals, pay_unit
from sheetgen.xlsx.returned import is_number


class ShotPart(Part):
    """What is paid for one shot, and what of that findings ask about, in the book's unit of pay."""

    row: int = Field(ge=0, description="of the shot log; in a summary as printed, from 1")
    cell: str = Field(description="its first entry, with the sheet")
    paid: float = Field(description="what is payable of it as calculated")
    not_payable: float = Field(description="not payable, as was decided")
    in_question: float = Field(description="of that, what hangs on findings that are not decided")


class ListedFinding(Part):
    """One finding of a book, as the table of all books has it."""

    number: int = Field(description="in the book's own report")
    name: NameOfFinding
    severity: SeverityOfFinding
    sheet: SheetOfFinding
    cell: str = Field(description="of that sheet; empty for a finding about the whole")
    found: str = Field(description="what is in the book, or what happened")
    at_stake: float | None = Field(
        description="how much of the payable quantity hangs on it at most; null where that cannot be said"
    )
    below_material: bool = Field(
        default=False, description="less is at stake than the threshold of materiality"
    )


class Contract(Part):
    """What the order says of the contract's quantity, in the unit of pay, and of money beyond it or short of it."""

    estimate: float = Field(description="quantity that the contract estimates")
    overrun_limit: float | None = Field(description="part over it that the unit price holds for")
    overrun_price: float | None = Field(description="beyond that; null for the unit price")
    underrun_limit: float | None = Field(description="part below it that the unit price holds for")
    underrun_share: float | None = Field(description="part of the unit price paid on a shortfall")
    underrun_price: float | None = Field(description="of all that was done, with a shortfall")


class BookLine(Part):
    """What a summary says of one returned book."""

    file: str = Field(description="its name; with folders where two files have one name")
    sha256: str = Field(description="SHA-256 of its bytes, hexadecimal")
    report: str = Field(description="the book's own recheck workbook, as seen from the summary")
    identity: str = Field(description="of the issued book; empty where the file has none")
    job: str = Field(description="number of the job")
    distributor: str = Field(description="name of the distributor")
    origin: str = Field(description="as origin.status of the book's own report")
    conclusion: Literal["error", "query", "note", "clean"] = Field(
        description="as conclusion.severity of the book's own report, findings across books included"
    )
    counts: Counts = Field(description="how many findings of each severity, those across books included")
    kinds: dict[str, int] = Field(description="number of findings by name")
    payable: float | None = Field(description="recomputed, in the unit beside it")
    book: float | None = Field(description="the book's own figure for it")
    claim: float | None = Field(description="what is claimed for it; null where nothing is")
    difference: float | None = Field(description="claimed, or the book's own figure, less recomputed")
    money: float | None = Field(description="what the difference is worth; null where there is no unit price")
    unit: str = Field(description="of what is paid, as printed: of volume, weight or area")
    currency: str = Field(description="empty where the order names none")
    undisputed: float | None = Field(
        description="of what is payable as recomputed, what no finding asks about"
    )
    in_question: float | None = Field(description="of what is payable as recomputed, what hangs on findings")
    not_payable: float | None = Field(
        description="of what is payable as recomputed, what is not, as was decided"
    )
    open: int = Field(description="errors and queries that are not decided")
    decided: int = Field(description="errors and queries that are decided")
    unit_price: float | None = Field(description="of a unit of pay; null where the order gives none")
    per_volume: float = Field(
        default=1.0,
        description="what is paid for one unit of undiluted volume, in the unit of pay; 1 where volume is",
    )
    amount: float | None = Field(
        default=None, description="money for what is payable as recomputed; null where there is no unit price"
    )
    money_decimals: int = Field(default=2, description="of an amount of money")
    contract: Contract | None = Field(
        default=None,
        description="the contract's quantity for all books of the job; null where the order gives none",
    )
    invented: bool = Field(description="whether the job is a demonstration and does not exist")
    decimals: int = Field(description="of a payable quantity, by the order's rounding")
    days: list[str] = Field(
        description="dates of its shots, loads and days, ISO 8601; an empty one is not known"
    )
    shots: list[ShotPart] = Field(description="that something is paid for")
    findings: list[ListedFinding] = Field(
        description="empty in a summary, which has those of all books together"
    )
    language: str = Field(description="of the order, as its folder of texts is named")
    paper: str = Field(description="of the order: letter or a4")


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
