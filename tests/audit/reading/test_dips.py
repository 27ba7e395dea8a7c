"""Dips. The stick reading "16/8" is 16 8/16 in, never two: FDOT course, Asphalt Paving
Level 1, appendix 1."""

import pytest

from tests.audit.orders import small
from tests.audit.reading.one import read

DECIMAL = small("us")
FRACTION = small("us", reading__dip_notation="fraction")
SIXTEENTHS = small("us", reading__dip_notation="sixteenths")


def test_sixteen_and_eight_sixteenths_is_sixteen_and_a_half():
    entry = read(SIXTEENTHS, "dip_before", "16/8")
    assert (entry.value, entry.trouble) == (16.5, "")


@pytest.mark.parametrize("order", [DECIMAL, FRACTION])
def test_the_same_notation_is_never_two_where_the_order_does_not_use_it(order):
    entry = read(order, "dip_before", "16/8")
    assert (entry.value, entry.trouble) == (None, "ambiguous-stick-reading")
    assert "16.5" in entry.how


@pytest.mark.parametrize("order", [DECIMAL, FRACTION, SIXTEENTHS])
@pytest.mark.parametrize(
    ("typed", "inches"),
    [
        (16.5, 16.5),
        ("16.5", 16.5),
        ("16 1/2", 16.5),
        ("16-1/2", 16.5),
        ("16½", 16.5),
        ("16 ½", 16.5),
        ("16 8/16", 16.5),
        ("16 1/2 in", 16.5),
        ('16 1/2"', 16.5),
        ("1' 4 1/2\"", 16.5),
        ("1'4\"", 16.0),
        ("1 ft 4 in", 16.0),
        ("16", 16.0),
    ],
)
def test_a_depth_that_can_mean_one_thing_only(order, typed, inches):
    assert read(order, "dip_before", typed).value == inches


@pytest.mark.parametrize(
    ("order", "value", "trouble"),
    [
        (SIXTEENTHS, 3.5, ""),  # 3/8 in would be far below the reserve
        (
            small("us", reading__dip_notation="sixteenths", machines__reserve=0),
            3.5,
            "stick-reading-could-be-either",
        ),
        (FRACTION, 0.375, "stick-reading-could-be-either"),
        (DECIMAL, None, "ambiguous-stick-reading"),
    ],
)
def test_what_could_be_a_fraction_or_sixteenths_is_read_as_the_order_says_and_questioned(
    order, value, trouble
):
    entry = read(order, "dip_before", "3/8")
    assert (entry.value, entry.trouble) == (value, trouble)


def test_a_point_between_inches_and_sixteenths_is_questioned():
    entry = read(SIXTEENTHS, "dip_before", 16.8)  # no mark of the stick; 16 8/16 with a point is
    assert (entry.value, entry.trouble) == (16.8, "stick-reading-could-be-either")
    assert read(SIXTEENTHS, "dip_before", 16.06).trouble == ""  # 16 1/16 to two decimals
    assert read(SIXTEENTHS, "dip_before", 16.17).trouble == ""  # there are no 17 sixteenths


@pytest.mark.parametrize("order", [DECIMAL, FRACTION])
@pytest.mark.parametrize(("typed", "inches"), [("5/16", 0.3125), ("17/32", 0.53125)])
def test_parts_of_an_inch_that_cannot_be_sixteenths_are_a_fraction(order, typed, inches):
    entry = read(order, "dip_before", typed)
    assert (entry.value, entry.trouble) == (inches, "entry-typed-as-text")


@pytest.mark.parametrize("order", [DECIMAL, FRACTION, SIXTEENTHS])
@pytest.mark.parametrize(
    "typed", ["16 3/0", "16 9/8", "16 8/8", "16/40", "16/16", "1' 14\"", "/8", "16 1/2 1/2"]
)
def test_what_is_no_depth_is_not_read(order, typed):
    assert read(order, "dip_before", typed).value is None


def test_sixteen_over_nothing_is_sixteen_where_sixteenths_are_written_and_else_no_depth():
    assert read(SIXTEENTHS, "dip_before", "16/0").value == 16
    for order in (DECIMAL, FRACTION):
        assert (read(order, "dip_before", "16/0").value, read(order, "dip_before", "16/0").trouble) == (
            None,
            "unreadable-entry",
        )
