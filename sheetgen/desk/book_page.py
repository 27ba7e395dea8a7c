"""The page of one returned book: what its report says, and what people decided."""

from __future__ import annotations

import json
import math
from datetime import datetime
from pathlib import Path
from typing import Any

from sheetgen.audit.decisions import ACCEPTED, CORRECTED, DECISIONS, holds, match
from sheetgen.audit.findings import name_now
from sheetgen.audit.model import Decision
from sheetgen.office.decisions import Decisions

_LONGEST_NAME = 120  # signs
CHOICES = ("", *DECISIONS)


def book_page(document: Path, decisions: Decisions) -> dict[str, Any]:
    """What the page shows: the report's facts, and each finding with the decision on it."""
    report = _read(document)
    kept = decisions.of_book(_book(report))
    matched = match([_decision_on(each) for each in report["findings"]], kept.values()).of
    numbers: dict[Decision | None, int] = {decision: number for number, decision in kept.items()}
    findings = [
        {
            **finding,
            "place": f"{finding['sheet']}!{finding['cell']}" if finding["cell"] else finding["sheet"],
            "decision": matched.get(at), "holds": holds(matched.get(at)), "seen": numbers.get(matched.get(at), 0),
        }
        for at, finding in enumerate(report["findings"])
    ]  # fmt: skip
    return {"report": report, "findings": findings, "choices": CHOICES, "typed": {}, "trouble": None}


def decided(document: Path, decisions: Decisions, form: dict[str, str]) -> Decision | str | None:
    """Keep a decision that was typed.

    Returns:
        None where it was kept; the decision that came in between; or the key of the text that says what is missing
    """
    report = _read(document)
    finding = next((each for each in report["findings"] if str(each["number"]) == form.get("finding")), None)
    choice, by, remark = form.get("choice"), form.get("by", "").strip(), form.get("reason", "").strip()
    if finding is None or choice not in CHOICES:
        return "unknown"
    value = _volume(form.get("value", "")) if choice == CORRECTED else None
    missing = {
        "no_name": not by, "no_reason": choice == ACCEPTED and not remark,
        "no_volume": choice == CORRECTED and value is None,
    }  # fmt: skip
    if any(missing.values()):
        return next(what for what, is_missing in missing.items() if is_missing)
    seen = int(form["seen"]) if form.get("seen", "").isdecimal() else 0
    today = datetime.now().astimezone().date().isoformat()
    decision = _decision_on(
        finding, decision=choice, value=value, initials=by[:_LONGEST_NAME], date=today, remark=remark
    )
    return decisions.decide(_book(report), decision, seen)


def _read(document: Path) -> dict[str, Any]:
    report: dict[str, Any] = json.loads(document.read_text(encoding="utf-8"))
    for finding in report["findings"]:  # of a report that an earlier version made
        finding["name"] = name_now(finding["name"])
    return report


def _book(report: dict[str, Any]) -> str:
    identity: str = report["book"]["identity"] or report["file"]["sha256"]
    return identity


def _decision_on(finding: dict[str, Any], **typed: Any) -> Decision:
    return Decision(*(finding[key] for key in ("name", "sheet", "cell", "found")), **typed)


def _volume(text: str) -> float | None:
    try:
        value = float(text)
    except ValueError:
        return None
    return value if math.isfinite(value) and value >= 0 else None
