"""A chip seal: McLeod's design beside the ordered rates, its stone, and whether the spreader covers a shot in time.

A design says where to begin; a trial section decides.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import ceil, isfinite

from sheetgen.order.model import Order
from sheetgen.plan.inputs import Inputs
from sheetgen.plan.model import AggregateCover, Notice, Ordered, PlannedShot, Seal, SectionPlan
from sheetgen.plan.practice import cover_minutes
from sheetgen.trade.seal import mcleod_design, shot_in_time, wait_for_stone
from sheetgen.units import constants

_PLACES, _MINUTE = 6, 60.0
_SOURCE = "UFGS 02785 p. 17"


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


def aggregate_of(
    order: Order,
    inputs: Inputs,
    seal: Seal | None,
    sections: Sequence[Ordered],
    plans: Sequence[SectionPlan],
    shots: Sequence[PlannedShot],
) -> tuple[AggregateCover, ...]:
    """Aggregate and cover time of every chip seal section that one machine sprays."""
    return tuple(
        _cover_of(order, inputs, seal, section, plan, [shot for shot in shots if shot.section == plan.id])
        for section, plan in zip(sections, plans, strict=True)
        if section.work == "chip-seal" and plan.verdict in ("as-calibrated", "other-discharge", "hand")
    )


def _cover_of(
    order: Order,
    inputs: Inputs,
    seal: Seal | None,
    section: Ordered,
    plan: SectionPlan,
    shots: list[PlannedShot],
) -> AggregateCover:
    cover, truck = inputs.aggregate_cover, inputs.aggregate_truck
    volume = section.area / cover if cover else None
    limit = cover_minutes(order.material.material_class) * _MINUTE
    longest = max((shot.length for shot in shots), default=None)
    land = plan.sprayed[0].land if plan.sprayed else 0.0
    per_shot = _trucks(longest / land) if longest and land else None
    wait, within = _cover(inputs, plan, shots, limit)
    return AggregateCover(
        section=section.id,
        volume=volume,
        tons=seal and section.area * seal.aggregate / constants(order.units)["mass_per_ton"],
        trucks=_trucks(volume / truck) if volume and truck else None,
        per_shot=per_shot,
        longest=longest,
        wait=wait,
        limit=limit,
        within=within,
    )


def _trucks(loads: float) -> int:
    return ceil(round(loads, _PLACES))


def _cover(
    inputs: Inputs, plan: SectionPlan, shots: list[PlannedShot], limit: float
) -> tuple[float | None, float | None]:
    """The longest wait of a planned shot, and the longest shot that is covered in time by its fastest pass."""
    speeds = {one.number: one.speed for one in plan.sprayed if one.speed}
    if not inputs.spreader_speed or not speeds:
        return None, None
    land = plan.sprayed[0].land
    lag, change = inputs.spreader_lag / _MINUTE, inputs.truck_change / _MINUTE
    spreader = inputs.spreader_speed, lag, change
    waits = [
        _MINUTE * wait_for_stone(shot.length, speeds[shot.pass_number], *spreader, land)
        for shot in shots
        if shot.pass_number in speeds
    ]
    within = shot_in_time(limit / _MINUTE, max(speeds.values()), *spreader, land)
    return max(waits, default=None), within if isfinite(within) else None


def notices_of_aggregate(aggregate: Sequence[AggregateCover], inputs: Inputs) -> Iterator[Notice]:
    """Sections whose longest shot waits too long for the aggregate."""
    for one in aggregate:
        if one.wait is None or one.within is None or round(one.wait - one.limit, _PLACES) <= 0:
            continue
        values = (
            ("longest", one.longest or 0.0, "distance"),
            ("wait", one.wait, "duration"),
            ("limit", one.limit, "duration"),
            ("within", one.within, "distance"),
            ("lag", inputs.spreader_lag, "duration"),
        )
        yield Notice("cover-late" if one.within else "cover-lag", one.section, values, _SOURCE)
