"""The table of units by which typed and published numbers are converted: as the units library has them, and exact."""

from __future__ import annotations

from fractions import Fraction
from functools import cache
from typing import Any

import numpy as np
import pint
import pytest

from sheetgen import templates
from sheetgen.quantities import ureg
from sheetgen.units import SYSTEMS, converted, unit_size, units
from tests.published import Q

ROWS = templates.table("unit_sizes")
SCALES = {"degF": "degree_Fahrenheit", "degC": "degree_Celsius"}


@cache
def exact_registry() -> pint.UnitRegistry[Any]:
    """The project's units, reckoned in exact fractions."""
    return pint.UnitRegistry(str(templates.root() / "units.txt"), non_int_type=Fraction)


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row["unit"] or "number")
def test_a_unit_of_the_table_is_what_the_units_library_makes_of_it(row) -> None:
    unit, size, zero = row["unit"], Fraction(row["size"]), Fraction(row["zero"])
    if unit in SCALES:
        scale = exact_registry()._units[SCALES[unit]].converter
        assert (scale.scale, scale.offset) == (size, zero)
        return
    assert zero == 0
    if row["dimension"] == "angle":
        assert Q(180, unit).to("radian").magnitude == pytest.approx(np.pi, rel=1e-15)
        assert size == 1
        return
    assert exact_registry().Quantity(Fraction(1), unit).to_base_units().magnitude == size
    assert str(ureg.Unit(unit).dimensionality).replace("dimensionless", "number") == row["dimension"]


@pytest.mark.parametrize(("number", "one", "other", "exact"), [
    (49, "in", "ft", 49 / 12), (27, "yd**3", "m**3", 27 * 0.764554857984), (1, "mph", "ft/min", 88),
    (32, "degF", "degC", 0),
    (100, "degC", "degF", 212), (-40, "degC", "degF", -40), (60, "degF", "degC", 140 / 9), (1, "t", "kg", 1000),
    (9, "gal/yd**2", "l/m**2", 9 * 9779 / 2160), (2000, "lb", "short_ton", 1),
])  # fmt: skip
def test_conversions_are_exact_by_definition(number, one, other, exact) -> None:
    # International yard and pound agreement of 1959, US gallon of 231 in³, NIST SP 811 (from memory, exact)
    assert converted(number, one, other) == exact


@pytest.mark.parametrize("system", SYSTEMS)
def test_every_unit_of_an_order_is_in_the_table(system) -> None:
    for unit in units(system).values():
        assert converted(2.5, unit.name, unit.name) == 2.5


def test_every_unit_of_the_table_is_named_by_an_order_or_a_word() -> None:
    named = {unit.name for system in SYSTEMS for unit in units(system).values()}
    named |= {row["unit"] for row in templates.table("unit_words")}
    assert {row["unit"] for row in ROWS} == named


def test_two_names_of_one_unit_are_one_unit() -> None:
    assert unit_size("gal") == unit_size("gallon") != unit_size("l")
    assert unit_size("gal").dimension == unit_size("l").dimension != unit_size("lb").dimension


def test_what_cannot_be_converted_is_refused() -> None:
    with pytest.raises(ValueError, match="a number in gal cannot be given in lb"):
        converted(1, "gal", "lb")
    with pytest.raises(KeyError):
        converted(1, "furlong", "ft")
