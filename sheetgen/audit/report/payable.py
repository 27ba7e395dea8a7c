"""The payable quantity in three figures: as recomputed, undisputed, and in question for its largest reasons."""

from __future__ import annotations

from dataclasses import replace

from sheetgen.audit.decisions import CORRECTED, STRUCK, holds, match
from sheetgen.audit.findings import catalogue
from sheetgen.audit.model import Finding, Recheck
from sheetgen.audit.report.document import Money, Payable, Reason
from sheetgen.audit.report.figures import Figures
from sheetgen.audit.report.volume_at_stake import Stakes

_REASONS = 3


def payable_facts(recheck: Recheck) -> Payable | None:
    """Give the three figures, in the order's unit of volume and in money; None where none can be computed."""
    own = recheck.totals.overall.get("payable")
    if own is None:
        return None
    figures, stakes = Figures(recheck.told), Stakes.of(recheck)
    still_open, struck = open_and_struck(recheck, stakes)
    taken = stakes.in_question(struck)
    asked = stakes.in_question([*still_open, *struck])
    return Payable(
        recomputed=_money(own, figures),
        undisputed=_money(own - asked, figures),
        in_question=_money(asked - taken, figures),
        struck=_money(taken, figures),
        reasons=_reasons(recheck, still_open, stakes, figures)[:_REASONS],
    )


def open_and_struck(recheck: Recheck, stakes: Stakes) -> tuple[list[Finding], list[Finding]]:
    """Findings that are not decided, and those by which something is not payable, with what that is.

    What is accepted is neither; of a finding corrected to a volume the rest of what is at stake is not payable.
    """
    decided = match(recheck.findings, recheck.decisions).of
    still_open: list[Finding] = []
    struck: list[Finding] = []
    for place, one in enumerate(recheck.findings):
        decision = decided.get(place)
        if decision is None or not holds(decision):
            still_open.append(one)
        elif decision.decision == STRUCK:
            struck.append(one)
        elif decision.decision == CORRECTED:
            struck.append(
                replace(one, stake=max(0.0, (stakes.at_stake(one) or 0.0) - (decision.value or 0.0)))
            )
    return still_open, struck


def payable_sentences(payable: Payable | None, figures: Figures) -> list[str]:
    """Say what is undisputed, what is in question and why."""
    if payable is None:
        return []
    say = figures.say
    parts = {
        "undisputed": payable.undisputed.volume,
        "question": payable.in_question.volume,
        "struck": payable.struck.volume,
    }
    if not parts["question"] and not parts["struck"]:
        return [say["report.verdict.all_undisputed"]]
    words = {key: figures.pay(volume) for key, volume in parts.items()}
    worth = {f"{key}_worth": figures.worth_behind(volume) for key, volume in parts.items()}
    reasons = "; ".join(
        f"{each.title} ({each.findings}): {figures.pay(each.amount.volume)}" for each in payable.reasons
    )
    sentences = [say.say("report.verdict.three_figures", **words, **worth)]
    if parts["struck"]:
        sentences.append(say.say("report.verdict.struck", **words, **worth))
    return [*sentences, say.say("report.verdict.reasons", reasons=reasons)] if reasons else sentences


def _reasons(recheck: Recheck, findings: list[Finding], stakes: Stakes, figures: Figures) -> list[Reason]:
    """Every kind of finding that is open, with what it alone puts in question, the largest first."""
    found = []
    for name in dict.fromkeys(one.name for one in findings):
        mine = [one for one in findings if one.name == name]
        amount = stakes.in_question(mine)
        if amount:
            title = catalogue()[name].text("title", recheck.told.language)
            found.append(Reason(name, title, len(mine), _money(amount, figures)))
    return sorted(found, key=lambda each: -each.amount.volume)


def _money(volume: float, figures: Figures) -> Money:
    return Money(volume=volume, money=figures.worth(volume))
