"""The page of one returned book: what its report says, and what people decided."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from sheetgen.office.decisions import CHOICES, About, Decision, Decisions

_LONGEST_NAME = 120  # signs


def book_page(document: Path, decisions: Decisions) -> dict[str, Any]:
    """What the page shows: the report's facts, and each finding with the last decision on it."""
    report = _read(document)
    kept = decisions.of_book(_book(report))
    findings = [
        {**finding, "place": _place(finding), "decision": _still(kept.get(_about(report, finding)), finding)}
        for finding in report["findings"]
    ]
    return {"report": report, "findings": findings, "choices": CHOICES, "typed": {}, "trouble": None}


def decided(document: Path, decisions: Decisions, form: dict[str, str]) -> Decision | str | None:
    """Keep a decision that was typed.

    Returns:
        None where it was kept; the decision that came in between; or the key of the text that says what is missing
    """
    report = _read(document)
    finding = next((each for each in report["findings"] if str(each["number"]) == form.get("finding")), None)
    choice, by, reason = form.get("choice", ""), form.get("by", "").strip(), form.get("reason", "").strip()
    if finding is None or choice not in CHOICES:
        return "unknown"
    if not by:
        return "no_name"
    if choice == "accepted" and not reason:
        return "no_reason"
    seen = int(form["seen"]) if form.get("seen", "").isdecimal() else 0
    return decisions.decide(
        _about(report, finding), finding["found"], choice, by[:_LONGEST_NAME], reason, seen
    )


def _read(document: Path) -> dict[str, Any]:
    report: dict[str, Any] = json.loads(document.read_text(encoding="utf-8"))
    return report


def _book(report: dict[str, Any]) -> str:
    identity: str = report["book"]["identity"] or report["file"]["sha256"]
    return identity


def _place(finding: dict[str, Any]) -> str:
    return f"{finding['sheet']}!{finding['cell']}" if finding["cell"] else str(finding["sheet"])


def _about(report: dict[str, Any], finding: dict[str, Any]) -> About:
    return About(_book(report), finding["name"], _place(finding))


def _still(decision: Decision | None, finding: dict[str, Any]) -> dict[str, Any] | None:
    """A decision, and whether what it was made on still stands there."""
    if decision is None:
        return None
    return {**decision._asdict(), "holds": decision.found == finding["found"]}
