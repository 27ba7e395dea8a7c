"""How the truck and its pump are set for an ordered rate."""

from __future__ import annotations

from dataclasses import dataclass

from sheetgen.demo.stretches import Stretch
from sheetgen.demo.truck import Truck
from sheetgen.order.model import Section
from sheetgen.units import constants


@dataclass(frozen=True, slots=True)
class Running:
    """Discharge at the bar and speed of the truck, in the order's units."""

    discharge: float
    speed: float


def hot_rate(section: Section, truck: Truck) -> float:
    """Rate of hot mix at the bar that gives the ordered rate at the truck's temperature."""
    material = truck.order.material
    mix = section.rate
    if section.basis == "residual":
        mix /= material.residue * material.dilution
    elif section.basis == "undiluted":
        mix /= material.dilution
    return mix if section.rate_temperature == "spraying" else mix / truck.factor


def running(stretch: Stretch, truck: Truck) -> Running:
    """The calibrated discharge, or the nearest that keeps nozzles and truck within their ranges."""
    machine = truck.machine
    divisor = constants(truck.order.units)["area_divisor"]
    per_length = hot_rate(stretch.section, truck) * stretch.width / divisor
    nozzles = stretch.nozzles or 1
    least = max(machine.discharge_min, machine.nozzle_flow_min * nozzles, machine.speed_min * per_length)
    most = min(machine.discharge_max, machine.nozzle_flow_max * nozzles, machine.speed_max * per_length)
    discharge = max(least, min(machine.discharge, most * 0.98))
    return Running(discharge, discharge / per_length)
