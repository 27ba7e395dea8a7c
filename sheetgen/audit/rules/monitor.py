"""The monitor's own count against stick, meter and stations, and whether it was read before it forgot."""

from __future__ import annotations

from collections.abc import Iterator

from sheetgen.audit.compute.gauges import SessionRow
from sheetgen.audit.entries.logs import Session
from sheetgen.audit.model import Finding
from sheetgen.audit.rules.case import Case, plausibility

_DUST = 6  # decimals


def check(case: Case) -> Iterator[Finding]:
    """Every session by itself, sessions among each other, and shots without a reading."""
    if not case.machine.monitor:
        return
    rows = case.computation.monitor_rows
    for session, row in zip(case.logs.monitor, rows, strict=True):
        yield from _said(case, session, row)
        yield from _volumes(case, session, row)
        yield from _distance(case, session, row)
        yield from _rate(case, session, row)
    yield from _twice(case)
    yield from _not_read(case)


def _said(case: Case, session: Session, row: SessionRow) -> Iterator[Finding]:
    """Which shots it belongs to, and what it shows; a lost reading needs its reason."""
    if not row.shots and not session.unreadable & {"first_shot", "last_shot"}:
        first, last = (
            "–" if each is None else f"{each:g}" for each in (session.first_shot, session.last_shot)
        )
        yield case.voice.at(
            "monitor-shots-not-logged", "monitor", session.row, "first_shot", first=first, last=last
        )
    blank = session.distance is None and session.volume is None and not session.remarks
    if blank and not session.unreadable & {"distance", "volume"}:
        yield case.voice.at("monitor-reading-missing", "monitor", session.row, "volume")


def _volumes(case: Case, session: Session, row: SessionRow) -> Iterator[Finding]:
    """The monitor's volume against stick and meter, apart by more than readings and a sound monitor allow."""
    if session.volume is None:
        return
    reading, shots = case.order.reading, row.shots or 0
    stick = shots * reading.dip * case.computation.chart.steepest
    compared = (
        ("monitor-and-stick-differ", row.by_stick, stick),
        ("monitor-and-meter-differ", row.by_meter, shots * reading.meter),
    )
    voice = case.voice
    for name, other, readings in compared:
        if not other:
            continue
        allowed = plausibility()["monitor_volume"] * other + readings
        if _beyond(session.volume - other, allowed):
            yield voice.at(
                name, "monitor", session.row, "volume", monitor=voice.volume(session.volume),
                other=voice.volume(other), difference=voice.volume(abs(session.volume - other)),
                allowed=voice.volume(allowed), shots=f"{session.first_shot:g}–{session.last_shot:g}",
            )  # fmt: skip


def _distance(case: Case, session: Session, row: SessionRow) -> Iterator[Finding]:
    if session.distance is None or not row.by_stations:
        return
    allowed = plausibility()["monitor_distance"] * row.by_stations
    allowed += (row.shots or 0) * case.order.reading.station
    if _beyond(session.distance - row.by_stations, allowed):
        voice = case.voice
        yield voice.at(
            "monitor-and-stations-differ", "monitor", session.row, "distance",
            monitor=voice.plain(session.distance, "distance"), other=voice.plain(row.by_stations, "distance"),
            difference=voice.plain(abs(session.distance - row.by_stations), "distance"),
            allowed=voice.plain(allowed, "distance"), shots=f"{session.first_shot:g}–{session.last_shot:g}",
        )  # fmt: skip


def _rate(case: Case, session: Session, row: SessionRow) -> Iterator[Finding]:
    if session.rate is None or row.implied_rate is None:
        return
    if _beyond(session.rate - row.implied_rate, plausibility()["monitor_volume"] * row.implied_rate):
        voice = case.voice
        yield voice.at(
            "monitor-rate-disagrees", "monitor", session.row, "rate", rate=voice.amount(session.rate, "rate"),
            implied=voice.amount(row.implied_rate, "rate"), nozzles=f"{session.nozzles:g}",
            volume=voice.volume(session.volume or 0.0), distance=voice.plain(session.distance or 0.0, "distance"),
        )  # fmt: skip


def _beyond(difference: float, allowed: float) -> bool:
    return round(abs(difference) - allowed, _DUST) > 0


def _twice(case: Case) -> Iterator[Finding]:
    """Sessions that share shots with one above them."""
    before: list[Session] = []
    for session in case.logs.monitor:
        first, last = session.first_shot, session.last_shot
        if first is None or last is None or first > last:
            continue
        other = next(
            (each for each in before if (each.first_shot or 0) <= last and (each.last_shot or 0) >= first),
            None,
        )
        if other is not None:
            yield case.voice.at(
                "monitor-shots-read-twice", "monitor", session.row, "first_shot",
                other=case.voice.number(other.row), first=f"{first:g}", last=f"{last:g}",
            )  # fmt: skip
        before.append(session)


def _not_read(case: Case) -> Iterator[Finding]:
    """The shot before the one with which a monitor begins to forget, counted from its last reading.

    Each shot may be a session of its own.
    """
    kept, unread = int(plausibility()["monitor_sessions"]), 0
    for shot in case.logs.shots:
        read = any(session.holds(shot.row + 1) for session in case.logs.monitor)
        unread = 0 if read else unread + 1
        if unread == kept - 1:
            yield case.voice.shot("monitor-not-read", shot, "date", shots=unread, kept=kept)
