"""How much of the payable quantity hangs on findings: exactly what depends on the entry, and none of it twice."""

from __future__ import annotations

import tempfile
from dataclasses import replace
from pathlib import Path

import pytest

from sheetgen.audit.findings import finding
from sheetgen.audit.report.contents import contents
from sheetgen.audit.report.volume_at_stake import Held, Stakes, covered
from sheetgen.audit.run import recheck_book
from sheetgen.book.build import write_filled
from tests.audit.orders import day, small

ORDER = small(size={"shots": 20, "loads": 4, "days": 1})
FOG = small(material__dilution=0.5, size={"shots": 20, "loads": 4, "days": 1})


def checked(order=ORDER, **changes):
    """The recheck of a day with other entries, given as ``table_row_column``."""
    log = day(order)
    for place, value in changes.items():
        table, row, column = place.split("_", 2)
        log[table, int(row), column] = value
    return recheck_log(order, log)


def recheck_log(order, log):
    """The recheck of a book with a log."""
    with tempfile.TemporaryDirectory() as folder:
        return recheck_book(write_filled(order, order.machines[0], log, Path(folder) / "book.xlsx"))


def named(recheck, name):
    """The stake of the only finding of a name."""
    (found,) = [one for one in recheck.findings if one.name == name]
    return Stakes.of(recheck).at_stake(found)


def question(recheck, *names):
    """What findings of these names put in question together."""
    return Stakes.of(recheck).in_question([one for one in recheck.findings if one.name in names])


@pytest.mark.parametrize(
    ("held", "expected"),
    [
        ([], 0),
        ([Held(5, (0,)), Held(3, (0,))], 5),  # one shot counts once, with the largest
        ([Held(5, (0,)), Held(3, (1,))], 8),
        ([Held(50, (0,))], 10),  # never above what is paid for it
        ([Held(5, (0,)), Held(4, (0, 1))], 5),  # the two readings' shots hold it already
        ([Held(5, (0,)), Held(7, (0, 1))], 7),
        ([Held(5, (0, 1)), Held(5, (1, 2))], 10),  # two gaps are two doubts
        ([Held(100, (0, 1, 2)), Held(5, (2,))], 30),
        ([Held(5, (9,))], 0),  # a shot that nothing is paid for
    ],
)
def test_what_several_findings_hold_is_covered_once(held, expected):
    assert sum(covered(held, {0: 10.0, 1: 10.0, 2: 10.0}).values()) == expected


def test_what_is_paid_for_the_shots_adds_up_to_the_payable_quantity():
    for order in (ORDER, FOG):
        recheck = checked(order)
        assert sum(Stakes.of(recheck).paid.values()) == pytest.approx(
            sum(row["payable"] for row in recheck.section_rows)
        )


@pytest.mark.parametrize("order", [ORDER, FOG])
def test_a_level_that_fell_puts_the_fall_in_question_without_its_water(order):
    log = day(order)
    dip = next(log["shots", row, "dip_before"] for row in (3,))
    recheck = checked(order, shots_3_dip_before=dip - 2)
    (fell,) = [one for one in recheck.findings if one.name == "level-fell-between-readings"]
    lost = recheck.shot_rows[2]["after"] - recheck.shot_rows[3]["before"]
    factor = recheck.shot_rows[3]["factor"]
    expected = lost * factor * order.material.dilution
    assert Stakes.of(recheck).at_stake(fell) == pytest.approx(expected, rel=0.02)
    assert set(fell.shots) == {2, 3}
    assert question(recheck, "level-fell-between-readings") == pytest.approx(expected, rel=0.02, abs=1)


def test_a_width_that_no_limit_of_pay_depends_on_puts_nothing_in_question():
    width = max(ORDER.machines[0].bar_widths) + 4
    recheck = checked(shots_3_width=width)
    limited = recheck.section_rows[0]
    assert limited["undiluted"] < limited["cap"]
    assert named(recheck, "width-wider-than-bar") is None


def test_a_ticket_typed_twice_is_worth_what_could_not_have_been_sprayed_without_the_load():
    real = checked(loads_1_ticket=day(ORDER)["loads", 0, "ticket"])
    held = real.load_rows[1]["base"]
    assert 0 < named(real, "ticket-repeated") <= held
    overall = real.totals.overall
    others = sum(row["base"] for row in real.load_rows if row["row"] != 1)
    without = overall["start"] + others - overall["end"] - overall["wasted"]
    needed = overall["sprayed"] - without
    assert named(real, "ticket-repeated") == pytest.approx(min(held, needed), abs=0.11)


def test_a_load_that_nothing_was_sprayed_from_puts_nothing_in_question():
    log = day(ORDER)
    last = max(row for table, row, _ in log if table == "loads")
    for column in ("date", "time", "ticket", "supplier", "grade", "net_mass", "volume", "temperature"):
        if ("loads", last, column) in log:
            log["loads", last + 1, column] = log["loads", last, column]
    recheck = recheck_log(ORDER, log)
    assert named(recheck, "ticket-repeated") is None
    assert question(recheck, "ticket-repeated") == 0


def test_two_loads_that_may_each_be_spared_but_not_both_are_in_question_together():
    recheck = checked(loads_0_grade="RC-70", loads_1_grade="RC-70")
    grades = [one for one in recheck.findings if one.name == "grade-not-ordered"]
    assert len(grades) == 2
    stakes = Stakes.of(recheck)
    alone = [stakes.at_stake(one) or 0.0 for one in grades]
    together = stakes.in_question(grades)
    assert together >= max(alone) - 1
    assert together <= recheck.totals.overall["payable"]


def test_a_date_is_no_quantity():
    recheck = checked()
    place = next(one for one in recheck.entries if (one.table, one.row, one.column) == ("shots", 2, "date"))
    found = finding("ambiguous-date", sheet=place.sheet, cell=place.cell, row=2)
    said = contents(replace(recheck, findings=[found]))
    assert said.findings[0].at_stake is None
    assert said.payable.in_question.volume == 0
