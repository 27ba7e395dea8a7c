"""Orders for the tests of planning: one machine and one section that a published example describes, and random ones."""

from __future__ import annotations

import datetime as dt
from typing import Any

from hypothesis import strategies as st

from sheetgen.order.model import Order
from tests.strategies import numbers, orders


def flat_tank(gallons: float, depth: float = 60.0) -> dict[str, Any]:
    """A tank by its certificate: straight sides, so many gallons at a depth."""
    points = [{"depth": 0, "volume": 0}, {"depth": depth, "volume": gallons}]
    return {"shape": "calibrated", "points": points}


def order_of(
    section: dict[str, Any] | None = None,
    machine: dict[str, Any] | None = None,
    material: dict[str, Any] | None = None,
    **more: Any,
) -> Order:
    """An inch-pound order of one section and one machine, as wide in its limits as possible unless said otherwise.

    The material is an asphalt whose factor at its planned temperature is 1, so that hot gallons are base gallons.
    """
    data: dict[str, Any] = {
        "job": {"number": "T", "name": "Test", "date": dt.date(2026, 1, 1), "invented": True},
        "material": {
            "grade": "PG 64-22", "material_class": "asphalt", "specific_gravity": 1.02, "residue": 1.0,
            "spray_min": 40, "spray_max": 400, "spray_source": "test", "spray_planned": 60,
        } | (material or {}),
        "sections": [{
            "id": "S1", "road": "Road", "lanes": ["L1"], "from_station": 0, "to_station": 1000, "width": 12,
            "rate": 0.3, "basis": "as-diluted", "tolerance": 0.1,
        } | (section or {})],
        "machines": [{
            "name": "M", "tank": flat_tank(1000), "bar_widths": [12], "nozzle_spacing": 4, "discharge": 150,
            "discharge_min": 1, "discharge_max": 1000, "nozzle_flow_min": 0.01, "nozzle_flow_max": 100,
            "speed_min": 1, "speed_max": 5000, "burners": True, "flue_top": 0, "cover_over_flues": 6,
            "reserve": 0, "fill_limit": 1.0,
        } | (machine or {})],
        "reading": {"dip": 0.0625, "temperature": 2, "meter": 1, "station": 1, "width": 0.1},
    }  # fmt: skip
    return Order.model_validate(data | more)


@st.composite
def plannings(draw: st.DrawFn, order: Order) -> dict[str, Any]:
    """Inputs of a plan, each given or left to its default."""
    us = order.units == "us"
    material = order.material
    top = material.spray_max

    def maybe(strategy: st.SearchStrategy[Any]) -> Any:
        return draw(st.none() | strategy)

    return {
        "start_hour": maybe(numbers(0, 23, 1)),
        "shift_hours": maybe(numbers(0.5, 24, 1)),
        "haul_time": maybe(numbers(0, 120)),
        "load_time": maybe(numbers(0, 60)),
        "position_time": maybe(numbers(0, 20)),
        "dip_time": maybe(numbers(0, 10)),
        "hand_rate": maybe(numbers(1, 30)),
        "allowance": maybe(numbers(0, 0.2, 2)),
        "prime_extra_width": maybe(numbers(0, 2, 1)),
        "overlap": maybe(numbers(0, 4) if us else numbers(0, 100)),
        "shot_step": maybe(st.sampled_from([1, 10, 25, 50, 100, 500])),
        "fan_angle": maybe(numbers(30, 120)),
        "nozzle_angle": maybe(numbers(0, 45)),
        "arrival_temperature": maybe(st.integers(60 if us else 15, int(top))),
        "aggregate_truck": maybe(numbers(1, 20)),
        "aggregate_cover": maybe(numbers(20, 200)),
    }


@st.composite
def planned_orders(draw: st.DrawFn, **kinds: Any) -> Order:
    """Believable orders with believable inputs of a plan."""
    order = draw(orders(most_machines=2, **kinds))
    planning = draw(plannings(order))
    return Order.model_validate({**order.model_dump(), "planning": planning})
