"""Units against their exact definitions (NIST Handbook 44 app. C, NIST SP 811; from memory, they are exact)."""

from __future__ import annotations

from fractions import Fraction
from functools import cache
from typing import Any

import pint
import pytest

from sheetgen.quantities import ureg
from sheetgen.trade import application_rate, area_of, volume_for
from sheetgen.units import constants
from tests.published import Q

INCH = Fraction(254, 10000)  # m
GALLON = 231 * INCH**3  # m³
POUND = Fraction(45359237, 100_000_000)  # kg
FOOT, YARD, MILE = 12 * INCH, 36 * INCH, 63360 * INCH


@pytest.mark.parametrize(("unit", "si", "exact"), [
    ("in", "m", INCH), ("ft", "m", FOOT), ("yd", "m", YARD), ("mi", "m", MILE), ("gal", "m**3", GALLON),
    ("L", "m**3", Fraction(1, 1000)), ("lb", "kg", POUND), ("short_ton", "kg", 2000 * POUND),
    ("t", "kg", Fraction(1000)), ("yd**2", "m**2", YARD**2), ("gal/yd**2", "m", GALLON / YARD**2),
    ("mph", "m/s", MILE / 3600), ("ft/min", "m/s", FOOT / 60), ("gal/min", "m**3/s", GALLON / 60),
    ("lb/gal", "kg/m**3", POUND / GALLON), ("percent", "", Fraction(1, 100)),
])  # fmt: skip
def test_units_are_what_the_standard_defines(unit, si, exact) -> None:
    assert Q(1, unit).to(si).magnitude == pytest.approx(float(exact), rel=1e-14)


def test_a_gallon_a_square_yard_in_litres_a_square_metre() -> None:
    assert float(GALLON * 1000 / YARD**2) == pytest.approx(4.5273, abs=5e-5)


@pytest.mark.parametrize(("system", "key", "exact"), [
    ("us", "area_divisor", (YARD / FOOT) ** 2), ("si", "area_divisor", Fraction(1)),
    ("us", "speed_per_road_speed", MILE / FOOT / 60), ("si", "speed_per_road_speed", Fraction(1000, 60)),
    ("us", "nozzle_spacing_per_width", FOOT / INCH), ("si", "nozzle_spacing_per_width", Fraction(1000)),
    ("us", "mass_per_ton", Fraction(2000)), ("si", "mass_per_ton", Fraction(1000)),
    ("us", "cubic_per_volume", GALLON / INCH**3), ("si", "cubic_per_volume", Fraction(1000) * 1000),
])  # fmt: skip
def test_the_books_constants_are_the_definitions(system, key, exact) -> None:
    assert constants(system)[key] == float(exact)


@pytest.mark.parametrize(("degrees_f", "kelvin"), [(60, 288.7055555555556), (32, 273.15), (212, 373.15)])
def test_temperatures(degrees_f, kelvin) -> None:
    assert Q(degrees_f, "degF").to("K").magnitude == pytest.approx(kelvin)


def test_a_btu_is_the_international_table_one_to_a_millionth() -> None:
    # 1055.05585262 J exactly (NIST SP 811); the registry has the rounded 1055.056 of ISO 31-4
    assert Q(1, "Btu").to("J").magnitude == pytest.approx(1055.05585262, rel=1e-6)


def test_arithmetic_on_units_is_the_fractions_arithmetic() -> None:
    # 610 gal on 5,250 ft by 11 ft, in exact fractions
    exact = Fraction(610) * 9 / (5250 * 11)
    assert application_rate(Q(610, "gal"), Q(5250, "ft"), Q(11, "ft")).magnitude == pytest.approx(
        float(exact), rel=1e-14
    )
    litres = Fraction(610) * GALLON * 1000 / (5250 * FOOT * 11 * FOOT)
    metric = application_rate(Q(610, "gal"), Q(5250, "ft"), Q(11, "ft")).to("L/m**2").magnitude
    assert metric == pytest.approx(float(litres), rel=1e-14)
    assert area_of(Q(1, "mi"), Q(24, "ft")).magnitude == pytest.approx(14080, rel=1e-14)
    assert volume_for(Q(0.4, "L/m**2"), Q(1, "km"), Q(3.5, "m")).to("L").magnitude == pytest.approx(
        1400, rel=1e-13
    )


def test_8_328_pounds_a_gallon_agrees_with_the_imperial_figure_beside_it() -> None:
    # 10.002 lb to the imperial gallon (EN5459, seen), which is 4.54609 L exactly
    imperial = Q(10.002, "lb") / Q(4.54609, "L")
    assert imperial.to("lb/gal").magnitude == pytest.approx(8.328, abs=5e-4)
    assert constants("us")["water_density"] == 8.328


@cache
def library_registry() -> pint.UnitRegistry[Any]:
    """The registry of the units library's own file of definitions."""
    return pint.UnitRegistry()


OURS = sorted(name for name in ureg._units if name)


@pytest.mark.parametrize("unit", OURS)
def test_each_unit_means_what_it_means_in_the_units_library(unit) -> None:
    ours, theirs = (registry.Quantity(17.0, unit) for registry in (ureg, library_registry()))
    assert (str(ours), f"{ours:~}") == (str(theirs), f"{theirs:~}")
    ours, theirs = ours.to_base_units(), theirs.to_base_units()
    assert (ours.magnitude, str(ours.units)) == (theirs.magnitude, str(theirs.units))


def test_a_barrel_is_not_guessed() -> None:
    # 31.5 gal in pint's definitions, 42 gal in the asphalt trade (common practice, no source)
    with pytest.raises(pint.UndefinedUnitError):
        Q(1, "barrel")
    assert Q(1, "oil_barrel").to("gal").magnitude == pytest.approx(42, rel=1e-15)
