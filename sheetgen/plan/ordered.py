"""The sections of an order as a plan sees them: areas, rates on every basis, quantities."""

from __future__ import annotations

from sheetgen.amounts import magnitude, quantity
from sheetgen.order.model import Order, Section
from sheetgen.plan.guidance import guidance_for
from sheetgen.plan.inputs import Inputs
from sheetgen.plan.model import Ordered
from sheetgen.trade import (
    BASES,
    area_of,
    bar_rate,
    correction_kind,
    residual_rate,
    round_half_away,
    volume_factor,
)


def factor_at(order: Order, temperature: float) -> float:
    """The factor from volume at a temperature to volume at base temperature, rounded as the order says.

    Raises:
        QuantityError: the material has no correction chart, or it does not cover the temperature
    """
    material, rounding = order.material, order.rounding
    emulsion = material.material_class == "emulsion"
    kind = correction_kind(material.specific_gravity, emulsion=emulsion)
    decimals = rounding.factor_emulsion if emulsion else rounding.factor_asphalt
    degrees = quantity(temperature, "temperature", order.units)
    return float(volume_factor(degrees, kind, BASES[order.units], decimals))


def ordered_sections(order: Order, inputs: Inputs, planned_factor: float) -> tuple[Ordered, ...]:
    """Every section of the order, in its order."""
    return tuple(_ordered(order, section, inputs, planned_factor) for section in order.sections)


def _ordered(order: Order, section: Section, inputs: Inputs, factor: float) -> Ordered:
    material, rounding, system = order.material, order.rounding, order.units
    length = abs(section.to_station - section.from_station)
    lanes = len(section.lanes)
    one = area_of(quantity(length, "distance", system), quantity(section.width, "width", system))
    area = float(round_half_away(magnitude(one, "area", system) * lanes, rounding.area))
    at_base = factor if section.rate_temperature == "spraying" else 1.0
    parts = {"residual": material.residue, "undiluted": 1.0}
    ordered = quantity(section.rate * at_base, "rate", system)
    mix = ordered
    if section.basis in parts:
        mix = bar_rate(ordered, parts[section.basis], material.dilution)
    mix_base = float(magnitude(mix, "rate", system))
    extra = inputs.prime_extra_width if section.work == "prime" else 0.0
    percent = section.tolerance_kind == "percent"
    undiluted, residual = (
        float(magnitude(residual_rate(mix, residue, material.dilution), "rate", system))
        for residue in (1.0, material.residue)
    )
    return Ordered(
        id=section.id,
        road=section.road,
        work=section.work,
        surface=section.surface,
        basis=section.basis,
        lanes=section.lanes,
        from_station=section.from_station,
        to_station=section.to_station,
        length=length,
        width=section.width,
        covered_width=section.width + 2 * extra,
        area=area,
        mix_base=mix_base,
        mix_hot=mix_base / factor,
        undiluted=undiluted,
        residual=residual,
        allowed=float(round_half_away(section.tolerance if percent else section.tolerance / section.rate, 6)),
        quantity=float(round_half_away(area * mix_base, rounding.volume)),
        hand=section.hand_spray,
        guidance=guidance_for(order, section, section.rate * at_base),
    )
