"""Numbers as crews type them. How people write numbers is common practice, no source, but
where one is named."""

import pytest

from sheetgen.reading.numbers import by_neighbours, number
from sheetgen.reading.outcome import Expected, Known
from sheetgen.templates import texts
from tests.audit.orders import small
from tests.audit.reading.one import read

ORDERS = {(units, lang): small(units, lang) for units in ("us", "si") for lang in ("en", "es")}
ANY_VOLUME = Expected("volume", (0.0, 1e9))  # by an instrument of which nothing is known
US, SI, US_ES = ORDERS["us", "en"], ORDERS["si", "en"], ORDERS["us", "es"]


@pytest.mark.parametrize("order", ORDERS.values(), ids=[f"{u} {lang}" for u, lang in ORDERS])
@pytest.mark.parametrize(
    ("typed", "value"),
    [
        (140.0, 140.0),
        ("140", 140.0),
        (" 140 ", 140.0),
        ("\u00a0140\u00a0", 140.0),  # non-breaking spaces, as pasted from a web page
        ("140.5", 140.5),
        ("140,5", 140.5),  # decimal comma: BIPM SI brochure 5.4.4 allows both marks
        ("+140", 140.0),
        ("１４０", 140.0),  # full-width digits
    ],
)
def test_a_plain_number_is_that_number_in_every_language(order, typed, value):
    entry = read(order, "temperature", typed)
    assert entry.value == value
    assert entry.raw == typed
    assert entry.trouble in ("", "entry-typed-as-text")


@pytest.mark.parametrize(
    ("typed", "value"),
    [
        ("1,234.5", 1234.5),
        ("1.234,5", 1234.5),
        ("1 234.5", 1234.5),  # space for thousands: BIPM SI brochure 5.4.4
        ("1'234.5", 1234.5),
        ("1,234,567", 1234567.0),
        ("1.234.567", 1234567.0),
        ("12,34", 12.34),
        ("0,125", 0.125),
        (",5", 0.5),
        (".5", 0.5),
        ("-2.5", -2.5),
        ("−2.5", -2.5),  # a minus sign, not a hyphen
    ],
)
def test_marks_for_thousands_and_decimals_are_told_apart(typed, value):
    entry = read(US, "meter_before", typed)
    assert entry.value == pytest.approx(value, rel=1e-15)
    assert entry.trouble == "entry-typed-as-text"


@pytest.mark.parametrize(
    ("typed", "around", "value"),
    [
        ("33,663 gal", [33_601.0, 33_720.0], 33_663.0),
        ("33,663", [33.0, 34.0], 33.663),
        ("33,663", [33.0, 33_700.0], None),  # neighbours of both sizes settle nothing
        ("33,663", [700.0], None),
        ("33,663", [], None),
    ],
)
def test_a_number_that_can_be_two_is_settled_by_those_around_it(typed, around, value):
    alone = number(typed, ANY_VOLUME, Known("us", "en", grouping_points=False))
    read_so = by_neighbours(alone, around)
    assert read_so.value == value
    assert read_so.finding == ("ambiguous-number" if value is None else "number-read-by-range")


@pytest.mark.parametrize("typed", ["1,234", "8,125", "12,345"])
def test_a_comma_before_three_digits_is_not_settled_where_both_are_possible(typed):
    read_so = number(typed, ANY_VOLUME, Known("us", "en", grouping_points=False))
    assert (read_so.value, read_so.finding) == (None, "ambiguous-number")
    how = read_so.words(texts("en"))
    assert typed.replace(",", ".") in how
    assert typed.replace(",", "") in how


@pytest.mark.parametrize("typed", ["33,663", "33,663 gal", "33,663 gals."])
def test_a_meter_without_thousandths_settles_a_comma_before_three_digits(typed):
    entry = read(US, "meter_before", typed)
    assert (entry.value, entry.trouble) == (33663.0, "entry-typed-as-text")


def test_a_comma_before_three_digits_is_settled_by_the_tank_and_questioned():
    entry = read(US, "dip_before", "12,125")  # twelve thousand inches are no dip
    assert entry.value == 12.125
    assert entry.trouble == "number-read-by-range"


def test_a_point_before_three_digits_is_a_decimal_point_in_english_and_doubtful_in_spanish():
    assert read(US, "meter_before", "1.234").value == 1.234
    read_so = number("1.234", ANY_VOLUME, Known("us", "es"))
    assert (read_so.value, read_so.finding) == (None, "ambiguous-number")


@pytest.mark.parametrize(
    ("column", "typed", "value", "trouble"),
    [
        ("temperature", "140 F", 140.0, "entry-typed-as-text"),
        ("temperature", "140°F", 140.0, "entry-typed-as-text"),
        ("temperature", "140 ºF", 140.0, "entry-typed-as-text"),
        ("temperature", "140 deg", 140.0, "entry-typed-as-text"),
        ("temperature", "60 C", 140.0, "entry-in-another-unit"),  # 60 × 1.8 + 32, by definition
        ("width", "12 ft", 12.0, "entry-typed-as-text"),
        ("width", "12'", 12.0, "entry-typed-as-text"),
        ("width", "12 pies", 12.0, "entry-typed-as-text"),
        ("width", "3.6576 m", 12.0, "entry-in-another-unit"),  # 0.3048 m in a foot, exact
        ("waste", "10 gal.", 10.0, "entry-typed-as-text"),
        ("waste", "3.785411784 l", 1.0, "entry-in-another-unit"),  # litres in a gallon, exact
        ("waste", "37.85411784L", 10.0, "entry-in-another-unit"),
        ("dip_before", '16.5"', 16.5, "entry-typed-as-text"),
        ("dip_before", "419.1 mm", 16.5, "entry-in-another-unit"),  # 25.4 mm in an inch, exact
    ],
)
def test_a_unit_in_the_cell_is_left_out_or_converted_and_said(column, typed, value, trouble):
    entry = read(US, column, typed)
    assert entry.value == pytest.approx(value, rel=1e-9)
    assert entry.trouble == trouble
    assert entry.how


@pytest.mark.parametrize(
    ("typed", "pounds"), [("2.04 tons", 4080.0), ("4080 lbs", 4080.0), ("1850.656870 kg", 4080.0)]
)
def test_a_ticket_in_tons_or_kilograms_is_converted(typed, pounds):
    # 2000 lb in a short ton and 0.45359237 kg in a pound, both exact.
    assert read(US, "net_mass", typed, "loads").value == pytest.approx(pounds, rel=1e-9)


@pytest.mark.parametrize(
    ("column", "typed", "trouble"),
    [
        ("width", "12 gal", "unreadable-entry"),
        ("temperature", "140 ft", "unreadable-entry"),
        ("nozzles", "24 ft", "unreadable-entry-beside-quantities"),
    ],
)
def test_a_unit_of_another_kind_is_not_read(column, typed, trouble):
    entry = read(US, column, typed)
    assert (entry.value, entry.trouble) == (None, trouble)


@pytest.mark.parametrize(
    ("typed", "value"), [("14O", 140.0), ("l40", 140.0), ("1O5", 105.0), ("I4o", 140.0), ("O95", 95.0)]
)
def test_letters_that_look_like_digits_are_read_as_digits_and_questioned(typed, value):
    entry = read(US, "temperature", typed)
    assert (entry.value, entry.trouble) == (value, "letter-typed-for-digit")


@pytest.mark.parametrize(
    "typed", ["~140", "140?", "about 140", "aprox. 140", "140 (by hand)", "140 measured"]
)
def test_a_remark_beside_a_number_is_questioned_and_the_number_taken(typed):
    entry = read(US, "temperature", typed)
    assert (entry.value, entry.trouble) == (140.0, "remark-in-number-cell")


@pytest.mark.parametrize(
    "typed",
    [
        "see paper log",
        "140-150",
        "140/150",
        "between 140 and 150",
        "12 34",
        "1.2.3",
        "1,23,456",
        "=",
        "'",
        "½½",
    ],
)
def test_what_is_no_single_number_is_not_guessed(typed):
    entry = read(US, "temperature", typed)
    assert (entry.value, entry.trouble) == (None, "unreadable-entry")
    assert entry.how


@pytest.mark.parametrize("typed", ["-", "—", "n/a", "N/A", "none", "ninguno", "", "  ", "\u00a0"])
def test_a_dash_or_a_word_for_nothing_is_blank_without_trouble(typed):
    entry = read(US, "waste", typed)
    assert (entry.value, entry.trouble) == (None, "")


@pytest.mark.parametrize("typed", [True, False])
def test_a_logical_value_is_no_number(typed):
    assert read(US, "temperature", typed).trouble == "unreadable-entry"


@pytest.mark.parametrize("typed", [1e300, -1e300, float("inf"), float("nan"), "9" * 400, "1" + "0" * 30])
def test_a_number_of_no_log_is_not_reckoned_with(typed):
    entry = read(US, "waste", typed)
    assert (entry.value, entry.trouble) == (None, "unreadable-entry")


@pytest.mark.parametrize(
    ("typed", "value", "trouble"),
    [
        (3.0, 3.0, ""),
        ("3", 3.0, "entry-typed-as-text"),
        ("#3", 3.0, "entry-typed-as-text"),
        ("No. 3", 3.0, "entry-typed-as-text"),
        ("n.º 3", 3.0, "entry-typed-as-text"),
        ("L3", 3.0, "entry-typed-as-text"),
        ("3rd", 3.0, "remark-in-number-cell"),
        (2.5, None, "unreadable-entry-beside-quantities"),
        ("two", None, "unreadable-entry-beside-quantities"),
    ],
)
def test_the_number_of_a_load(typed, value, trouble):
    entry = read(US, "load", typed)
    assert (entry.value, entry.trouble) == (value, trouble)


def test_the_reason_is_in_the_orders_language():
    assert "unidad" in read(US_ES, "temperature", "140 F").how
    assert "unit" in read(US, "temperature", "140 F").how


def test_metric_units_are_the_metric_books_own():
    assert read(SI, "dip_before", "410 mm").trouble == "entry-typed-as-text"
    assert read(SI, "dip_before", "41 cm").value == 410.0
    assert read(SI, "temperature", "60 C").value == 60.0
