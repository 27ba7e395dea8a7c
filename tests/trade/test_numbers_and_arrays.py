"""A number is reckoned with as a number and an array as an array, with the same results."""

from __future__ import annotations

import math
import warnings

import numpy as np
import pytest

from sheetgen.amounts import Amount
from sheetgen.errors import QuantityError
from sheetgen.trade import (
    Tank,
    application_rate,
    area_of,
    average_rate,
    balance,
    catch_test,
    caught_flow,
    correction_kind,
    meter_error,
    pass_overlap,
    rate_over,
)
from sheetgen.trade import elementwise as one_by_one
from tests.published import Q

PLACES, HEIGHTS = (0.0, 1.0, 2.5, 7.0), (0.0, 10.0, 10.0, 40.0)


@pytest.mark.parametrize("place", [-1.0, 0.0, 0.3, 1.0, 1.7, 2.5, 3.1, 6.999, 7.0, 8.0])
def test_a_number_is_interpolated_as_numpy_interpolates_an_array(place) -> None:
    expected = float(np.interp(place, PLACES, HEIGHTS))
    assert one_by_one.interpolated(place, PLACES, HEIGHTS) == expected
    assert one_by_one.interpolated(np.array([place]), PLACES, HEIGHTS).tolist() == [expected]


@pytest.mark.parametrize("name", ["finite", "floor", "sqrt", "radians", "sin", "cos", "tan", "arcsin"])
def test_a_function_of_a_number_is_that_of_an_array(name) -> None:
    function = getattr(one_by_one, name)
    values = [0.0, 0.1, 0.5, 0.77, 1.0]
    assert function(np.array(values)).tolist() == pytest.approx(
        [function(value) for value in values], rel=1e-15
    )
    assert not hasattr(function(0.5), "dtype")


def test_of_two_the_least_and_the_greatest_element_by_element() -> None:
    one, other = np.array([1.0, 5.0]), np.array([2.0, 3.0])
    assert one_by_one.least(one, other).tolist() == [1, 3]
    assert one_by_one.greatest(one, other).tolist() == [2, 5]
    assert (one_by_one.least(1.0, 2.0), one_by_one.least(2.0, 1.0)) == (1, 1)
    assert (one_by_one.greatest(1.0, 2.0), one_by_one.greatest(2.0, 1.0)) == (2, 2)


def test_conditions_of_numbers_and_arrays() -> None:
    assert (one_by_one.every(True), one_by_one.every(np.array([True, False]))) == (True, False)
    assert (one_by_one.some(False), one_by_one.some(np.array([True, False]))) == (False, True)
    assert not one_by_one.is_array(np.float64(3))
    assert not one_by_one.is_array(np.array(3.0))


@pytest.mark.parametrize("length", [1e300, np.array([1.0, 1e300])], ids=["number", "array"])
@pytest.mark.parametrize("given", [Q, Amount], ids=["quantity", "amount"])
def test_what_overflows_is_our_error_without_a_warning(length, given) -> None:
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        with pytest.raises(QuantityError, match="the result is not a finite number; expected amounts of an"):
            area_of(given(length, "yd"), given(1e300, "yd"))
        with pytest.raises(QuantityError, match="the result is not a finite number"):
            meter_error(given(length * 1e8, "gal"), given(1e-300, "gal"))


def test_results_of_numbers_are_plain_numbers() -> None:
    for value in (3, 3.0, np.float64(3), np.int64(3), np.array(3.0)):
        assert type(area_of(Q(value, "yd"), Q(2, "yd")).magnitude) is float
        assert type(area_of(Amount(value, "yd"), Amount(2, "yd")).magnitude) is float
    assert type(meter_error(Q(np.array(2.0), "gal"), Q(1, "gal"))) is float


def test_an_amount_of_several_numbers() -> None:
    feet = Amount((1.0, 2.5), "ft")
    assert feet.to("in").magnitude == (12, 30)
    assert feet.to("ft") is feet
    assert Amount((32.0, 212.0), "degF").to("degC").magnitude == (0, 100)
    assert str(Amount(1.5, "gal/yd**2")) == "1.5 gal/yd²"
    assert str(Amount(1.5, "")) == "1.5"
    areas = area_of(feet, Amount(9.0, "ft"))
    assert areas.magnitude.tolist() == [1.0, 2.5]


def test_a_certificate_in_amounts() -> None:
    depths, volumes = Amount((0.0, 10.0, 20.0), "in"), Amount((4.0, 120.0, 300.0), "gal")
    tank = Tank.calibrated(depths, volumes)
    same = Tank.calibrated(Q(np.array(depths.magnitude), "in"), Q(np.array(volumes.magnitude), "gal"))
    for depth in (0.0, 5.0, 10.0, 15.0, 20.0):
        assert tank.volume_at(Amount(depth, "in")).magnitude == same.volume_at(Q(depth, "in")).magnitude
        assert tank.surface_at(Amount(depth, "in")).magnitude == same.surface_at(Q(depth, "in")).magnitude
    assert tank.surface_at(Q(np.array([5.0, 10.0, 15.0]), "in")).magnitude.tolist() == [11.6, 11.6, 18.0]
    chart = tank.chart(Amount(0.25, "in"))
    assert (chart.depths.magnitude, chart.volumes.magnitude) == (depths.magnitude, volumes.magnitude)
    assert tank.depth_for(Amount(210.0, "gal")).magnitude == 15


@pytest.mark.parametrize(("depths", "volumes", "message"), [
    ((0.0, -1.0), (1.0, 2.0), "depths: found -1.0 in; expected a depth of 0 or more"),
    ((0.0, 1.0), (1.0, -2.0), "volumes: found -2.0 gal; expected a volume of 0 or more"),
    ((0.0, 1.0), (1.0, 2.0, 3.0), "depths: found 2 depths and 3 volumes; expected two or more of each"),
    ((0.0,), (1.0,), "depths: found 1 depths and 1 volumes; expected two or more of each"),
    ((0.0, 1.0), (2.0, 2.0), "expected depths and volumes that both rise"),
    ((0.0, 0.0), (1.0, 2.0), "expected depths and volumes that both rise"),
    ((1.0, 2.0), (1.0, 2.0), "expected 0 as the first depth of the certificate"),
])  # fmt: skip
def test_a_certificate_in_amounts_that_cannot_be(depths, volumes, message) -> None:
    with pytest.raises(QuantityError, match=message):
        Tank.calibrated(Amount(depths, "in"), Amount(volumes, "gal"))


def test_a_certificate_of_one_number_is_too_short() -> None:
    with pytest.raises(
        QuantityError, match="depths: found 1 depths and 1 volumes; expected two or more of each"
    ):
        Tank.calibrated(Q(5, "in"), Q(5, "gal"))


def test_the_deepest_of_several_depths_is_named() -> None:
    chart = Tank.circular(Q(60, "in"), Q(120, "in")).chart(Q(1, "in"))
    with pytest.raises(QuantityError, match="depth: found 75 in; expected 0 to 60 in, the chart's end"):
        chart.interpolate(Q(np.array([61.0, 75.0, 10.0]), "in"))


def test_groups_of_nozzles_that_are_shut_count_too() -> None:
    assert average_rate(Q(np.array([0.0, 0.3]), "gal/yd**2"), np.array([10, 20])).magnitude == pytest.approx(
        0.2
    )
    assert average_rate(Q(0.3, "gal/yd**2"), 20).magnitude == pytest.approx(0.3)


def test_a_balance_of_nothing_has_no_share() -> None:
    nothing, some = Q(0, "gal"), Q(100, "gal")
    assert math.isnan(balance(nothing, nothing, nothing, nothing, nothing, nothing).share)
    assert balance(some, nothing, Q(75, "gal"), nothing, nothing, nothing).share == 0.25
    both = balance(Q(np.array([0.0, 100.0]), "gal"), *[nothing] * 5).share
    assert math.isnan(both[0])
    assert both[1] == 1


def test_words_for_arrays_of_emulsions() -> None:
    assert correction_kind(np.array([1.0, 1.02]), emulsion=True).tolist() == ["emulsion", "emulsion"]
    assert correction_kind(1.0, emulsion=True) == "emulsion"


def test_passes_that_just_meet_do_not_overlap() -> None:
    assert pass_overlap(Amount(12.0, "ft"), 2, Amount(24.0, "ft")).magnitude == 0


def test_passes_that_leave_a_strip_bare_are_named() -> None:
    with pytest.raises(QuantityError) as error:
        pass_overlap(Q(10, "ft"), 2, Q(24, "ft"))
    assert str(error.value) == "covered_width: found 24 ft; expected no more than 2 passes of 10 ft cover"


def test_a_rate_over_an_area_is_the_rate_over_its_length_and_width() -> None:
    # 610 gal on 5,250 ft by 11 ft is 0.0951 gal/yd² (DOT study guides, "Paving Math Problems": R = 9T/(W·L), seen)
    volume, length, width = Q(610, "gal"), Q(5250, "ft"), Q(11, "ft")
    over = rate_over(volume, area_of(length, width))
    assert over.to("gal/yd**2").magnitude == pytest.approx(610 * 9 / (5250 * 11), rel=1e-14)
    assert over.magnitude == pytest.approx(application_rate(volume, length, width).magnitude, rel=1e-14)
    with pytest.raises(QuantityError, match="area: found 0 yd²; expected an area above 0"):
        rate_over(volume, Q(0, "yd**2"))


def test_what_a_can_caught_is_gallons_times_sixty_over_seconds() -> None:
    # ASTM D2995-99 method B (seen)
    assert caught_flow(Q(1.5, "gal"), Q(20, "s")).to("gal/min").magnitude == pytest.approx(1.5 * 60 / 20)
    each = catch_test(Q(np.array([1.5, 1.4]), "gal"), Q(20, "s")).flows.magnitude
    assert each.tolist() == [caught_flow(Q(gallons, "gal"), Q(20, "s")).magnitude for gallons in (1.5, 1.4)]


def test_the_fullest_of_several_is_named() -> None:
    tank = Tank.circular(Q(60, "in"), Q(120, "in"))
    with pytest.raises(QuantityError, match="depth: found 72 in; expected 0 to 60 in, the tank's height"):
        tank.volume_at(Q(np.array([61.0, 72.0, 1.0]), "in"))
    with pytest.raises(QuantityError, match=r"volume: found 9000 gal; expected 0 to 1468\.8 gal, what"):
        tank.depth_for(Q(np.array([8000.0, 9000.0, 1.0]), "gal"))
