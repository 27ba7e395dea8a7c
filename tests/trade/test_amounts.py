"""Amounts in the units of the tables: the same arithmetic as with quantities, exact conversions, the same errors."""

from __future__ import annotations

from dataclasses import fields, is_dataclass
from fractions import Fraction
from functools import cache
from typing import Any

import numpy as np
import pint
import pytest
from pint.facets.plain import PlainQuantity

from sheetgen import templates
from sheetgen.amounts import Amount, magnitude, quantity, unit_size
from sheetgen.errors import QuantityError
from sheetgen.quantities import quantity_in, same_dimension, ureg
from sheetgen.trade import (
    Tank,
    application_rate,
    area_of,
    bar_height,
    limit,
    loads_needed,
    mcleod_design,
    round_half_away,
    volume_factor,
)
from sheetgen.trade.checks import in_quantities
from sheetgen.units import SYSTEMS, units
from tests.published import Q
from tests.trade.calls import CALLS, Call

ROWS = templates.table("unit_sizes")
SCALES = {"degF": "degree_Fahrenheit", "degC": "degree_Celsius"}


@cache
def exact_registry() -> pint.UnitRegistry[Any]:
    """The project's units, reckoned in exact fractions."""
    return pint.UnitRegistry(str(templates.root() / "units.txt"), non_int_type=Fraction)


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row["unit"] or "number")
def test_a_unit_of_the_table_is_what_the_units_library_makes_of_it(row) -> None:
    unit, size = row["unit"], unit_size(row["unit"])
    assert f"{ureg.Unit(unit):~P}" == size.symbol
    if unit in SCALES:
        scale = exact_registry()._units[SCALES[unit]].converter
        assert (scale.scale, scale.offset) == (size.size, size.zero)
        return
    assert size.zero == 0
    if size.dimension == "angle":
        assert Q(180, unit).to("radian").magnitude == pytest.approx(np.pi, rel=1e-15)
        assert size.size == 1
        return
    base = exact_registry().Quantity(Fraction(1), unit).to_base_units()
    assert base.magnitude == size.size
    assert str(ureg.Unit(unit).dimensionality).replace("dimensionless", "number") == size.dimension


@pytest.mark.parametrize(("one", "other", "exact"), [
    (Amount(49, "in"), "ft", 49 / 12), (Amount(5280, "ft"), "yd", 1760), (Amount(1, "mph"), "ft/min", 88),
    (Amount(231, "in**3"), "gal", 1), (Amount(32, "degF"), "degC", 0), (Amount(100, "degC"), "degF", 212),
    (Amount(-40, "degC"), "degF", -40), (Amount(60, "degF"), "degC", 140 / 9), (Amount(1, "t"), "kg", 1000),
    (Amount(9, "gal/yd**2"), "l/m**2", 9 * 9779 / 2160), (Amount(2000, "lb"), "short_ton", 1),
])  # fmt: skip
def test_conversions_are_exact_by_definition(one, other, exact) -> None:
    # International yard and pound agreement of 1959, US gallon of 231 in³, NIST SP 811 (from memory, exact)
    assert one.to(other).magnitude == exact
    assert one.to(other).units == other


@pytest.mark.parametrize("system", SYSTEMS)
def test_every_unit_of_an_order_is_in_the_table(system) -> None:
    for kind, unit in units(system).items():
        assert unit_size(unit.name)
        assert magnitude(quantity(2.5, kind, system), kind, system) == 2.5
        assert quantity(2.5, kind, system).dimension == unit_size(unit.name).dimension


@pytest.mark.parametrize("table", ["unit_words", "limits"])
def test_every_unit_that_another_table_names_is_in_the_table(table) -> None:
    assert all(unit_size(row["unit"]) for row in templates.table(table))


def test_what_cannot_be_converted_is_refused() -> None:
    with pytest.raises(ValueError, match="an amount in gal cannot be given in lb"):
        Amount(1, "gal").to("lb")
    with pytest.raises(KeyError):
        Amount(1, "furlong").to("ft")


def as_amount(value: Any) -> Any:
    """A quantity as an amount, in its own unit or the first one of the table with its dimension."""
    if not isinstance(value, PlainQuantity):
        return value
    names = [row["unit"] for row in ROWS if same_dimension(value.units, row["unit"])]
    unit = next((name for name in names if ureg.Unit(name) == value.units), names[0])
    return Amount(value.to(unit).magnitude, unit)


def _parts(result: Any) -> dict[str, Any]:
    if is_dataclass(result) and not isinstance(result, Amount):
        return {field.name: getattr(result, field.name) for field in fields(result)}
    return {"": result}


# A chart answers in what it was made of: further down.
@pytest.mark.parametrize(
    "call", [call for call in CALLS if not call.name.startswith("Chart.")], ids=lambda call: call.name
)
def test_amounts_give_what_quantities_give(call: Call) -> None:
    given = {name: as_amount(value) for name, value in call.given.items()}
    expected, found = call(), call(**given)
    if isinstance(expected, Tank):
        expected, found = expected.capacity, found.capacity
    if any(isinstance(value, Amount) for value in given.values()):
        expected_parts, parts = _parts(expected), _parts(found)
        answers = [name for name, part in expected_parts.items() if isinstance(part, PlainQuantity)]
        assert isinstance(call(), Tank) or all(isinstance(parts[name], Amount) for name in answers)
    for name, one in _parts(in_quantities(found)).items():
        other = _parts(expected)[name]
        if isinstance(other, str):
            assert one == other
            continue
        assert getattr(one, "units", None) == getattr(other, "units", None)
        assert getattr(one, "magnitude", one) == pytest.approx(getattr(other, "magnitude", other), rel=1e-13)


def test_quantities_give_quantities_in_all_parts() -> None:
    design = mcleod_design(Q(0.26, "in"), 0.2, Q(90, "lb/ft**3"), 2.65, 0.65, 0.67)
    assert all(isinstance(part, PlainQuantity) for part in (design.least_dimension, design.binder))


def test_an_array_of_amounts_is_an_array_of_results() -> None:
    areas = area_of(Amount(np.array([900.0, 1800.0]), "ft"), Amount(12.0, "ft"))
    assert areas.units == "yd**2"
    assert areas.magnitude == pytest.approx([1200, 2400], rel=1e-15)


def test_rounding_keeps_the_unit_of_an_amount() -> None:
    rounded = round_half_away(Amount(2.675, "gal"), 2)
    assert (rounded.magnitude, rounded.units) == (2.68, "gal")
    assert loads_needed(Amount(160.0, "gal"), Amount(53.0, "gal")) == 4.0


def test_an_orders_tank_answers_in_what_it_is_asked() -> None:
    tank = Tank.circular(Amount(1200.0, "mm"), Amount(2500.0, "mm"), system="si")
    assert tank.volume_at(Amount(600.0, "mm")).units == "l"
    assert tank.volume_at(Q(600, "mm")).to("l").magnitude == pytest.approx(
        tank.volume_at(Amount(600.0, "mm")).magnitude
    )
    chart = tank.chart(Amount(100.0, "mm"), 0)
    assert (chart.depths.units, chart.volumes.units) == ("mm", "l")
    by_quantities = tank.chart(Q(100, "mm"), 0)
    assert isinstance(by_quantities.volumes, PlainQuantity)
    assert (chart.volumes.magnitude == by_quantities.volumes.magnitude).all()
    half, whole = chart.interpolate(Amount(0.6, "m")), by_quantities.interpolate(Q(0.6, "m"))
    assert (half.magnitude, half.units) == (whole.magnitude, "l")
    deep, depth = chart.depth_for(Amount(1000.0, "l")), by_quantities.depth_for(Q(1000, "l"))
    assert deep.units == "mm"
    assert deep.magnitude == pytest.approx(depth.magnitude, rel=1e-14)


@pytest.mark.parametrize(("refused", "message"), [
    (lambda: application_rate(Amount(1.0, "lb/ft**3"), Amount(1.0, "ft"), Amount(1.0, "ft")),
     "volume: found 1.0 lb/ft³; expected a volume of 0 or more, such as 1200 gal or 4500 L"),
    (lambda: area_of(Amount(np.array([1.0, -2.0]), "ft"), Amount(1.0, "ft")),
     "length: found -2.0 ft at position 1; expected a length of 0 or more, such as 2625 ft or 800 m"),
    (lambda: area_of(Amount(float("nan"), "ft"), Amount(1.0, "ft")),
     "length: found nan ft; expected a length of 0 or more, such as 2625 ft or 800 m"),
    (lambda: bar_height(Amount(4.0, "in"), 60.0, Amount(15.0, "degree"), 2),
     "fan_angle: found 60.0; expected an angle, with its unit, above 0 and below 180, such as 60 degree"),
    (lambda: volume_factor(Amount(600.0, "degF"), "asphalt-a"),
     "temperature: found 600 °F; expected 0 to 499 °F, where the chart of asphalt-a ends"),
    (lambda: Tank.circular(Amount(60.0, "in"), Amount(120.0, "in")).chart(Amount(1.0, "in")).interpolate(
        Amount(61.0, "in")), "depth: found 61 in; expected 0 to 60 in, the chart's end"),
], ids=["dimension", "negative", "nan", "bare", "outside", "chart"])  # fmt: skip
def test_a_wrong_amount_is_refused_as_a_wrong_quantity_is(refused, message) -> None:
    with pytest.raises(QuantityError) as error:
        refused()
    assert str(error.value) == message


def test_a_limit_is_asked_by_amounts_too() -> None:
    assert limit("nozzle_angle").allows(Amount(20.0, "degree")) == limit("nozzle_angle").allows(
        Q(20, "degree")
    )
    assert quantity_in(20, "degree") == Q(20, "degree")
