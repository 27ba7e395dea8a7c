"""The conclusion in words, and what is proven of where the book comes from."""

from __future__ import annotations

from typing import cast

from sheetgen.audit.compute.pay import paid_key, quantity_paid
from sheetgen.audit.decisions import holds, match
from sheetgen.audit.findings import SEVERITIES, catalogue
from sheetgen.audit.model import Finding, Recheck
from sheetgen.audit.report.document import ConclusionFacts, Counts, Origin, OriginFacts, Payable
from sheetgen.audit.report.figures import Figures
from sheetgen.audit.report.payable import payable_facts, payable_sentences
from sheetgen.audit.report.volume_at_stake import Stakes
from sheetgen.figures import number_text
from sheetgen.order.pay_terms import paid_kind, pay_decimals, pay_terms, pay_unit
from sheetgen.trade.rounding import round_half_away
from sheetgen.xlsx.returned import is_number

_NEVER = ("readings", "typist", "instruments")  # what no comparison of files can prove


def counts(findings: list[Finding]) -> Counts:
    """How many findings of each severity."""
    return Counts(**{key: sum(one.severity == key for one in findings) for key in SEVERITIES})


def conclusion_facts(recheck: Recheck, payable: Payable | None = None) -> ConclusionFacts:
    """The conclusion: a headline and the sentences beneath it; ``payable`` where it is known already."""
    figures = Figures(recheck.told)
    found = counts(recheck.findings)
    missing = [row["row"] + 1 for row in recheck.shot_rows if row["verdict"] == "incomplete"]
    unsure = _cannot_be_told(recheck)
    decided = sum(map(holds, match(asked_for(recheck), recheck.decisions).of.values()))
    still_open = found.error + found.query - decided
    sentences = [
        figures.say.say(f"report.verdict.{recheck.conclusion}", **found.model_dump()),
        *_acknowledged(recheck, figures),
        *([figures.say.say("report.verdict.decided", open=still_open, decided=decided)] if decided else []),
        *_payable(recheck, figures),
        *payable_sentences(payable or payable_facts(recheck), figures),
        *_claimed(recheck, figures),
        *_immaterial(recheck, figures),
    ]
    for key, rows in (("missing", missing), ("unsure", unsure)):
        if rows:
            words = {"count": len(rows), "shots": len(recheck.shot_rows), "rows": listed(rows)}
            sentences.append(figures.say.say(f"report.verdict.{key}", **words))
    return ConclusionFacts(
        severity=recheck.conclusion,
        headline=_headline(recheck, figures),
        sentences=sentences,
        counts=found,
        open=still_open,
        decided=decided,
        shots=len(recheck.shot_rows),
        shots_not_counted=missing,
        shots_cannot_be_told=unsure,
    )


def below_material(recheck: Recheck, one: Finding, stake: float | None) -> bool:
    """Whether less hangs on a finding than the threshold of materiality; what breaks the proof never counts as less."""
    proof = catalogue()[one.name].group in ("origin", "file", "agreement")
    return recheck.material is not None and stake is not None and stake < recheck.material and not proof


def _immaterial(recheck: Recheck, figures: Figures) -> list[str]:
    """The threshold, and how much the findings below it come to together."""
    if recheck.material is None:
        return []
    stakes = Stakes.of(recheck)
    below = [one for one in recheck.findings if below_material(recheck, one, stakes.at_stake(one))]
    together = stakes.in_question(below)
    return [
        figures.say.say(
            "report.verdict.material", threshold=figures.volume(recheck.material),
            worth=figures.worth_behind(recheck.material), count=len(below), together=figures.pay(together),
        )
    ]  # fmt: skip


def _acknowledged(recheck: Recheck, figures: Figures) -> list[str]:
    """How many of the queries the crew looked at and confirmed; each stays a query."""
    count = sum(bool(one.acknowledged) for one in recheck.findings)
    return [figures.say.say("report.verdict.acknowledged", count=count)] if count else []


def asked_for(recheck: Recheck) -> list[Finding]:
    """The findings that something has to be decided on."""
    return [one for one in recheck.findings if one.severity != "note"]


def origin_unproven(recheck: Recheck) -> bool:
    """Whether nobody has looked if the office issued the book: by its key, or by its own copy of the order."""
    return recheck.origin in ("signed", "unsigned") and not recheck.order_given


def _headline(recheck: Recheck, figures: Figures) -> str:
    """What there is to act on; a book without objection is not called so where its origin was not checked."""
    headline = figures.say[f"report.headline.{recheck.conclusion}"]
    if recheck.conclusion in ("clean", "note") and origin_unproven(recheck):
        return figures.say.say("report.headline.unproven", headline=headline)
    return headline


def origin_facts(recheck: Recheck) -> OriginFacts:
    """What is proven of the book's origin, and what is not."""
    say = Figures(recheck.told).say
    key = f"report.origin.{recheck.origin}"
    words = {"public_key": _fingerprint(recheck.public_key), "template": recheck.template}
    proven = [say.say(f"{key}.proven", **words)] if f"{key}.proven" in say else []
    not_proven = [say.say(f"{key}.not_proven", **words)] if f"{key}.not_proven" in say else []
    names = {finding.name for finding in recheck.findings}
    # Where a key was given and the signature does not fit it, the book is "altered" whatever its version.
    if recheck.origin == "unknown-version" and recheck.office_key and "book-not-signed" not in names:
        proven.append(say.say("report.origin.issued.proven", **words))
    if recheck.order_given:
        proven.append(say["report.origin.differs" if _other_order(names) else "report.origin.agrees"])
    # A book of another version cannot be laid out again, so it was not compared.
    if "unknown-template-version" not in names and recheck.origin != "unknown-version":
        proven.append(_locked_part(recheck))
        _shown_values(recheck, proven, not_proven)
    not_proven += [say[f"report.origin.never.{each}"] for each in _NEVER]
    return OriginFacts(
        status=cast(Origin, recheck.origin),
        order_given=recheck.order_given,
        public_key=recheck.public_key,
        office_key=recheck.office_key,
        headline=say[f"{key}.headline"],
        proven=proven,
        not_proven=not_proven,
    )


def listed(numbers: list[int], most: int = 12) -> str:
    """Printed numbers, the first dozen of them."""
    return ", ".join(str(each) for each in numbers[:most]) + (", …" if len(numbers) > most else "")


def _payable(recheck: Recheck, figures: Figures) -> list[str]:
    own, order = quantity_paid(recheck.totals.overall, recheck.order), recheck.order
    if own is None:
        return [figures.say["report.verdict.no_payable"]]
    key, kind = paid_key(order), paid_kind(order)
    reach = 2 * recheck.uncertainty.totals.overall[key] if recheck.uncertainty else 0.0
    words = {
        "payable": figures.quantity(own), "reach": _reach(reach, figures), "base": figures.base,
        "grade": order.material.grade, "worth": figures.amount_behind(pay_terms(order).amount(own)),
    }  # fmt: skip
    text = "payable" if kind == "volume" else f"payable_{kind}"
    sentences = [figures.say.say(f"report.verdict.{text}", **words), _book(recheck, own, figures)]
    return [*sentences, *_contract(recheck, figures)]


def _reach(reach: float, figures: Figures) -> str:
    """An uncertainty in the unit of pay, to a tenth or as finely as the quantity."""
    language, decimals = figures.order.language, max(1, pay_decimals(figures.order))
    text = number_text(round_half_away(reach, decimals), language, decimals)
    return f"{text} {pay_unit(figures.order)}"


def _contract(recheck: Recheck, figures: Figures) -> list[str]:
    """What of the quantity is beyond the contract's estimate, or short of it where the work ends with this book."""
    overall, kind, terms = recheck.totals.overall, paid_kind(recheck.order), pay_terms(recheck.order)
    words = {"estimate": figures.quantity_as_it_is(terms.estimate or 0.0)}
    sentences = []
    for key, limit in (("beyond", terms.overrun_limit), ("short", terms.underrun_limit)):
        quantity = overall.get(f"{key}_{kind}")
        if quantity:
            ended = overall.get("amount_if_ended")
            more = {"quantity": figures.quantity_as_it_is(quantity), "limit": f"{100 * (limit or 0.0):g} %",
                    "worth": "" if ended is None else figures.money(ended)}  # fmt: skip
            sentences.append(figures.say.say(f"report.verdict.{key}", **words, **more))
            if key == "short" and ended is not None:
                sentences.append(figures.say.say("report.verdict.if_ended", **words, **more))
    return sentences


def _book(recheck: Recheck, own: float, figures: Figures) -> str:
    place = recheck.book_values.get(("overall", 0, paid_key(recheck.order)))
    value = place.value if place is not None else None
    if not is_number(value):
        return figures.say["report.verdict.book_none"]
    return _against(value, own, "book", figures)


def _claimed(recheck: Recheck, figures: Figures) -> list[str]:
    own = quantity_paid(recheck.totals.overall, recheck.order)
    if recheck.claim is None or own is None:
        return []
    return [_against(recheck.claim, own, "claim", figures)]


def _against(value: float, own: float, what: str, figures: Figures) -> str:
    """A quantity against the recomputed one, in a sentence."""
    difference = round(value - own, 9)
    key = "same" if not difference else "more" if difference > 0 else "less"
    shown = value if round(value, pay_decimals(figures.order)) == value else None
    return figures.say.say(
        f"report.verdict.{what}_{key}",
        value=figures.quantity(value) if shown is not None else figures.quantity_as_it_is(value),
        difference=figures.quantity_as_it_is(abs(difference)),
        worth=figures.amount_behind(figures.amount_between(min(value, own), max(value, own))),
    )


def _cannot_be_told(recheck: Recheck) -> list[int]:
    shots = recheck.uncertainty.shots if recheck.uncertainty else ()
    return [each.row + 1 for each in shots if each.verdict == "cannot-be-told"]


def _other_order(names: set[str]) -> bool:
    return bool(names & {"carried-order-differs", "record-unreadable"})


def _locked_part(recheck: Recheck) -> str:
    """What the comparison with the issued book showed."""
    changed = [one for one in recheck.findings if catalogue()[one.name].group == "file"]
    grave = sum(one.severity == "error" for one in changed)
    say = Figures(recheck.told).say
    if not changed:
        return say["report.origin.unchanged"]
    return say.say("report.origin.changed", count=grave, other=len(changed) - grave)


def _shown_values(recheck: Recheck, proven: list[str], not_proven: list[str]) -> None:
    """Add what is proven of the values that locked cells show, or that nothing is."""
    from sheetgen.audit.proof.shown_values import can_be_compared

    say = Figures(recheck.told).say
    if not can_be_compared(recheck.findings, recheck.book_values):
        not_proven.append(say["report.origin.not_shown"])
        return
    differing = [one for one in asked_for(recheck) if catalogue()[one.name].group == "agreement"]
    key = "shown_differs" if differing else "shown"
    proven.append(say.say(f"report.origin.{key}", count=len(differing)))


def _fingerprint(key: str) -> str:
    """The first and last digits of a key, enough to tell it from another at sight."""
    return f"{key[:8]}…{key[-8:]}" if len(key) > 20 else key
