"""The chart carried in the truck: Maryland SHA 503 asks for the volume at each 1/4 in of depth (seen)."""

from __future__ import annotations

import numpy as np
import pytest

from sheetgen.errors import QuantityError
from sheetgen.trade import Tank
from sheetgen.trade.chart import Chart
from tests.published import Q

CYLINDER = Tank.circular(Q(60, "in"), Q(120, "in"))
CERTIFIED = Tank.calibrated(Q(np.array([0, 10, 20, 40]), "in"), Q(np.array([4, 120.04, 300, 620]), "gal"))


def test_a_line_each_quarter_inch_and_one_at_the_full_height() -> None:
    chart = CYLINDER.chart(Q(0.25, "in"), decimals=1)
    assert len(chart.depths) == 241
    assert chart.depths[1].magnitude == 0.25
    assert chart.depths[-1].magnitude == 60
    assert chart.volumes[-1].magnitude == 1468.8
    assert [chart.volumes[4 * depth].magnitude for depth in (6, 12, 30, 45)] == [76.4, 209.1, 734.4, 1181.6]


@pytest.mark.parametrize(
    ("height", "lines", "last_but_one"), [(47.3, 191, 47.25), (47.25, 190, 47.0), (0.1, 2, 0.0)]
)
def test_the_last_line_is_the_full_height_whatever_the_step(height, lines, last_but_one) -> None:
    depths = Tank.circular(Q(height, "in"), Q(50, "in")).chart(Q(0.25, "in")).depths.magnitude
    assert (len(depths), depths[-1], depths[-2]) == (lines, height, last_but_one)


def test_a_dip_between_two_lines_is_interpolated_in_the_printed_volumes() -> None:
    chart = CYLINDER.chart(Q(0.25, "in"), decimals=1)
    # 16 in and 16 1/4 in as printed; halfway between them, rounded again
    low, high = chart.volumes[64].magnitude, chart.volumes[65].magnitude
    assert chart.interpolate(Q(16.125, "in")).magnitude == pytest.approx((low + high) / 2, abs=0.0501)
    assert chart.interpolate(Q(16, "in")).magnitude == low
    many = chart.interpolate(Q(np.array([0, 16, 60]), "in"))
    assert many.magnitude.tolist() == [0, low, 1468.8]


def test_the_chart_says_what_a_reading_means_where_it_is_taken() -> None:
    chart = Chart((0.0, 10.0, 30.0, 40.0), (0.0, 100.0, 500.0, 560.0), 0)
    assert chart.steepest == 20  # gallons an inch, between 10 and 30 in

    def between(depth: float) -> float:
        return float(np.interp(depth, chart.depths, chart.volumes))

    for depth in (0.5, 10, 17, 29, 38):
        assert chart.slope(depth, 0.5) == pytest.approx(between(depth + 0.5) - between(depth - 0.5))
    assert chart.slope(0, 0.5) == 10  # at the ends only what the chart has
    assert chart.slope(40, 0.5) == 6


def test_a_metric_chart_is_in_millimetres_and_litres() -> None:
    tank = Tank.circular(Q(1500, "mm"), Q(3000, "mm"), system="si")
    chart = tank.chart(Q(5, "mm"), decimals=0)
    assert len(chart.depths) == 301
    assert str(chart.depths.units) == "millimeter"
    assert str(chart.volumes.units) == "liter"
    assert chart.volumes[-1].magnitude == round(np.pi / 4 * 15**2 * 30)


def test_a_certificate_is_its_own_chart() -> None:
    chart = CERTIFIED.chart(Q(0.25, "in"), decimals=1)
    assert chart.depths.magnitude.tolist() == [0, 10, 20, 40]
    assert chart.volumes.magnitude.tolist() == [4, 120.04, 300, 620]
    assert chart.interpolate(Q(10, "in")).magnitude == 120.0
    assert chart.interpolate(Q(15, "in")).magnitude == 210.0


def test_the_depth_at_which_a_chart_shows_a_volume() -> None:
    chart = CERTIFIED.chart(Q(0.25, "in"))
    assert chart.depth_for(Q(460, "gal")).magnitude == pytest.approx(30)
    assert chart.depth_for(Q(4, "gal")).magnitude == 0
    assert chart.depth_for(Q(620, "gal")).magnitude == 40


@pytest.mark.parametrize("volume", [3, 621])
def test_a_volume_that_the_chart_does_not_show_is_refused(volume) -> None:
    said = f"^volume: found {volume}.* gal; expected 4 to 620 gal, the ends of the chart$"
    with pytest.raises(QuantityError, match=said):
        CERTIFIED.chart(Q(0.25, "in")).depth_for(Q(volume, "gal"))


def test_volumes_are_to_a_tenth_unless_said_otherwise() -> None:
    assert CYLINDER.chart(Q(0.25, "in")).volumes[1:3].magnitude.tolist() == [0.7, 1.9]
    assert CERTIFIED.chart(Q(0.25, "in")).interpolate(Q(10, "in")).magnitude == 120.0


def test_a_dip_beyond_the_chart_is_refused() -> None:
    with pytest.raises(QuantityError, match=r"depth: found 60.5 in; expected 0 to 60 in, the chart's end"):
        CYLINDER.chart(Q(0.25, "in")).interpolate(Q(60.5, "in"))


def test_depths_and_volumes_beyond_the_tank_are_refused() -> None:
    with pytest.raises(QuantityError, match=r"depth: found 60.5 in; expected 0 to 60 in, the tank's height"):
        CYLINDER.volume_at(Q(60.5, "in"))
    with pytest.raises(QuantityError, match=r"volume: found 1500 gal; expected 0 to 1468.8 gal"):
        CYLINDER.depth_for(Q(1500, "gal"))
    with pytest.raises(QuantityError, match="volume: found less than at depth 0; expected 4 to 620 gal"):
        CERTIFIED.depth_for(Q(3, "gal"))
    with pytest.raises(QuantityError, match="depth"):
        CERTIFIED.volume_at(Q(41, "in"))


def test_a_full_tank_in_other_units_is_still_full() -> None:
    assert CYLINDER.volume_at(Q(60, "in").to("mm").to("ft")).magnitude == pytest.approx(
        CYLINDER.capacity.magnitude
    )
    assert CYLINDER.depth_for(CYLINDER.capacity.to("L").to("gal")).magnitude == pytest.approx(60)


@pytest.mark.parametrize(("depths", "volumes", "expected"), [
    ([0], [0], "two or more"), ([0, 1], [0, 1, 2], "found 2 depths and 3 volumes; expected two or more of each"),
    ([1, 2], [0, 1], "0 as the first"), ([0, 2, 2], [0, 1, 2], "both rise"), ([0, 2, 3], [0, 2, 1], "both rise"),
    ([[0, 1]], [[0, 1]], "numbers in one row"),
])  # fmt: skip
def test_a_certificate_that_cannot_be_is_refused(depths, volumes, expected) -> None:
    with pytest.raises(QuantityError, match=expected):
        Tank.calibrated(Q(np.array(depths), "in"), Q(np.array(volumes), "gal"))


def test_a_tank_can_be_made_by_its_dimensions_or_its_points_directly() -> None:
    assert Tank(diameter=Q(60, "in"), length=Q(120, "in")).capacity == CYLINDER.capacity
    flat = Tank(height=Q(3, "ft"), width=Q(4, "ft"), length=Q(8, "ft"), head_depth=Q(0, "in"))
    assert flat.capacity == Tank.elliptical(Q(3, "ft"), Q(4, "ft"), Q(8, "ft")).capacity
    points = Tank(depths=Q(np.array([0, 40]), "in"), volumes=Q(np.array([0, 600]), "gal"))
    assert points.volume_at(Q(10, "in")).magnitude == 150
    assert points.system == "us"


def test_a_tank_is_made_in_one_way_and_in_one_of_two_unit_systems() -> None:
    inch, gallons = Q(np.array([0, 40]), "in"), Q(np.array([0, 600]), "gal")
    for both in (
        {"diameter": Q(60, "in"), "height": Q(60, "in")},
        {"diameter": Q(60, "in"), "depths": inch},
        {"width": Q(60, "in"), "volumes": gallons},
    ):
        with pytest.raises(QuantityError, match="expected a diameter, two axes, or a certificate"):
            Tank(**both, length=Q(9, "ft"))
    with pytest.raises(QuantityError, match="diameter: found nothing"):
        Tank()
    with pytest.raises(QuantityError, match="volumes: found nothing"):
        Tank(depths=inch)
    with pytest.raises(QuantityError, match="system: found 'cgs'; expected 'us' or 'si'"):
        Tank(depths=inch, volumes=gallons, system="cgs")


@pytest.mark.parametrize("height", [1137, 1200.5, 1499.9, 1523, 1600, 1777.77])
def test_no_dust_of_a_conversion_stands_in_a_metric_chart(height) -> None:
    tank = Tank.circular(Q(height, "mm"), Q(3000, "mm"), system="si")
    assert tank.height.magnitude == height
    assert tank.chart(Q(5, "mm"), 0).depths[-1].magnitude == height
    points = Q(np.array([0, height / 3, height]), "mm"), Q(np.array([0, 1000.7, 3333.3]), "L")
    certified = Tank.calibrated(*points, system="si").chart(Q(5, "mm"), 0)
    assert certified.depths.magnitude.tolist() == points[0].magnitude.tolist()
    assert certified.volumes.magnitude.tolist() == points[1].magnitude.tolist()
    assert certified.interpolate(Q(height, "mm")).magnitude == 3333


def test_a_full_chart_read_in_other_units_is_still_full() -> None:
    chart = Tank.circular(Q(47.3, "in"), Q(90, "in")).chart(Q(0.25, "in"))
    for unit in ("mm", "cm", "ft", "m", "yd"):
        assert chart.interpolate(Q(47.3, "in").to(unit)) == chart.volumes[-1]
    for unit in ("L", "ft**3", "m**3"):
        # rounded to 0.1 gal the last few lines are level: any of their depths will do
        level = chart.depths[chart.volumes == chart.volumes[-1]].magnitude
        assert level[0] - 1e-6 <= chart.depth_for(chart.volumes[-1].to(unit)).magnitude <= 47.3
