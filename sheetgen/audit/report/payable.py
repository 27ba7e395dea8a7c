"""What is payable in three figures: as recomputed, undisputed, and in question for its largest reasons.

Money is that of the contract for the quantity: in question is what the amount would be less without it.
"""

from __future__ import annotations

from dataclasses import replace

from sheetgen.audit.compute.pay import quantity_paid
from sheetgen.audit.decisions import CORRECTED, NOT_PAYABLE, holds, match
from sheetgen.audit.findings import catalogue
from sheetgen.audit.model import Finding, Recheck
from sheetgen.audit.report.document import Money, Payable, Reason
from sheetgen.audit.report.figures import Figures
from sheetgen.audit.report.volume_at_stake import Stakes
from sheetgen.order.pay_terms import pay_terms

_REASONS = 3


def payable_facts(recheck: Recheck) -> Payable | None:
    """Give the three figures, in the unit of pay and in money; None where none can be computed."""
    own = quantity_paid(recheck.totals.overall, recheck.order)
    if own is None:
        return None
    figures, stakes = Figures(recheck.told), Stakes.of(recheck)
    still_open, not_payable = open_and_not_payable(recheck, stakes)
    both = [*still_open, *not_payable]
    taken, asked = stakes.quantity_in_question(not_payable), stakes.quantity_in_question(both)
    less, least = stakes.in_question(not_payable), stakes.in_question(both)

    def part(volume: float, low: float, high: float) -> Money:
        return Money(volume, figures.amount_between(low, high), high - low)

    return Payable(
        recomputed=Money(stakes.payable, pay_terms(recheck.order).amount(own), own),
        undisputed=Money(stakes.payable - least, pay_terms(recheck.order).amount(own - asked), own - asked),
        in_question=part(least - less, own - asked, own - taken),
        not_payable=part(less, own - taken, own),
        reasons=_reasons(recheck, still_open, stakes, figures, own)[:_REASONS],
    )


def open_and_not_payable(recheck: Recheck, stakes: Stakes) -> tuple[list[Finding], list[Finding]]:
    """Findings that are not decided, and those by which something is not payable, with what that is.

    What is accepted is neither; of a finding corrected to a volume the rest of what is at stake is not payable.
    """
    decided = match(recheck.findings, recheck.decisions).of
    still_open: list[Finding] = []
    not_payable: list[Finding] = []
    for place, one in enumerate(recheck.findings):
        decision = decided.get(place)
        if decision is None or not holds(decision):
            still_open.append(one)
        elif decision.decision == NOT_PAYABLE:
            not_payable.append(one)
        elif decision.decision == CORRECTED:
            not_payable.append(
                replace(one, stake=max(0.0, (stakes.at_stake(one) or 0.0) - (decision.value or 0.0)))
            )
    return still_open, not_payable


def payable_sentences(payable: Payable | None, figures: Figures) -> list[str]:
    """Say what is undisputed, what is in question and why."""
    if payable is None:
        return []
    say = figures.say
    parts = {
        "undisputed": payable.undisputed,
        "question": payable.in_question,
        "not_payable": payable.not_payable,
    }
    if not payable.in_question.quantity and not payable.not_payable.quantity:
        return [say["report.verdict.all_undisputed"]]
    words = {key: figures.quantity(each.quantity or 0.0) for key, each in parts.items()}
    worth = {f"{key}_worth": figures.amount_behind(each.money) for key, each in parts.items()}
    reasons = "; ".join(
        f"{each.title} ({each.findings}): {figures.quantity(each.amount.quantity or 0.0)}"
        for each in payable.reasons
    )
    sentences = [say.say("report.verdict.three_figures", **words, **worth)]
    if payable.not_payable.quantity:
        sentences.append(say.say("report.verdict.not_payable", **words, **worth))
    return [*sentences, say.say("report.verdict.reasons", reasons=reasons)] if reasons else sentences


def _reasons(
    recheck: Recheck, findings: list[Finding], stakes: Stakes, figures: Figures, own: float
) -> list[Reason]:
    """Every kind of finding that is open, with what it alone puts in question, the largest first."""
    found = []
    for name in dict.fromkeys(one.name for one in findings):
        mine = [one for one in findings if one.name == name]
        quantity = stakes.quantity_in_question(mine)
        if quantity:
            title = catalogue()[name].text("title", recheck.told.language)
            money = figures.amount_between(own - quantity, own)
            found.append(Reason(name, title, len(mine), Money(stakes.in_question(mine), money, quantity)))
    return sorted(found, key=lambda each: -(each.amount.quantity or 0.0))
