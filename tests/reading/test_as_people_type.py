"""What people type into logs and orders, by habit: common practice, no source, but where one is named."""

from __future__ import annotations

import datetime as dt

import pytest

from sheetgen.audit.entries.read import entries_of
from sheetgen.order.entries import MisreadError, Typed, read_entry
from sheetgen.order.fields import Field, fields
from sheetgen.reading.outcome import Expected, Known, cleaned
from sheetgen.reading.stations import station
from sheetgen.reading.times import time_of_day
from sheetgen.reading.words import meaning
from sheetgen.templates import texts
from tests.audit.orders import small
from tests.audit.reading.one import read

US, SI, ES = small("us"), small("si", "es"), small("us", "es")


@pytest.mark.parametrize(
    ("typed", "clock"),
    [
        ("8:49a", (8, 49)), ("1:24p", (13, 24)), ("1:24 P", (13, 24)), ("8:49 A.", (8, 49)), ("12:05a", (0, 5)),
        ("742 am", (7, 42)), ("2026-05-05T07:31:00", (7, 31)), ("2026-05-05 7:31", (7, 31)),
        ("742p", (19, 42)), ("7:05p", (19, 5)), ("7h30", (7, 30)), ("7 h 30", (7, 30)),
        ("730", (7, 30)), ("0730", (7, 30)), ("7.30", (7, 30)), ("7.30 hrs", (7, 30)), ("15:30 h", (15, 30)),
        ("3:30 p.m.", (15, 30)), ("3:30 p.\u00a0m.", (15, 30)), ("\u200b7:30", (7, 30)),
    ],
)  # fmt: skip
def test_a_time_of_day_in_any_way_that_means_one_only(typed, clock):
    assert time_of_day(typed).value == pytest.approx((clock[0] * 60 + clock[1]) / 1440, abs=1e-12)


@pytest.mark.parametrize("typed", ["25:10", "7:61", "13:05p", "0:30a", "7.5", "7.305", "1:2:3:4", "7:3"])
def test_what_is_no_time_of_day_or_could_be_hours_is_not_read(typed):
    assert time_of_day(typed).value is None


@pytest.mark.parametrize(
    ("column", "table", "typed", "value"),
    [
        ("net_mass", "loads", "3,300#", 3300.0),
        ("net_mass", "loads", "3300 #", 3300.0),
        ("meter_before", "shots", "33,663 gal", 33663.0),
        ("temperature", "shots", "138F", 138.0),
        ("temperature", "shots", "138 ° F", 138.0),
        ("dip_before", "shots", '25 1/8"', 25.125),
        ("dip_before", "shots", "25-1/8 in.", 25.125),
        ("dip_before", "shots", "25 1 / 8", 25.125),
        ("dip_before", "shots", "25⅛", 25.125),
        ("dip_before", "shots", "25 3/32", 25.09375),
        ("dip_before", "shots", "2' 1 1/8\"", 25.125),
        ("dip_before", "shots", "3.16875E1", 31.6875),
        ("dip_before", "shots", "3.16875e+01", 31.6875),
        ("dip_before", "shots", "25.\u200b125", 25.125),
        ("dip_before", "shots", "\u00a025.125\u202f", 25.125),
        ("width", "shots", "11 1/2 ft", 11.5),
        ("width", "shots", "11'-6\"", 11.5),
        ("width", "shots", "11 ft 6 in", 11.5),
        ("from_station", "shots", "118+50'", 11850.0),
        ("from_station", "shots", "11850'", 11850.0),
    ],
)
def test_a_number_with_its_unit_or_fraction_is_read_as_it_is_meant(column, table, typed, value):
    entry = read(US, column, typed, table)
    assert entry.value == pytest.approx(value, abs=1e-9)
    assert entry.trouble in ("entry-typed-as-text", "number-read-by-range")


@pytest.mark.parametrize(
    "typed", ["25 1/3", "25 9/8", "25 1/8 1/8", "25 1/0", "2' 14\"", "2' 1' 3\"", "2'1/0"]
)
def test_parts_that_no_stick_has_are_not_read(typed):
    assert read(US, "dip_before", typed).value is None


@pytest.mark.parametrize("typed", ["118'", "118 ft", "5 m", "+50", "40 miles"])
def test_feet_far_from_every_section_are_no_station(typed):
    entry = read(US, "from_station", typed)
    assert (entry.value, entry.trouble) == (None, "unreadable-entry")


def test_feet_are_a_metric_station_where_they_lie_in_the_work():
    expected, known = Expected("distance", (3400.0, 4880.0)), Known("si", "es")
    assert station("11850 ft", expected, known).value == pytest.approx(11850 * 0.3048)
    assert station("118 ft", expected, known).value is None


DITTO = [
    '"', "''", "”", "“", "„", "«", "»", "〃", "″", "``", "´´", '-"-', '- " -', "–”–", '"""', '" "', ",,", "-''-", '."',
    "id.", "Id", "íd.", "ÍD.", "i\u0301d.", "idem", "ídem", "IDEM.", "do.", "do", "ditto", "Ditto.", "-do-", "same",
    "as above", "same as above", "igual", "igual que arriba", "lo mismo", "el mismo", "la misma", "ibid.",
    '\u00a0"\u200b',
]  # fmt: skip


@pytest.mark.parametrize("mark", DITTO)
@pytest.mark.parametrize("order", [US, ES], ids=["en", "es"])
def test_a_mark_or_word_for_as_above_in_any_form_and_either_language(order, mark):
    assert meaning(mark) == "ditto"
    log = {("shots", 0, "section"): "S2", ("shots", 1, "section"): mark}
    entries = entries_of(log, order, order.machines[0])
    [entry] = [one for one in entries if (one.row, one.column) == (1, "section")]
    assert (entry.value, entry.trouble) == ("S2", "same-as-above")


@pytest.mark.parametrize("text", ["-", "'", "1'", '16"', "identical to S2", "dot", "S1", "-1", "12,5"])
def test_what_is_no_mark_for_as_above_is_none(text):
    assert meaning(text) != "ditto"


@pytest.mark.parametrize(
    "value",
    ["1\u200b400", "1\ufeff400", "1\u2060400", "\u200e1400\u200f", "1\u00ad400", "\u202d1400\u202c"],
)
def test_signs_without_width_are_not_there(value):
    assert cleaned(value) == "1400"


# The same reader for the order


def in_order(sheet: str, path: str, value: object, system: str = "us", language: str = "en"):
    field = next(each for each in fields(sheet, system) if each.path == path)
    return read_entry(field, Typed(value), system, texts(language))


@pytest.mark.parametrize(
    ("value", "hours"),
    [("7h30", 7.5), ("7:30 am", 7.5), ("7:30a", 7.5), ("730", 7.5), ("7.5", 7.5), (7.5, 7.5), ("7", 7.0), ("7,5", 7.5),
     (dt.time(7, 30), 7.5)],
)  # fmt: skip
def test_the_hour_of_an_order_is_read_as_in_a_log(value, hours):
    assert in_order("planning", "planning.start_hour", value) == hours


@pytest.mark.parametrize("value", ["7.30", "noon", dt.datetime(2026, 5, 4)])
def test_an_hour_that_could_be_two_is_asked_about(value):
    with pytest.raises(MisreadError):
        in_order("planning", "planning.start_hour", value)


@pytest.mark.parametrize(
    ("path", "value", "meant"),
    [("bar_widths", "8'", (8.0,)), ("bar_widths", "8'-4\"; 12'", (8 + 4 / 12, 12.0)), ("tank.height", '41 1/2"', 41.5),
     ("tank.height", "3' 6\"", 42.0), ("tank.height", "4.2E1", 42.0), ("tank.height", "42\u200b", 42.0)],
)  # fmt: skip
def test_lengths_of_a_distributor_as_people_write_them(path, value, meant):
    assert in_order("machines", path, value) == pytest.approx(meant, abs=1e-9)


def test_a_date_with_a_month_in_words_is_read_in_an_order_too():
    assert in_order("job", "job.date", "June 15, 2026") == dt.date(2026, 6, 15)
    assert in_order("job", "job.date", "15 de junio de 2026", language="es") == dt.date(2026, 6, 15)


@pytest.mark.parametrize(
    ("value", "kind"),
    [
        ("~42", "number"),
        ("4l.5", "number"),
        ("42 mm", "other_unit"),
        ("42 gal", "other_unit"),
        ("1,200", "two_numbers"),
    ],
)
def test_an_order_asks_where_a_log_only_questions(value, kind):
    field = Field("machines", "x", "number", unit="depth")
    with pytest.raises(MisreadError) as caught:
        read_entry(field, Typed(value), "us", texts("en"))
    assert caught.value.kind == kind


@pytest.mark.parametrize("unit", ["gal/min", "gal / min", "GAL/MIN"])
def test_a_printed_unit_behind_the_number_is_left_out(unit):
    assert in_order("machines", "discharge", f"100 {unit}") == 100
    assert in_order("machines", "discharge", "400 l/min", system="si") == 400
