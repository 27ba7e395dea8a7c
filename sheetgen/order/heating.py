"""How far a material may be heated: the order's maximum, the published ones of its grade, a cutback's flash point."""

from __future__ import annotations

from sheetgen.order.model import Order
from sheetgen.order.published import HeatLimit, flash_of, heat_limits_of
from sheetgen.units import constants


def emulsion_max(system: str) -> float:
    """The published temperature that no emulsion is heated above, in whole degrees of the system.

    Source: AEMA and PPRA storage pages: 185 °F (seen).
    """
    return constants(system)["emulsion_max"]


def heat_max(order: Order) -> float:
    """The temperature that the crew never heats above: the order's own, else the top of its spraying range.

    No emulsion is ever heated above the published maximum of all emulsions.
    """
    material = order.material
    most = material.spray_max if material.heat_max is None else material.heat_max
    return min(most, emulsion_max(order.units)) if material.material_class == "emulsion" else most


def published_maxima(order: Order) -> tuple[HeatLimit, ...]:
    """The published maxima of the order's grade, the lowest first."""
    material = order.material
    return heat_limits_of(material.grade, material.material_class, order.units, order.language)


def flash_point(order: Order) -> float | None:
    """The lowest flash point known of the order's material; None where none is, which is worse than a low one."""
    known = (order.material.flash_point, flash_of(order.material.grade, order.units))
    return min((each for each in known if each is not None), default=None)


def fill_temperature(order: Order) -> float:
    """The temperature that the tank is filled at: as delivered, or the planned one where the order does not say."""
    arrival = order.planning.arrival_temperature
    return order.material.spray_planned if arrival is None else arrival
