"""The payable quantity in three figures: as recomputed, undisputed, and in question for its largest reasons."""

from __future__ import annotations

from sheetgen.audit.findings import catalogue
from sheetgen.audit.model import Recheck
from sheetgen.audit.report.document import Money, Payable, Reason
from sheetgen.audit.report.figures import Figures
from sheetgen.audit.report.volume_at_stake import Stakes

_REASONS = 3


def payable_facts(recheck: Recheck) -> Payable | None:
    """Give the three figures, in the order's unit of volume and in money; None where none can be computed."""
    own = recheck.totals.overall.get("payable")
    if own is None:
        return None
    figures, stakes = Figures(recheck.order), Stakes.of(recheck)
    question = stakes.in_question(recheck.findings)
    return Payable(
        recomputed=_money(own, figures),
        undisputed=_money(own - question, figures),
        in_question=_money(question, figures),
        reasons=_reasons(recheck, stakes, figures)[:_REASONS],
    )


def payable_sentences(payable: Payable | None, figures: Figures) -> list[str]:
    """Say what is undisputed, what is in question and why."""
    if payable is None:
        return []
    say = figures.say
    parts = {"undisputed": payable.undisputed.volume, "question": payable.in_question.volume}
    if not payable.in_question.volume:
        return [say["report.verdict.all_undisputed"]]
    words = {key: figures.pay(volume) for key, volume in parts.items()}
    worth = {f"{key}_worth": figures.worth_behind(volume) for key, volume in parts.items()}
    reasons = "; ".join(
        f"{each.title} ({each.findings}): {figures.pay(each.amount.volume)}" for each in payable.reasons
    )
    return [
        say.say("report.verdict.three_figures", **words, **worth),
        say.say("report.verdict.reasons", reasons=reasons),
    ]


def _reasons(recheck: Recheck, stakes: Stakes, figures: Figures) -> list[Reason]:
    """Every kind of finding with what it alone puts in question, the largest first."""
    found = []
    for name in dict.fromkeys(one.name for one in recheck.findings):
        mine = [one for one in recheck.findings if one.name == name]
        amount = stakes.in_question(mine)
        if amount:
            title = catalogue()[name].text("title", recheck.order.language)
            found.append(Reason(name, title, len(mine), _money(amount, figures)))
    return sorted(found, key=lambda each: -each.amount.volume)


def _money(volume: float, figures: Figures) -> Money:
    return Money(volume=volume, money=figures.worth(volume))
