"""What an auditor decided on findings, and which finding of a later recheck each decision belongs to.

A decision is known by the name of the finding, the cell that it stands at and what it says. Where the finding says
something else than it did when it was decided, the decision does not hold for it: it is kept as a remark, and the
finding is open. Reports keep decisions (``audit.report.decisions_sheet``), and so does the desk (``office.decisions``).
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from typing import NamedTuple, Protocol

from sheetgen.audit.model import Decision, Finding

ACCEPTED, CORRECTED, NOT_PAYABLE = DECISIONS = ("accepted", "corrected", "not-payable")

Key = tuple[str, str, str, str]


class Decided(Protocol):
    """What was decided, by the identity of the book; by the digest of its file where it has none."""

    def get(self, book: str, otherwise: tuple[Decision, ...], /) -> tuple[Decision, ...]:
        """The decisions on one book."""


class Matched(NamedTuple):
    """Decisions and the findings they were taken on.

    Attributes:
        of: the decision on each finding, by its place in the list; the others are open
        left: decisions on findings that the recheck does not have any more
    """

    of: dict[int, Decision]
    left: list[Decision]


def key(one: Decision | Finding) -> Key:
    """What a finding is known by from one recheck to the next."""
    return one.name, one.sheet, one.cell, one.found


def merged(*of: Iterable[Decision]) -> tuple[Decision, ...]:
    """Decisions of several reports of one book, the later ones in the place of the earlier."""
    found: dict[Key, Decision] = {}
    for decisions in of:
        found |= {key(each): each for each in sorted(decisions, key=lambda each: each.said)}
    return tuple(each for each in found.values() if each.said)


def match(findings: Sequence[Decision | Finding], decisions: Iterable[Decision]) -> Matched:
    """Find the finding of each decision: the one that says the same, else one at its cell that nobody decided."""
    kept = {key(each): each for each in decisions}
    of = {place: kept[key(one)] for place, one in enumerate(findings) if key(one) in kept}
    matched = {key(each) for each in of.values()}
    left: list[Decision] = []
    for each in reversed([each for known, each in kept.items() if known not in matched]):
        at = (
            place for place, one in enumerate(findings) if place not in of and key(one)[:3] == key(each)[:3]
        )
        place = next(at, None)
        if place is None:
            left.insert(0, each)
        else:
            of[place] = _of_before(each)
    return Matched(of, left)


def holds(decision: Decision | None) -> bool:
    """Whether a finding is decided: accepted, not payable, or corrected to a volume."""
    if decision is None:
        return False
    return decision.decision in (ACCEPTED, NOT_PAYABLE) or (
        decision.decision == CORRECTED and decision.value is not None
    )


def _of_before(each: Decision) -> Decision:
    """A decision on what a finding said before: a remark beside the finding as it is now."""
    if not each.decision:
        return each
    value = "" if each.value is None else f" {each.value:.10g}"
    parts = (f"{each.decision}{value}", each.initials, each.date, each.found, each.remark)
    said = "[" + "; ".join(part for part in parts if part) + "]"
    return replace(each, decision="", value=None, initials="", date="", remark=said)
