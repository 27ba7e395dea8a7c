"""What a crew said that a row was: void without its reason, a second pass over nothing, many touch-ups."""

from __future__ import annotations

from collections.abc import Iterator

from sheetgen.audit.compute.blanks import total
from sheetgen.audit.compute.shots import ShotRow
from sheetgen.audit.entries.logs import Shot
from sheetgen.audit.model import Finding
from sheetgen.audit.rules.case import Case, plausibility


def check(case: Case) -> Iterator[Finding]:
    """Every row that is no usual shot, for what it must show to be taken as what it is called."""
    for shot in case.logs.void:
        if not shot.remarks:
            yield _without_reason(case, "shots", shot.row, "void")
    rejected = [load for load, row in case.loads.values() if not row.kind.adds]
    for load in (*case.logs.void_loads, *rejected):
        if not load.remarks:
            yield _without_reason(case, "loads", load.row, load.kind or "void")
    for shot, row in case.shots:
        if row.what == "second_pass":
            yield from _over_nothing(case, shot, row)
    for section in case.sections:
        yield from _touch_ups(case, section)


def _without_reason(case: Case, table: str, row: int, kind: str) -> Finding:
    what = case.voice.say[f"words.{kind}"]
    return case.voice.at("void-without-reason", table, row, "kind", number=case.voice.number(row), what=what)


def _over_nothing(case: Case, shot: Shot, row: ShotRow) -> Iterator[Finding]:
    """A second pass of which an end lies on no shot of its section and lane; one that only touches it is none."""
    if shot.section is None or shot.lane is None or row.from_ is None or row.to is None:
        return
    slack = case.order.reading.station
    first = [
        sorted((each.from_, each.to))
        for other, each in case.shots
        if (other.section, other.lane) == (shot.section, shot.lane) and case.kinds[other.row].area
        if each.from_ is not None and each.to is not None
    ]
    low, high = sorted((row.from_, row.to))
    below = any(start <= low + slack < end for start, end in first)
    above = any(start < high - slack <= end for start, end in first)
    if not (below and above):
        yield case.voice.shot(
            "second-pass-over-nothing", shot, "kind", station=case.voice.station(high if below else low),
            section=shot.section, lane=shot.lane, base=case.voice.volume(row.base or 0.0),
        )  # fmt: skip


def _touch_ups(case: Case, section: str) -> Iterator[Finding]:
    """Touch-ups of a section that come to more than the share of what was due on it."""
    here = [(shot, row) for shot, row in case.shots if row.section == section]
    touched = [(shot, row) for shot, row in here if row.what == "touch_up"]
    volume, due = total(row.undiluted for _, row in touched), total(row.due for _, row in here)
    share = plausibility()["touch_up_share"]
    if not touched or volume <= share * due:
        return
    voice, beyond = case.voice, volume - share * due
    largest = max(touched, key=lambda each: each[1].base or 0.0)[0]
    yield voice.shot(
        "touch-up-above-share", largest, "kind", section=section, count=len(touched),
        volume=voice.volume(volume), due=voice.volume(due), share=voice.percent(share),
        beyond=voice.volume(beyond), worth=voice.money(beyond),
    )  # fmt: skip
