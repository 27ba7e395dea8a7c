"""Partial volumes against the engineering library fluids, and against numerical integration of horizontal slices."""

from __future__ import annotations

import numpy as np
import pytest
from fluids.geometry import TANK, V_from_h
from scipy.integrate import quad

from sheetgen.order.model import Tank as OrderTank
from sheetgen.order.model import TankPoint
from sheetgen.order.tank import tank_of
from sheetgen.trade import Tank
from tests.published import Q

PARTS = [0.0, 0.001, 0.02, 0.1, 0.25, 0.499, 0.5, 0.501, 0.77, 0.95, 0.999, 1.0]
DIAMETER, LENGTH, HEAD = 1.5, 3.0, 0.3  # metres


@pytest.mark.parametrize("part", PARTS)
def test_flat_ended_cylinders_hold_what_fluids_says(part) -> None:
    ours = Tank.circular(Q(DIAMETER, "m"), Q(LENGTH, "m")).volume_at(Q(part * DIAMETER, "m"))
    theirs = V_from_h(part * DIAMETER, DIAMETER, LENGTH, horizontal=True)
    assert ours.to("m**3").magnitude == pytest.approx(theirs, rel=1e-10, abs=1e-12)


@pytest.mark.parametrize("head", [0.05, HEAD, DIAMETER / 4, DIAMETER / 2])
@pytest.mark.parametrize("part", PARTS)
def test_ellipsoidal_heads_hold_what_fluids_says(part, head) -> None:
    ours = Tank.circular(Q(DIAMETER, "m"), Q(LENGTH, "m"), Q(head, "m")).volume_at(Q(part * DIAMETER, "m"))
    theirs = V_from_h(part * DIAMETER, DIAMETER, LENGTH, horizontal=True, sideA="ellipsoidal", sideB="ellipsoidal",
                      sideA_a=head, sideB_a=head)  # fmt: skip
    assert ours.to("m**3").magnitude == pytest.approx(theirs, rel=1e-9, abs=1e-12)


@pytest.mark.parametrize("part", [0.02, 0.3, 0.5, 0.8, 0.98])
def test_depths_for_volumes_are_what_fluids_says(part) -> None:
    reference = TANK(D=DIAMETER, L=LENGTH, horizontal=True, sideA="ellipsoidal", sideB="ellipsoidal", sideA_a=HEAD,
                     sideB_a=HEAD)  # fmt: skip
    volume = part * reference.V_total
    tank = Tank.circular(Q(DIAMETER, "m"), Q(LENGTH, "m"), Q(HEAD, "m"))
    assert tank.capacity.to("m**3").magnitude == pytest.approx(reference.V_total)
    assert tank.depth_for(Q(volume, "m**3")).to("m").magnitude == pytest.approx(
        reference.h_from_V(volume, "brenth"), abs=1e-9
    )  # by root finding: its default is an interpolated table


def _slice(depth: float, height: float, width: float, length: float, head: float) -> float:
    """Area of a horizontal slice: a rectangle of the shell and two halves of an ellipse in the heads."""
    reach = np.sqrt(max(1 - (2 * depth / height - 1) ** 2, 0.0))
    return width * reach * length + np.pi * (width / 2 * reach) * (head * reach)


@pytest.mark.parametrize("part", [0.01, 0.2, 0.5, 0.9, 1.0])
@pytest.mark.parametrize("head", [0.0, 0.25])
def test_elliptical_sections_hold_the_sum_of_their_slices(part, head) -> None:
    height, width, length = 1.1, 1.7, 2.6
    tank = Tank.elliptical(Q(height, "m"), Q(width, "m"), Q(length, "m"), Q(head, "m"))
    slices, _ = quad(_slice, 0, part * height, args=(height, width, length, head), limit=200)
    assert tank.volume_at(Q(part * height, "m")).to("m**3").magnitude == pytest.approx(slices, rel=1e-7)


@pytest.mark.parametrize("part", [0.05, 0.3, 0.5, 0.9])
def test_volume_per_depth_is_the_area_of_the_slice(part) -> None:
    height, width, length, head = 1.1, 1.7, 2.6, 0.25
    tank = Tank.elliptical(Q(height, "m"), Q(width, "m"), Q(length, "m"), Q(head, "m"))
    area = _slice(part * height, height, width, length, head)
    step = 1e-4
    risen = tank.volume_at(Q(part * height + step, "m")) - tank.volume_at(Q(part * height - step, "m"))
    assert (risen / Q(2 * step, "m")).to("m**2").magnitude == pytest.approx(area)


def test_an_elliptical_tank_with_equal_axes_is_a_cylinder() -> None:
    depths = Q(np.linspace(0, 60, 13), "in")
    round_one, other = (Tank.circular(Q(60, "in"), Q(9, "ft"), Q(12, "in")),
                        Tank.elliptical(Q(60, "in"), Q(60, "in"), Q(9, "ft"), Q(12, "in")))  # fmt: skip
    assert other.volume_at(depths).magnitude == pytest.approx(round_one.volume_at(depths).magnitude)


CERTIFICATE = OrderTank(shape="calibrated", points=tuple(
    TankPoint(depth=depth, volume=volume) for depth, volume in ((0, 4), (10, 120), (20, 300), (40, 620))
))  # fmt: skip


@pytest.mark.parametrize(("system", "depth", "volume"), [("us", "in", "gal"), ("si", "mm", "L")])
def test_a_certificate_is_read_as_numpy_interpolates(system, depth, volume) -> None:
    ordered = tank_of(CERTIFICATE, system)
    points = {"depths": [0, 10, 20, 40], "volumes": [4, 120, 300, 620]}
    tank = Tank.calibrated(Q(points["depths"], depth), Q(points["volumes"], volume), system)
    depths = np.linspace(0, 40, 17)
    expected = np.interp(depths, points["depths"], points["volumes"])
    assert tank.volume_at(Q(depths, depth)).to(volume).magnitude == pytest.approx(expected)
    assert [ordered.volume_at(each) for each in depths] == pytest.approx(expected)
    assert tank.capacity.to(volume).magnitude == ordered.capacity == pytest.approx(620)
    assert str(tank.capacity.units) == str(Q(1, volume).units)
    assert tank.depth_for(Q(210, volume)).to(depth).magnitude == pytest.approx(15)
    assert ordered.depth_for(210) == pytest.approx(15)


@pytest.mark.parametrize("system", ["us", "si"])
def test_an_orders_tank_is_the_tank_of_its_dimensions(system) -> None:
    depth = {"us": "in", "si": "mm"}[system]
    given = OrderTank(shape="elliptical", height=40, width=60, length=90, heads="ellipsoidal", head_depth=10)
    same = Tank.elliptical(Q(40, depth), Q(60, depth), Q(90, depth), Q(10, depth), system)
    assert tank_of(given, system).capacity == pytest.approx(same.capacity.magnitude, rel=1e-15)
    flat = OrderTank(shape="circular", height=40, length=90, head_depth=10)
    plain = Tank.circular(Q(40, depth), Q(90, depth), system=system)
    assert tank_of(flat, system).capacity == pytest.approx(plain.capacity.magnitude, rel=1e-15)
    assert str(plain.height.units) == str(Q(1, depth).units)


def test_a_film_on_the_bottom_of_a_cylinder_grows_with_the_power_three_halves_of_its_depth() -> None:
    # A segment of height h ≪ r has the area 4/3·h·√(2rh) (a parabola's: Archimedes): no digit may be lost there.
    tank = Tank.circular(Q(60, "in"), Q(120, "in"))
    thin = Q(6e-11, "in")
    film = tank.volume_at(thin)
    assert (tank.volume_at(2 * thin) / film).magnitude == pytest.approx(2**1.5, rel=1e-9)
    area = 4 / 3 * thin * (2 * Q(30, "in") * thin) ** 0.5
    assert (film / (area * Q(120, "in"))).to("").magnitude == pytest.approx(1, rel=1e-9)
