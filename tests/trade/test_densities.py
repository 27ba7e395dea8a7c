"""Pounds a gallon and gallons a ton from 8.328 lb/gal × specific gravity (US Army EN5459, seen)."""

from __future__ import annotations

import pytest

from sheetgen.trade import at_base, mass_of, volume_factor, volume_of
from tests.published import Published, Q, cases

SOURCE = "8.328 lb/gal × specific gravity, EN5459"
GALLON = Q(1, "gal")
TABLE = {
    0.90: (7.495, 266.8), 0.92: (7.662, 261.0), 0.94: (7.828, 255.5), 0.95: (7.912, 252.8), 0.96: (7.995, 250.2),
    0.966: (8.045, 248.6), 0.98: (8.161, 245.1), 1.00: (8.328, 240.2), 1.005: (8.370, 239.0), 1.01: (8.411, 237.8),
    1.015: (8.453, 236.6), 1.02: (8.495, 235.4), 1.03: (8.578, 233.2), 1.04: (8.661, 230.9), 1.05: (8.744, 228.7),
}  # fmt: skip
TON = Q(1, "short_ton")

CASES = [
    *(Published(SOURCE, "computed", f"lb/gal at a gravity of {sg}", pounds, 3, lambda sg=sg: mass_of(GALLON, sg))
      for sg, (pounds, _) in TABLE.items()),
    *(Published(SOURCE, "computed", f"gal/ton at a gravity of {sg}", gallons, 1, lambda sg=sg: volume_of(TON, sg))
      for sg, (_, gallons) in TABLE.items()),
    Published("EN5459", "seen", "22.5 tons at a gravity of 1.02", 5297.5, 1,
              lambda: volume_of(Q(22.5, "short_ton"), 1.02)),
    Published("EN5459 and D4311", "computed", "lb/gal of a gravity of 1.03 at 300 °F", 7.88, 2,
              lambda: mass_of(at_base(GALLON, volume_factor(Q(300, "degF"), "asphalt-a")), 1.03)),
    # Figures in agencies' measurement sections, from memory; the gravities are the typical ones they imply.
    Published("agency gallons per ton", "memory", "grade 70, gravity 0.949", 253, 0, lambda: volume_of(TON, 0.949)),
    Published("agency gallons per ton", "memory", "grade 250, gravity 0.965", 249, 0, lambda: volume_of(TON, 0.965)),
    Published("agency gallons per ton", "memory", "grade 800, gravity 0.980", 245, 0, lambda: volume_of(TON, 0.980)),
    Published("agency gallons per ton", "memory", "grade 3000, gravity 0.997", 241, 0, lambda: volume_of(TON, 0.997)),
    Published("agency gallons per ton", "memory", "paving asphalt, gravity 1.022", 235, 0,
              lambda: volume_of(TON, 1.022)),
]  # fmt: skip


@cases(CASES)
def test_the_table_of_densities(case: Published) -> None:
    case.check()


def test_the_recipe_that_divides_8_328_by_the_gravity_is_wrong() -> None:
    # A widely copied recipe gets 8.085 lb/gal for 1.03; heavier material must weigh more than water.
    assert mass_of(GALLON, 1.03).magnitude == pytest.approx(8.578, abs=5e-4)
    assert mass_of(GALLON, 1.03).magnitude > mass_of(GALLON, 1.0).magnitude


def test_the_metric_base_weighs_water_at_15_degrees() -> None:
    # The inch-pound figure is a weight in air, 0.12 % less.
    assert mass_of(Q(1, "L"), 1.02, base="15 degC").to("kg").magnitude == pytest.approx(1.02 * 0.9991)
    assert volume_of(Q(20, "t"), 1.02, base="15 degC").to("L").magnitude == pytest.approx(
        20000 / (1.02 * 0.9991)
    )
    assert mass_of(Q(1000, "L"), 1.0, base="15 degC").to("kg").magnitude == pytest.approx(999.1)
    in_air = (mass_of(GALLON, 1.0) / GALLON).to("kg/L").magnitude
    assert in_air == pytest.approx(0.99791, abs=5e-6)


def test_the_metric_density_of_water_is_that_of_the_cipm_formula() -> None:
    # M. Tanaka and others, Metrologia 38 (2001) 301: the formula that the CIPM recommends, in kg/m³ and °C. Its numbers
    # are from memory; IAPWS R6-95, computed with another library, gives the same 999.1026 at 15 °C and 101.325 kPa.
    t = 15.0
    cipm = 999.974950 * (1 - (t - 3.983035) ** 2 * (t + 301.797) / (522528.9 * (t + 69.34881)))
    assert cipm == pytest.approx(999.1026, abs=1e-4)
    assert mass_of(Q(1, "m**3"), 1.0, base="15 degC").to("kg").magnitude == pytest.approx(cipm, abs=0.005)
