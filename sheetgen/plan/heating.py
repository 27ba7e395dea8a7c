"""Warming a full load from its delivery to the planned temperature, with room to expand and the flues covered.

Hot asphalt, burners and vapour hurt people: nothing here replaces the maker's manual, local rules or qualified people.
"""

from __future__ import annotations

from sheetgen.order.burners import burner_line, least_cover
from sheetgen.order.model import Machine, Order
from sheetgen.plan.inputs import Inputs
from sheetgen.plan.model import Heating
from sheetgen.plan.ordered import factor_at
from sheetgen.trade.chart import Chart
from sheetgen.trade.density import mass_of, mixed_gravity
from sheetgen.trade.heating import heat_for, heating_time
from sheetgen.trade.rounding import round_down

_PLACES = 9


def heating_of(
    order: Order, machine: Machine, inputs: Inputs, full: float, chart: Chart, factor: float
) -> Heating:
    """Heat and time for a full load.

    Args:
        order, machine, inputs: what is heated, and by which burners
        full: [volume] hot that the tank is filled to
        chart: of the tank
        factor: volume at base temperature per hot volume

    Raises:
        QuantityError: the temperature of delivery is outside the correction chart
    """
    material = order.material
    planned, arrival = material.spray_planned, inputs.arrival_temperature
    at_arrival = factor_at(order, arrival)
    heated = arrival < planned
    cold = round_down(round(full * factor / at_arrival, _PLACES), order.rounding.volume)
    base = cold * at_arrival
    gravity = mixed_gravity(material.specific_gravity, material.dilution)
    load = _Load(order, machine, base, gravity)
    spans = (inputs.specific_heat, inputs.specific_heat_low, inputs.specific_heat_high)
    rise = max(0.0, planned - arrival)
    heat, low, high = (load.heat(rise, each) for each in spans)
    step_heat = load.heat(inputs.heating_step, inputs.specific_heat)
    hours = load.hours(heat)
    line = burner_line(machine, order.units)
    slow = material.material_class == "emulsion" and machine.burners
    least = rise / inputs.emulsion_heating_rate if slow else 0.0
    return Heating(
        arrival=arrival,
        planned=planned,
        room=at_arrival / factor - 1 if heated else 0.0,
        cold=cold,
        base=base,
        mass=load.mass,
        gravity=gravity,
        specific_heat=inputs.specific_heat,
        specific_heat_low=inputs.specific_heat_low,
        specific_heat_high=inputs.specific_heat_high,
        heat=heat,
        heat_low=low,
        heat_high=high,
        hours=hours,
        hours_low=load.hours(low),
        hours_high=load.hours(high),
        hours_least=least,
        hours_planned=max(hours or 0.0, least),
        rise=rise / hours if hours else None,
        step=inputs.heating_step,
        step_heat=step_heat,
        step_hours=load.hours(step_heat),
        minutes_per_hot=60 * hours / (base / factor) if hours else 0.0,
        flue_top=None if line is None else machine.flue_top,
        cover_over_flues=None if line is None else machine.cover_over_flues or least_cover(order.units),
        burner_dip=line,
        burner_volume=None if line is None else chart.volume(min(line, chart.height)),
    )


class _Load:
    """A load of the mix at base temperature, and the burners under it."""

    def __init__(self, order: Order, machine: Machine, base: float, gravity: float) -> None:
        self._system, self._machine, self._gravity = order.units, machine, gravity
        self._volume = base
        self.mass = mass_of(base, gravity, order.units)

    def heat(self, rise: float, specific_heat: float) -> float:
        """[heat] net for a rise of temperature."""
        return heat_for(self._volume, self._gravity, 0.0, rise, specific_heat, self._system)

    def hours(self, heat: float) -> float | None:
        """[hours] of the burners for a net heat; None without burners."""
        if not self._machine.burner_power:
            return None
        machine = self._machine
        return heating_time(heat, machine.burner_power, machine.burner_efficiency, self._system)
