"""Changes on the road: whether each can be applied, who ordered it, and whether its rate is a usual one."""

from __future__ import annotations

from collections.abc import Iterator
from math import fsum

from sheetgen.audit.compute.changes import ChangeRow
from sheetgen.audit.entries.logs import Change
from sheetgen.audit.model import Finding
from sheetgen.audit.rules.case import Case, plausibility
from sheetgen.plan.guidance import guidance_for, usual_rates

# Entries that a change cannot be applied without; an unreadable one is a finding of its own.
_NEEDED = frozenset({"date", "time", "from_shot", "section", "new_rate", "new_width"})


def check(case: Case) -> Iterator[Finding]:
    """Every change of the log."""
    for change, row in zip(case.logs.changes, case.computation.change_rows, strict=True):
        yield from _applied(case, change, row)
        if change.ordered_by is None and "ordered_by" not in change.unreadable:
            yield case.voice.at(
                "change-without-authority", "changes", change.row, "ordered_by", section=change.section or "–",
                rate=_rate(case, change),
            )  # fmt: skip
        yield from _range(case, change, row)
    yield from _lifts_pay(case)


def _lifts_pay(case: Case) -> Iterator[Finding]:
    """Give the changes of rate without which less would be paid: a line in the log lifts the limit of pay.

    Whether somebody ordered it, and when, no entry of a book can show.
    """
    rows = case.computation.change_rows
    ordered = tuple(
        row for row, change in zip(rows, case.logs.changes, strict=True) if _as_before(case, change)
    )
    if not any(row.in_turn and row.mix is not None and row not in ordered for row in rows):
        return
    paid = fsum(section.payable for section in case.computation.section_rows)
    most = paid - case.payable_with({}, ordered)
    if most <= plausibility()["change_share"] * paid:
        return
    less = {
        row.row: paid - case.payable_with({}, tuple(each for each in rows if each is not row))
        for row in rows
        if row not in ordered
    }
    voice, largest = case.voice, max(less, key=lambda each: less[each])
    change = next(each for each in case.logs.changes if each.row == largest)
    sections = {row.section for row in rows if row.mix is not None}
    yield voice.at(
        "change-lifts-pay", "changes", change.row, "new_rate", most,
        [shot.row for shot, _ in case.shots if shot.section in sections],
        paid=voice.volume(paid), without=voice.volume(paid - most), more=voice.volume(most),
        share=voice.percent(most / paid), who=change.ordered_by or "–", worth=voice.money(most),
    )  # fmt: skip


def _as_before(case: Case, change: Change) -> bool:
    """Whether a change is to what the order before a revision asked for: a book that took over its shots has it."""
    of_section = [
        each for each in case.order.changed if each.sheet == "sections" and each.of == change.section
    ]
    was = [each.was.split()[0] for each in of_section if each.field == "rate" and each.was]
    return f"{change.new_rate or 0:.10g}" in was or any(each.field == "basis" for each in of_section)


def _applied(case: Case, change: Change, row: ChangeRow) -> Iterator[Finding]:
    """A change without section, first shot, rate and width; or one that begins before the one above it."""
    if (row.in_turn and (row.mix is not None or row.width is not None)) or change.unreadable & _NEEDED:
        return
    if row.section is None:
        column = "section"
    elif row.first is None or not row.in_turn:
        column = "from_shot"
    else:
        column = "new_rate"
    reason = "turn" if row.first is not None and not row.in_turn else column
    said = case.voice.say[f"said.change-cannot-be-applied.{reason}"]
    yield case.voice.at("change-cannot-be-applied", "changes", change.row, column, reason=said)


def _range(case: Case, change: Change, row: ChangeRow) -> Iterator[Finding]:
    """A rate outside what is published for the section's work and surface."""
    if row.mix is None or change.new_rate is None:
        return
    section = case.sections[row.section or ""]
    least, high = usual_rates(case.order, section)
    low = least or 0.0
    if change.new_rate < low or (high is not None and change.new_rate > high):
        voice = case.voice
        yield voice.at(
            "change-outside-range", "changes", change.row, "new_rate", rate=_rate(case, change),
            low=voice.amount(low, "rate"), high="–" if high is None else voice.amount(high, "rate"),
            source=guidance_for(case.order, section, change.new_rate).source, section=section.id,
        )  # fmt: skip


def _rate(case: Case, change: Change) -> str:
    return "–" if change.new_rate is None else case.voice.amount(change.new_rate, "rate")
