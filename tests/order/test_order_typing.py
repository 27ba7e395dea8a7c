"""What a person types into an order and what is read: numbers, percentages, stations, lists, dates, words."""

import datetime as dt

import pytest

from sheetgen.order.entries import MisreadError, Typed, read_entry
from sheetgen.order.fields import Field, fields
from sheetgen.templates import texts

SAY = texts("en")


def field(sheet: str, path: str, system: str = "us") -> Field:
    return next(each for each in fields(sheet, system) if each.path == path)


def number(typed: Typed, plausible=None, unit: str = "", system: str = "us") -> float:
    """A number typed into a cell of a kind of quantity."""
    return read_entry(Field("sheet", "path", "number", unit=unit, plausible=plausible), typed, system, SAY)


def typed(sheet, path, value, *, percent=False, system="us", relative=True, say=SAY):
    return read_entry(field(sheet, path, system), Typed(value, percent), system, say, relative)


@pytest.mark.parametrize(
    ("text", "meant"),
    [
        ("12", 12),
        (" 12.5 ", 12.5),
        ("12,5", 12.5),
        ("0,05", 0.05),
        ("0.036", 0.036),
        (".05", 0.05),
        ("1,234.5", 1234.5),
        ("1.234,5", 1234.5),
        ("1 234.5", 1234.5),
        ("1\u00a0234", 1234),
        ("1,234,567", 1234567),
        ("-5", -5),
        ("\u22125", -5),
        ("41 1/2", 41.5),
        ("41-1/2", 41.5),
        ("42 in", 42),
        ("42 pulg", 42),
    ],
)
def test_a_number_typed_as_text_is_read(text, meant):
    assert number(Typed(text), None, "depth", "us") == meant


@pytest.mark.parametrize(
    ("text", "kind"),
    [
        ("about 12", "number"),
        ("12 13", "number"),
        ("1,2,3", "number"),
        ("1.2.3", "number"),
        ("1,23,456", "number"),
        ("16/8", "number"),
        ("41 3/5", "number"),
        ("12 mm", "other_unit"),
        ("12 gal", "other_unit"),
        ("1,200", "two_numbers"),
        ("", "number"),
    ],
)
def test_a_text_that_is_no_number_or_two_is_a_mistake(text, kind):
    with pytest.raises(MisreadError) as caught:
        number(Typed(text), None, "depth", "us")
    assert caught.value.kind == kind


@pytest.mark.parametrize("thing", [True, dt.time(1, 1), dt.datetime(2026, 5, 4)])
def test_a_date_a_time_or_a_truth_value_is_no_number(thing):
    with pytest.raises(MisreadError):
        number(Typed(thing), None)


@pytest.mark.parametrize(
    ("sheet", "path", "text", "meant"),
    [
        ("material", "material.specific_gravity", "1.015", 1.015),
        ("material", "material.specific_gravity", "1,015", 1.015),
        ("machines", "burner_power", "400,000", 400_000),
        ("machines", "burner_power", "400.000", 400_000),
        ("machines", "speed_max", "1,000", 1000),
    ],
)
def test_of_two_readings_the_one_that_makes_sense_in_the_cell_is_taken(sheet, path, text, meant):
    assert typed(sheet, path, text) == meant


@pytest.mark.parametrize(
    ("path", "value", "percent", "meant"),
    [
        ("material.residue", 57, False, 0.57),
        ("material.residue", 0.57, False, 0.57),
        ("material.residue", 0.57, True, 0.57),
        ("material.residue", "57 %", False, 0.57),
        ("material.residue", "57%", False, 0.57),
        ("material.residue", "57", False, 0.57),
        ("material.residue", "0,57", False, 0.57),
        ("material.residue", "62,125 %", False, 0.62125),
        ("material.residue", 1, False, 1),  # 1 % of residue would make no sense
        ("material.residue", 100, False, 1),
        ("material.dilution", 50, False, 0.5),
        ("material.dilution", 1, False, 1),
        ("material.dilution", "9.0909 %", False, 0.090909),
    ],
)
def test_percentages_of_the_material(path, value, percent, meant):
    assert typed("material", path, value, percent=percent) == meant


@pytest.mark.parametrize(
    ("path", "value", "meant"),
    [
        ("pay.excess_limit", 10, 0.10),
        ("pay.excess_limit", 0.1, 0.10),
        ("pay.excess_limit", 1, 0.01),  # paying up to twice what was ordered would make no sense
        ("pay.excess_limit", 0, 0),
        ("pay.excess_limit", 150, 1.5),
        ("limits.unexplained", 2, 0.02),
        ("limits.unexplained", 0.02, 0.02),
        ("limits.unexplained", 0.5, 0.005),
    ],
)
def test_percentages_of_the_pay_rule(path, value, meant):
    assert typed("job", path, value) == meant


@pytest.mark.parametrize(("path", "value"), [("limits.unexplained", 0.15), ("pay.excess_limit", 0.0002)])
def test_a_percentage_that_can_be_read_in_two_ways_or_none_is_a_mistake(path, value):
    with pytest.raises(MisreadError) as caught:
        typed("job", path, value)
    assert caught.value.kind == "two_percents"


@pytest.mark.parametrize(
    ("value", "percent", "relative", "meant"),
    [
        (10, False, True, 0.10),
        (1, False, True, 0.01),
        (0.1, False, True, 0.10),
        (0.005, True, True, 0.005),
        (0.01, False, False, 0.01),
        ("0,005", False, False, 0.005),
        ("0.005 gal/yd²", False, False, 0.005),
    ],
)
def test_a_tolerance_is_a_percentage_or_a_rate_by_its_kind(value, percent, relative, meant):
    assert typed("sections", "tolerance", value, percent=percent, relative=relative) == meant


@pytest.mark.parametrize(("value", "percent"), [("10 %", False), (0.1, True)])
def test_a_percentage_where_the_tolerance_is_a_rate_is_a_mistake(value, percent):
    with pytest.raises(MisreadError):
        typed("sections", "tolerance", value, percent=percent, relative=False)


@pytest.mark.parametrize(
    ("system", "value", "meant"),
    [
        # 118+50 is 11,850 ft: Florida DOT course Asphalt Paving Level 1, appendix 1 (read).
        ("us", "118+50", 11850),
        ("us", "118 + 50", 11850),
        ("us", "118+50.25", 11850.25),
        ("us", "118+50,25", 11850.25),
        ("us", 11850, 11850),
        ("us", "11850", 11850),
        ("us", "0+00", 0),
        ("si", "3+250", 3250),
        ("si", "3+250.5", 3250.5),
        ("si", 3250, 3250),
    ],
)
def test_stations(system, value, meant):
    assert typed("sections", "from_station", value, system=system) == meant


@pytest.mark.parametrize(
    ("system", "value"),
    [("us", "118+5"), ("us", "118+500"), ("us", "+50"), ("us", "1+18+50"), ("si", "3+25"), ("us", "mile 3")],
)
def test_a_station_with_the_wrong_digits_is_a_mistake(system, value):
    with pytest.raises(MisreadError) as caught:
        typed("sections", "from_station", value, system=system)
    assert caught.value.kind == "station"


@pytest.mark.parametrize(
    ("value", "meant"),
    [
        ("8; 10; 12", (8, 10, 12)),
        ("8;12", (8, 12)),
        ("8; 12;", (8, 12)),
        ("7,5; 12", (7.5, 12)),
        (12, (12,)),
        ("12", (12,)),
        ("12 ft", (12,)),
    ],
)
def test_bar_widths(value, meant):
    assert typed("machines", "bar_widths", value) == meant


@pytest.mark.parametrize("value", ["8,12", "8, 12", "8/12"])
def test_bar_widths_without_semicolons_are_a_mistake(value):
    with pytest.raises(MisreadError) as caught:
        typed("machines", "bar_widths", value)
    assert caught.value.kind == "list"


@pytest.mark.parametrize(
    ("value", "meant"),
    [
        ("EB; WB", ("EB", "WB")),
        ("EB, WB", ("EB", "WB")),
        ("EB", ("EB",)),
        (1, ("1",)),
        ("1; 2", ("1", "2")),
        ("EB, in; WB", ("EB, in", "WB")),
    ],
)
def test_lanes(value, meant):
    assert typed("sections", "lanes", value) == meant


@pytest.mark.parametrize(
    "value",
    [
        dt.datetime(2026, 5, 4, 13, 30),
        dt.date(2026, 5, 4),
        "2026-05-04",
        "2026/5/4",
        46146,  # the serial day: ECMA-376 part 1, 18.17.4
    ],
)
def test_dates(value):
    assert typed("job", "job.date", value) == dt.date(2026, 5, 4)


@pytest.mark.parametrize(
    ("value", "meant"),
    [
        ("5/25/2026", dt.date(2026, 5, 25)),
        ("25.5.2026", dt.date(2026, 5, 25)),
        ("4/4/2026", dt.date(2026, 4, 4)),
    ],
)
def test_a_date_in_another_order_is_read_where_it_can_only_be_one(value, meant):
    assert typed("job", "job.date", value) == meant


@pytest.mark.parametrize(
    ("value", "kind"),
    [
        ("3/4/2026", "two_dates"),
        ("2026-02-30", "date"),
        ("13/14/2026", "date"),
        ("3/4/26", "date"),
        ("May 4", "date"),
        (12, "date"),
        (True, "date"),
    ],
)
def test_a_date_that_is_none_or_two_is_a_mistake(value, kind):
    with pytest.raises(MisreadError) as caught:
        typed("job", "job.date", value)
    assert caught.value.kind == kind


@pytest.mark.parametrize(
    ("sheet", "path", "value", "meant"),
    [
        ("material", "material.material_class", "emulsion", "emulsion"),
        ("material", "material.material_class", " Emulsion ", "emulsion"),
        ("material", "material.material_class", "emulsión", "emulsion"),
        ("material", "material.material_class", "EMULSION", "emulsion"),
        ("sections", "hand_spray", "yes", True),
        ("sections", "hand_spray", "sí", True),
        ("sections", "hand_spray", "si", True),
        ("sections", "hand_spray", "no", False),
        ("sections", "hand_spray", True, True),
        ("sections", "basis", "as diluted", "as-diluted"),
        ("sections", "basis", "as-diluted", "as-diluted"),
    ],
)
@pytest.mark.parametrize("language", ["en", "es"])
def test_words_of_a_drop_down_in_either_language(sheet, path, value, meant, language):
    assert typed(sheet, path, value, say=texts(language)) == meant


@pytest.mark.parametrize("value", ["tar", 1, "y", "emulsion;"])
def test_another_word_is_a_mistake_that_lists_the_right_ones(value):
    with pytest.raises(MisreadError) as caught:
        typed("material", "material.material_class", value)
    assert "emulsion" in caught.value.facts["words"]


@pytest.mark.parametrize(
    ("value", "meant"), [(2024, "2024"), ("007", "007"), (12.5, "12.5"), ("=1+1", "=1+1")]
)
def test_words(value, meant):
    assert typed("job", "job.number", value) == meant


@pytest.mark.parametrize("value", [dt.datetime(2026, 3, 4), dt.time(1, 1), False])
def test_a_name_that_the_spreadsheet_turned_into_a_date_is_a_mistake(value):
    with pytest.raises(MisreadError) as caught:
        typed("job", "job.number", value)
    assert caught.value.kind == "text"


@pytest.mark.parametrize("value", ["#REF!", "#N/A", "#VALUE!"])
def test_an_error_value_is_a_mistake(value):
    with pytest.raises(MisreadError) as caught:
        typed("job", "job.number", value)
    assert caught.value.kind == "error_value"


@pytest.mark.parametrize("value", [12.5, "twelve", "12.5"])
def test_half_a_row_is_a_mistake(value):
    with pytest.raises(MisreadError):
        typed("job", "size.shots", value)


@pytest.mark.parametrize("value", [7.5, "7.5", "7:30", "07:30", dt.time(7, 30)])
def test_half_past_seven(value):
    assert typed("planning", "planning.start_hour", value) == 7.5
