"""What an auditor decided on findings, and which finding of a later recheck each decision belongs to.

A decision is known by the name of the finding and the cell that it stands at. Where the finding says something else
than it did when it was decided, the decision does not hold for it: it is kept as a remark, and the finding is open.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from typing import NamedTuple

from sheetgen.audit.model import Decision, Finding

ACCEPTED, CORRECTED, STRUCK = DECISIONS = ("accepted", "corrected", "struck")

Key = tuple[str, str, str]
Decided = Mapping[str, tuple[Decision, ...]]  # by the identity of the book


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
    return one.name, one.sheet, one.cell


def merged(*of: Iterable[Decision]) -> tuple[Decision, ...]:
    """Decisions of several reports of one book, the later ones in the place of the earlier."""
    found: dict[tuple[str, ...], Decision] = {}
    for decisions in of:
        for each in decisions:
            found[(*key(each), each.found if not each.cell else "")] = each
    return tuple(each for each in found.values() if each.said)


def match(findings: list[Finding], decisions: Iterable[Decision]) -> Matched:
    """Find the finding of each decision: of several at one cell the one that says the same."""
    of: dict[int, Decision] = {}
    left: list[Decision] = []
    for each in decisions:
        at = [place for place, one in enumerate(findings) if key(one) == key(each) and place not in of]
        same = [place for place in at if findings[place].found == each.found]
        if same:
            of[same[0]] = each
        elif at:
            of[at[0]] = _of_before(each)
        else:
            left.append(each)
    return Matched(of, left)


def holds(decision: Decision | None) -> bool:
    """Whether a finding is decided: accepted, struck, or corrected to a volume."""
    if decision is None:
        return False
    return decision.decision in (ACCEPTED, STRUCK) or (
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
