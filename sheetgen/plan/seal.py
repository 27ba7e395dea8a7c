"""A chip seal design by McLeod's method beside the ordered rates: where to begin; a trial section decides."""

from __future__ import annotations

from collections.abc import Sequence

from sheetgen.amounts import magnitude, quantity
from sheetgen.order.model import Order
from sheetgen.plan.model import Ordered, Seal
from sheetgen.trade import mcleod_design


def seal_of(order: Order, sections: Sequence[Ordered]) -> Seal | None:
    """The design, or None where the order gives no inputs for it.

    Raises:
        QuantityError: inputs that no stone can have, such as a loose weight that leaves no voids
    """
    given, system = order.planning.seal_design, order.units
    if given is None:
        return None
    design = mcleod_design(
        quantity(given.median_size, "stone", system),
        given.flakiness,
        quantity(given.loose_weight, "loose_weight", system),
        given.specific_gravity,
        given.traffic_factor,
        order.material.residue,
        surface_correction=quantity(given.surface_correction, "rate", system),
        absorption=quantity(given.absorption, "rate", system),
        waste_factor=given.waste_factor,
    )
    return Seal(
        least_dimension=float(magnitude(design.least_dimension, "stone", system)),
        voids=float(design.voids),
        aggregate=float(magnitude(design.aggregate, "aggregate_spread", system)),
        binder=float(magnitude(design.binder, "rate", system)),
        ordered=tuple((section.id, section.undiluted) for section in sections if section.work == "chip-seal"),
    )
