"""Honest days: what a crew of a simulated distributor wrote. Physics and readings of its own, nothing of the product's.

A tank is a horizontal cylinder, level but for what a road leaves; its volume is the area of a segment of an ellipse
times its length. Volumes at base temperature: ASTM D4311 section 4 as reproduced in public (columns A and B, seen in
part), and 0.00025 per °F for emulsions (from memory). What a reading is off by is drawn from rectangular distributions
of the half-widths that plans state as defaults.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from math import acos, sqrt
from random import Random

from tests.simulated.jobs import Job

Value = float | str
Log = dict[tuple[str, int, str], Value]
_SPREAD = 0.02  # of the rate from shot to shot
_FIRST_DAY = dt.date(2026, 6, 1)
_EPOCH = dt.date(1899, 12, 30)


def honest(job: Job, seed: int) -> Log:
    """The logs of one honest book as sharp values: numbers, times as parts of a day, stations as numbers."""
    return _Crew(job, Random(f"days {seed}")).work()


class Tank:
    """A horizontal tank of elliptical or round section, in inches and gallons or millimeters and liters."""

    def __init__(self, job: Job) -> None:
        tank = job.order.machines[0].tank
        self.up = (tank.height or 0.0) / 2
        self.across = (tank.width or tank.height or 0.0) / 2
        self.long = (tank.length or 0.0) / (231.0 if job.order.units == "us" else 1e6)

    def volume(self, depth: float) -> float:
        """Of what stands to a depth."""
        below = 1 - min(max(depth, 0.0), 2 * self.up) / self.up
        return self.up * self.across * self.long * (acos(below) - below * sqrt(max(0.0, 1 - below * below)))

    def depth(self, volume: float) -> float:
        """To which a volume stands, by halving."""
        low, high = 0.0, 2 * self.up
        for _ in range(50):
            middle = (low + high) / 2
            low, high = (middle, high) if self.volume(middle) < volume else (low, middle)
        return low


def factor(job: Job, temperature: float) -> float:
    """Volume at base temperature of one volume at a temperature."""
    material, us = job.order.material, job.order.units == "us"
    if material.material_class == "emulsion":
        return 1 - 0.00025 * (temperature - 60) if us else 1 - 0.00045 * (temperature - 15)
    heavy = material.specific_gravity >= 0.967
    one, by, square = {
        (True, True): (1.0211, 3.5490e-4, 4.4988e-8), (True, False): (1.0241406, 4.064175e-4, 6.789755e-8),
        (False, True): (1.0095, 6.3341e-4, 1.4571e-7), (False, False): (1.0108, 7.2344e-4, 2.199e-7),
    }[us, heavy]  # fmt: skip
    return one - by * temperature + square * temperature**2


def sprayed_rate(job: Job, section: object) -> float:
    """The rate at the bar that gives what a section's rate asks for, at base temperature."""
    material = job.order.material
    basis, rate = section.basis, section.rate  # type: ignore[attr-defined]
    parts = {
        "as-diluted": 1.0,
        "undiluted": material.dilution,
        "residual": material.dilution * material.residue,
    }
    return float(rate / parts[basis])


class _Crew:
    def __init__(self, job: Job, chance: Random) -> None:
        self.job, self.order, self.chance = job, job.order, chance
        self.machine, self.us = job.order.machines[0], job.order.units == "us"
        self.tank, self.log = Tank(job), Log()
        self.base = 0.0  # volume on board, at base temperature
        self.warm = job.order.material.spray_planned
        self.minute, self.counter = 0.0, 1000.0 * chance.randint(8, 40)
        self.rows = {"shots": 0, "loads": 0, "days": 0}
        self.date = float((_FIRST_DAY - _EPOCH).days + chance.randint(0, 20))
        self.ticket, self.left_on_ticket = chance.randint(20_000, 60_000), 0.0
        self.on_ticket = 0.0  # in all
        self.drift = chance.uniform(-0.004, 0.004)  # of the meter
        self.taken = 0  # the load that is being sprayed

    # what is read

    def hot(self) -> float:
        return self.base / factor(self.job, self.warm)

    def stick(self) -> float:
        """One reading of the stick: the tank's slope, the wet line, the mark."""
        level, wet = (0.12, 0.125) if self.us else (3.0, 3.0)
        off = self.chance.uniform(-level, level) + self.chance.uniform(-wet, wet)
        step = self.order.reading.dip
        return round(max(0.0, self.tank.depth(self.hot()) + off) / step) * step

    def thermometer(self) -> float:
        step = self.order.reading.temperature
        return round((self.warm + self.chance.uniform(-step / 2, step / 2)) / step) * step

    def write(self, table: str, **entries: Value) -> None:
        for column, value in entries.items():
            self.log[table, self.rows[table], column] = value

    def clock(self) -> float:
        """The time of day to the minute."""
        return round(self.minute) / 1440

    def pass_time(self, minutes: float) -> None:
        self.minute += minutes
        air = 70.0 if self.us else 20.0
        self.warm -= self.job.cools * minutes / 60 * (1 if self.warm > air else 0)

    # what is done

    def work(self) -> Log:
        stretches = list(self.stretches())
        while stretches:
            self.begin_day()
            stretches = self.spray_day(stretches)
            self.end_day(bool(stretches))
        return self.log

    def stretches(self) -> Iterator[tuple[object, str, float, float]]:
        for section in self.order.sections:
            for index, lane in enumerate(section.lanes):
                ends = section.from_station, section.to_station
                yield (section, lane, *(ends if index % 2 == 0 else ends[::-1]))

    def begin_day(self) -> None:
        self.minute = self.job.begins * 60 + self.chance.uniform(0, 20)
        cold, warm = (52, 78) if self.us else (11, 26)
        air = self.chance.randint(cold, warm)
        self.write("days", date=self.date, operator="A. Invented", air_temperature=float(air),
                   surface_temperature=float(air + self.chance.randint(2, 15)), start_dip=self.stick(),
                   start_temperature=self.thermometer())  # fmt: skip
        if self.base > 1.5 * self.machine.reserve:
            self.heat()

    def heat(self) -> None:
        """The burners on until the planned temperature; slow."""
        rise = max(0.0, self.order.material.spray_planned - self.warm)
        self.pass_time(15 + rise / (0.35 if self.us else 0.2))
        self.warm += rise

    def fill(self) -> None:
        """One load: emptied into the distributor, with its water, and written from the ticket."""
        limit = self.machine.fill_limit - self.chance.uniform(0.03, 0.08)
        whole = self.tank.volume(2 * self.tank.up) * limit
        arrives = self.order.material.spray_planned + self.chance.uniform(-6, 4) * (1 if self.us else 0.5)
        mix = max(0.0, whole - self.hot()) * factor(self.job, arrives)
        part = self.order.material.dilution * self.chance.uniform(0.995, 1.005)
        emulsion = mix * min(part, 1.0)
        entries = self.ticket_entries(emulsion, arrives)
        emulsion = entries.pop("base")
        water = float(round(emulsion / part - emulsion)) if self.order.material.dilution < 1 else 0.0
        if water:
            entries["water"] = water
        self.pass_time(self.chance.uniform(15, 40))
        if self.job.stick_at_loads:
            entries["stick_before"] = self.stick()
        self.write("loads", date=self.date, time=self.clock(), grade=self.order.material.grade, **entries)
        mixed = self.base + emulsion + water
        cool = 65.0 if self.us else 18.0
        self.warm = (self.base * self.warm + emulsion * arrives + water * cool) / mixed
        self.base = mixed
        if self.job.stick_at_loads:
            self.write("loads", stick_after=self.stick())
        self.rows["loads"] += 1
        self.taken = self.rows["loads"]
        self.pass_time(self.chance.uniform(8, 20))
        if self.warm < self.order.material.spray_min + (10 if self.us else 5):
            self.heat()

    def ticket_entries(self, emulsion: float, arrives: float) -> dict[str, Value]:
        """Ticket number and quantity; "base" is what truly came."""
        if not self.job.transport or self.left_on_ticket <= (emulsion if self.job.parts else 0):
            self.ticket += self.chance.randint(1, 9)
            self.on_ticket = self.left_on_ticket = (5200 if self.us else 20_000) * self.chance.uniform(
                0.9, 1.1
            )
        self.left_on_ticket -= emulsion
        entries: dict[str, Value] = {"ticket": f"A-{self.ticket}"}
        step = self.order.reading.temperature
        if self.job.by_volume or self.job.transport:
            warm = round(arrives / step) * step
            volume = round(emulsion / factor(self.job, arrives))
            if self.job.parts:
                total = round(self.on_ticket / factor(self.job, warm))
                entries |= {"kind": "part", "volume": float(total), "taken": float(volume)}
                return entries | {"temperature": float(warm), "base": volume * factor(self.job, arrives)}
            return entries | {"volume": float(volume), "temperature": float(warm),
                              "base": volume * factor(self.job, arrives)}  # fmt: skip
        dense = self.order.material.specific_gravity * (8.328 if self.us else 0.999)
        scale = 20.0
        mass = round(emulsion * dense / scale) * scale
        return entries | {
            "net_mass": mass,
            "temperature": float(round(arrives / step) * step),
            "base": mass / dense,
        }

    def spray_day(
        self, stretches: list[tuple[object, str, float, float]]
    ) -> list[tuple[object, str, float, float]]:
        last = self.minute + 60 * self.chance.uniform(3.5, 6.5)
        last = min(last, 23.2 * 60)
        while stretches and self.minute < last and self.rows["shots"] < 58 and self.rows["loads"] < 28:
            section, lane, begins, ends = stretches[0]
            reached = self.shot(section, lane, begins, ends)
            stretches = stretches[1:] if reached == ends else [(section, lane, reached, ends), *stretches[1:]]
        return stretches

    def shot(self, section: object, lane: str, begins: float, ends: float) -> float:
        """Spray from a station as far as the tank, the plan and the lane allow; the station reached."""
        width = section.width  # type: ignore[attr-defined]
        rate = sprayed_rate(self.job, section)
        per_length = rate * width / (9.0 if self.us else 1.0)
        spare = self.base - 1.6 * self.machine.reserve
        grid = 50.0 if self.us else 10.0
        reach = spare / per_length // grid * grid
        least = (
            (400 if self.us else 150) if rate * (1 if self.us else 0.22) < 0.2 else (250 if self.us else 80)
        )
        if reach < min(least, abs(ends - begins)):
            self.fill()
            return self.shot(section, lane, begins, ends)
        wanted = self.chance.choice((600, 900, 1300)) if self.us else self.chance.choice((200, 300, 450))
        length = min(abs(ends - begins), reach, wanted)
        if abs(ends - begins) - length < least / 2:
            length = min(abs(ends - begins), reach)
        self.pass_time(self.chance.uniform(4, 14))
        to = begins + length if ends > begins else begins - length
        self.lay(section, lane, begins, to, per_length * length)
        return to

    def lay(self, section: object, lane: str, begins: float, to: float, due: float) -> None:
        width = section.width  # type: ignore[attr-defined]
        base = due * self.chance.gauss(1, _SPREAD)
        hot = base / factor(self.job, self.warm)
        nozzles = round(width * 12 / 6) if self.us else round(width * 1000 / 150)
        length = abs(to - begins)
        flow = self.flow(hot / length, nozzles)
        before, meter, temperature, start = self.stick(), self.counter, self.thermometer(), self.clock()
        self.base -= base
        self.counter += hot * (1 + self.drift)
        self.pass_time(hot / flow)
        self.write(
            "shots", date=self.date, start=start, end=self.clock(), section=section.id, lane=lane,  # type: ignore[attr-defined]
            from_station=begins, to_station=to, width=width, nozzles=float(nozzles), load=float(max(1, self.taken)),
            dip_before=before, dip_after=self.stick(), meter_before=self.metered(meter),
            meter_after=self.metered(self.counter), temperature=temperature,
        )  # fmt: skip
        self.rows["shots"] += 1

    def metered(self, counter: float) -> float:
        step = self.order.reading.meter
        return round(counter / step) * step

    def flow(self, hot_per_length: float, nozzles: int) -> float:
        """The discharge of the pump: its calibrated one, or what nozzles and truck allow nearest to it."""
        machine = self.machine
        low = max(
            machine.discharge_min, machine.nozzle_flow_min * nozzles, machine.speed_min * hot_per_length
        )
        high = min(
            machine.discharge_max, machine.nozzle_flow_max * nozzles, machine.speed_max * hot_per_length
        )
        return max(low, min(machine.discharge, high))

    def end_day(self, more: bool) -> None:
        if more and self.job.evening_fill and self.chance.random() < 0.5 and self.rows["loads"] < 28:
            self.fill()
        self.pass_time(self.chance.uniform(5, 25))
        returned = 0.0
        if self.job.empties and self.base > 2 * self.machine.reserve:
            returned = round(self.base - 1.2 * self.machine.reserve)
            self.base -= returned
        if returned:
            self.write("days", returned=float(returned))
        self.write("days", end_dip=self.stick(), end_temperature=self.thermometer())
        self.rows["days"] += 1
        night = 11 if self.us else 6
        self.warm = max(70.0 if self.us else 20.0, self.warm - night * self.job.cools / 2)
        self.date += 1 if (self.date + 1) % 7 != 1 else 2
