"""Chip seal design: McLeod (formulas from memory)."""

from __future__ import annotations

import pytest

from sheetgen.errors import QuantityError
from sheetgen.trade import mcleod_design, seal
from tests.published import Published, Q, cases

MCLEOD = "McLeod's method, Minnesota and Idaho handbooks"


def _mcleod(**changes):
    given = {
        "median_size": Q(0.26, "in"), "flakiness": 0.20, "loose_weight": Q(90, "lb/ft**3"), "specific_gravity": 2.65,
        "traffic_factor": 0.65, "residue": 0.67, "surface_correction": Q(0.03, "gal/yd**2"),
        "absorption": Q(0.02, "gal/yd**2"), "waste_factor": 1.05,
    }  # fmt: skip
    return mcleod_design(**given | changes)


CASES = [
    Published(
        MCLEOD, "computed", "average least dimension, in", 0.1899, 4, lambda: _mcleod().least_dimension
    ),
    Published(MCLEOD, "computed", "voids in the loose aggregate", 0.4557, 4, lambda: _mcleod().voids),
    Published(MCLEOD, "computed", "aggregate, lb/yd²", 20.2, 1, lambda: _mcleod().aggregate),
    Published(MCLEOD, "computed", "binder, gal/yd²", 0.263, 3, lambda: _mcleod().binder),
]


@cases(CASES)
def test_designs(case: Published) -> None:
    case.check()


def test_mcleods_factors_follow_from_the_units() -> None:
    # 46.8 = 62.4 lb/ft³ on a square yard an inch deep; 2.244 = 40 % of the gallons in it
    inch = Q(1, "yd**2") * Q(1, "in")
    assert (Q(62.4, "lb/ft**3") * inch).to("lb").magnitude == pytest.approx(46.8)
    assert 0.4 * inch.to("gal").magnitude == pytest.approx(2.244, abs=5e-4)


def test_a_design_in_metric_units_is_the_same_design() -> None:
    metric = _mcleod(median_size=Q(0.26, "in").to("mm"), loose_weight=Q(90, "lb/ft**3").to("kg/m**3"))
    assert metric.binder.magnitude == pytest.approx(_mcleod().binder.magnitude)


def test_a_design_in_plain_metric_numbers_is_the_same_design() -> None:
    given = {"flakiness": 0.3, "specific_gravity": 2.5, "traffic_factor": 0.7, "residue": 0.65}
    metric = seal.mcleod_design(median_size=6.604, loose_weight=1441.66, system="si", **given)
    us = seal.mcleod_design(median_size=0.26, loose_weight=90, system="us", **given)
    assert Q(metric.binder, "l/m**2").to("gal/yd**2").magnitude == pytest.approx(us.binder, rel=1e-4)
    assert Q(metric.aggregate, "kg/m**2").to("lb/yd**2").magnitude == pytest.approx(us.aggregate, rel=1e-4)
    assert Q(metric.least_dimension, "mm").to("in").magnitude == pytest.approx(us.least_dimension, rel=1e-4)


def test_more_traffic_less_binder() -> None:
    assert _mcleod(traffic_factor=0.60).binder < _mcleod(traffic_factor=0.85).binder


def test_designs_that_cannot_be_are_refused() -> None:
    with pytest.raises(QuantityError, match=r"loose_weight: found 170"):
        _mcleod(loose_weight=Q(170, "lb/ft**3"))
    with pytest.raises(QuantityError, match=r"surface_correction: found -0.5"):
        _mcleod(surface_correction=Q(-0.5, "gal/yd**2"))


@pytest.mark.parametrize(("design", "said"), [
    (lambda: _mcleod(loose_weight=Q(170, "lb/ft**3")),
     "loose_weight: found 170 lb/ft³; expected less than the weight of the stone without voids"),
    (lambda: _mcleod(specific_gravity=1.0, loose_weight=Q(62.4, "lb/ft**3")),  # as heavy as the stone itself: no voids
     "loose_weight: found 62.4 lb/ft³; expected less than the weight of the stone without voids"),
    (lambda: _mcleod(surface_correction=Q(-0.5, "gal/yd**2")),
     "surface_correction: found -0.5 gal/yd²; expected a correction that leaves some binder"),
])  # fmt: skip
def test_a_design_without_voids_or_binder_is_refused_and_says_why(design, said) -> None:
    with pytest.raises(QuantityError) as raised:
        design()
    assert str(raised.value) == said
