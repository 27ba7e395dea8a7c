"""Dates and times as crews type them. Serial days: ECMA-376 part 1, 18.17.4 (1900 and 1904 date systems)."""

import datetime as dt

import openpyxl.utils.datetime as reference
import pytest

from sheetgen.audit.entries.read import entries_of
from tests.audit.orders import changed, small
from tests.audit.reading.one import read

ORDER = changed(small("us"), job__date="2026-05-20")  # work from then on


def serial(year, month, day):
    """By another library."""
    return float(reference.to_excel(dt.datetime(year, month, day)))


@pytest.mark.parametrize(
    ("typed", "date"),
    [
        (serial(2026, 6, 3), (2026, 6, 3)),
        (serial(2026, 6, 3) + 0.4, (2026, 6, 3)),
        ("2026-06-03", (2026, 6, 3)),  # ISO 8601
        ("2026/06/03", (2026, 6, 3)),
        ("20260603", (2026, 6, 3)),
        (20260603.0, (2026, 6, 3)),
        ("2026-06-03T07:30", (2026, 6, 3)),
        ("6/23/2026", (2026, 6, 23)),
        ("23/6/2026", (2026, 6, 23)),
        ("23.6.26", (2026, 6, 23)),
        ("6/23", (2026, 6, 23)),
        ("6/6/2026", (2026, 6, 6)),
        ("June 3, 2026", (2026, 6, 3)),
        ("3 June 2026", (2026, 6, 3)),
        ("3-Jun-26", (2026, 6, 3)),
        ("3 de junio de 2026", (2026, 6, 3)),
        ("mié 3-jun-2026", (2026, 6, 3)),
        ("Wednesday, June 3, 2026", (2026, 6, 3)),
        ("3 set 2026", (2026, 9, 3)),
    ],
)
def test_a_date_that_can_mean_one_day_only(typed, date):
    entry = read(ORDER, "date", typed)
    assert entry.value == serial(*date)


def test_day_and_month_that_can_be_swapped_are_not_settled_where_both_fit_the_job():
    entry = read(ORDER, "date", "6/7/2026")
    assert (entry.value, entry.trouble) == (None, "ambiguous-date")
    assert "2026-06-07" in entry.how
    assert "2026-07-06" in entry.how


def test_the_time_of_the_job_settles_a_date_and_it_is_questioned():
    entry = read(ORDER, "date", "6/3/2026")  # March 6 is before the order
    assert (entry.value, entry.trouble) == (serial(2026, 6, 3), "date-read-by-context")


def dates_of(typed, order):
    """The dates of a log of shots, and whether they are questioned."""
    entries = entries_of(
        {("shots", row, "date"): text for row, text in enumerate(typed)}, order, order.machines[0]
    )
    dates = [each for each in entries if each.column == "date"]
    return [each.value for each in dates], {each.trouble for each in dates}


@pytest.mark.parametrize(
    ("language", "typed", "days", "trouble"),
    [
        # A day past the twelfth shows how the others are written.
        ("en", ["11/6/2026", "12/6/2026", "13/6/2026"], ["2026-06-11", "2026-06-12", "2026-06-13"], ""),
        ("en", ["6/11/2026", "6/12/2026", "6/13/2026"], ["2026-06-11", "2026-06-12", "2026-06-13"], ""),
        # Days of one job lie together; the other way they would lie in July, August and September.
        ("en", ["7/6/2026", "8/6/2026", "9/6/2026"], ["2026-06-07", "2026-06-08", "2026-06-09"], ""),
        ("es", ["6/7/2026", "6/8/2026", "6/9/2026"], ["2026-06-07", "2026-06-08", "2026-06-09"], ""),
        # One day alone is read as the order's language writes it, and questioned.
        ("en", ["7/6/2026"] * 3, ["2026-07-06"] * 3, "date-read-by-context"),
        ("es", ["7/6/2026"] * 3, ["2026-06-07"] * 3, "date-read-by-context"),
        # Two are no habit.
        ("en", ["7/6/2026", "8/6/2026"], [None, None], "ambiguous-date"),
    ],
)
def test_dates_are_read_as_one_person_wrote_them_all(language, typed, days, trouble):
    order = changed(small("us", language), job__date="2026-05-04")
    values, troubles = dates_of(typed, order)
    serials = [None if day is None else float(reference.to_excel(dt.date.fromisoformat(day))) for day in days]
    assert values == serials
    assert troubles <= {trouble or "entry-typed-as-text", "entry-typed-as-text"}


def test_the_other_dates_of_the_book_settle_a_date_and_it_is_questioned():
    log = {("days", 0, "date"): serial(2026, 6, 7), ("shots", 0, "date"): "6/7/2026"}
    entry = next(
        e for e in entries_of(log, ORDER, ORDER.machines[0]) if (e.table, e.column) == ("shots", "date")
    )
    assert (entry.value, entry.trouble) == (serial(2026, 6, 7), "date-read-by-context")
    log["days", 1, "date"] = serial(2026, 7, 6)  # now both stand in the book
    entry = next(
        e for e in entries_of(log, ORDER, ORDER.machines[0]) if (e.table, e.column) == ("shots", "date")
    )
    assert (entry.value, entry.trouble) == (None, "ambiguous-date")


@pytest.mark.parametrize("typed", ["31/6/2026", "2026-13-40", "soon", "June", 5.0, -3.0, 1e8, True])
def test_what_is_no_date_is_not_read(typed):
    entry = read(ORDER, "date", typed)
    assert entry.value is None
    assert entry.trouble


@pytest.mark.parametrize(
    ("typed", "clock"),
    [
        (7.5 / 24, (7, 30)),
        ("7:30", (7, 30)),
        ("07:30", (7, 30)),
        ("7.30", (7, 30)),
        ("7h30", (7, 30)),
        ("7:30 h", (7, 30)),
        ("0730", (7, 30)),
        ("730", (7, 30)),
        (730.0, (7, 30)),
        (1530.0, (15, 30)),
        (7.0, (7, 0)),
        ("7 am", (7, 0)),
        ("3:30 PM", (15, 30)),
        ("3:30 p. m.", (15, 30)),
        ("12:15 am", (0, 15)),
        ("12:15 pm", (12, 15)),
        ("24:00", (0, 0)),
        (1.0, (0, 0)),
        (serial(2026, 6, 3) + 7.5 / 24, (7, 30)),
    ],
)
def test_a_time_of_day(typed, clock):
    entry = read(ORDER, "start", typed)
    assert entry.value == pytest.approx((clock[0] * 60 + clock[1]) / 1440, abs=1e-9)


@pytest.mark.parametrize("typed", ["25:00", "7:75", "13:00 pm", "noon", "early", 7.5, 2575.0, -0.1, True])
def test_what_is_no_time_or_two_is_not_read(typed):
    entry = read(ORDER, "start", typed)
    assert entry.value is None
    assert entry.trouble in ("unreadable-entry-beside-quantities", "ambiguous-time")


@pytest.mark.parametrize(
    "typed",
    [serial(2026, 6, 3), serial(2000, 1, 1), 45621, 1234567, 1234567.5, 73051.25, 36525.25, 2575.5, -3],
)
def test_a_date_or_a_long_number_is_not_taken_for_midnight(typed):
    entry = read(ORDER, "start", typed)
    assert (entry.value, entry.trouble) == (None, "unreadable-entry-beside-quantities")


def test_a_date_without_a_time_of_day_is_said_to_be_one():
    assert "means a date" in read(ORDER, "start", serial(2026, 6, 3)).how


@pytest.mark.parametrize("typed", [7.5, 7.25, 23.75, 7.65, 7.333])
def test_a_number_with_a_point_may_be_a_time_or_hours(typed):
    assert read(ORDER, "start", typed).trouble == "ambiguous-time"


@pytest.mark.parametrize(
    ("typed", "clock"), [(7.3, (7, 30)), (7.05, (7, 5)), (23.45, (23, 45)), (12.1, (12, 10))]
)
def test_a_number_with_a_point_that_is_no_quarter_of_an_hour_is_a_time(typed, clock):
    # common practice, no source: hours are written in quarters, and a cell drops the last 0 of 7.30
    entry = read(ORDER, "start", typed)
    assert (entry.value, entry.trouble) == (
        pytest.approx((clock[0] * 60 + clock[1]) / 1440),
        "time-typed-as-number",
    )
