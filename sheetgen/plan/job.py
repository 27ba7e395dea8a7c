"""Planning a whole order: can each of its machines do the job, and how does the day go."""

from __future__ import annotations

from collections.abc import Collection, Sequence

from sheetgen.order.model import Machine, Order
from sheetgen.order.tank import chart_of
from sheetgen.plan.bar_card import bar_card
from sheetgen.plan.fit import Distributor
from sheetgen.plan.heating import heating_of
from sheetgen.plan.inputs import Inputs, inputs_of, stick_uncertainty
from sheetgen.plan.judging import Stick, counted, judge, standard
from sheetgen.plan.model import MachineLimits, MachinePlan, Ordered, Plan, PlannedShot, Run, SectionPlan
from sheetgen.plan.notices import cautions_for, notices_of_machine, notices_of_order
from sheetgen.plan.ordered import factor_at, ordered_sections
from sheetgen.plan.practice import replaced_of, waits_of
from sheetgen.plan.quantities_to_order import price_of, to_order
from sheetgen.plan.seal import aggregate_of, seal_of
from sheetgen.plan.sections import given_to_other, plan_section
from sheetgen.plan.shared_work import share_out
from sheetgen.plan.shots import cut_into_shots, runs_of
from sheetgen.plan.timeline import day_of, loads_of, timed
from sheetgen.trade.correction import correction_chart, correction_kind
from sheetgen.trade.density import mixed_gravity, volume_of
from sheetgen.trade.loads import loads_needed
from sheetgen.trade.rounding import round_down

_PLACES = 6  # of a volume before it is rounded down, so that the dust of an arithmetic takes nothing away
_FACTOR_SPAN = 10  # degrees to either side over which the slope of the factor is taken


def plan(order: Order) -> Plan:
    """The plan of an order with each of its machines.

    Raises:
        QuantityError: a temperature outside the material's correction chart; inputs of a seal design that no stone has
    """
    inputs = inputs_of(order)
    factor = factor_at(order, order.material.spray_planned)
    sections = ordered_sections(order, inputs, factor)
    seal, replaced = seal_of(order, sections), replaced_of(order, sections)
    machines = tuple(plan_machine(order, machine, inputs, sections, factor) for machine in order.machines)

    def alone(machine: Machine, own: Collection[str]) -> MachinePlan:
        return plan_machine(order, machine, inputs, sections, factor, own)

    return Plan(
        job=order.job.number,
        job_name=order.job.name,
        invented=order.job.invented,
        units=order.units,
        language=order.language,
        grade=order.material.grade,
        material_class=order.material.material_class,
        planned_factor=factor,
        inputs=inputs.listed,
        sections=sections,
        machines=machines,
        shared=share_out(order, machines, sections, inputs, factor, alone) if len(machines) > 1 else None,
        seal=seal,
        price=price_of(order, sections),
        replaced=replaced,
        waits=waits_of(order),
        cautions=cautions_for(order),
        notices=notices_of_order(order, sections, inputs, seal, replaced),
    )


def planned_sections(order: Order, machine: Machine) -> dict[str, SectionPlan]:
    """How one machine sprays each section, whoever it is given to, by the section's id, without loads and times.

    Raises:
        QuantityError: a temperature outside the material's correction chart
    """
    inputs = inputs_of(order)
    factor = factor_at(order, order.material.spray_planned)
    distributor = _distributor(order, machine, inputs, factor)
    return {
        section.id: plan_section(distributor, section, inputs)
        for section in ordered_sections(order, inputs, factor)
    }


def _distributor(order: Order, machine: Machine, inputs: Inputs, factor: float) -> Distributor:
    full = _full(order, machine, inputs, chart_of(machine, order).capacity, factor)
    return Distributor(machine, order.units, _usable(order, machine, full))


def _usable(order: Order, machine: Machine, full: float) -> float:
    return round_down(round(full - machine.reserve, _PLACES), order.rounding.volume)


def plan_machine(
    order: Order,
    machine: Machine,
    inputs: Inputs,
    sections: Sequence[Ordered],
    factor: float,
    own: Collection[str] | None = None,
) -> MachinePlan:
    """The plan with one machine, as if it did all of its ``own`` sections alone.

    ``own`` are ids; None for every section that is given to it or left to any.
    """
    if own is None:
        own = {section.id for section in order.sections_of(machine)}
    chart = chart_of(machine, order)
    capacity = chart.capacity
    full = _full(order, machine, inputs, capacity, factor)
    usable = _usable(order, machine, full)
    read = stick_uncertainty(order, machine)
    stick = Stick(chart.steepest, machine.meter, _temperature_part(order, factor), usable, read)
    distributor = Distributor(machine, order.units, usable)
    plans = [
        judge(order, stick, section, plan_section(distributor, section, inputs))
        if section.id in own
        else given_to_other(section)
        for section in sections
    ]
    heating = heating_of(order, machine, inputs, full, chart, factor)
    runs = runs_of(sections, plans)
    cuts = cut_into_shots(
        runs, usable, machine.reserve, inputs.shot_step, order.rounding.volume, inputs.most_shots
    )
    least = 60 * heating.hours_least
    shots = (
        None if cuts is None else timed(cuts, plans, inputs, machine.reserve, heating.minutes_per_hot, least)
    )
    final = tuple(counted(each, _of(shots, each)) for each in plans)
    loads = loads_of(shots or (), factor / factor_at(order, inputs.arrival_temperature))
    ordered = to_order(order, final, inputs, machine.reserve, factor)
    bar = bar_card(machine, inputs, order.units)
    aggregate = aggregate_of(order, inputs, seal_of(order, sections), sections, final, shots or ())
    return MachinePlan(
        name=machine.name,
        capacity=capacity,
        full=full,
        usable=usable,
        reserve=machine.reserve,
        discharge=machine.discharge,
        limits=_limits(machine),
        slope=stick.slope,
        sections=final,
        runs=runs,
        shots=shots or (),
        loads=loads,
        day=day_of(shots, sections, final, _loads(runs, usable, loads, shots)),
        to_order=ordered,
        heating=heating,
        bar=bar,
        aggregate=aggregate,
        notices=notices_of_machine(
            machine, inputs, sections, final, shots, heating, bar, ordered, usable,
            order, aggregate,
        ),
    )  # fmt: skip


def _limits(machine: Machine) -> MachineLimits:
    return MachineLimits(
        speed_least=machine.speed_min,
        speed_greatest=machine.speed_max,
        nozzle_least=machine.nozzle_flow_min,
        nozzle_greatest=machine.nozzle_flow_max,
        pump_least=machine.discharge_min,
        pump_greatest=machine.discharge_max,
    )


def _full(order: Order, machine: Machine, inputs: Inputs, capacity: float, factor: float) -> float:
    """[volume] hot that the tank is filled to: neither it nor a hotter delivery goes over the fill limit, nor over
    the weight that the truck may carry."""
    hotter = min(1.0, factor_at(order, inputs.arrival_temperature) / factor)
    full = capacity * machine.fill_limit * hotter
    if machine.payload is not None:
        gravity = mixed_gravity(order.material.specific_gravity, order.material.dilution)
        full = min(full, volume_of(machine.payload, gravity, order.units) / factor)
    return round_down(round(full, _PLACES), order.rounding.volume)


def _temperature_part(order: Order, factor: float) -> float:
    """Relative standard uncertainty of the factor by the thermometer's resolution."""
    material = order.material
    kind = correction_kind(material.specific_gravity, emulsion=material.material_class == "emulsion")
    chart = correction_chart(kind, order.units)
    below = max(material.spray_planned - _FACTOR_SPAN, chart.lowest)
    above = min(material.spray_planned + _FACTOR_SPAN, chart.highest)
    slope = (factor_at(order, above) - factor_at(order, below)) / (above - below)
    return abs(slope) * standard(order.reading.temperature) / factor


def _of(shots: Sequence[PlannedShot] | None, plan: SectionPlan) -> list[PlannedShot]:
    return [shot for shot in shots or () if shot.section == plan.id]


def _loads(runs: Sequence[Run], usable: float, loads: Sequence[object], shots: object) -> int:
    """Loads by the shots, or by volume alone where the shots are not listed."""
    if shots is not None or usable <= 0:
        return len(loads)
    return int(loads_needed(sum(run.volume for run in runs), usable))
