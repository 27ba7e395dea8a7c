"""What came in against what went out."""

from __future__ import annotations

from collections.abc import Iterator

from sheetgen.audit.compute.uncertainty import COVERAGE
from sheetgen.audit.model import Finding
from sheetgen.audit.rules.case import Case


def check(case: Case) -> Iterator[Finding]:
    """Every day whose unexplained rest is beyond the order's limit, whatever the
    readings' resolution hides."""
    voice, limit = case.voice, case.order.limits.unexplained
    for row in case.computation.day_rows:
        if row.unexplained is None or row.start is None or row.loaded is None:
            continue
        available = row.start + row.loaded
        reach = COVERAGE * case.uncertainty.totals.by_day.get(row.row, 0.0)
        if abs(row.unexplained) - reach <= limit * available:
            continue
        yield voice.at(
            "unexplained-beyond-limit", "days", row.row, "end_dip", date=voice.date(row.date or 0),
            start=voice.volume(row.start), loaded=voice.volume(row.loaded),
            sprayed=voice.volume(row.sprayed or 0), wasted=voice.volume(row.wasted or 0),
            returned=voice.volume(row.returned or 0), end=voice.volume(row.end or 0),
            rest=voice.volume(row.unexplained), share=voice.percent(row.unexplained / available if available
            else 0), limit=voice.percent(limit), reach=voice.volume(reach),
            worth=voice.money(abs(row.unexplained) * case.order.material.dilution),
        )  # fmt: skip
    yield from _not_checked(case)


def _not_checked(case: Case) -> Iterator[Finding]:
    """What the log is too bare to check, once for each kind of entry."""
    for columns, mark in ((("start", "end"), "sprayed"), (("nozzles",), "bar"), (("load",), "sprayed")):
        bare = [
            shot for shot in case.logs.shots
            if any(getattr(shot, column) is None for column in columns)
            and getattr(case.kinds[shot.row], mark)
            and not any(column in shot.unreadable for column in columns)
        ]  # fmt: skip
        if bare:
            what = case.voice.say[f"said.log-too-bare.{columns[0]}"]
            yield case.voice.shot(
                "log-too-bare", bare[0], columns[0], count=len(bare), what=what,
                shots=case.voice.numbers(shot.row for shot in bare),
            )  # fmt: skip
