"""Orders of small crews, drawn at random: tanks, bars, pumps, lanes and materials of every size. All of it invented."""

from __future__ import annotations

import datetime as dt
from itertools import pairwise
from math import acos, sin
from random import Random
from typing import Any

from sheetgen.order.model import Order
from sheetgen.plan import plan
from sheetgen.plan.model import MachinePlan, PlannedShot
from sheetgen.templates import texts

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


def varied_order_of_number(number: int) -> Order:
    """The order of a number with more that orders have: hand spray, chip seals, several bar widths, joints asked for in
    metric, burners and deliveries that are heated, weight limits, rates on every basis."""
    chance, data = Random(f"varied {number}"), order_of_number(number).model_dump()
    us = data["units"] == "us"
    for machine in data["machines"]:
        _vary_machine(chance, machine, us)
    for section in data["sections"]:
        _vary_section(chance, section, data["material"], us)
    planning, material = data["planning"], data["material"]
    planning["overlap"] = chance.choice((None, 0, 2, 4, 6) if us else (None, 0, 50, 100, 150))
    planning["prime_extra_width"] = chance.choice((None, 0, 1 if us else 0.3))
    planning["arrival_temperature"] = chance.choice((None, material["spray_planned"] - (15 if us else 8)))
    if chance.random() < 0.5:
        planning["aggregate_truck"], planning["aggregate_cover"] = (12, 100) if us else (9, 90)
    return Order.model_validate(data)


def _vary_machine(chance: Random, machine: dict[str, Any], us: bool) -> None:
    bar, spacing = machine["bar_widths"][0], machine["nozzle_spacing"] * (1 / 12 if us else 0.001)
    longer = [round(bar + steps * spacing, 3) for steps in (4, 8)]
    machine["bar_widths"] = (bar, *longer[: chance.choice((0, 0, 1, 2))])
    machine["burners"] = chance.random() < 0.5
    if machine["burners"]:
        machine["flue_top"] = 4.0 if us else 100.0
        machine["burner_power"] = chance.choice((0, 500_000)) * (1 if us else 0.000293)
    if chance.random() < 0.3:
        machine["payload"] = chance.choice((4_000, 9_000)) * (1 if us else 0.4536)
    machine["meter"] = chance.random() < 0.7


def _vary_section(chance: Random, section: dict[str, Any], material: dict[str, Any], us: bool) -> None:
    section["work"] = chance.choice(("tack", "fog", "prime", "chip-seal"))
    if section["work"] == "chip-seal":
        section["rate"] = round(chance.uniform(0.2, 0.45) * (1 if us else 4.5), 3)
    section["basis"] = chance.choice(("as-diluted", "undiluted", "residual"))
    part = {
        "as-diluted": 1.0,
        "undiluted": material["dilution"],
        "residual": material["dilution"] * material["residue"],
    }
    section["rate"] = round(section["rate"] * part[section["basis"]], 4)
    section["rate_temperature"] = chance.choice(("base", "spraying"))
    section["hand_spray"] = chance.random() < 0.15
    if section["hand_spray"]:
        section["to_station"] = section["from_station"] + (50 if us else 20)
    elif chance.random() < 0.3:  # sprayed against the stations
        section["from_station"], section["to_station"] = section["to_station"], section["from_station"]


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


def log_of(order: Order, machine: MachinePlan, chance: Random) -> dict[tuple[str, int, str], Any]:
    """What a crew writes that follows a plan: shots as planned, read from its own tank, a little below the rate."""
    crew = _Crew(order, machine, chance)
    for shot in machine.shots:
        crew.spray(shot)
    return crew.log


class _Crew:
    """A crew with its tank; every figure of the log comes from its own arithmetic."""

    def __init__(self, order: Order, machine: MachinePlan, chance: Random) -> None:
        self.order, self.machine, self.chance = order, machine, chance
        self.tank = order.machine(machine.name).tank
        self.log: dict[tuple[str, int, str], Any] = {}
        self.held, self.metered, self.loads, self.days = 0.0, 1000.0, 0, 0
        self.temperature, self.steps = order.material.spray_planned, list[int]()
        self.passes = {(each.id, one.number): one for each in machine.sections for one in each.sprayed}

    def spray(self, shot: PlannedShot) -> None:
        if shot.day > self.days:
            self._begin_day(shot.day)
        if shot.refill:
            self._fill(shot)
        one = self.passes[shot.section, shot.pass_number]
        # The pump gives the same every minute: a truck a little too fast sprays for less time, and as much less.
        pace = self.chance.uniform(0.96, 1.0)
        volume, minutes = shot.volume * pace, shot.length * one.minutes_per_length * pace
        end = shot.end - 2
        row, held = shot.number - 1, self.held
        self.held -= volume
        date = self._date(shot.day)
        entries = {
            "date": date, "start": int(end - minutes) % 1440 / 1440, "end": int(end) % 1440 / 1440,
            "section": shot.section, "lane": shot.lane, "from_station": shot.from_station,
            "to_station": shot.to_station, "width": round(one.width, 3),
            "load": float(self.loads), "dip_before": self._dip(held), "dip_after": self._dip(self.held),
            "meter_before": round(self.metered), "meter_after": round(self.metered + volume),
            "temperature": self._thermometer(),
        }  # fmt: skip
        hand = {"kind": texts(self.order.language)["words.hand"]}
        entries |= {"nozzles": one.nozzles} if one.nozzles else hand
        if not self.order.machine(self.machine.name).meter:
            entries = {key: value for key, value in entries.items() if not key.startswith("meter")}
        self.metered += volume
        self.log |= {("shots", row, key): value for key, value in entries.items()}
        self.log["days", self.days - 1, "end_dip"] = self._dip(self.held)
        self.log["days", self.days - 1, "end_temperature"] = self.temperature

    def _thermometer(self) -> float:
        """The temperature within a step of the thermometer; not the same three times, for the mix cools."""
        steps = self.chance.choice((0, 0, 1, -1))
        if self.steps[-2:] == [steps, steps]:
            steps = 0 if steps else 1
        self.steps.append(steps)
        return self.temperature + steps * self.order.reading.temperature

    def _begin_day(self, day: int) -> None:
        self.days = day
        air = 70 if self.order.units == "us" else 21
        entries = {"date": self._date(day), "operator": "Crew", "air_temperature": air, "surface_temperature": air + 5,
                   "start_dip": self._dip(self.held), "start_temperature": self.temperature}  # fmt: skip
        self.log |= {("days", day - 1, key): value for key, value in entries.items()}

    def _fill(self, shot: PlannedShot) -> None:
        material = self.order.material
        hot, row = (
            max(shot.before - self.held, 5.0),
            self.loads,
        )  # what was saved of the load before may be enough
        self.loads, self.held = self.loads + 1, self.held + hot
        factor = plan(self.order).planned_factor
        entries = {"date": self._date(shot.day), "time": int(shot.begin) % 1440 / 1440, "ticket": f"T-{4711 + 7 * row}",
                   "supplier": "Plant", "grade": material.grade, "volume": round(hot * material.dilution, 1),
                   "temperature": self.temperature}  # fmt: skip
        if material.dilution < 1:
            entries["water"] = round(hot * factor * (1 - material.dilution), 1)
        self.log |= {("loads", row, key): value for key, value in entries.items()}

    def _date(self, day: int) -> float:
        return (self.order.job.date - dt.date(1899, 12, 30)).days + float(day)

    def _dip(self, volume: float) -> float:
        """The stick's reading of a volume, to its mark."""
        low, high = 0.0, self.tank.height or self.tank.points[-1].depth
        for _ in range(60):
            middle = (low + high) / 2
            low, high = (middle, high) if self._holds(middle) < volume else (low, middle)
        mark = self.order.reading.dip
        return round(low / mark) * mark

    def _holds(self, depth: float) -> float:
        """The volume below a depth: the segment of an ellipse, or the certificate's lines."""
        if self.tank.shape == "calibrated":
            for below, above in pairwise(self.tank.points):
                if depth <= above.depth:
                    part = (depth - below.depth) / (above.depth - below.depth)
                    return below.volume + part * (above.volume - below.volume)
            return self.tank.points[-1].volume
        height = self.tank.height
        width = height if self.tank.shape == "circular" else self.tank.width
        angle = 2 * acos(max(-1.0, min(1.0, 1 - 2 * depth / height)))
        per_volume = 231 if self.order.units == "us" else 1e6
        return height * width / 8 * (angle - sin(angle)) * self.tank.length / per_volume
