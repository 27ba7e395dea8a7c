"""True work that a crew writes in ways of its own: the typed log and the recheck take it alike, and accuse nobody."""

from __future__ import annotations

from datetime import datetime, timedelta

import pytest

from sheetgen.audit.entries.read import entries_of
from sheetgen.audit.run import recheck_book
from sheetgen.book.build import write_filled
from sheetgen.book.layout import lay_out
from sheetgen.xlsx.results import results
from tests.audit.crew_rows import MINUTE, bar_shots, inserted, row_of, split, struck_out, untidy, used, word
from tests.audit.orders import day, findings_of, put_before_the_rules, small
from tests.book.test_live_checks import flags
from tests.selection import crossed

ORDER = small("us")


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


# ---------------------------------------------------------------- what the row was


ORDERS = {"us": ORDER, "si": small("si", "es")}


@pytest.mark.parametrize("units", ORDERS)
def test_a_day_with_rows_of_every_kind_has_no_open_item_and_no_query(units):
    order = ORDERS[units]
    log = untidy(day(order), order)
    shown, found = answers(log, order)
    assert shown == {}
    assert without_notes(found) == set()


@pytest.mark.parametrize("units", ORDERS)
def test_what_is_struck_out_changes_no_figure(units):
    order = ORDERS[units]
    log = day(order)
    row = bar_shots(log)[1]
    plain, _ = put_before_the_rules(log, order)
    for spoiled in (struck_out(log, order, row), inserted(log, row, remarks="line spoiled")):
        computed, found = put_before_the_rules(spoiled, order)
        assert computed.totals == plain.totals
        assert without_notes(found) == set()
        verdict = {each.row: each.verdict for each in computed.shot_rows}
        assert verdict[row] == "void"
        assert "void" not in {verdict[each] for each in verdict if each != row}


@pytest.mark.parametrize("at", ["first", "middle", "last"])
def test_a_struck_row_accuses_nobody_whatever_stands_in_it(at):
    log = day(ORDER)
    row = {"first": 0, "middle": bar_shots(log)[2], "last": used(log)[-1] + 1}[at]
    nonsense = {"start": "7h?", "from_station": "12+", "width": 99.0, "dip_before": 99.0, "dip_after": "wet",
                "temperature": 999.0, "load": 77.0, "section": "S99"}  # fmt: skip
    log = inserted(log, row, kind=word(ORDER, "void"), remarks="spoiled", **nonsense)
    shown, found = answers(log)
    assert shown == {}
    assert without_notes(found) == set()


def test_a_void_row_without_its_reason_is_one_query():
    log = day(ORDER)
    row = bar_shots(log)[2]
    shown, found = answers(struck_out(log, ORDER, row, None))
    assert shown == {row: {"is_void_reason"}}
    assert without_notes(found) == {"void-without-reason"}


def test_material_that_left_the_tank_in_a_void_row_is_missed():
    log = day(ORDER)
    row = bar_shots(log)[2]
    log |= {("shots", row, "kind"): word(ORDER, "void"), ("shots", row, "remarks"): "did not count"}
    _shown, found = answers(log)
    assert {"unexplained-beyond-limit", "level-fell-between-readings"} & without_notes(found)


@pytest.mark.parametrize("units", ORDERS)
def test_a_flush_is_waste_and_nothing_else(units):
    order = ORDERS[units]
    log = day(order)
    row = bar_shots(log)[1]
    computed, _ = put_before_the_rules(split(log, order, row, "flush"), order)
    flushed, shot = computed.shot_rows[row + 1], computed.shot_rows[row]
    plain = put_before_the_rules(log, order)[0].shot_rows[row]
    assert (flushed.area, flushed.base, flushed.verdict) == (0, 0, "flush")
    step = 10**-order.rounding.volume
    assert flushed.wasted == pytest.approx(flushed.hot * flushed.factor, abs=0.51 * step)
    assert flushed.wasted + shot.base == pytest.approx(plain.base, abs=2 * step)


def test_a_flush_known_by_its_waste_alone_is_counted_in_the_balance():
    log = day(ORDER)
    row = used(log)[-1] + 1
    before = row_of(log, row - 1)
    log = inserted(log, row, date=before["date"], temperature=before["temperature"], waste=5.0, kind="flush")
    computed, found = put_before_the_rules(log, ORDER)
    assert computed.shot_rows[-1].wasted == pytest.approx(5 * computed.shot_rows[-1].factor, abs=0.06)
    assert "entry-missing" not in without_notes(found)
    assert "volume-reading-missing" not in without_notes(found)


@pytest.mark.parametrize("kind", ["second_pass", "touch_up"])
def test_gallons_count_and_the_area_does_not(kind):
    log = day(ORDER)
    row = next(row for row in bar_shots(log) if log["shots", row, "section"] == "S1")
    plain, _ = put_before_the_rules(log, ORDER)
    computed, _ = put_before_the_rules(split(log, ORDER, row, kind), ORDER)
    extra = computed.shot_rows[row + 1]
    assert (extra.area, extra.due, extra.mix_rate, extra.verdict) == (0, 0, None, kind)
    mine, theirs = computed.section_rows[0], plain.section_rows[0]
    assert (mine.area, mine.ordered, mine.shots) == (theirs.area, theirs.ordered, theirs.shots + 1)
    assert mine.undiluted == pytest.approx(theirs.undiluted, abs=0.2)


def test_a_touch_up_is_not_exempt_where_hand_spray_is():
    log = day(ORDER)
    row = next(row for row in used(log) if log["shots", row, "section"] == "S4")
    log["shots", row, "kind"] = word(ORDER, "touch_up")
    section = put_before_the_rules(log, ORDER)[0].section_rows[3]
    assert (section.id, section.hand) == ("S4", 0)
    assert section.deducted == section.undiluted > 0


@pytest.mark.parametrize(("units", "first"), crossed(["us", "si"], ["of the log", "of a section"]))
def test_the_book_shows_of_a_row_struck_out_what_the_recheck_has_wherever_it_stands(units, first, tmp_path):
    order = small(units)
    log = day(order)
    sections = [log["shots", row, "section"] for row in used(log)]
    row = 0 if first == "of the log" else next(n for n, each in enumerate(sections) if each != sections[0])
    log["shots", row, "kind"] = word(order, "void")
    log["shots", row, "remarks"] = "written on the wrong line"
    log["shots", row, "temperature"] += 4  # no other row has it
    found = recheck_book(write_filled(order, order.machines[0], log, tmp_path / "book.xlsx")).findings
    assert [(each.name, each.cell) for each in found if each.severity == "error"] == []


def test_many_touch_ups_are_questioned():
    log = day(ORDER)
    row = bar_shots(log)[1]
    log["shots", row, "kind"] = word(ORDER, "touch_up")
    shown, found = answers(log)
    assert "is_touch_up" in shown[row]
    assert "touch-up-above-share" in without_notes(found)


def test_a_second_pass_needs_a_shot_below_it():
    log = day(ORDER)
    row = bar_shots(log)[1]
    log["shots", row, "kind"] = word(ORDER, "second_pass")
    shown, found = answers(log)
    assert "is_second_pass" in shown[row]
    assert "second-pass-over-nothing" in without_notes(found)


def test_hand_spray_is_still_held_against_stations_times_and_readings():
    log = day(ORDER)
    row = bar_shots(log)[1]
    log["shots", row, "kind"] = word(ORDER, "hand")
    twice = inserted(log, row + 1, **row_of(log, row))
    shown, found = answers(twice)
    assert {"is_overlap", "is_at_once"} <= shown[row + 1]
    assert {"shots-overlap-in-lane", "two-shots-at-once", "hand-spray-not-ordered"} <= without_notes(found)


@pytest.mark.parametrize(
    ("typed", "kind"),
    [
        ("V", "void"), ("Anulado", "void"), ("struck out", "void"), ("VOID", "void"), ("second  pass", "second_pass"),
        ("2nd", "second_pass"), ("Segunda pasada", "second_pass"), ("tu", "touch_up"), ("retoque", "touch_up"),
        ("flush", "flush"), ("prueba fuera de la via", "flush"), ("yes", "hand"), ("sí", "hand"), ("no", "shot"),
        ("shot", "shot"), (True, "hand"),
    ],
)  # fmt: skip
def test_words_of_either_language_and_the_former_yes_and_no_are_read(typed, kind):
    log = day(ORDER)
    row = bar_shots(log)[1]
    log |= {("shots", row, "kind"): typed, ("shots", row, "remarks"): "why"}
    computed, _ = put_before_the_rules(log, ORDER)
    assert computed.shot_rows[row].what == kind


# ---------------------------------------------------------------- as above


CARRIED = ("date", "section", "lane", "load", "width", "nozzles")
READINGS = {"dip_before": "dip_after", "meter_before": "meter_after"}


def lazy(log, write, columns=CARRIED):
    """The log with a mark, or nothing, in each cell that repeats the one above it, and no reading twice."""
    done = dict(log)
    for row in used(log)[1:]:
        for key in columns:
            if log.get(("shots", row, key)) == log.get(("shots", row - 1, key)) is not None:
                done["shots", row, key] = write
                if write is None:
                    del done["shots", row, key]
        if write is None and log["shots", row, "load"] == log["shots", row - 1, "load"]:
            for key, left in READINGS.items():
                if log["shots", row, key] == log["shots", row - 1, left]:
                    del done["shots", row, key]
    return done


@pytest.mark.parametrize(
    ("units", "write"), crossed([*ORDERS], [None, '"', "''", "do.", "id.", "Idem", "ditto"])
)
def test_marks_and_blanks_that_mean_the_row_above_are_taken_so_by_book_and_recheck(units, write):
    order = ORDERS[units]
    log = day(order)
    plain, _ = put_before_the_rules(log, order)
    short = lazy(log, write, CARRIED if write is None else (*CARRIED, "temperature"))
    assert len(short) < len(log) or '"' in short.values() or write in short.values()
    computed, _ = put_before_the_rules(short, order)
    assert computed.totals == plain.totals
    shown, found = answers(short, order)
    assert shown == {}
    assert without_notes(found) == set()
    said = [each.name for each in found if each.name in ("blank-taken-as-above", "same-as-above")]
    assert said == (["blank-taken-as-above"] if write is None else ["same-as-above"] * len(said))
    assert said


@pytest.mark.parametrize(("units", "write"), [("us", None), ("us", '"'), ("si", "id.")])
def test_beside_a_row_stands_what_its_blanks_and_marks_are_taken_for(units, write):
    """Date as month and day, width, nozzles, load, section, lane, stick: what was typed plainly is not said again."""
    order = ORDERS[units]
    log = day(order)
    short = lazy(log, write)
    book = lay_out(order, order.machines[0], short)
    shown, place = results(book), book.tables["shots"]
    sheet = next(each.key for each in book.sheets if each.name == place.sheet)
    told = [shown[sheet, place.first_row + row, place.columns["taken"]] for row in used(log)]
    assert told[0] == ""
    row = next(row for row in used(log)[1:] if short.get(("shots", row, "lane")) == write)
    parts = told[row].split(" · ")
    carried = [key for key in CARRIED if short.get(("shots", row, key)) == write]
    for key in carried:
        value = log["shots", row, key]
        if key == "date":  # serial; day 0 of a workbook as spreadsheet programs count after February 1900
            date = datetime(1899, 12, 30) + timedelta(days=value)
            value = f"{date.month}-{date.day:02}"
        assert (value if isinstance(value, str) else f"{value:g}") in parts, (key, told[row])
    if write is not None:
        assert len(parts) == len(carried)


@pytest.mark.parametrize("write", [None, '"'])
def test_a_row_that_was_struck_out_is_above_no_other(write):
    log = day(ORDER)
    row = bar_shots(log)[2]
    plain, _ = put_before_the_rules(log, ORDER)
    short = lazy(log, write)
    for cells in (
        {"remarks": "spoiled"},
        {"kind": "void", "remarks": "spoiled", "section": "S4", "lane": "RT"},
    ):
        spoiled = inserted(short, row, **cells)
        computed, found = put_before_the_rules(spoiled, ORDER)
        assert computed.totals == plain.totals
        assert without_notes(found) == set()
        assert flags(ORDER, spoiled)[1] == "Ready to send"


def test_the_word_void_in_another_cell_strikes_no_row_out():
    log = day(ORDER)
    row = bar_shots(log)[2]
    del log["shots", row, "section"]
    plain, _ = put_before_the_rules(log, ORDER)
    noted, _ = put_before_the_rules(log | {("shots", row - 1, "remarks"): "void"}, ORDER)
    assert plain.totals == noted.totals
    assert [shot.section for shot in noted.shot_rows] == [shot.section for shot in plain.shot_rows]


def test_a_row_that_was_struck_out_takes_no_reading_from_above():
    log = day(ORDER)
    row = bar_shots(log)[2]
    del log["shots", row, "dip_before"]

    def before(typed):
        entries = entries_of(typed, ORDER, ORDER.machines[0])
        return next(
            each.value
            for each in entries
            if (each.row, each.table, each.column) == (row, "shots", "dip_before")
        )

    assert before(log) == log["shots", row - 1, "dip_after"]
    assert before(log | {("shots", row, "kind"): "void", ("shots", row, "remarks"): "spoiled"}) is None


def test_the_first_row_has_nothing_above_it():
    log = day(ORDER)
    for key in ("date", "section", "lane"):
        del log["shots", 0, key]
    shown, found = answers(log)
    assert {"is_date", "is_section", "is_lane"} <= shown[0]
    assert [each.cell for each in found if each.name == "entry-missing"] == ["date 1", "section 1", "lane 1"]


def test_what_every_shot_has_of_its_own_is_never_taken_from_above():
    log = day(ORDER)
    row = bar_shots(log)[2]
    del log["shots", row, "to_station"], log["shots", row, "temperature"]
    shown, found = answers(log)
    assert {"is_stations", "is_temperature"} <= shown[row]
    assert {"entry-missing", "temperature-missing"} <= without_notes(found)


@pytest.mark.parametrize("column", ["date", "load"])
def test_a_reading_before_is_no_other_day_s_and_no_other_load_s(column):
    log = day(ORDER)
    row = bar_shots(log)[2]
    for later in [each for each in used(log) if each >= row]:
        log["shots", later, column] += 1
    for key in READINGS:
        del log["shots", row, key]
    shown, found = answers(log)
    assert "is_readings" in shown[row]
    assert [each.cell for each in found if each.name == "volume-reading-missing"] == [f"dip_before {row + 1}"]


def test_nothing_is_left_to_follow_where_the_row_above_has_no_reading_after():
    log = day(ORDER)
    row = bar_shots(log)[1]
    for key in READINGS.values():
        del log["shots", row, key]
    for key in READINGS:
        del log["shots", row + 1, key]
    shown, found = answers(log)
    assert {"is_readings"} <= shown[row] & shown[row + 1]
    assert len([each for each in found if each.name == "volume-reading-missing"]) == 2


def test_nozzles_follow_only_with_the_width():
    log = day(ORDER)
    row = bar_shots(log)[2]
    log["shots", row, "width"] = 10
    del log["shots", row, "nozzles"]
    shown, found = answers(log)
    assert "width-and-nozzles-differ" not in without_notes(found)
    assert "is_nozzles" not in shown.get(row, set())
    log["shots", row, "nozzles"] = 24
    assert "width-and-nozzles-differ" in without_notes(answers(log)[1])
