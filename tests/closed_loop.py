"""Orders of small crews, drawn at random: tanks, bars, pumps, lanes and materials of every size. All of it invented."""

from __future__ import annotations

import datetime as dt
from random import Random
from typing import Any

from sheetgen.order.model import Order

_READING = {
    "us": {"dip": 0.125, "temperature": 2, "meter": 1, "station": 1, "width": 0.1},
    "si": {"dip": 2, "temperature": 1, "meter": 5, "station": 0.5, "width": 0.05},
}
_CLASSES = {
    "emulsion": ("CSS-1h", 1.01, 0.6, {"us": (70, 160, 140), "si": (20, 70, 60)}),
    "asphalt": ("PG 64-22", 1.02, 1.0, {"us": (275, 350, 320), "si": (135, 177, 160)}),
    "cutback": ("MC-70", 0.95, 0.65, {"us": (120, 225, 160), "si": (50, 107, 71)}),
}


def order_of_number(number: int) -> Order:
    """The order of a number: always the same one."""
    chance = Random(f"closed loop {number}")
    units = chance.choice(("us", "si"))
    kind = chance.choice(tuple(_CLASSES))
    grade, gravity, residue, ranges = _CLASSES[kind]
    low, high, planned = ranges[units]
    data: dict[str, Any] = {
        "units": units,
        "language": chance.choice(("en", "es")),
        "job": {"number": f"L{number}", "name": "Invented", "date": dt.date(2026, 6, 1), "invented": True},
        "material": {
            "grade": grade, "material_class": kind, "specific_gravity": gravity, "residue": residue,
            "spray_min": low, "spray_max": high, "spray_source": "test", "spray_planned": planned,
            "dilution": chance.choice((1.0, 0.5)) if kind == "emulsion" else 1.0,
        },
        "machines": [_machine(chance, units, f"Truck {each + 1}") for each in range(chance.choice((1, 1, 2)))],
        "sections": [_section(chance, units, each + 1) for each in range(chance.choice((1, 2, 3)))],
        "reading": _READING[units],
        "rounding": {"volume": 1, "chart": 1},
        "planning": {"overlap": chance.choice((None, 0, 2, 4, 6)) if units == "us" else None},
    }  # fmt: skip
    return Order.model_validate(data)


def _machine(chance: Random, units: str, name: str) -> dict[str, Any]:
    flow, long, speed = (1, 1, 1) if units == "us" else (3.785, 25.4, 0.3048)
    pump = chance.randint(20, 100)
    bar = chance.choice((6, 8, 10, 12, 14, 16))
    widths = [bar] if units == "us" else [round(bar * 0.3, 2)]
    return {
        "name": name, "tank": _tank(chance, units, long), "bar_widths": widths,
        "nozzle_spacing": chance.choice((6, 12) if units == "us" else (150, 300)),
        "discharge": round(0.7 * pump * flow, 1), "discharge_min": round(0.25 * pump * flow, 1),
        "discharge_max": round(pump * flow, 1), "nozzle_flow_min": round(0.8 * flow, 2),
        "nozzle_flow_max": round(chance.choice((4, 8)) * flow, 2), "speed_min": round(100 * speed, 1),
        "speed_max": round(1000 * speed, 1), "burners": False, "reserve": round(30 * flow), "meter": True,
    }  # fmt: skip


def _tank(chance: Random, units: str, long: float) -> dict[str, Any]:
    gallons = chance.randint(300, 2000)
    shape = chance.choice(("circular", "elliptical", "calibrated"))
    if shape == "calibrated":
        per_gallon = 1 if units == "us" else 3.785
        points = [{"depth": round(step * 6 * long, 1), "volume": round(gallons * per_gallon * step / 8, 1)}
                  for step in range(9)]  # fmt: skip
        return {"shape": shape, "points": points}
    height = chance.choice((36, 42, 48))
    width = height if shape == "circular" else round(1.4 * height)
    length = round(gallons * 231 * 4 / (3.14159 * height * width))
    tank = {"shape": shape, "height": round(height * long), "length": round(length * long)}
    return tank if shape == "circular" else tank | {"width": round(width * long)}


def _section(chance: Random, units: str, number: int) -> dict[str, Any]:
    us = units == "us"
    start = chance.randrange(0, 20_000, 50)
    length = chance.randrange(200, 3000, 50) if us else chance.randrange(60, 900, 20)
    width = chance.choice((4, 8, 10, 10.5, 11, 12, 20, 24, 26))
    return {
        "id": f"S{number}", "road": f"Road {number}", "lanes": chance.choice((["L1"], ["L1", "L2"])),
        "from_station": start + 30_000 * number, "to_station": start + 30_000 * number + length,
        "width": width if us else round(width * 0.3, 2), "work": chance.choice(("tack", "fog", "prime")),
        "rate": round(chance.uniform(0.05, 0.3) * (1 if us else 4.5), 3), "basis": "as-diluted",
        "tolerance": 0.1,
    }  # fmt: skip
