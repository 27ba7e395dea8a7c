"""Every result has the unit that its function promises: a number alone is no quantity."""

from __future__ import annotations

from dataclasses import fields

import pytest

from tests.published import Q
from tests.trade.calls import BY_NAME

UNITS = {
    "gal": "volume_for emulsion_in same_residual at_base volume_of fill_before_heating unexplained "
    "pay_quantity.sprayed pay_quantity.limited pay_quantity.ordered pay_quantity.cap pay_quantity.hand "
    "pay_quantity.payable pay_quantity.deducted Tank.volume_at Chart.interpolate",
    "gal/yd**2": "application_rate rate_over bar_rate residual_rate pad_rate mcleod_design.binder",
    "gal/min": "discharge_for nozzle_flow caught_flow",
    "lb": "mass_of",
    "lb/yd**2": "mcleod_design.aggregate",
    "yd**2": "area_of",
    "ft": "spread_length rock_land",
    "ft/min": "travel_speed",
    "in": "bar_height pass_overlap depth_at_middle mcleod_design.least_dimension Tank.depth_for Chart.depth_for",
    "hour": "heating_time",
    "Btu": "heat_for",
    "Btu/(lb*delta_degF)": "specific_heat_of_mix",
    "": "dilution_of nozzles_open loads_needed passes_needed expansion_room volume_factor deviation meter_error "
    "mcleod_design.voids ",
}
PROMISED = {name: unit for unit, names in UNITS.items() for name in names.split()}
OF_OTHER_KINDS = {"correction_kind", "within_tolerance", "Tank.circular", "Tank.elliptical", "Tank.chart"}


def _parts() -> set[str]:
    parts: set[str] = set()
    for name in set(BY_NAME) - OF_OTHER_KINDS:
        result = BY_NAME[name]()
        is_record = hasattr(result, "__dataclass_fields__")
        parts |= {f"{name}.{field.name}" for field in fields(result)} if is_record else {name}
    return parts


def test_the_table_has_every_result() -> None:
    assert set(PROMISED) == _parts()


@pytest.mark.parametrize(("name", "unit"), PROMISED.items())
def test_a_result_has_the_unit_that_is_promised(name, unit) -> None:
    function, _, part = name.partition(".") if name not in BY_NAME else (name, "", "")
    result = BY_NAME[function]()
    value = getattr(result, part) if part else result
    if unit:
        assert value.units == Q(1, unit).units
    else:
        assert isinstance(value, float)
