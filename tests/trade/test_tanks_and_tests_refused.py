"""What is said where a tank or an evenness test cannot be: the argument, what was found, what was expected.

And units and kinds that are easily mistaken for each other: mass or volume, the system of a tank's results.
"""

from __future__ import annotations

import math

import numpy as np
import pytest

from sheetgen.errors import QuantityError
from sheetgen.trade import (
    Tank,
    loads_needed,
    meter_error,
    passes_needed,
    rock_land,
    uniformity,
)
from tests.published import Q

CERTIFICATE = {"depths": Q([0.0, 10.0, 20.0, 45.0], "in"), "volumes": Q([2.0, 102.0, 302.0, 852.0], "gal")}


def _certified(depths, volumes):
    return lambda: Tank.calibrated(Q(depths, "in"), Q(volumes, "gal"))


@pytest.mark.parametrize(("make", "says"), [
    (_certified([0.0, 1.0, 2.0], [5.0]), "depths: found 3 depths and 1 volumes; expected two or more of each"),
    (_certified([0.0], [0.0]), "depths: found 1 depths and 1 volumes; expected two or more of each"),
    (_certified([[0.0, 1.0], [2.0, 3.0]], [[0.0, 1.0], [2.0, 3.0]]),
     "depths: found an array of shape (2, 2); expected numbers in one row"),
    (_certified([1.0, 2.5], [0.0, 5.0]), "depths: found 1 in first; expected 0 as the first depth of the certificate"),
    (_certified([0.0, 2.0, 2.0], [0.0, 5.0, 6.0]),
     "depths: found a line not above the one before; expected depths and volumes that both rise"),
    (_certified([0.0, 2.0, 3.0], [0.0, 5.0, 5.0]),
     "depths: found a line not above the one before; expected depths and volumes that both rise"),
    (lambda: Tank(diameter=Q(50, "in"), length=Q(100, "in"), **CERTIFICATE),
     "tank: found more than one of them; expected a diameter, two axes, or a certificate"),
    (lambda: Tank(diameter=Q([50, 60], "in"), length=Q(100, "in")),
     "dimensions: found arrays; expected the dimensions of one tank"),
    (lambda: Tank(diameter=Q(50, "in"), length=Q(100, "in"), system="imperial"),
     "system: found 'imperial'; expected 'us' or 'si'"),
    (lambda: uniformity(Q([0.0, 0.0], "gal/yd**2")),
     "values: found [0.0, 0.0]; expected an array of measurements that are not all zero"),
    (lambda: uniformity(Q(np.array([]), "gal/yd**2")),
     "values: found []; expected an array of measurements that are not all zero"),
])  # fmt: skip
def test_what_cannot_be_is_said_in_whole(make, says) -> None:
    with pytest.raises(QuantityError) as error:
        make()
    assert str(error.value).replace("yard ** 2", "yd²").replace("gallon", "gal").replace(" / ", "/") == says


def test_volumes_of_a_certificate_may_rise_by_less_than_one_gallon() -> None:
    tank = Tank.calibrated(Q([0.0, 1.0, 2.0], "in"), Q([0.0, 0.4, 0.9], "gal"))
    assert tank.volume_at(Q(1.5, "in")).magnitude == pytest.approx(0.65)


def test_the_height_of_a_certified_tank_is_its_last_depth() -> None:
    tank = Tank(**CERTIFICATE)
    assert (tank.height.magnitude, str(tank.height.units)) == (45.0, "inch")
    assert tank.capacity.magnitude == 852.0


SI = {"depth": "millimeter", "volume": "liter"}


@pytest.mark.parametrize("make", [
    lambda: Tank.circular(Q(1200, "mm"), Q(2500, "mm"), system="si"),
    lambda: Tank.elliptical(Q(1000, "mm"), Q(1500, "mm"), Q(2500, "mm"), Q(200, "mm"), system="si"),
    lambda: Tank.calibrated(Q([0, 500, 1000], "mm"), Q([0, 900, 2100], "l"), system="si"),
], ids=["circular", "elliptical", "calibrated"])  # fmt: skip
def test_a_metric_tank_answers_in_millimetres_and_litres(make) -> None:
    tank = make()
    assert str(tank.height.units) == SI["depth"]
    assert str(tank.capacity.units) == str(tank.volume_at(Q(10, "in")).units) == SI["volume"]
    assert str(tank.depth_for(Q(50, "gal")).units) == SI["depth"]


def test_a_result_beyond_all_numbers_is_refused() -> None:
    with pytest.raises(QuantityError) as error:
        meter_error(Q(1e308, "gal"), Q(1e-300, "gal"))
    assert str(error.value) == "the result is not a finite number; expected amounts of an ordinary size"


def test_a_full_tank_is_found_full_and_a_gallon_more_is_refused() -> None:
    tank = Tank.circular(Q(50, "in"), Q(100, "in"))
    # near the top a volume grows with the depth to the power of 3/2: a digit of the one is less than one of the other
    assert tank.depth_for(tank.capacity).magnitude == pytest.approx(50.0, abs=50 * 1e-16 ** (2 / 3) * 10)
    with pytest.raises(QuantityError, match=r"volume: found 900 gal; expected 0 to 849.99\d* gal"):
        tank.depth_for(Q(900, "gal"))
    with pytest.raises(QuantityError, match="volume: found less than at depth 0; expected 2 to 852 gal"):
        Tank(**CERTIFICATE).depth_for(Q(1, "gal"))


def test_one_measurement_has_no_variation_and_two_have() -> None:
    # the sample's standard deviation of two is their difference over the root of two
    alone, pair = uniformity(Q([5.0], "gal/min")), uniformity(Q([4.0, 6.0], "gal/min"))
    assert math.isnan(alone.variation)
    assert pair.variation == pytest.approx(2 / math.sqrt(2) / 5)
    assert str(alone.mean.units) == "gallon / minute"


def test_loads_of_mass_and_of_volume() -> None:
    assert loads_needed(Q(30, "short_ton"), Q(12, "short_ton")) == 3
    assert loads_needed(Q(30, "gal"), Q(12, "gal")) == 3
    with pytest.raises(QuantityError, match="per_load: found 12 gal; expected a mass"):
        loads_needed(Q(30, "lb"), Q(12, "gal"))


def test_a_truck_covers_a_length() -> None:
    # 12 yd³ at 1 yd³ per 125 yd² on 4 yd: 375 yd
    assert rock_land(Q(12, "yd**3"), Q(1 / 125, "yd**3/yd**2"), Q(4, "yd")).to(
        "yd"
    ).magnitude == pytest.approx(375)
    with pytest.raises(QuantityError, match="aggregate: found 12 lb; expected a volume"):
        rock_land(Q(12, "lb"), Q(1 / 125, "yd**3/yd**2"), Q(4, "yd"))


def test_a_width_as_wide_as_the_bar_takes_one_pass() -> None:
    assert passes_needed(Q(12, "ft"), Q(12, "ft"), Q(0.5, "ft")) == 1
    assert passes_needed(Q(3.66, "m"), Q(12.0078740157480315, "ft"), Q(0, "ft")) == 1
