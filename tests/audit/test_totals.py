"""Totals added up again from the rows beneath them: what came in, what went out, and what is left over."""

from __future__ import annotations

import pytest

from sheetgen.audit.compute.days import remainder
from tests.audit.orders import VARIANTS, day, put_before_the_rules, small

NAMES = ["inch-pound", "metric", "asphalt", "diluted one to one", "hand work not exempt", "coarse rounding"]
OVERALL = {
    "start", "loaded", "sprayed", "wasted", "returned", "end", "unexplained", "share", "area", "undiluted", "water",
    "deducted", "payable",
}  # fmt: skip


@pytest.fixture(scope="module", params=NAMES)
def totalled(request):
    order = VARIANTS[request.param]
    log = day(order, 5) | {("days", 0, "returned"): 12.0, ("shots", 1, "waste"): 3.0}
    computation, _ = put_before_the_rules(log, order)
    return order, computation, computation.totals


def test_every_total_that_a_book_has_is_recomputed(totalled):
    order, _, totals = totalled
    assert order.pay.unit_price is not None  # so there is an amount
    assert totals.overall.keys() == OVERALL | {"amount"}
    assert all(isinstance(value, float | int) for value in totals.overall.values())


def test_what_is_unexplained_is_what_the_others_leave(totalled):
    order, _, totals = totalled
    own = totals.overall
    left = own["start"] + own["loaded"] - own["sprayed"] - own["wasted"] - own["returned"] - own["end"]
    assert own["returned"] == 12.0
    assert own["wasted"] > 0
    assert own["unexplained"] == pytest.approx(left, abs=10**-order.rounding.volume)
    # "Unexplained, of what was available", as the book prints it: of what was there and what came.
    assert own["share"] == pytest.approx(own["unexplained"] / (own["start"] + own["loaded"]), abs=5e-7)


def test_totals_are_the_sums_of_their_rows(totalled):
    order, computation, totals = totalled
    own, shots, sections = totals.overall, computation.shot_rows, computation.section_rows
    assert own["sprayed"] == pytest.approx(sum(shot.base for shot in shots))
    assert own["wasted"] == pytest.approx(sum(shot.wasted for shot in shots))
    assert own["area"] == pytest.approx(sum(shot.area for shot in shots))
    assert own["loaded"] == pytest.approx(sum(load.mix for load in computation.load_rows))
    step = 10**-order.rounding.volume
    assert own["undiluted"] == pytest.approx(sum(shot.base * shot.dilution for shot in shots), abs=step)
    assert own["undiluted"] + own["water"] == pytest.approx(own["sprayed"], abs=step)
    assert own["deducted"] == pytest.approx(sum(row.deducted for row in sections))
    assert own["payable"] == pytest.approx(sum(row.payable for row in sections), abs=10**-order.rounding.pay)


def test_totals_by_section_and_by_day_are_the_rows_themselves(totalled):
    order, computation, totals = totalled
    assert list(totals.by_section) == [section.id for section in order.sections]
    for row in computation.section_rows:
        mine = totals.by_section[row.id]
        assert mine == {key: getattr(row, key) for key in mine}
        assert mine.keys() == {
            "shots",
            "area",
            "bare",
            "undiluted",
            "ordered",
            "cap",
            "hand",
            "payable",
            "deducted",
        }
    assert len(totals.by_day) == len([row for row in computation.day_rows if row.date is not None]) >= 1
    for row in computation.day_rows:
        if row.date is not None:
            (mine,) = [each for each in totals.by_day.values() if each["sprayed"] == row.sprayed]
            assert mine.keys() == {
                "start",
                "loaded",
                "sprayed",
                "wasted",
                "returned",
                "end",
                "unexplained",
                "share",
                "area",
            }
            assert mine == {key: getattr(row, key) for key in mine}


def test_of_nothing_available_no_part_stays_unexplained():
    assert remainder(0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 1) == (0.0, None)
    assert remainder(100.0, 50.0, 120.0, 5.0, 0.0, 22.0, 1) == (3.0, 0.02)


def test_a_mark_for_hand_work_lifts_no_pay_limit_where_the_bar_was_ordered():
    order = small("us")
    log = day(order)
    rows = [row for table, row, column in log if (table, column) == ("shots", "nozzles")]
    log |= {("shots", row, "dip_after"): log["shots", row, "dip_before"] - 6.0 for row in rows}
    marked = log | {("shots", row, "kind"): "hand spray" for row in rows}
    as_bar, as_hand = (put_before_the_rules(each, order)[0].totals.overall for each in (log, marked))
    assert as_bar["deducted"] > 0
    assert (as_hand["payable"], as_hand["deducted"]) == (as_bar["payable"], as_bar["deducted"])


def test_the_ordered_area_that_is_left_is_the_order_less_what_the_shots_have_of_it(totalled):
    order, computation, _ = totalled
    divisor = 9 if order.units == "us" else 1  # ft² in a yd² (exact)
    widths = {shot.row: shot.width for shot in computation.logs.shots}
    for section, row in zip(order.sections, computation.section_rows, strict=True):
        laid = 0.0
        for shot in computation.shot_rows:
            if shot.section == section.id and shot.length is not None and shot.area is not None:
                wanted = shot.changed_width or section.width
                laid += shot.length * min(1.0, widths[shot.row] / wanted) * section.width / divisor
        ordered = (
            abs(section.to_station - section.from_station) * section.width * len(section.lanes) / divisor
        )
        # Each area is rounded as the order says.
        allowed = (1 + row.shots) * 10**-order.rounding.area
        assert row.bare == pytest.approx(max(0.0, ordered - laid), abs=allowed)
