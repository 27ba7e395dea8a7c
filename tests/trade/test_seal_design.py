"""Chip seal design: McLeod (formulas from memory) and Austroads AGPT04K worked examples (tables seen)."""

from __future__ import annotations

import pytest

from sheetgen.errors import QuantityError
from sheetgen.trade import austroads_design, mcleod_design
from tests.published import Published, Q, cases

MCLEOD = "McLeod's method, Minnesota and Idaho handbooks"


def _mcleod(**changes):
    given = {
        "median_size": Q(0.26, "in"), "flakiness": 0.20, "loose_weight": Q(90, "lb/ft**3"), "specific_gravity": 2.65,
        "traffic_factor": 0.65, "residue": 0.67, "surface_correction": Q(0.03, "gal/yd**2"),
        "absorption": Q(0.02, "gal/yd**2"), "waste_factor": 1.05,
    }  # fmt: skip
    return mcleod_design(**given | changes)


def _austroads(factor: float, least: float, binder: float = 1.0, allowances: float = 0.0):
    return austroads_design(Q(factor, "L/m**2/mm"), Q(least, "mm"), binder, Q(allowances, "L/m**2"))


def _example(section: str, what: str, printed: float, decimals: int, step: str, *design: float) -> Published:
    return Published(f"Austroads AGPT04K {section}", "seen", what, printed, decimals,
                     lambda: getattr(_austroads(*design), step))  # fmt: skip


CASES = [
    Published(
        MCLEOD, "computed", "average least dimension, in", 0.1899, 4, lambda: _mcleod().least_dimension
    ),
    Published(MCLEOD, "computed", "voids in the loose aggregate", 0.4557, 4, lambda: _mcleod().voids),
    Published(MCLEOD, "computed", "aggregate, lb/yd²", 20.2, 1, lambda: _mcleod().aggregate),
    Published(MCLEOD, "computed", "binder, gal/yd²", 0.263, 3, lambda: _mcleod().binder),
    _example("C1.5 outside lane", "basic rate 0.11 × 8.6", 0.95, 2, "basic", 0.11, 8.6),
    _example("C1.5 outside lane", "times 1.1", 1.04, 2, "modified", 0.11, 8.6, 1.1),
    _example("C1.5 outside lane", "plus 0.1", 1.1, 1, "design", 0.11, 8.6, 1.1, 0.1),
    _example("C1.5 median lane", "basic rate 0.16 × 8.6", 1.38, 2, "basic", 0.16, 8.6),
    _example("C1.5 median lane", "times 1.1, chained unrounded", 1.51, 2, "modified", 0.16, 8.6, 1.1),
    _example("C1.5 median lane", "plus 0.4", 1.9, 1, "design", 0.16, 8.6, 1.1, 0.4),
    _example("C1.5 shoulder", "basic rate 0.21 × 8.6", 1.81, 2, "basic", 0.21, 8.6),
    _example("C1.5 shoulder", "times 1.1 at the shoulder", 1.99, 2, "modified", 0.21, 8.6, 1.1),
    _example("C1.5 shoulder", "plus 0.5", 2.5, 1, "design", 0.21, 8.6, 1.1, 0.5),
    _example("C2.5 first layer", "0.11 × 8.7", 0.96, 2, "basic", 0.11, 8.7),
    _example("C2.5 first layer", "plus 0.3", 1.3, 1, "design", 0.11, 8.7, 1.0, 0.3),
    _example("C2.5 second layer", "0.13 × 4.4", 0.57, 2, "basic", 0.13, 4.4),
    _example("C2.5 second layer", "as designed", 0.6, 1, "design", 0.13, 4.4),
    _example("C4.5 first layer", "0.10 × 9.0 plus 0.4", 1.3, 1, "design", 0.10, 9.0, 1.0, 0.4),
    _example(
        "C4.5 first layer", "plus 0.7 held by the geotextile", 2.0, 1, "design", 0.10, 9.0, 1.0, 0.4 + 0.7
    ),
    _example("C4.5 shoulder", "0.23 × 4.6 plus 0.3", 1.4, 1, "design", 0.23, 4.6, 1.0, 0.3),
    _example("§6.4", "0.97 + 0.3 − 0.1", 1.17, 2, "design", 0.97, 1.0, 1.0, 0.3 - 0.1),
]


@cases(CASES)
def test_designs(case: Published) -> None:
    case.check()


def test_the_guide_prints_two_air_voids_for_one_layer() -> None:
    # C4.5 second layer lists Va = 0.0 but works with −0.01: 0.13 × 4.6 = 0.60 as printed; with 0.14 it is 0.644.
    assert _austroads(0.13, 4.6).basic.magnitude == pytest.approx(0.60, abs=5e-3)
    assert _austroads(0.14, 4.6).basic.magnitude == pytest.approx(0.644)


@pytest.mark.parametrize(("numerator", "least", "printed"), [
    (900, 8.6, 105), (950, 8.7, 110), (900, 4.4, 205), (950, 9.0, 105), (900, 4.6, 195),
])  # fmt: skip
def test_the_guides_spread_of_aggregate_is_rounded_to_five(numerator, least, printed) -> None:
    # Austroads AGPT04K C1.5, C2.5, C4.5 (seen): m² of road per m³ of stone
    assert 5 * round(numerator / least / 5) == printed


def test_mcleods_factors_follow_from_the_units() -> None:
    # 46.8 = 62.4 lb/ft³ on a square yard an inch deep; 2.244 = 40 % of the gallons in it
    inch = Q(1, "yd**2") * Q(1, "in")
    assert (Q(62.4, "lb/ft**3") * inch).to("lb").magnitude == pytest.approx(46.8)
    assert 0.4 * inch.to("gal").magnitude == pytest.approx(2.244, abs=5e-4)


def test_a_design_in_metric_units_is_the_same_design() -> None:
    metric = _mcleod(median_size=Q(0.26, "in").to("mm"), loose_weight=Q(90, "lb/ft**3").to("kg/m**3"))
    assert metric.binder.magnitude == pytest.approx(_mcleod().binder.magnitude)


def test_more_traffic_less_binder() -> None:
    assert _mcleod(traffic_factor=0.60).binder < _mcleod(traffic_factor=0.85).binder


def test_designs_that_cannot_be_are_refused() -> None:
    with pytest.raises(QuantityError, match=r"loose_weight: found 170"):
        _mcleod(loose_weight=Q(170, "lb/ft**3"))
    with pytest.raises(QuantityError, match=r"surface_correction: found -0.5"):
        _mcleod(surface_correction=Q(-0.5, "gal/yd**2"))
    with pytest.raises(QuantityError, match="allowances: found -2"):
        _austroads(0.11, 8.6, 1.0, -2.0)


@pytest.mark.parametrize(("design", "said"), [
    (lambda: _mcleod(loose_weight=Q(170, "lb/ft**3")),
     "loose_weight: found 170 lb/ft³; expected less than the weight of the stone without voids"),
    (lambda: _mcleod(specific_gravity=1.0, loose_weight=Q(62.4, "lb/ft**3")),  # as heavy as the stone itself: no voids
     "loose_weight: found 62.4 lb/ft³; expected less than the weight of the stone without voids"),
    (lambda: _mcleod(surface_correction=Q(-0.5, "gal/yd**2")),
     "surface_correction: found -0.5 gal/yd²; expected a correction that leaves some binder"),
    (lambda: _austroads(0.11, 8.6, 1.0, -2.0),
     "allowances: found -2.0 l/m²; expected allowances that leave some binder"),
    (lambda: _austroads(0.25, 8.0, 1.0, -2.0),
     "allowances: found -2.0 l/m²; expected allowances that leave some binder"),
])  # fmt: skip
def test_a_design_without_voids_or_binder_is_refused_and_says_why(design, said) -> None:
    with pytest.raises(QuantityError) as raised:
        design()
    assert str(raised.value) == said


def test_plain_binder_without_allowances_is_the_basic_rate() -> None:
    plain = austroads_design(Q(0.11, "L/m**2/mm"), Q(8.6, "mm"))
    assert plain.basic == plain.modified == plain.design
    assert plain.design.magnitude == pytest.approx(0.946)
