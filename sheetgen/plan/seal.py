"""A chip seal design by McLeod's method beside the ordered rates: where to begin; a trial section decides."""

from __future__ import annotations

from collections.abc import Sequence

from sheetgen.order.model import Order
from sheetgen.plan.model import Ordered, Seal
from sheetgen.trade.seal import mcleod_design


def seal_of(order: Order, sections: Sequence[Ordered]) -> Seal | None:
    """The design, or None where the order gives no inputs for it.

    Raises:
        QuantityError: inputs that no stone can have, such as a loose weight that leaves no voids
    """
    given = order.planning.seal_design
    if given is None:
        return None
    design = mcleod_design(
        given.median_size,
        given.flakiness,
        given.loose_weight,
        given.specific_gravity,
        given.traffic_factor,
        order.material.residue,
        surface_correction=given.surface_correction,
        absorption=given.absorption,
        waste_factor=given.waste_factor,
        system=order.units,
    )
    return Seal(
        least_dimension=design.least_dimension,
        voids=design.voids,
        aggregate=design.aggregate,
        binder=design.binder,
        ordered=tuple((section.id, section.undiluted) for section in sections if section.work == "chip-seal"),
    )
