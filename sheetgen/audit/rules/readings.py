"""Dips, meter readings and amounts that cannot be right, shot by shot."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal
from itertools import pairwise

from sheetgen.audit.compute.shots import ShotRow
from sheetgen.audit.entries.logs import Shot
from sheetgen.audit.model import Finding
from sheetgen.audit.rules.case import Case, plausibility
from sheetgen.plan.inputs import stick_uncertainty
from sheetgen.plan.judging import QUESTIONED, difference_spread, standard

_NEVER_NEGATIVE = (
    ("shots", ("width", "nozzles", "waste", "meter_before", "meter_after")),
    ("loads", ("net_mass", "volume", "specific_gravity", "water", "taken")),
    ("days", ("returned",)),
)


def check(case: Case) -> Iterator[Finding]:
    """Readings of each shot against the chart, each other and the meter."""
    yield from _negative(case)
    yield from _outside_chart(case)
    yield from _between_marks(case)
    for shot, row in case.shots:
        yield from _direction(case, shot, row)
        yield from _waste(case, shot, row)
        yield from _dip_and_meter(case, shot, row)
    yield from _meter_chain(case)
    yield from _of_record(case)


def _of_record(case: Case) -> Iterator[Finding]:
    """Shots of the bar whose volume comes from another reading than the order pays by; all of a book in one finding."""
    record = case.order.pay.measured_by
    columns = (f"{record}_before", f"{record}_after")
    blank = [
        (shot, row) for shot, row in case.shots
        if row.hot is not None and not row.by_hand and any(_left_blank(shot, column) for column in columns)
    ]  # fmt: skip
    if not blank:
        return
    voice, (shot, _) = case.voice, blank[0]
    column = next(column for column in columns if _left_blank(shot, column))
    yield voice.at(
        "reading-of-record-missing", "shots", shot.row, column, count=len(blank),
        shots=voice.numbers(each.row for each, _ in blank),
        record=voice.say[f"words.measured.{record}"], of_shots=[each.row for each, _ in blank],
        volume=voice.volume(sum(row.hot or 0.0 for _, row in blank)),
    )  # fmt: skip


def _left_blank(shot: Shot, column: str) -> bool:
    return getattr(shot, column) is None and column not in shot.unreadable


def _negative(case: Case) -> Iterator[Finding]:
    for table, keys in _NEVER_NEGATIVE:
        for each in getattr(case.logs, table):
            if table == "loads" and not case.loads[each.row + 1][1].kind.adds:
                continue
            for key in keys:
                value = getattr(each, key)
                if value is not None and value < 0:
                    yield case.voice.at("negative-entry", table, each.row, key, value=f"{value:g}")


def _outside_chart(case: Case) -> Iterator[Finding]:
    height = case.computation.chart.height
    places = [("shots", shot, key) for shot in case.logs.shots for key in ("dip_before", "dip_after")]
    places += [("days", day, key) for day in case.logs.days for key in ("start_dip", "end_dip")]  # type: ignore[misc]
    places += [
        ("loads", load, key)  # type: ignore[misc]
        for load, row in case.loads.values() if row.kind.adds
        for key in ("stick_before", "stick_after")
    ]  # fmt: skip
    for table, each, key in places:
        dip = getattr(each, key)
        if dip is not None and not 0 <= dip <= height:
            yield case.voice.at(
                "stick-reading-outside-chart", table, each.row, key,
                dip=case.voice.plain(dip, "depth"), height=case.voice.plain(height, "depth"),
            )  # fmt: skip


def _between_marks(case: Case) -> Iterator[Finding]:
    """Stick readings that the stick cannot show, all of a book in one finding: made up, or of another stick."""
    places = [("shots", shot, key) for shot in case.logs.shots for key in ("dip_before", "dip_after")]
    places += [("days", day, key) for day in case.logs.days for key in ("start_dip", "end_dip")]  # type: ignore[misc]
    step = case.order.reading.dip
    off = [
        (table, each.row, key, getattr(each, key))
        for table, each, key in places
        if (dip := getattr(each, key)) is not None and not _on_a_mark(dip, step)
    ]
    if len(off) < plausibility()["readings_off_marks"]:
        return
    voice, (table, row, key, dip) = case.voice, off[0]
    yield voice.at(
        "reading-between-marks", table, row, key, dip=voice.plain(dip, "depth"), count=len(off),
        step=voice.plain(step, "depth"), near=voice.plain(round(dip / step) * step, "depth"),
    )  # fmt: skip


def _on_a_mark(dip: float, step: float) -> bool:
    """Whether a reading is a mark of the stick, written to as many decimals as it was: 0.0625 is written 0.06."""
    decimals = -int(Decimal(repr(dip)).normalize().as_tuple().exponent)
    written = 0.5 * 10.0 ** -max(decimals, 0)
    return abs(dip - round(dip / step) * step) <= written * (1 + 1e-6)


def _meter_chain(case: Case) -> Iterator[Finding]:
    """The meter before a shot against the meter after the one before it: nothing runs through it between shots."""
    jumps = [
        (after, after.meter_before - before.meter_after)
        for (before, first), (after, second) in pairwise(case.shots)
        if before.date == after.date and before.load == after.load
        if before.meter_after is not None and after.meter_before is not None
        # Where a shot's own readings disagree, that is said already.
        if not any(meter_doubted(case, *each) for each in ((before, first), (after, second)))
    ]
    allowed = plausibility()["meter_chain_steps"] * case.order.reading.meter
    off = [(shot, jump) for shot, jump in jumps if abs(jump) > allowed]
    # A meter that is set to zero, or runs while the tank is circulated, jumps at most shots: it says nothing of one.
    if not off or len(off) > len(jumps) / 2:
        return
    voice = case.voice
    for shot, jump in off:
        yield voice.shot(
            "meter-jumped-between-shots" if jump > 0 else "meter-fell-between-shots", shot, "meter_before",
            before=voice.plain((shot.meter_before or 0.0) - jump, "volume"),
            after=voice.plain(shot.meter_before or 0.0, "volume"), difference=voice.volume(abs(jump)),
        )  # fmt: skip


def _direction(case: Case, shot: Shot, row: ShotRow) -> Iterator[Finding]:
    voice = case.voice
    if row.before is not None and row.after is not None and shot.dip_before is not None:
        if row.after > row.before:
            yield voice.shot(
                "stick-reading-rose-during-shot", shot, "dip_after",
                before=voice.plain(shot.dip_before, "depth"), after=voice.plain(shot.dip_after or 0, "depth"),
                start=voice.volume(row.before), end=voice.volume(row.after),
                rise=voice.volume(row.after - row.before),
            )  # fmt: skip
        elif row.after == row.before and not _too_little_to_see(case, shot, row):
            yield voice.shot("nothing-sprayed", shot, "dip_after", dip=voice.plain(shot.dip_before, "depth"))
    before, after = shot.meter_before, shot.meter_after
    if before is not None and after is not None and after < before:
        yield voice.shot(
            "meter-ran-backwards", shot, "meter_after",
            before=voice.plain(before, "volume"), after=voice.plain(after, "volume"),
        )  # fmt: skip


def _too_little_to_see(case: Case, shot: Shot, row: ShotRow) -> bool:
    """Whether the ordered rate would have lowered the level by no more than two readings of the stick hide."""
    if row.due is None or not row.factor:
        return False
    slope = case.computation.chart.slope(shot.dip_before or 0, case.order.reading.dip)
    return row.due / row.factor <= slope * difference_spread(stick_uncertainty(case.order, case.machine))


def _waste(case: Case, shot: Shot, row: ShotRow) -> Iterator[Finding]:
    if shot.waste is not None and row.hot is not None and 0 <= row.hot < shot.waste:
        yield case.voice.shot(
            "waste-above-volume",
            shot,
            "waste",
            waste=case.voice.volume(shot.waste),
            hot=case.voice.volume(row.hot),
        )


def meter_doubted(case: Case, shot: Shot, row: ShotRow) -> bool:
    """Tell whether the meter of a shot is questioned at its own row."""
    return any(True for _ in _dip_and_meter(case, shot, row)) or (shot.meter_after or 0) < (
        shot.meter_before or 0
    )


def _dip_and_meter(case: Case, shot: Shot, row: ShotRow) -> Iterator[Finding]:
    """The two volumes of one shot, apart by more than both readings and a sound meter allow."""
    if None in (row.before, row.after, shot.meter_before, shot.meter_after):
        return
    dipped = (row.before or 0) - (row.after or 0)
    metered = (shot.meter_after or 0) - (shot.meter_before or 0)
    if dipped <= 0 or metered < 0:
        return
    reading, chart = case.order.reading, case.computation.chart
    slopes = [chart.slope(dip, reading.dip) for dip in (shot.dip_before or 0, shot.dip_after or 0)]
    dips = sum((slope * stick_uncertainty(case.order, case.machine)) ** 2 for slope in slopes)
    allowed = QUESTIONED * (dips + 2 * standard(reading.meter) ** 2) ** 0.5
    allowed += plausibility()["meter_agreement"] * metered
    if abs(dipped - metered) > allowed:
        voice = case.voice
        yield voice.shot(
            "stick-and-meter-differ", shot, "meter_after",
            dipped=voice.volume(dipped), metered=voice.volume(metered),
            difference=voice.volume(abs(dipped - metered)), allowed=voice.volume(allowed),
            before=f"{row.before:g}", after=f"{row.after:g}", stake=case.undiluted(dipped - metered, row),
            counted_before=f"{shot.meter_before:g}", counted_after=f"{shot.meter_after:g}",
        )  # fmt: skip
