"""The configurations that are compared: distributors of the orders, and common sizes where they are asked for."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import product
from typing import NamedTuple

from sheetgen.compare.common_sizes import common_machine, common_sizes
from sheetgen.order.model import Machine, Order
from sheetgen.plan.figures import Figures


class Configuration(NamedTuple):
    """One distributor to be compared.

    Attributes:
        name: as ordered, with the job where several orders give one name to different distributors, and with a number
            where these have one job's number
        machine: its data, in the units of the comparison
    """

    name: str
    machine: Machine


def ordered_configurations(
    orders: Sequence[Order], yard: Sequence[Machine] = (), yard_name: str = ""
) -> list[Configuration]:
    """Every distributor of the yard and of the orders, each once: one that is described alike in several is the same.

    Args:
        orders: the jobs of the comparison
        yard: distributors of the office, whether an order names them or not
        yard_name: what stands behind the name of one that an order describes otherwise
    """
    found = [(machine, yard_name) for machine in yard]
    for order in orders:
        for machine in order.machines:
            if all(machine != other for other, _job in found):
                found.append((machine, order.job.number))
    names = [machine.name for machine, _job in found]
    told = [
        machine.name if names.count(machine.name) == 1 else f"{machine.name} ({job})"
        for machine, job in found
    ]
    return [
        Configuration(name if told.count(name) == 1 else f"{name} {number}", machine)
        for number, (name, (machine, _job)) in enumerate(zip(told, found, strict=True), start=1)
    ]


def common_configurations(system: str, language: str) -> Iterator[Configuration]:
    """Every combination of the common sizes of ``tables/small_machines.csv``, in the units of a comparison."""
    figures, parts = Figures(system, language), ("tank", "bar", "spacing", "pump")
    for tank, bar, spacing, pump in product(*map(common_sizes, parts)):
        machine = common_machine("-", tank, bar, spacing, pump, system)
        shown = (
            figures.full(machine.tank.points[-1].volume, "volume", 0),
            figures.full(machine.bar_widths[0], "width"),
            figures.full(machine.nozzle_spacing, "spacing", 0),
            figures.full(machine.discharge, "flow", 0),
        )
        name = ", ".join(shown)
        yield Configuration(name, machine.model_copy(update={"name": name}))
