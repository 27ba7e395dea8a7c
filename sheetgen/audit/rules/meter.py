"""The meter over a whole book, against what left the tank."""

from __future__ import annotations

from collections.abc import Iterator
from math import fsum, hypot

from sheetgen.audit.compute.shots import ShotRow
from sheetgen.audit.entries.logs import Shot
from sheetgen.audit.model import Finding
from sheetgen.audit.rules.case import Case, plausibility
from sheetgen.audit.rules.levels import allowed_between, gaps
from sheetgen.audit.rules.readings import meter_doubted
from sheetgen.audit.rules.reconciliation import beyond_limit, unknown_sums


def check(case: Case) -> Iterator[Finding]:
    """Give what the meter counted over the whole book against what left the tank by tickets, first and last reading.

    A meter off by little in each shot is off by much in all of them; the tank's own account has two readings only.
    """
    overall, bounds = case.computation.totals.overall, plausibility()
    metered = [_by_meter(shot, row) for shot, row in case.shots]
    known = [each for each in metered if each is not None]
    start, end, loaded = overall["start"], overall["end"], overall["loaded"] or 0.0
    if not known or len(known) < len(metered) or start is None or end is None or unknown_sums(case):
        return
    counted = sum(known)
    left = start + loaded - (overall["returned"] or 0.0) - end
    days = case.logs.dated_days
    dips = (days[0].start_dip or 0.0, days[-1].end_dip or 0.0) if days else (0.0, 0.0)
    readings = [case.stick_reach(dip) for dip in dips]
    parts = (bounds["ticket_and_chart"] * loaded, bounds["meter_agreement"] * counted)
    allowed = hypot(*readings, *parts)
    if abs(counted - left) <= allowed:
        yield from _emulsion(case, counted, left, allowed)
        return
    if _said_already(case):
        return
    voice, shot = case.voice, case.shots[-1][0]
    yield voice.shot(
        "meter-and-tank-differ-in-all", shot, "meter_after", abs(counted - left) * case.dilution,
        metered=voice.volume(counted), left=voice.volume(left), difference=voice.volume(abs(counted - left)),
        allowed=voice.volume(allowed), worth=voice.money(abs(counted - left) * case.dilution),
    )  # fmt: skip


def _emulsion(case: Case, counted: float, left: float, allowed: float) -> Iterator[Finding]:
    """Give what the tickets of a diluted material bring more than meter and ordered dilution leave room for.

    Volumes and dilution may each be within their bounds and both lean to the side that is paid for.
    """
    order, rows = case.order, [row for _, row in case.loads.values() if row.kind.adds > 0]
    ordered = order.material.dilution
    if order.pay.unit != "mass-by-ticket" or order.material.material_class != "emulsion" or ordered == 1:
        return
    brought, mix = fsum(row.base or 0.0 for row in rows), fsum(row.mix or 0.0 for row in rows)
    used, expected = brought - ordered * (mix - left), ordered * counted
    reach = hypot(ordered * allowed, plausibility()["delivery_agreement"] * brought)
    if used - expected <= reach or not rows or _said_already(case):
        return
    voice = case.voice
    yield voice.at(
        "tickets-above-meter", "loads", rows[0].row, "volume", used - expected,
        [shot.row for shot, _ in case.shots], used=voice.volume(used), metered=voice.volume(counted),
        ordered=voice.percent(ordered), due=voice.volume(expected), allowed=voice.volume(reach),
        difference=voice.volume(used - expected), worth=voice.money(used - expected),
    )  # fmt: skip


def _said_already(case: Case) -> bool:
    """Whether another finding names a cause: a day, a gap between readings, or the meter of one shot."""
    return (
        bool(beyond_limit(case))
        or any(meter_doubted(case, shot, row) for shot, row in case.shots)
        or any(abs(gap.change) > allowed_between(case, gap) for gap in gaps(case) if gap.came is not None)
    )


def _by_meter(shot: Shot, row: ShotRow) -> float | None:
    """What a shot sprayed by the meter, waste included, at base temperature."""
    if shot.meter_before is None or shot.meter_after is None or row.factor is None:
        return None
    return (shot.meter_after - shot.meter_before) * row.factor
