"""The sections of an order as a plan sees them: areas, rates on every basis, quantities."""

from __future__ import annotations

from sheetgen.order.model import Order, Section
from sheetgen.plan.guidance import guidance_for
from sheetgen.plan.inputs import Inputs, covered_width
from sheetgen.plan.model import Ordered
from sheetgen.trade.basis import mix_rate, residual_rate
from sheetgen.trade.correction import correction_kind, volume_factor
from sheetgen.trade.rates import area_of
from sheetgen.trade.rounding import round_half_away, without_dust
from sheetgen.trade.tolerance import allowed_deviation


def factor_at(order: Order, temperature: float) -> float:
    """The factor from volume at a temperature to volume at base temperature, rounded as the order says.

    Raises:
        QuantityError: the material has no correction chart, or it does not cover the temperature
    """
    material, rounding = order.material, order.rounding
    emulsion = material.material_class == "emulsion"
    kind = correction_kind(material.specific_gravity, emulsion=emulsion)
    decimals = rounding.factor_emulsion if emulsion else rounding.factor_asphalt
    return volume_factor(temperature, kind, order.units, decimals)


def ordered_sections(order: Order, inputs: Inputs, planned_factor: float) -> tuple[Ordered, ...]:
    """Every section of the order, in its order."""
    return tuple(_ordered(order, section, inputs, planned_factor) for section in order.sections)


def _ordered(order: Order, section: Section, inputs: Inputs, factor: float) -> Ordered:
    material, rounding, system = order.material, order.rounding, order.units
    length = without_dust(abs(section.to_station - section.from_station))
    lanes = len(section.lanes)
    area = round_half_away(area_of(length, section.width, system) * lanes, rounding.area)
    at_base = factor if section.rate_temperature == "spraying" else 1.0
    mix_base = mix_rate(section.rate * at_base, section.basis, material.residue, material.dilution)
    undiluted, residual = (
        residual_rate(mix_base, residue, material.dilution) for residue in (1.0, material.residue)
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
        covered_width=covered_width(section, inputs),
        area=area,
        mix_base=mix_base,
        mix_hot=mix_base / factor,
        undiluted=undiluted,
        residual=residual,
        allowed=allowed_deviation(section.tolerance, section.rate, section.tolerance_kind == "absolute"),
        quantity=round_half_away(area * mix_base, rounding.volume),
        hand=section.hand_spray,
        outside_more=section.outside_more,
        guidance=guidance_for(order, section, section.rate * at_base),
    )
