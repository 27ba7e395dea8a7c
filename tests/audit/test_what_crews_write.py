"""True work that a crew writes in ways of its own: the typed log and the recheck take it alike, and accuse nobody."""

from __future__ import annotations

import pytest

from tests.audit.orders import day, findings_of, small
from tests.book.test_live_checks import flags

MINUTE = 1 / 1440
ORDER = small("us")


def bar_shots(log):
    """The rows sprayed with the bar, in the log's order."""
    return sorted(row for table, row, key in log if (table, key) == ("shots", "nozzles"))


def without_notes(found):
    return {each.name for each in found if each.severity != "note"}


def answers(log, order=ORDER):
    """What the live checks flag in the shot log, and what the recheck finds."""
    shown, _line = flags(order, log)
    return {row: on for (table, row), on in shown.items() if table == "shots" and on}, findings_of(log, order)


# ---------------------------------------------------------------- past midnight


def late(start, end, day_of_next=0, next_start=None):
    """The honest day, with its last shot by the bar at these minutes of the day; a shot after it follows."""
    log = day(ORDER)
    row = bar_shots(log)[-1]
    log["shots", row, "start"], log["shots", row, "end"] = start * MINUTE, end * MINUTE
    for other in range(row + 1, max(row for table, row, _ in log if table == "shots") + 1):
        for key in [key for table, at, key in log if (table, at) == ("shots", other)]:
            del log["shots", other, key]
    if next_start is not None:
        for key in [key for table, at, key in log if (table, at) == ("shots", row)]:
            log["shots", row + 1, key] = log["shots", row, key]
        log["shots", row + 1, "date"] = log["shots", row, "date"] + day_of_next
        log["shots", row + 1, "start"] = next_start * MINUTE
        log["shots", row + 1, "end"] = (next_start + 4) * MINUTE
    return log, row


def test_a_shot_past_midnight_is_no_open_item():
    log, row = late(23 * 60 + 58, 2)
    shown, found = answers(log)
    assert not {"is_end_before_start", "is_at_once"} & shown.get(row, set())
    assert "shot-past-midnight" in {each.name for each in found}
    assert not {"end-before-start", "two-shots-at-once"} & {each.name for each in found}


def test_a_shot_that_ends_long_before_it_starts_is_backwards():
    log, row = late(14 * 60, 13 * 60)
    shown, found = answers(log)
    assert "is_end_before_start" in shown[row]
    assert "end-before-start" in {each.name for each in found}


@pytest.mark.parametrize(("next_start", "at_once"), [(1, True), (10, False), (15, False)])
def test_a_shot_past_midnight_is_compared_with_the_first_of_the_next_day(next_start, at_once):
    log, row = late(23 * 60 + 50, 10, 1, next_start)
    shown, found = answers(log)
    for each in (row, row + 1):
        assert ("is_at_once" in shown.get(each, set())) is at_once
    names = {each.name for each in found}
    assert bool(names & {"started-before-last-ended", "two-shots-at-once"}) is at_once


# ---------------------------------------------------------------- one nozzle shut


@pytest.mark.parametrize(
    ("nozzles", "width", "remark", "name"),
    [
        (23, 12.0, "nozzle 7 plugged", "nozzle-shut-within-width"),
        (23, 12.0, None, "width-and-nozzles-differ"),
        (23, 11.5, None, ""),  # the end nozzle: the width that was covered is written
        (22, 12.0, "two plugged", "width-and-nozzles-differ"),
        (25, 12.0, "one more", "width-and-nozzles-differ"),
    ],
)
def test_a_nozzle_fewer_than_the_card(nozzles, width, remark, name):
    log = day(ORDER)
    row = next(row for row in bar_shots(log) if log["shots", row, "width"] == 12.0)
    log["shots", row, "nozzles"], log["shots", row, "width"] = float(nozzles), width
    if remark:
        log["shots", row, "remarks"] = remark
    shown, found = answers(log)
    assert {each.name for each in found if "nozzle" in each.name} == ({name} if name else set())
    assert ("is_nozzles" in shown.get(row, set())) is (name == "width-and-nozzles-differ")


def test_rate_and_area_follow_the_width_that_an_end_nozzle_leaves():
    log = day(ORDER)
    row = next(row for row in bar_shots(log) if log["shots", row, "width"] == 12.0)
    log["shots", row, "nozzles"], log["shots", row, "width"] = 23.0, 11.5
    shown, found = answers(log)
    assert shown == {}
    assert without_notes(found) == set()
