"""Changes on the road: rates, tolerance and pay of the shots from there on follow them, in the book and in the recheck.

No form of an agency with a field for a rate changed during the work was found; texts say that a rate is changed (44 %
of agencies change the tack rate with the surface: NCHRP Synthesis, record 13652, page 44). The split of a shot log at
the change is common practice, no source.
"""

from __future__ import annotations

import json
from random import Random

import pytest

from sheetgen.audit.compute.book import compute
from sheetgen.audit.compute.shots import ordered_mix_rate
from sheetgen.audit.entries.book_values import same
from sheetgen.audit.entries.read import entries_of
from sheetgen.audit.report import write_report
from sheetgen.audit.run import recheck_book
from sheetgen.book.layout import lay_out
from sheetgen.columns import compared
from sheetgen.demo.day import honest_day
from sheetgen.xlsx.results import results
from sheetgen.xlsx.write import write_book
from tests.audit.orders import changed, findings_of, small
from tests.book.test_live_checks import CHECKS, flags, rechecked
from tests.selection import sampled

GROUP = {"change-cannot-be-applied", "change-without-authority", "change-outside-range"}
RATES = {"rate-out-of-tolerance", "residual-rate-sprayed-as-bar-rate", "undiluted-rate-sprayed-as-bar-rate"}


def with_rate(order, section, rate):
    data = order.model_dump(mode="json")
    for each in data["sections"]:
        if each["id"] == section:
            each["rate"] = rate
    return type(order).model_validate(data)


def change(row=0, **cells):
    cells = {"section": "S1", "ordered_by": "A. Invented"} | cells
    return {("changes", row, key): value for key, value in cells.items() if value is not None}


def computed(log, order):
    return compute(entries_of(log, order, order.machines[0]), order, order.machines[0])


def shots_of(log, section):
    return [row for (table, row, key), value in sorted(log.items(), key=str) if (table, key) == ("shots", "section")
            and value == section]  # fmt: skip


# ------------------------------------------------------------------ the closed loop


@pytest.mark.parametrize("units", ["us", "si"])
@pytest.mark.parametrize("section", ["S1", "S3"])  # a tolerance in percent, and one in the rate's own unit
def test_shots_at_the_changed_rate_are_judged_and_paid_by_it(units, section):
    order = small(units)
    (was,) = [each.rate for each in order.sections if each.id == section]
    sprayed = with_rate(order, section, round(1.25 * was, 4))
    log = honest_day(sprayed, sprayed.machines[0], seed=3)
    assert shots_of(log, section)
    told = log | change(section=section, from_shot=1.0, new_rate=round(1.25 * was, 4))
    own, other = computed(told, order), computed(log, sprayed)
    for one, two in zip(own.shot_rows, other.shot_rows, strict=True):
        assert one._replace(changed_mix=None) == two
    assert own.totals.overall == other.totals.overall
    assert own.section_rows == other.section_rows
    assert not {each.name for each in findings_of(told, order)} & (RATES | GROUP)
    assert flags(order, told)[0] == flags(sprayed, log)[0]
    without = {each.name for each in findings_of(log, order)}
    assert without & RATES


@pytest.mark.parametrize(("times", "asked"), [(1.05, False), (1.3, True)])
@pytest.mark.parametrize("units", ["us", "si"])
def test_a_change_that_lifts_the_payable_quantity_is_asked_about_with_what_hangs_on_it(units, times, asked):
    """A crew that sprayed too much and writes a change into the log is paid up to a limit that nobody may have set."""
    order = small(units)
    (was,) = [each.rate for each in order.sections if each.id == "S1"]
    sprayed = with_rate(order, "S1", round(times * was, 4))
    log = honest_day(sprayed, sprayed.machines[0], seed=3)
    told = log | change(from_shot=1.0, new_rate=round(times * was, 4))
    paid, without = (
        sum(section.payable for section in computed(each, order).section_rows) for each in (told, log)
    )
    assert (paid - without > 0.02 * paid) is asked
    found = [each for each in findings_of(told, order) if each.name == "change-lifts-pay"]
    assert [(each.severity, each.cell) for each in found] == [("query", "new_rate 1")] * asked
    for each in found:
        assert each.stake == pytest.approx(paid - without)
        assert "A. Invented" in each.found


def test_a_change_holds_from_its_shot_on_for_its_section_alone():
    order = small("us")
    log = honest_day(order, order.machines[0], seed=3)
    rows = shots_of(log, "S1")
    first = rows[2] + 1
    section = next(each for each in order.sections if each.id == "S1")
    before, after = computed(log, order), computed(log | change(from_shot=float(first), new_rate=0.06), order)
    for old, new in zip(before.shot_rows, after.shot_rows, strict=True):
        follows = new.section == "S1" and new.row + 1 >= first
        assert (new.changed_mix is not None) is follows
        if follows:
            # by hand: 0.06 residual of an emulsion with 60 % residue is 0.1 at the bar
            assert new.ordered_mix == pytest.approx(0.1)
            assert new.due == pytest.approx(new.area * 0.1)
        else:
            assert new == old
    assert ordered_mix_rate(section, order) != pytest.approx(0.1)
    (old,), (new,) = ([each for each in done.section_rows if each.id == "S1"] for done in (before, after))
    assert new.ordered - old.ordered == pytest.approx(
        sum(after.shot_rows[row].due - before.shot_rows[row].due for row in rows[2:])
    )
    assert new.cap == pytest.approx(new.ordered * (1 + order.pay.excess_limit))


def test_a_tolerance_in_the_unit_of_the_rate_stays_what_it_is():
    order = small("us")
    section = next(each for each in order.sections if each.tolerance_kind == "absolute")
    log = honest_day(order, order.machines[0], seed=3) | change(
        section=section.id, from_shot=1.0, new_rate=2 * section.rate
    )
    shots = [row for row in computed(log, order).shot_rows if row.section == section.id]
    assert {row.allowed for row in shots} == {round(section.tolerance / (2 * section.rate), 6)}


def test_a_time_says_the_shot_that_begins_then_or_next():
    order = small("us")
    log = honest_day(order, order.machines[0], seed=3)
    row = shots_of(log, "S1")[2]
    by_shot = computed(log | change(from_shot=row + 1.0, new_rate=0.05), order)
    for minutes in (0, -1):
        moment = {"date": log["shots", row, "date"], "time": log["shots", row, "start"] + minutes / 1440}
        by_time = computed(log | change(new_rate=0.05, **moment), order)
        assert by_time.shot_rows == by_shot.shot_rows
        assert by_time.change_rows == by_shot.change_rows
    late = computed(log | change(new_rate=0.05, date=log["shots", row, "date"], time=0.99), order)
    assert late.change_rows[0].first == order.size.shots + 1
    assert all(each.changed_mix is None for each in late.shot_rows)


def test_a_wider_lane_is_no_overlap_and_not_too_wide():
    order = small("us")
    log = honest_day(order, order.machines[0], seed=3)
    row = shots_of(log, "S1")[0]
    section = next(each for each in order.sections if each.id == "S1")
    widest = max(order.machines[0].bar_widths)
    data = changed(order, sections__width=widest - 2)
    log["shots", row, "width"] = widest
    assert "shot-wider-than-section" in {each.name for each in findings_of(log, data)}
    told = log | change(from_shot=1.0, new_width=widest)
    assert "shot-wider-than-section" not in {each.name for each in findings_of(told, data) if each.row == row}
    assert section.width != widest or computed(told, data).shot_rows[row].changed_width == widest


# ------------------------------------------------------------------ what a change lacks


LACKS = {
    "nobody": (
        {"from_shot": 2.0, "new_rate": 0.05, "ordered_by": None},
        "change-without-authority",
        "ordered_by",
    ),
    "a rate beyond the published ones": (
        {"from_shot": 2.0, "new_rate": 0.5},
        "change-outside-range",
        "new_rate",
    ),
    "no section": (
        {"from_shot": 2.0, "new_rate": 0.05, "section": None},
        "change-cannot-be-applied",
        "section",
    ),
    "no shot": ({"new_rate": 0.05}, "change-cannot-be-applied", "from_shot"),
    "no time": ({"date": 46147.0, "new_rate": 0.05}, "change-cannot-be-applied", "from_shot"),
    "no rate": ({"from_shot": 2.0}, "change-cannot-be-applied", "new_rate"),
}


@pytest.mark.parametrize("case", LACKS)
def test_what_a_change_lacks_is_asked_for_live_and_in_the_recheck(case):
    cells, name, column = LACKS[case]
    order = small("us")
    log = honest_day(order, order.machines[0], seed=3) | change(**cells)
    places = {
        each.cell: each.column
        for each in entries_of(log, order, order.machines[0])
        if each.table == "changes"
    }
    found = [each for each in findings_of(log, order) if each.name in GROUP]
    assert [(each.name, places[each.cell]) for each in found] == [(name, column)]
    shown, _ = flags(order, log)
    (flag,) = shown["changes", 0]
    assert name in CHECKS["changes"][flag[3:]]["finds"]


def test_a_change_written_below_a_later_one_is_refused():
    order = small("us")
    log = honest_day(order, order.machines[0], seed=3)
    log |= change(0, from_shot=4.0, new_rate=0.05) | change(1, from_shot=2.0, new_rate=0.06)
    log |= change(2, from_shot=6.0, new_rate=0.07)
    rows = computed(log, order).change_rows
    assert [(row.first, row.in_turn, row.rate_until) for row in rows] == [
        (4.0, True, 5.0), (2.0, False, None), (6.0, True, float(order.size.shots))
    ]  # fmt: skip
    assert [each.row for each in findings_of(log, order) if each.name == "change-cannot-be-applied"] == [1]
    shown, _ = flags(order, log)
    assert [row for row in range(3) if "is_apply" in shown["changes", row]] == [1]


# ------------------------------------------------------------------ live and recheck, generated


def drawn(seed):
    chance = Random(seed)
    variant = chance.choice(
        (
            {},
            {"sections__rate_temperature": "spraying"},
            {"sections__basis": "as-diluted", "sections__rate": 0.12},
        )
    )
    order = small("us", **variant)
    log = honest_day(order, order.machines[0], seed=seed % 5)
    for row in range(chance.randint(1, 5)):
        cells = {"section": chance.choice(("S1", "S2", "S3", None)), "new_rate": None, "new_width": None}
        if chance.random() < 0.8:
            cells["new_rate"] = round(chance.uniform(0.02, 0.2), 3)
        if chance.random() < 0.3:
            cells["new_width"] = float(chance.choice((10, 12, 14)))
        if chance.random() < 0.7:
            cells["from_shot"] = float(chance.randint(1, 15))
        if chance.random() < 0.5:
            cells |= {"date": 46147.0, "time": chance.randint(400, 900) / 1440}
        if chance.random() < 0.2:
            cells["ordered_by"] = None
        log |= change(row, **cells)
    if chance.random() < 0.3:
        log.pop(("shots", 3, "start"))
    return order, log


@pytest.mark.parametrize("seed", sampled(list(range(14)), 5))
def test_live_and_recheck_give_the_same_rows_and_totals(seed):
    order, log = drawn(seed)
    book = lay_out(order, order.machines[0], log)
    values, keys = results(book), {sheet.name: sheet.key for sheet in book.sheets}
    own = computed(log, order).results
    for table in ("changes", "shots", "sections", "overall"):
        for row, each in own[table].items():
            for column in compared(table):
                if column.words or (column.name and column.name not in book.fields):
                    continue  # the second: of another unit of pay
                if column.name:
                    sheet, line, col = book.fields[column.name]
                else:
                    place = book.tables[table]
                    sheet, line, col = keys[place.sheet], place.first_row + row, place.columns[column.key]
                live = values[sheet, line, col]
                assert same(live, each[column.key]), (table, row, column.key, live, each[column.key])
    shown, _ = flags(order, log)
    found, _, _ = rechecked(order, log)
    for (table, row), on in shown.items():
        if table == "changes":
            here = found.get((table, row), set()) & GROUP
            finds = [set(CHECKS[table][flag[3:]]["finds"]) for flag in on]
            assert all(one & here for one in finds), (row, on, here)
            assert here <= set().union(*finds), (row, on, here)


def test_the_report_lists_the_changes(tmp_path):
    order = small("us")
    log = honest_day(order, order.machines[0], seed=3) | change(from_shot=2.0, new_rate=0.05)
    path = write_book(lay_out(order, order.machines[0], log), tmp_path / "book.xlsx")
    recheck = recheck_book(path)
    _, data, *_ = write_report(recheck, tmp_path / "out")
    (line,) = json.loads(data.read_text("utf-8"))["changes"]
    assert line["results"]["new_bar_rate"]["recomputed"] == pytest.approx(0.05 / 0.6)
    assert line["results"]["new_bar_rate"]["same"]
    assert "value-differs-from-recheck" not in {each.name for each in recheck.findings}
