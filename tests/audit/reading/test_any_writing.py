"""However a person writes a number, a dip, a station, a date or a time: it is read as what was meant, or questioned.

What is written is drawn, and so is the way it is written; the reader must give the value back, never another one.
"""

from __future__ import annotations

import datetime as dt
import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sheetgen.audit.claim_sheet import read_claim_sheet
from sheetgen.book.record import RecordError, lines
from sheetgen.book.record import read as read_record
from sheetgen.errors import UnusableBook
from sheetgen.order.demo import demo_order
from tests.audit.orders import small
from tests.audit.reading.one import read

US, SI, SIXTEENTHS = small("us"), small("si", "es"), small("us", reading__dip_notation="sixteenths")
FEET = ("{}+{:02d}", "{} + {:02d}", "Sta {}+{:02d}", "{}+{:02d}.0")
EPOCH = dt.date(1899, 12, 30)


def meant(entry, value, within=1e-9):
    """Read as the value, or questioned and left out: never read as another."""
    return (entry.value is None and entry.trouble) or entry.value == pytest.approx(value, abs=within)


@given(
    tenths=st.integers(0, 9_999),
    unit=st.sampled_from(["", " gal", " gal.", "gal"]),
    pad=st.sampled_from(["", " ", "  "]),
)
@settings(max_examples=60)
def test_a_volume_typed_as_a_text_is_that_volume(tenths, unit, pad):
    assert meant(read(US, "waste", f"{pad}{tenths / 10}{unit}{pad}"), tenths / 10)


@given(tenths=st.integers(0, 9_999))
@settings(max_examples=40)
def test_a_decimal_comma_is_no_other_number(tenths):
    assert meant(read(SI, "waste", f"{tenths / 10:.1f}".replace(".", ",")), tenths / 10)


@given(
    sixteenths=st.integers(16, 40 * 16), way=st.sampled_from(["slash", "mixed", "dash", "decimal", "inches"])
)
@settings(max_examples=80)
def test_a_dip_is_the_depth_that_was_meant(sixteenths, way):
    whole, part = divmod(sixteenths, 16)
    typed = {
        "slash": f"{whole}/{part}",
        "mixed": f"{whole} {part}/16",
        "dash": f"{whole}-{part}/16",
        "decimal": f"{sixteenths / 16}",
        "inches": f'{whole} {part}/16"',
    }[way]
    assert meant(read(SIXTEENTHS, "dip_before", typed), sixteenths / 16)


@given(
    feet=st.integers(11_200, 16_060),
    way=st.sampled_from(FEET),
)
@settings(max_examples=60)
def test_a_station_in_feet_is_that_place(feet, way):
    assert meant(read(US, "from_station", way.format(*divmod(feet, 100))), feet)


@given(metres=st.integers(3_400, 4_880))
@settings(max_examples=40)
def test_a_station_in_metres_is_that_place(metres):
    assert meant(read(SI, "from_station", "{}+{:03d}".format(*divmod(metres, 1000))), metres)


@given(
    day=st.dates(dt.date(2026, 5, 4), dt.date(2026, 7, 31)),
    way=st.sampled_from(["%Y-%m-%d", "%m/%d/%Y", "%d %b %Y", "%B %d, %Y"]),
)
@settings(max_examples=60)
def test_a_date_in_the_time_of_the_job_is_that_day(day, way):
    assert meant(read(US, "date", day.strftime(way)), (day - EPOCH).days)


@given(minute=st.integers(0, 24 * 60 - 1), way=st.sampled_from(["%H:%M", "%I:%M %p", "%I:%M%p", "%Hh%M"]))
@settings(max_examples=60)
def test_a_time_is_that_minute(minute, way):
    typed = dt.time(*divmod(minute, 60)).strftime(way)
    assert meant(read(US, "start", typed), minute / 1440, within=1e-6)


# ---------------------------------------------------------------- records and claims

ORDER = demo_order()
RECORD = lines(ORDER, ORDER.machines[0], "ab", "cd")


def test_a_record_gives_the_order_back():
    assert read_record(RECORD).order == ORDER


@given(
    place=st.integers(0, len(RECORD) - 1),
    change=st.sampled_from(["drop", "twice", "cut", "other"]),
    text=st.text(max_size=40),
)
@settings(max_examples=60)
def test_a_damaged_record_is_refused_or_says_the_same_order(place, change, text):
    key, value = RECORD[place]
    instead = {"drop": [], "twice": [(key, value)] * 2, "cut": [(key, value[:-1])], "other": [(key, text)]}[
        change
    ]
    rows = [*RECORD[:place], *instead, *RECORD[place + 1 :]]
    try:
        found = read_record(rows)
    except RecordError:
        return
    assert found.order == ORDER  # what is left of the order's lines is whole


@given(
    claims=st.dictionaries(
        st.from_regex(r"[A-Z0-9]{4}(-[A-Z0-9]{4}){2}", fullmatch=True), st.integers(0, 10**6), max_size=6
    )
)
@settings(max_examples=30)
def test_a_claim_sheet_gives_every_claim_back(tmp_path_factory, claims):
    path = tmp_path_factory.mktemp("claims") / "claim.csv"
    path.write_text("book,payable\n" + "".join(f"{book},{tenths / 10}\n" for book, tenths in claims.items()))
    assert read_claim_sheet(path) == {book.casefold(): tenths / 10 for book, tenths in claims.items()}


@given(written=st.binary(max_size=200) | st.text(max_size=200).map(str.encode))
@settings(max_examples=60)
def test_what_is_no_claim_sheet_is_refused_with_what_to_do(tmp_path_factory, written):
    path = tmp_path_factory.mktemp("claims") / "claim.csv"
    path.write_bytes(written)
    try:
        claims = read_claim_sheet(path)
    except UnusableBook:
        return
    assert all(math.isfinite(value) for value in claims.values())
