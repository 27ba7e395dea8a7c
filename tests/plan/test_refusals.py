"""An order is refused where nothing can carry it out, and only there: every bar width, number of passes, count of
nozzles and speed tried one after the other, against what the plan says.

S = k·Q/(W·R), k = 9 ft²/yd² or 1 (DOT study guide HMA-8-1, seen); the rest is geometry. That at most six passes lie
side by side, and that a joint of more than 6 in is sprayed only up to half a pass, is common practice, no source.
"""

from __future__ import annotations

from math import ceil
from random import Random

import pytest

from sheetgen.errors import OrderError
from sheetgen.order.model import Order
from sheetgen.plan import plan
from sheetgen.plan.workable import workable_plan
from tests.closed_loop import order_of_number

ORDERS = 300
_AREA = {"us": 9.0, "si": 1.0}
_SPACINGS = {"us": 12.0, "si": 1000.0}  # of nozzles, in one unit of width
_JOINT = {"us": 0.5, "si": 0.15}
_PASSES = 6
_STEP = {"us": 50.0, "si": 20.0}
_DUST = 1e-6


def _tight_order(number: int) -> Order:
    """An order of a number whose machines have narrow windows, so that many cannot do what is asked."""
    chance, order = Random(f"refused {number}"), order_of_number(number)
    machines = [_tight(chance, each, order.units) for each in order.machines]
    data = order.model_dump() | {"machines": machines}
    data["planning"]["shot_step"] = _STEP[order.units]
    return Order.model_validate(data)


def _tight(chance, machine, units):
    most, slow = machine.discharge_max, machine.speed_min
    least = round(most * chance.choice((0.1, 0.4, 0.8)), 3)
    spacings = _SPACINGS[units] / machine.nozzle_spacing
    whole = round(machine.bar_widths[0] * spacings)  # a bar is a whole number of spacings
    widths = [int(whole * part) / spacings for part in chance.choice(((1,), (0.5, 1), (0.75,)))]
    return machine.model_dump() | {
        "bar_widths": widths, "discharge_min": least, "discharge": round((least + most) / 2, 3),
        "speed_min": slow * chance.choice((1, 2)), "speed_max": slow * chance.choice((2.5, 4, 8)),
    }  # fmt: skip


def _can_spray(order, machine, usable, width, rate, length):
    """Whether any bar width, number of passes and nozzles sprays a lane at all."""
    spacings = _SPACINGS[order.units] / machine.nozzle_spacing
    pitch = 1 / spacings
    fed = {nozzles for nozzles in range(1, round(max(machine.bar_widths) * spacings) + 1)
           if _feeds(order, machine, usable, nozzles, pitch, rate, length)}  # fmt: skip
    return any(
        set(opened) <= fed and _lies_well(order, opened, pitch, width)
        for bar in machine.bar_widths
        for opened in _ways(round(bar * spacings))
    )


def _ways(bar):
    """Every number of passes and of nozzles, divided among the passes as evenly as can be."""
    for passes in range(1, _PASSES + 1):
        for total in range(passes, passes * bar + 1):
            yield [(total + each) // passes for each in range(passes)]


def _lies_well(order, opened, pitch, width):
    """Whether passes cover a lane, and lie twice only where they must or may."""
    total, passes = sum(opened), len(opened)
    fewest = ceil(round(width / pitch, 6))
    if total < fewest or passes == 1:
        return total == fewest
    joint = (total * pitch - width) / (passes - 1)
    asked = (order.planning.overlap or 0.0) / _SPACINGS[order.units]
    most = max(asked, _JOINT[order.units], min(opened) * pitch / 2)
    return total == fewest or joint <= most + _DUST


def _feeds(order, machine, usable, nozzles, pitch, rate, length):
    """Whether some speed keeps truck, pump and nozzles within their limits, and a tank reaches one step."""
    area = nozzles * pitch / _AREA[order.units]
    if area * rate * length > usable * (1 + _DUST):
        return False
    flows = (machine.discharge_min, machine.discharge_max, nozzles * machine.nozzle_flow_min,
             nozzles * machine.nozzle_flow_max)  # fmt: skip
    # A window that is not empty holds one of its own ends.
    speeds = [machine.speed_min, machine.speed_max, *(flow / (area * rate) for flow in flows)]
    return any(_keeps(machine, nozzles, speed, speed * area * rate) for speed in speeds)


def _keeps(machine, nozzles, speed, flow):
    return (
        _within(machine.speed_min, speed, machine.speed_max)
        and _within(machine.discharge_min, flow, machine.discharge_max)
        and _within(machine.nozzle_flow_min, flow / nozzles, machine.nozzle_flow_max)
    )


def _within(low, value, high):
    return low * (1 - _DUST) <= value <= high * (1 + _DUST)


def _tried(order):
    """By machine and section: what the trial says, and what the plan does."""
    made = plan(order)
    for machine, planned in zip(order.machines, made.machines, strict=True):
        tried = [
            _can_spray(order, machine, planned.usable, ordered.covered_width, ordered.mix_hot,
                       min(_STEP[order.units], ordered.length))
            for ordered in made.sections
        ]  # fmt: skip
        yield tried, [section.verdict != "none" for section in planned.sections]


def _refused(order):
    try:
        workable_plan(order)
    except OrderError:
        return True
    return False


@pytest.mark.parametrize("first", range(0, ORDERS, 50))
def test_the_plan_sprays_what_anything_can_spray_and_nothing_else(first):
    for number in range(first, first + 50):
        order = _tight_order(number)
        machines = list(_tried(order))
        for tried, planned in machines:
            assert planned == tried, number
        assert _refused(order) == any(not any(tried) for tried, _ in machines), number


def test_the_orders_drawn_are_some_refused_and_some_not():
    refused = sum(_refused(_tight_order(number)) for number in range(ORDERS))
    assert ORDERS / 10 < refused < ORDERS * 9 / 10
