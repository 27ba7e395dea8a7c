"""Stations. 118+50 is 11,850 ft: FDOT course, Asphalt Paving Level 1, appendix 1 (Sta 118+50 to 144+75 is
2,625 ft)."""

import pytest

from tests.audit.orders import changed, small
from tests.audit.reading.one import read

US, SI = small("us"), small("si")  # sections of the two orders: 112+00 to 160+60, and 3+400 to 4+880


@pytest.mark.parametrize(
    ("typed", "feet", "trouble"),
    [
        ("118+50", 11850.0, ""),
        ("118 + 50", 11850.0, ""),
        ("118+50.5", 11850.5, ""),
        (11850.0, 11850.0, ""),
        ("11850", 11850.0, "entry-typed-as-text"),
        ("11,850", 11850.0, "number-read-by-range"),
        ("11850 ft", 11850.0, "entry-typed-as-text"),
        ("Sta 118+50", 11850.0, "entry-typed-as-text"),
        ("STA. 118+50", 11850.0, "entry-typed-as-text"),
        ("Est. 118+50", 11850.0, "entry-typed-as-text"),
        ("118-50", 11850.0, "entry-typed-as-text"),
        ("118–50", 11850.0, "entry-typed-as-text"),
        ("118+5O", 11850.0, "letter-typed-for-digit"),
        ("ll8+50", 11850.0, "letter-typed-for-digit"),
        ("118.5", 11850.0, "station-read-by-range"),
        (118.5, 11850.0, "station-read-by-range"),
        ("118+0", 11800.0, ""),  # 118+00 either way
        ("118+5", None, "ambiguous-station"),
        ("118+500", None, "unreadable-entry"),
        ("somewhere", None, "unreadable-entry"),
        ("118+", None, "unreadable-entry"),
    ],
)
def test_a_station_in_feet(typed, feet, trouble):
    entry = read(US, "from_station", typed)
    assert (entry.value, entry.trouble) == (feet, trouble)


@pytest.mark.parametrize(
    ("typed", "metres", "trouble"),
    [
        ("3+450", 3450.0, ""),
        ("3+450.5", 3450.5, ""),
        ("3+450,5", 3450.5, ""),
        (3450.0, 3450.0, ""),
        ("PK 3+450", 3450.0, "entry-typed-as-text"),
        ("km 3+450", 3450.0, "entry-typed-as-text"),
        ("3.45", 3450.0, "station-read-by-range"),
        ("3+45", 3450.0, "station-read-by-range"),  # 3+045 lies outside the order, 3+450 inside
    ],
)
def test_a_station_in_metres(typed, metres, trouble):
    entry = read(SI, "from_station", typed)
    assert (entry.value, entry.trouble) == (metres, trouble)


def test_a_job_that_starts_at_zero_takes_a_plain_number_as_it_stands():
    order = changed(US, sections__from_station=0, sections__to_station=20000)
    assert (read(order, "from_station", 118.5).value, read(order, "from_station", 118.5).trouble) == (
        118.5,
        "",
    )
