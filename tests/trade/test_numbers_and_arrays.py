"""A number is reckoned with as a number and an array as an array, with the same results."""

from __future__ import annotations

import warnings

import numpy as np
import pytest

from sheetgen.errors import QuantityError
from sheetgen.trade import (
    Tank,
    application_rate,
    area_of,
    average_rate,
    caught_flow,
    correction_kind,
    meter_error,
    pass_overlap,
    rate_over,
)
from sheetgen.trade.between import interpolated
from tests.published import Q

PLACES, HEIGHTS = (0.0, 1.0, 2.5, 7.0), (0.0, 10.0, 10.0, 40.0)


@pytest.mark.parametrize("place", [-1.0, 0.0, 0.3, 1.0, 1.7, 2.5, 3.1, 6.999, 7.0, 8.0])
def test_a_number_is_interpolated_as_numpy_does(place) -> None:
    expected = float(np.interp(place, PLACES, HEIGHTS))
    assert interpolated(place, PLACES, HEIGHTS) == expected


@pytest.mark.parametrize("length", [1e300, np.array([1.0, 1e300])], ids=["number", "array"])
def test_what_overflows_is_our_error_without_a_warning(length) -> None:
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        with pytest.raises(QuantityError, match="the result is not a finite number; expected amounts of an"):
            area_of(Q(length, "yd"), Q(1e300, "yd"))
        with pytest.raises(QuantityError, match="the result is not a finite number"):
            meter_error(Q(length * 1e8, "gal"), Q(1e-300, "gal"))


def test_results_of_numbers_are_plain_numbers() -> None:
    for value in (3, 3.0, np.float64(3), np.int64(3), np.array(3.0)):
        assert type(area_of(Q(value, "yd"), Q(2, "yd")).magnitude) is float
    assert type(meter_error(Q(np.array(2.0), "gal"), Q(1, "gal"))) is float


def test_a_certificate_of_one_number_is_too_short() -> None:
    with pytest.raises(
        QuantityError, match="depths: found 1 depths and 1 volumes; expected two or more of each"
    ):
        Tank.calibrated(Q(5, "in"), Q(5, "gal"))


def test_the_first_of_several_depths_that_is_too_deep_is_named() -> None:
    chart = Tank.circular(Q(60, "in"), Q(120, "in")).chart(Q(1, "in"))
    with pytest.raises(QuantityError, match="depth: found 75 in; expected 0 to 60 in, the chart's end"):
        chart.interpolate(Q(np.array([10.0, 75.0, 61.0]), "in"))


def test_groups_of_nozzles_that_are_shut_count_too() -> None:
    assert average_rate(Q(np.array([0.0, 0.3]), "gal/yd**2"), np.array([10, 20])).magnitude == pytest.approx(
        0.2
    )
    assert average_rate(Q([0.3], "gal/yd**2"), [20]).magnitude == pytest.approx(0.3)


def test_words_for_arrays_of_emulsions() -> None:
    assert correction_kind(np.array([1.0, 1.02]), emulsion=True).tolist() == ["emulsion", "emulsion"]
    assert correction_kind(1.0, emulsion=True) == "emulsion"


def test_passes_that_just_meet_do_not_overlap() -> None:
    assert pass_overlap(Q(12.0, "ft"), 2, Q(24.0, "ft")).magnitude == 0


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
    each = caught_flow(Q(np.array([1.5, 1.4]), "gal"), Q(20, "s")).magnitude
    assert each.tolist() == [caught_flow(Q(gallons, "gal"), Q(20, "s")).magnitude for gallons in (1.5, 1.4)]


def test_the_first_of_several_that_is_too_full_is_named() -> None:
    tank = Tank.circular(Q(60, "in"), Q(120, "in"))
    with pytest.raises(QuantityError, match="depth: found 72 in; expected 0 to 60 in, the tank's height"):
        tank.volume_at(Q(np.array([1.0, 72.0, 61.0]), "in"))
    with pytest.raises(QuantityError, match=r"volume: found 9000 gal; expected 0 to 1468\.8 gal, what"):
        tank.depth_for(Q(np.array([1.0, 9000.0, 8000.0]), "gal"))
