"""What of the ordered area nothing was sprayed on: asked about where it was left behind, a note where work goes on."""

from __future__ import annotations

import pytest

from tests.audit.orders import changed, findings_of
from tests.simulated.days import honest
from tests.simulated.jobs import JOBS
from tests.simulated.measure import Book

JOB = JOBS["tack"]
NAMES = {"stretch-not-sprayed", "strip-not-sprayed", "section-not-finished"}


def asked(log, order=JOB.order):
    """The findings on bare area."""
    return [one for one in findings_of(log, order) if one.name in NAMES]


def shots_of(log, **wanted):
    """The rows of the shot log with these entries."""
    rows = sorted({row for table, row, _ in log if table == "shots"})
    return [
        row for row in rows if all(log.get(("shots", row, key)) == value for key, value in wanted.items())
    ]


def without(log, rows):
    """A log without rows of shots, those below moved up."""
    kept = [row for row in sorted({row for table, row, _ in log if table == "shots"}) if row not in rows]
    moved = {old: new for new, old in enumerate(kept)}
    return {
        (table, moved[row] if table == "shots" else row, column): value
        for (table, row, column), value in log.items()
        if table != "shots" or row in moved
    }


SECTION = JOB.order.sections[0]
LOW, HIGH = sorted((SECTION.from_station, SECTION.to_station))
LANE, LAST_LANE = SECTION.lanes[0], SECTION.lanes[-1]


def shortened(log, section, lane, by):
    """The last shot of a lane ended so much earlier."""
    last = shots_of(log, section=section.id, lane=lane)[-1]
    start, end = log["shots", last, "from_station"], log["shots", last, "to_station"]
    return log | {("shots", last, "to_station"): end - by if end > start else end + by}, last


@pytest.mark.parametrize("number", range(0, 320, 29))
def test_an_honest_book_that_is_finished_has_none(number):
    book = Book(number)
    assert asked(book.sharp(), book.job.order) == []


def test_a_lane_that_ends_100_ft_early_is_asked_about_with_its_area():
    log, last = shortened(honest(JOB, 4), SECTION, LANE, 100)
    (found,) = asked(log)
    assert (found.name, found.severity, found.row) == ("stretch-not-sprayed", "query", last)
    # 100 ft × 12 ft ÷ 9 ft²/yd² = 133.3 yd².
    assert SECTION.width == 12
    assert "100 ft × 12 ft = 133.3 yd²" in found.matters
    assert "to_station" in found.cell


def test_a_log_that_ends_100_ft_before_the_end_of_the_job():
    section = JOB.order.sections[-1]
    log, last = shortened(honest(JOB, 4), section, section.lanes[-1], 100)
    (found,) = asked(log)
    assert (found.name, found.row) == ("stretch-not-sprayed", last)


def test_less_than_a_shot_left_at_the_end_while_the_crew_goes_on_is_asked_about_before_the_job_is_done():
    log, last = shortened(honest(JOB, 4), SECTION, LANE, 50)
    later = [row for row in shots_of(log) if row > last + 1]
    found = {one.name: one for one in asked(without(log, later))}
    assert found["stretch-not-sprayed"].row == last
    assert found["section-not-finished"].severity == "note"


def short_job():
    """The job with a second section of 600 ft: one lane of it is 6.5 % of all."""
    sections = [each.model_dump(mode="json") for each in JOB.order.sections]
    sections[1]["to_station"] = sections[1]["from_station"] + 600
    return JOB._replace(order=changed(JOB.order, sections=sections))


def test_a_lane_that_nobody_sprayed_in_a_job_that_is_nearly_done():
    job = short_job()
    log = honest(job, 4)
    assert asked(log, job.order) == []
    (found,) = asked(without(log, shots_of(log, section="S2", lane="SB")), job.order)
    assert (found.name, found.found.count("lane SB of section S2")) == ("stretch-not-sprayed", 1)
    assert "600 ft × 12 ft = 800.0 yd²" in found.matters


def test_a_lane_that_is_half_of_what_was_ordered_is_a_note_while_the_job_may_go_on():
    log = honest(JOB, 4)
    (found,) = asked(without(log, shots_of(log, section="S2", lane="SB")))
    assert (found.name, found.severity) == ("section-not-finished", "note")
    assert found.found.startswith("50.0 % of section S2")


@pytest.mark.parametrize("shots", [1, 2, 5, 8])
def test_a_day_in_the_middle_of_the_job_is_a_note_at_most(shots):
    log = honest(JOB, 4)
    begun = without(log, [row for row in shots_of(log) if row >= shots])
    found = asked(begun)
    assert {one.severity for one in found} <= {"note"}
    assert "section-not-finished" in {one.name for one in found}


@pytest.mark.parametrize("first", [1, 3, 6])
def test_so_is_a_copy_of_the_book_for_the_later_days(first):
    log = honest(JOB, 4)
    found = asked(without(log, range(first)))
    assert {one.severity for one in found} <= {"note"}


def test_a_lane_sprayed_8_ft_wide_where_12_were_ordered_is_asked_about_with_its_strip():
    log = honest(JOB, 4)
    rows = shots_of(log, section=SECTION.id, lane=LANE)
    log |= {("shots", row, "width"): 8.0 for row in rows} | {("shots", row, "nozzles"): 16.0 for row in rows}
    found = next(one for one in asked(log) if one.name == "strip-not-sprayed")
    area = (HIGH - LOW) * 4 / 9
    assert (found.severity, found.row) == ("query", rows[0])
    assert f"× 4 ft = {area:,.1f} yd²" in found.matters


def test_a_width_that_was_changed_on_the_road_leaves_no_bare_strip():
    log = honest(JOB, 4)
    rows = shots_of(log, section=SECTION.id)
    log |= {("shots", row, "width"): 8.0 for row in rows} | {("shots", row, "nozzles"): 16.0 for row in rows}
    log |= {("changes", 0, "section"): SECTION.id, ("changes", 0, "from_shot"): 1.0,
            ("changes", 0, "new_width"): 8.0, ("changes", 0, "ordered_by"): "R. Invented"}  # fmt: skip
    assert asked(log) == []


def in_passes(log, second):
    """Each shot 6 ft wide, and the second pass over the shots of these rows after them all."""
    rows = shots_of(log)
    narrow = log | {("shots", row, "width"): 6.0 for row in rows}
    again = {
        ("shots", rows[-1] + 1 + second.index(row), column): value
        for (table, row, column), value in narrow.items()
        if table == "shots" and row in second
    }
    return narrow | again


@pytest.mark.parametrize(("passed", "names"), [(1.0, set()), (0.5, {"section-not-finished"})])
def test_two_passes_of_half_the_width_are_all_of_it_and_a_second_one_may_be_to_come(passed, names):
    log = honest(JOB, 4)
    rows = shots_of(log)
    both = in_passes(log, rows[: round(passed * len(rows))])
    assert {one.name for one in asked(both, changed(JOB.order, size__shots=200))} == names


def test_with_several_distributors_another_one_may_have_sprayed_the_rest():
    machine = JOB.order.model_dump(mode="json")["machines"][0]
    order = changed(JOB.order, machines=[machine, machine | {"name": "Distributor X"}])
    log, _ = shortened(honest(JOB, 4), SECTION, LANE, 100)
    assert asked(log, order) == []


def test_a_shot_whose_lane_cannot_be_told_may_lie_on_what_seems_bare():
    log, last = shortened(honest(JOB, 4), SECTION, LANE, 100)
    assert asked(log | {("shots", last - 1 if last else last + 1, "lane"): "X9"}) == []
