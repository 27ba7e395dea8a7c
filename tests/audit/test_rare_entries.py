"""Entries that are seldom left out or seldom made: what is found of them, and what is not."""

from __future__ import annotations

import pytest

from sheetgen.audit.compute.book import compute
from sheetgen.audit.compute.uncertainty import factor_slope, uncertainty
from sheetgen.audit.entries.as_typed import views
from sheetgen.audit.entries.read import entries_of
from sheetgen.trade.rounding import round_half_away
from tests.audit.orders import changed, day, findings_of, names_of, put_before_the_rules, small
from tests.audit.reading.one import read

ORDER = small("us")


def found(log, name, order=ORDER):
    return [each for each in findings_of(log, order) if each.name == name]


# Numbers


@pytest.mark.parametrize("typed", ["1,234.5,6", "1.234'5", "1,234'567.8", "1.2,3.4", "1 234'5"])
def test_marks_that_no_notation_has_together_are_no_number(typed):
    entry = read(ORDER, "meter_before", typed)
    assert (entry.value, entry.trouble) == (None, "unreadable-entry")


@pytest.mark.parametrize(
    ("value", "decimals", "rounded"),
    [
        (1234567890123456.0, 1, 1234567890123460.0),  # fifteen digits are taken, as the function says
        (1234567890123.0, 0, 1234567890123.0),
        (123456789012.5, 0, 123456789013.0),
        (-123456789012.5, 0, -123456789013.0),
        (1e300, 2, 1e300),
    ],
)
def test_a_number_of_more_digits_than_are_taken_is_rounded_to_those(value, decimals, rounded):
    assert round_half_away(value, decimals) == rounded


# Marks for "as above" in columns of text


@pytest.mark.parametrize("column", ["grade", "supplier"])
@pytest.mark.parametrize("mark", ['"', "ditto", "''"])
def test_a_grade_or_supplier_as_above_is_the_one_above(column, mark):
    log = day(ORDER, 5)
    entries = entries_of(log | {("loads", 1, column): mark}, ORDER, ORDER.machines[0])
    [entry] = [each for each in entries if (each.table, each.row, each.column) == ("loads", 1, column)]
    assert (entry.value, entry.trouble) == (log["loads", 0, column], "same-as-above")
    assert not found(log | {("loads", 1, column): mark}, "grade-not-ordered")


def test_a_mark_for_as_above_in_a_column_that_may_not_repeat_stays_what_it_is():
    log = day(ORDER, 5) | {("loads", 1, "ticket"): '"'}
    [entry] = [
        each for each in entries_of(log, ORDER, ORDER.machines[0])
        if (each.table, each.row, each.column) == ("loads", 1, "ticket")
    ]  # fmt: skip
    assert entry.value == '"'


# What was asked for, and what a missing temperature leaves open


@pytest.mark.parametrize(("units", "example"), [("us", "118+50"), ("si", "3+250")])
def test_a_station_is_asked_for_as_the_orders_system_writes_it(units, example):
    order = small(units)
    [one] = found(day(order, 5) | {("shots", 1, "to_station"): "?"}, "unreadable-entry", order)
    assert one.expected.endswith(example)


def test_a_missing_temperature_without_a_volume_tells_no_volumes():
    blank = {("shots", 1, key): None for key in (
        "temperature", "dip_before", "dip_after", "meter_before", "meter_after",
    )}  # fmt: skip
    [one] = found(day(ORDER, 5) | blank, "temperature-missing")
    assert one.matters == "its volume is not known either; neither was guessed"
    [other] = found(day(ORDER, 5) | {("shots", 1, "temperature"): None}, "temperature-missing")
    assert other.matters.startswith(tuple("0123456789")), "both volumes, where the hot one is known"


# What a book's formulas make of entries


def taken(place, raw):
    """How programs' formulas may take one entry typed so, where they take it otherwise than the recheck."""
    entries = entries_of(day(ORDER, 5) | {place: raw}, ORDER, ORDER.machines[0])
    return {
        each.value
        for view in views(entries, ORDER)
        for each in view
        if (each.table, each.row, each.column) == place
    }


@pytest.mark.parametrize(
    ("raw", "values"),
    [
        ("118+50", set()),  # as the recheck reads it
        ("118+12 1/2", {11812.5}),  # a number to programs that understand fractions
        ("118+12 1/0", set()),  # a number to nobody
        ("118+12,5", {None}),  # to the recheck, and where a comma is the decimal sign
        ("1,180+50", {118050.0, 168.0}),  # 1180 full stations, or 1.18
        ("118+1,250", {None, 13050.0}),  # the recheck takes 1.25, within a station
    ],
)
def test_a_fraction_or_a_comma_is_taken_by_some_programs_and_not_by_others(raw, values):
    assert taken(("shots", 2, "from_station"), raw) == values


def test_sixteenths_without_a_stroke_are_whole_inches_to_the_formulas():
    order = small("us", reading__dip_notation="sixteenths")
    log = day(order, 5)
    log["shots", 1, "temperature"] = "350 F"  # so that there is a view at all
    log["shots", 2, "dip_before"] = "30"
    log["shots", 3, "dip_before"] = 30.0
    log["shots", 4, "dip_before"] = "30/8"
    entries = entries_of(log, order, order.machines[0])
    for view in views(entries, order):
        values = {(each.table, each.row, each.column): each.value for each in view}
        assert [values["shots", row, "dip_before"] for row in (2, 3, 4)] == [30.0, 30.0, 30.5]
        assert values["shots", 1, "temperature"] is None


def test_a_station_typed_as_a_number_is_one_to_the_formulas():
    log = day(ORDER, 5) | {("shots", 1, "temperature"): "350 F", ("shots", 2, "from_station"): 11850.0}
    log["shots", 3, "from_station"] = "118 50"
    entries = entries_of(log, ORDER, ORDER.machines[0])
    for view in views(entries, ORDER):
        values = {(each.table, each.row, each.column): each.value for each in view}
        assert (values["shots", 2, "from_station"], values["shots", 3, "from_station"]) == (11850.0, None)


# Rules


def test_a_volume_without_its_temperature_is_questioned_with_both_volumes():
    log = day(ORDER) | {("loads", 0, "volume"): 500.0}
    for column in ("net_mass", "temperature"):
        log.pop(("loads", 0, column), None)
    (one,) = found(log, "temperature-missing")
    computation, _ = put_before_the_rules(log, ORDER)
    factor = computation.factors.at(ORDER.material.spray_planned)
    assert (one.sheet, one.row) == ("loads", 0)
    said = f"{one.found} {one.matters}"
    assert "500.0 gal" in said
    assert f"{500 * factor:,.1f} gal" in said


def test_a_volume_that_agrees_with_the_mass_is_no_finding():
    log = day(ORDER)
    computation, _ = put_before_the_rules(log, ORDER)
    log["loads", 0, "volume"] = computation.load_rows[0].base / (computation.load_rows[0].factor or 1.0)
    about_volume = {name for name in names_of(log, ORDER) if name.startswith("load-")}
    log["loads", 0, "volume"] *= 1.2
    assert about_volume == set()
    assert {name for name in names_of(log, ORDER) if name.startswith("load-")} == {
        "load-weight-and-volume-differ"
    }


def test_a_load_that_grows_warm_in_an_empty_tank_was_not_heated_by_the_burners():
    """Burners give nothing to a tank without anything in it (common practice, no source)."""
    order = ORDER
    log = day(order)
    rise = order.machines[0].tank.height
    log["shots", 0, "dip_after"] = 0.0
    log["shots", 1, "load"] = log["shots", 0, "load"]
    log["shots", 1, "date"] = log["shots", 0, "date"]
    log["shots", 1, "temperature"] = log["shots", 0, "temperature"] + max(rise, 30.0)
    (one,) = found(log, "temperature-rose-without-heating")
    assert (one.row, one.cell) == (1, "temperature 2")


def test_a_date_that_has_no_other_reading_is_not_said_to_be_swapped():
    order = changed(ORDER, job__date="2026-06-02")
    log = day(order)
    log["shots", 1, "date"] = 46192.0  # 2026-06-19: there is no nineteenth month
    names = names_of(log, order)
    assert "day-and-month-swapped" not in names
    assert names & {"day-not-logged", "shot-out-of-sequence", "shot-not-on-a-logged-day"}


def test_ends_that_meet_within_the_reading_of_a_station_do_not_overlap():
    log = day(ORDER)
    step = ORDER.reading.station
    row = next(
        row
        for row in range(15)
        if ("shots", row + 1, "to_station") in log
        and log["shots", row, "to_station"] == log["shots", row + 1, "from_station"]
        and log["shots", row, "lane"] == log["shots", row + 1, "lane"]
    )
    full, rest = str(log["shots", row, "to_station"]).split("+")
    end, start = (int(full) * 100 + float(rest), log["shots", row, "from_station"])
    onward = 1 if end > _feet(start) else -1
    log["shots", row, "to_station"] = end + onward * step
    assert found(log, "shots-overlap-in-lane") == []
    log["shots", row, "to_station"] = end + onward * 3 * step
    assert len(found(log, "shots-overlap-in-lane")) == 1


def _feet(station):
    full, rest = str(station).split("+")
    return int(full) * 100 + float(rest)


# Uncertainty


def test_without_a_temperature_the_factor_has_no_uncertainty():
    computation, _ = put_before_the_rules(day(ORDER), ORDER)
    assert factor_slope(computation.factors, None) == 0.0
    assert factor_slope(computation.factors, 150.0) < 0  # it shrinks as it cools


def test_a_day_without_its_dips_has_no_uncertainty_of_them():
    log = day(ORDER)
    whole, _ = put_before_the_rules(log, ORDER)
    for column in ("start_dip", "start_temperature"):
        log.pop(("days", 0, column), None)
    less, _ = put_before_the_rules(log, ORDER)
    known = uncertainty(whole, ORDER, ORDER.machines[0]).totals.by_day[0]
    assert 0 <= uncertainty(less, ORDER, ORDER.machines[0]).totals.by_day.get(0, 0.0) < known


# Dates


@pytest.mark.parametrize("typed", [2_958_466.0, 1e12, -1.0])
def test_a_number_beyond_the_calendar_is_no_date_beside_entries_that_only_a_person_reads(typed):
    log = day(ORDER) | {("days", 0, "date"): typed, ("shots", 0, "temperature"): "150 F"}
    machine = ORDER.machines[0]
    for taken in views(entries_of(log, ORDER, machine), ORDER):
        assert typed not in [row.date for row in compute(taken, ORDER, machine).day_rows]
