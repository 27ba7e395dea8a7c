"""ASTM D2995: pads on the road and cans under the nozzles. Methods seen; the numbers are computed from them."""

from __future__ import annotations

import numpy as np
import pytest

from sheetgen.errors import QuantityError
from sheetgen.trade import application_rate, bar_discharge, caught_flow, pad_rate, uniformity
from tests.published import Published, Q, cases

PADS = "ASTM D2995-99 method A, -23 option A"
CANS = "ASTM D2995-99 method B"
SIX = Q(np.array([41.2, 39.6, 40.8, 42.5, 38.9, 40.4]), "g")
FOOT = Q(1, "ft**2")


def _six():
    return uniformity(pad_rate(SIX, FOOT, 1.01))


def _bar():
    return caught_flow(Q(np.full(36, 0.92), "gal"), Q(10.0, "s"))


CASES = [
    Published(PADS, "computed", "1 ft² pad that gains 40 g, gravity 1.01", 0.0944, 4,
              lambda: pad_rate(Q(40, "g"), FOOT, 1.01)),
    Published(PADS, "computed", "0.0023825 gal/yd² for each gram on 1 ft² at gravity 1", 0.0023825, 7,
              lambda: pad_rate(Q(1, "g"), FOOT, 1.0)),
    Published(PADS, "computed", "six pads of 1 ft²: mean", 0.0957, 4, lambda: _six().mean),
    Published(PADS, "computed", "six pads: the highest, % of the mean", 4.77, 2,
              lambda: 100 * np.max(_six().deviations)),
    Published(PADS, "computed", "six pads: the lowest, % of the mean", -4.11, 2,
              lambda: 100 * np.min(_six().deviations)),
    Published(CANS, "computed", "0.92 gal in 10.0 s: each nozzle", 5.52, 2, lambda: _bar()[0]),
    Published(CANS, "computed", "36 such nozzles: the bar", 198.72, 2, lambda: bar_discharge(_bar())),
    Published(CANS, "computed", "that bar at 400 ft/min over 12 ft", 0.3726, 4,
              lambda: application_rate(bar_discharge(_bar()) * Q(1, "min"), Q(400, "ft"), Q(12, "ft"))),
]  # fmt: skip


@cases(CASES)
def test_pads_and_cans(case: Published) -> None:
    case.check()


def test_a_pad_of_half_a_square_metre_that_gains_100_grams_got_0_200_litres_a_square_metre() -> None:
    # 100 g at gravity 1.00 are 0.1 L where water is taken as 1 kg/L; as weighed it is 0.2004 and 0.2002.
    area, gain = Q(0.5, "m**2"), Q(100, "g")
    for base, water in (("60 degF", 0.99791), ("15 degC", 0.9991)):
        rate = pad_rate(gain, area, 1.0, base=base).to("L/m**2").magnitude
        assert rate == pytest.approx(0.2 / water, abs=1e-6)
        assert round(rate, 3) == 0.200


def test_the_dried_pad_shows_the_residual_rate() -> None:
    # option B of -14 and -23: dried emulsion, gravity of the residue
    wet = pad_rate(Q(40, "g"), FOOT, 1.01)
    dry = pad_rate(Q(24, "g"), FOOT, 1.03)
    assert dry.magnitude / wet.magnitude == pytest.approx(0.6 * 1.01 / 1.03)


def test_a_blocked_nozzle_stands_out() -> None:
    caught = np.full(36, 0.92)
    caught[7] = 0.0
    flows = caught_flow(Q(caught, "gal"), Q(10, "s"))
    assert uniformity(flows).deviations[7] == -1
    assert uniformity(flows).greatest == 1
    assert bar_discharge(flows).magnitude == pytest.approx(35 * 5.52)


def test_the_variation_is_the_samples_standard_deviation_over_the_mean() -> None:
    # numpy as the independent reference
    values = np.array([0.31, 0.29, 0.33, 0.30])
    found = uniformity(Q(values, "gal/yd**2"))
    assert found.variation == pytest.approx(np.std(values, ddof=1) / np.mean(values))
    assert np.isnan(uniformity(Q(np.array([0.3]), "gal/yd**2")).variation)


def test_metric_pads_give_the_same_deviations() -> None:
    rates = np.array([1.0, 1.1, 0.9, 1.0, 1.2, 1.0])
    metric, inch = uniformity(Q(rates, "L/m**2")), uniformity(Q(rates, "L/m**2").to("gal/yd**2"))
    assert metric.deviations == pytest.approx(inch.deviations)
    assert metric.mean.to("L/m**2").magnitude == pytest.approx(rates.mean())
    assert metric.deviations == pytest.approx(rates / rates.mean() - 1)


@pytest.mark.parametrize("values", [
    Q(np.zeros(3), "gal/yd**2"), Q(np.array([]), "gal/yd**2"), Q(np.ones((2, 2)), "gal/yd**2"),
])  # fmt: skip
def test_nothing_but_zeros_and_what_is_not_a_list_is_refused(values) -> None:
    with pytest.raises(QuantityError, match="values: found"):
        uniformity(values)
