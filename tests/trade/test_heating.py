"""Room to expand and heat to warm a load: factors of D4311, NBS C97, a bitumen handbook."""

from __future__ import annotations

import pytest

from sheetgen.errors import QuantityError
from sheetgen.trade import (
    expansion_room,
    fill_before_heating,
    heat_for,
    specific_heat_of_mix,
    volume_factor,
)
from tests.published import Published, Q, cases

D4311 = "factors of D4311 column A, 1/M − 1"


def _room(cold: float, warm: float, kind: str = "asphalt-a"):
    return 100 * expansion_room(Q(cold, "degF"), Q(warm, "degF"), kind)


CASES = [
    Published(D4311, "computed", "asphalt from 60 to 300 °F, %", 8.85, 2, lambda: _room(60, 300)),
    Published(D4311, "computed", "asphalt from 60 to 350 °F, %", 10.8, 1, lambda: _room(60, 350)),
    Published(D4311, "computed", "asphalt from 250 to 350 °F, %", 3.6, 1, lambda: _room(250, 350)),
    Published("linear emulsion factor", "computed", "emulsion from 60 to 160 °F, %", 2.6, 1,
              lambda: _room(60, 160, "emulsion")),
    Published("linear emulsion factor", "computed", "emulsion from 60 to 185 °F, %", 3.2, 1,
              lambda: _room(60, 185, "emulsion")),
    Published("mixing rule", "memory", "specific heat of an emulsion of 65 %, asphalt 0.45", 0.64, 2,
              lambda: specific_heat_of_mix(Q(0.45, "Btu/lb/delta_degF"), 0.65)),
]  # fmt: skip


@cases(CASES)
def test_heating(case: Published) -> None:
    case.check()


def test_a_bitumen_handbooks_expansion_fits_the_formula() -> None:
    # 0.00061 per °C between 15 and 200 °C (seen), as d(V)/V15: mean of the factor's inverse over that range
    warm = volume_factor(Q(200, "degC"), "asphalt-a", base="15 degC")
    assert (1 / warm - 1) / 185 == pytest.approx(0.00061, rel=0.12)


def test_what_is_filled_by_the_rule_is_full_when_hot() -> None:
    filled = fill_before_heating(Q(1000, "gal"), Q(60, "degF"), Q(300, "degF"), "asphalt-a")
    assert filled.magnitude == pytest.approx(918.7)
    assert filled.magnitude * (
        1 + expansion_room(Q(60, "degF"), Q(300, "degF"), "asphalt-a")
    ) == pytest.approx(1000)


def test_temperature_outside_the_chart_gives_no_room() -> None:
    with pytest.raises(QuantityError, match="end: found 520 °F; expected 0 to 499 °F"):
        expansion_room(Q(60, "degF"), Q(520, "degF"), "asphalt-a")


@pytest.mark.parametrize(("start", "end", "said"), [
    ([60, 520], [300, 300], "start: found 520 °F; expected 0 to 499 °F"),
    ([60, 60], [300, 520], "end: found 520 °F; expected 0 to 499 °F"),
])  # fmt: skip
def test_one_of_many_temperatures_outside_the_chart_is_named_and_no_room_made_up(start, end, said) -> None:
    for kind_of_room in (
        lambda: expansion_room(Q(start, "degF"), Q(end, "degF"), "asphalt-a"),
        lambda: fill_before_heating(Q(1000, "gal"), Q(start, "degF"), Q(end, "degF"), "asphalt-a"),
    ):
        with pytest.raises(QuantityError, match=said):
            kind_of_room()


def test_a_specific_heat_is_heat_per_mass_and_degree() -> None:
    heat = specific_heat_of_mix(Q(0.5, "Btu/lb/delta_degF"), 0.65, 0.5)
    # 1 Btu/(lb·°F) is 4.1868 J/(g·K), by definition of the international table Btu
    assert heat.to("J/(g*kelvin)").magnitude == pytest.approx(4.1868 * heat.magnitude)


def test_heat_is_none_without_a_rise_and_an_error_for_a_fall() -> None:
    heat = Q(0.5, "Btu/lb/delta_degF")
    assert heat_for(Q(1000, "gal"), 1.0, Q(250, "degF"), Q(250, "degF"), heat).magnitude == 0
    with pytest.raises(
        QuantityError, match="end: found 240 °F; expected a temperature not below the start, 250 °F"
    ):
        heat_for(Q(1000, "gal"), 1.0, Q(250, "degF"), Q(240, "degF"), heat)


def test_heat_in_metric_units_is_the_same_heat() -> None:
    inch = heat_for(Q(1000, "gal"), 1.02, Q(250, "degF"), Q(350, "degF"), Q(0.5, "Btu/lb/delta_degF"))
    celsius = [Q((t - 32) / 1.8, "degC") for t in (250, 350)]
    metric = heat_for(Q(1000, "gal").to("L"), 1.02, *celsius, Q(2.0934, "kJ/kg/K"))
    assert metric.to("MJ").magnitude == pytest.approx(inch.to("MJ").magnitude, rel=1e-4)


def test_water_alone_has_a_specific_heat_of_one_and_asphalt_its_own() -> None:
    own = Q(0.45, "Btu/lb/delta_degF")
    assert specific_heat_of_mix(own, 1.0).magnitude == pytest.approx(0.45)
    assert specific_heat_of_mix(own, 1e-9).magnitude == pytest.approx(1.0)
    assert specific_heat_of_mix(own, 0.6, 0.5).magnitude == pytest.approx(0.3 * 0.45 + 0.7)
