"""The live checks on bare area and the recheck speak of the same shots, at every stage of a job."""

from __future__ import annotations

import pytest

from sheetgen.book.layout import lay_out
from sheetgen.xlsx.results import results
from tests.audit.orders import changed, put_before_the_rules
from tests.audit.test_coverage import JOB, LANE, SECTION, in_passes, short_job, shortened, shots_of, without
from tests.book.test_live_checks import flags
from tests.selection import sampled
from tests.simulated.days import honest
from tests.simulated.jobs import JOBS
from tests.simulated.measure import Book

FINDS = {"gap": "gap-in-lane", "bare_end": "stretch-not-sprayed", "narrow": "strip-not-sprayed"}
LOG = honest(JOB, 4)
FOR_LANE = shots_of(LOG, section=SECTION.id, lane=LANE)
ROWS = shots_of(LOG)


def narrow(rows, width=8.0):
    """The log with shots of another width, nozzles to match."""
    shut = {("shots", row, "width"): width for row in rows}
    return LOG | shut | {("shots", row, "nozzles"): 2 * width for row in rows}


def with_gap(row):
    """The log with a shot that begins 60 ft late."""
    start, end = LOG["shots", row, "from_station"], LOG["shots", row, "to_station"]
    return LOG | {("shots", row, "from_station"): start + (60 if end > start else -60)}


LOGS = {
    "a finished job": LOG,
    "a lane that ends early": shortened(LOG, SECTION, LANE, 100)[0],
    "so is the last": shortened(LOG, JOB.order.sections[-1], JOB.order.sections[-1].lanes[-1], 100)[0],
    "a few shots": without(LOG, ROWS[5:]),
    "the later days": without(LOG, ROWS[:3]),
    "a lane that ends early while work goes on": without(
        shortened(LOG, SECTION, LANE, 50)[0], [row for row in ROWS if row > FOR_LANE[-1] + 1]
    ),
    "a lane of half a section": without(LOG, shots_of(LOG, section="S2", lane="SB")),
    "a shot missing in the middle of a lane": without(LOG, [FOR_LANE[len(FOR_LANE) // 2]]),
    "a shot that begins late": with_gap(FOR_LANE[1]),
    "a narrow lane": narrow(FOR_LANE),
    "a narrow lane, nothing after it": without(
        narrow(FOR_LANE), [row for row in ROWS if row not in FOR_LANE]
    ),
    "a narrow shot": narrow([FOR_LANE[1]]),
    "a narrow shot, the last of the log": without(narrow([FOR_LANE[1]]), [r for r in ROWS if r > FOR_LANE[1]]),
    "a width changed on the road": narrow(shots_of(LOG, section=SECTION.id))
    | {("changes", 0, "section"): SECTION.id, ("changes", 0, "from_shot"): 1.0,
       ("changes", 0, "new_width"): 8.0, ("changes", 0, "ordered_by"): "R. Invented"},
    "two passes": in_passes(LOG, ROWS),
    "the first of two passes and half of the second": in_passes(LOG, ROWS[: len(ROWS) // 2]),
    "a lane of nowhere": shortened(LOG, SECTION, LANE, 100)[0] | {("shots", FOR_LANE[0], "lane"): "X9"},
}  # fmt: skip
ORDER = changed(JOB.order, size__shots=40)


def same_rows(log, order):
    """The kinds of finding on bare area that both sides have in a log, their rows compared."""
    shown, _ = flags(order, log)
    _, findings = put_before_the_rules(log, order)
    said = set()
    for key, name in FINDS.items():
        rows = {one.row for one in findings if one.name == name}
        live = {row for (table, row), on in shown.items() if table == "shots" and f"is_{key}" in on}
        assert rows <= live, (name, rows, live)
        assert bool(rows) == bool(live), (name, rows, live)
        said |= {name} if rows else set()
    return said


@pytest.mark.parametrize("which", LOGS)
def test_they_speak_of_the_same_shots(which):
    said = same_rows(LOGS[which], ORDER)
    quiet = ("a finished job", "a few shots", "the later days", "a lane of half a section",
             "a width changed on the road", "two passes", "the first of two passes and half of the second",
             "a narrow shot, the last of the log", "a lane of nowhere")  # fmt: skip
    assert bool(said) == (which not in quiet), said


def test_a_lane_that_nobody_sprayed_in_a_job_that_is_nearly_done():
    job = short_job()
    log = honest(job, 4)
    left = without(log, shots_of(log, section="S2", lane="SB"))
    assert same_rows(left, job.order) == {"stretch-not-sprayed"}


@pytest.mark.parametrize("kind", sampled(list(JOBS), 3))
def test_an_honest_finished_job_has_none(kind):
    book = Book(list(JOBS).index(kind) + 64)
    assert same_rows(book.sharp(), book.job.order) == set()


def test_the_area_that_is_left_is_what_the_recheck_says():
    log = LOGS["a lane that ends early"]
    book = lay_out(ORDER, ORDER.machines[0], log)
    values, place = results(book), book.tables["sections"]
    shown = [
        values["totals", row, place.columns["bare"]] for row in range(place.first_row, place.last_row + 1)
    ]
    computation, _ = put_before_the_rules(log, ORDER)
    assert shown == pytest.approx([row.bare for row in computation.section_rows], abs=1e-6)
    # 100 ft × 12 ft ÷ 9 ft²/yd² = 133.3 yd².
    assert shown[0] == pytest.approx(133.3, abs=0.2)


def test_with_several_distributors_another_one_may_have_sprayed_the_rest():
    machine = JOB.order.model_dump(mode="json")["machines"][0]
    order = changed(ORDER, machines=[machine, machine | {"name": "Distributor X"}])
    place = lay_out(order, order.machines[0], {}).tables["shot_checks"]
    assert not {f"is_{key}" for key in FINDS} & set(place.columns)
