"""Which entries of the logs are one and the same reading, written down twice."""

from __future__ import annotations

from collections.abc import Iterator

from sheetgen.audit.entries.logs import Logs, Shot

Place = tuple[str, int, str]  # table, row, column


def reading_numbers(logs: Logs) -> dict[Place, int]:
    """A number for every dip and meter reading of the logs; the same number for the same reading.

    The dip after a shot and the dip before the next are one reading where both entries are equal and no load
    came between them; so are the day's first dip and that before its first shot, and the day's last dip and
    that after its last shot. Their errors are then not independent but equal, and cancel in a sum of shots.
    """
    same: dict[Place, Place] = {}
    for later, earlier in _pairs(logs):
        same[later] = same.get(earlier, earlier)
    numbers: dict[Place, int] = {}
    for place in _readings(logs):
        first = same.get(place, place)
        numbers[place] = numbers.setdefault(first, len(numbers))
    return numbers


def _readings(logs: Logs) -> Iterator[Place]:
    for day in logs.days:
        yield ("days", day.row, "start_dip")
    for shot in logs.shots:
        for column in ("dip_before", "dip_after", "meter_before", "meter_after"):
            yield ("shots", shot.row, column)
    for day in logs.days:
        yield ("days", day.row, "end_dip")


def _pairs(logs: Logs) -> Iterator[tuple[Place, Place]]:
    """Pairs (later, earlier) of entries that are one reading."""
    first: dict[float, Shot] = {}
    last: dict[float, Shot] = {}
    for shot in logs.shots:
        if shot.date is not None:
            first.setdefault(shot.date, shot)
            last[shot.date] = shot
    for day in logs.days:
        if day.date in first and _equal(first[day.date].dip_before, day.start_dip):
            yield ("shots", first[day.date].row, "dip_before"), ("days", day.row, "start_dip")
    for before, after in zip(logs.shots, logs.shots[1:], strict=False):
        if before.load == after.load and _equal(before.dip_after, after.dip_before):
            yield ("shots", after.row, "dip_before"), ("shots", before.row, "dip_after")
        if _equal(before.meter_after, after.meter_before):
            yield ("shots", after.row, "meter_before"), ("shots", before.row, "meter_after")
    for day in logs.days:
        if day.date in last and _equal(last[day.date].dip_after, day.end_dip):
            yield ("days", day.row, "end_dip"), ("shots", last[day.date].row, "dip_after")


def _equal(one: float | None, other: float | None) -> bool:
    return one is not None and one == other
