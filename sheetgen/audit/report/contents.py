"""From a recheck to what its report says."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from typing import Any

from sheetgen.audit.compute.pay import paid_key, quantity_paid
from sheetgen.audit.compute.uncertainty import COVERAGE
from sheetgen.audit.decisions import match
from sheetgen.audit.findings import catalogue
from sheetgen.audit.model import Decision, Finding, Recheck
from sheetgen.audit.report import comparison
from sheetgen.audit.report.document import (
    BookFacts,
    Claim,
    DecisionLine,
    Document,
    EntryLine,
    File,
    FindingLine,
    Money,
    Result,
)
from sheetgen.audit.report.figures import Figures
from sheetgen.audit.report.payable import payable_facts
from sheetgen.audit.report.returned_file import file_name
from sheetgen.audit.report.verdict import asked_for, below_material, conclusion_facts, origin_facts
from sheetgen.audit.report.volume_at_stake import Stakes
from sheetgen.order.pay_terms import paid_kind, pay_unit
from sheetgen.units import units
from sheetgen.version import VERSION

_RANKS = {"error": 0, "query": 1, "note": 2}
_FOLLOWS = {
    "value-differs-from-recheck": 1,
    "total-differs-from-recheck": 2,
}  # a changed formula brings them along
_ONE_READING = {
    "date-read-by-context",
    "number-read-by-range",
    "station-read-by-range",
}  # no other was possible


def contents(recheck: Recheck, date: dt.date | None = None) -> Document:
    """Everything that the report on one book says, in the language of its order.

    Args:
        recheck: the result for one returned book
        date: the day of the recheck; without one the same recheck gives the same document on every day
    """
    totals, payable = comparison.total_results(recheck), payable_facts(recheck)
    return Document(
        program=f"sheetgen {VERSION}",
        date=None if date is None else date.isoformat(),
        coverage=COVERAGE,
        file=File(name=file_name(recheck.path), sha256=recheck.sha256, program=recheck.program),
        book=_book(recheck),
        origin=origin_facts(recheck),
        conclusion=conclusion_facts(recheck, payable),
        material=None if recheck.material is None else _material(recheck, recheck.material),
        totals=totals,
        worth=_worth(recheck, totals[paid_key(recheck.order)]),
        payable=payable,
        claim=_claim(recheck),
        findings=_findings(recheck),
        decisions=_decisions(recheck),
        shots=comparison.shot_lines(recheck),
        loads=comparison.lines(recheck, "loads", recheck.load_rows),
        days=comparison.lines(recheck, "days", recheck.day_rows),
        sections=comparison.lines(recheck, "sections", recheck.section_rows),
        paid_sections=comparison.lines(recheck, f"pay_{paid_kind(recheck.order)}", recheck.paid_rows),
        changes=comparison.lines(recheck, "changes", recheck.change_rows),
        monitor=comparison.lines(recheck, "monitor", recheck.monitor_rows),
        gauges=comparison.lines(recheck, "gauges", recheck.gauge_rows),
        entries=[
            EntryLine(
                table=each.table, row=each.row, column=each.column, sheet=each.sheet, cell=each.cell,
                raw=each.raw, value=each.value, how=each.how, trouble=each.trouble,
            )
            for each in recheck.entries
        ],
    )  # fmt: skip


def _book(recheck: Recheck) -> BookFacts:
    order = recheck.told
    figures = Figures(order)
    return BookFacts(
        identity=recheck.identity,
        template=recheck.template,
        job=order.job.number,
        job_name=order.job.name,
        place=order.job.place,
        invented=order.job.invented,
        distributor=recheck.machine.name,
        material=order.material.grade,
        language=order.language,
        units=order.units,
        base_temperature=figures.base,
        unit_of={kind: figures.unit(kind) for kind in units(order.units)},
        currency=order.pay.currency,
        unit_price=order.pay.unit_price,
        pay_unit=pay_unit(order),
        paid_by=order.pay.unit,
    )


def _findings(recheck: Recheck) -> list[FindingLine]:
    """Gravest first; within a severity by what is at stake, then causes before what follows from them.

    What the crew acknowledged comes behind the queries that nobody has looked at.
    Entries that could be read in one way only, though not as they stand, come behind all that needs an explanation.
    """
    language = recheck.told.language
    weighed = by_weight(recheck, Stakes.of(recheck))
    return [
        _finding(number, one, stake, language)._replace(below_material=below_material(recheck, one, stake))
        for number, (one, stake) in enumerate(weighed, start=1)
    ]


def _decisions(recheck: Recheck) -> list[DecisionLine]:
    """What was decided on each finding that asks for something; then what was decided on others, lest it be lost."""
    weighed = [one for one, _ in by_weight(recheck, Stakes.of(recheck))]
    findings = asked_for(replace(recheck, findings=weighed))
    matched = match(findings, recheck.decisions)
    numbers = [number for number, one in enumerate(weighed, start=1) if one.severity != "note"]
    lines = []
    for place, (number, one) in enumerate(zip(numbers, findings, strict=True)):
        each = matched.of.get(place) or Decision(one.name)
        at = replace(each, sheet=one.sheet, cell=one.cell, found=one.found)
        lines.append(DecisionLine(number, *_fields(at)))
    return lines + [DecisionLine(None, *_fields(each)) for each in matched.left]


def _fields(each: Decision) -> tuple[Any, ...]:
    return tuple(getattr(each, key) for key in DecisionLine._fields[1:])


def by_weight(recheck: Recheck, stakes: Stakes) -> list[tuple[Finding, float | None]]:
    """Findings in the order of the report, each with what is at stake; those below the threshold come last."""
    weighed = [(one, stakes.at_stake(one)) for one in recheck.findings]
    weighed.sort(
        key=lambda each: (
            below_material(recheck, *each),
            _RANKS[each[0].severity],
            bool(each[0].acknowledged),
            each[0].name in _ONE_READING,
            each[1] is None,
            -round(each[1] or 0.0, 6),
            _FOLLOWS.get(each[0].name, 0),
        )
    )
    return weighed


def _finding(number: int, one: Finding, stake: float | None, language: str) -> FindingLine:
    kind = catalogue()[one.name]
    return FindingLine(
        number=number, name=one.name, severity=one.severity, title=kind.text("title", language),
        sheet=one.sheet, cell=one.cell, found=one.found, expected=one.expected, matters=one.matters,
        why=kind.text("why", language), remedy=kind.text("remedy", language), row=one.row, at_stake=stake,
        acknowledged=one.acknowledged,
    )  # fmt: skip


def _material(recheck: Recheck, volume: float) -> Money:
    return Money(volume=volume, money=Figures(recheck.told).worth(volume))


def _worth(recheck: Recheck, paid: Result) -> dict[str, Money]:
    """What the book's own payable quantity has too much, and what the recheck deducts, in money."""
    figures, found, per_volume = Figures(recheck.told), dict[str, Money](), Stakes.of(recheck).per_volume
    if paid.difference is not None and isinstance(paid.book, int | float):
        found["book"] = _between(paid.difference, float(paid.book), figures, per_volume)
    deducted = recheck.totals.overall.get("deducted")
    if deducted is not None:
        found["deducted"] = Money(volume=deducted, money=figures.worth(deducted))
    return found


def _between(difference: float, quantity: float, figures: Figures, per_volume: float) -> Money:
    """A difference in the unit of pay, of a quantity from the recomputed one."""
    money = figures.amount_between(quantity - difference, quantity)
    return Money(difference / (per_volume or 1.0), money, difference)


def _claim(recheck: Recheck) -> Claim | None:
    if recheck.claim is None:
        return None
    own = quantity_paid(recheck.totals.overall, recheck.order)
    difference = None
    if own is not None:
        per_volume = Stakes.of(recheck).per_volume
        difference = _between(recheck.claim - own, recheck.claim, Figures(recheck.told), per_volume)
    return Claim(claimed=recheck.claim, recomputed=own, difference=difference)
