"""An honest day of spraying, invented: what a careful crew would have written in the logs."""

from __future__ import annotations

import datetime as dt
import math
import random
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from sheetgen import templates
from sheetgen.demo.loading import Loading
from sheetgen.demo.monitoring import Monitoring
from sheetgen.demo.stretches import Stretch, stretches
from sheetgen.demo.truck import Truck
from sheetgen.demo.writing import clock, dip_cell, station_cell, to_step
from sheetgen.figures import serial
from sheetgen.order.model import Machine, Order
from sheetgen.trade.rounding import round_half_away
from sheetgen.units import constants
from sheetgen.xlsx.model import Value

Log = dict[tuple[str, int, str], Value]

_SPREAD = 0.012  # of a steady distributor's rate from shot to shot; invented
_HAND_SPREAD = 0.04
_HAND_FLOW = 0.15  # of the bar's least discharge
_LAST_START = 16 * 60.0
_LEAST_PART = 0.08  # of a tankful that is worth a shot of its own


def honest_day(
    order: Order, machine: Machine, seed: int = 0, days: int = 1, sections: Sequence[str] | None = None
) -> Log:
    """What the logs of a distributor hold after one honest day (or several), by (table, row from 0, column).

    Values are as they sit in the cells: numbers in the order's units, serial days, times as a part of a day,
    stations and words as text. Readings carry believable noise and the resolution that the order states; the
    same order, distributor and seed give the same day. Work stops where day, logs or sections end.

    Example: ``honest_day(order, order.machines[0], seed=7)["shots", 0, "dip_before"]``
    """
    return _Crew(order, machine, random.Random(seed)).work(days, stretches(order, machine, sections))


@dataclass(slots=True)
class _Shot:
    stretch: Stretch
    start: float
    stop: float

    @property
    def length(self) -> float:
        return abs(self.stop - self.start)


class _Crew:
    def __init__(self, order: Order, machine: Machine, chance: random.Random) -> None:
        self.order, self.machine, self.chance = order, machine, chance
        self.say = templates.texts(order.language)
        self.truck = Truck(order, machine, chance)
        self.loading = Loading(self.truck)
        self.monitoring = Monitoring(order, machine, chance)
        self.log: Log = {}
        self.shots = 0
        self.date = order.job.date

    def work(self, days: int, work: Iterator[Stretch]) -> Log:
        rest: list[Stretch] = list(work)
        for day in range(min(days, self.order.size.days)):
            self.date = _working_day(self.date)
            self._start_day(day)
            rest = self._spray(rest)
            self._end_day(day, last=not rest or day == days - 1)
            if not rest:
                break
        return self.log

    def _spray(self, rest: list[Stretch]) -> list[Stretch]:
        """Shot after shot; what is left of the work where the day or the log ends."""
        while rest and self.truck.minute < _LAST_START and self.shots < self.order.size.shots:
            stretch = rest[0]
            length = self._length_on_board(stretch)
            if length < min(stretch.length, self._least_length(stretch)):
                if self.loading.count >= self.order.size.loads:
                    return rest
                self._load(rest)
                length = self._length_on_board(stretch)
            shot = self._cut(stretch, length)
            self._shoot(shot)
            rest = rest[1:] if shot.stop == stretch.stop else [_after(shot), *rest[1:]]
        return rest

    def _start_day(self, day: int) -> None:
        truck, order = self.truck, self.order
        low = order.limits.air_min if order.limits.air_min is not None else (50.0, 10.0)[order.units == "si"]
        truck.air = low + self.chance.uniform(6, 14)
        surface = max(truck.air, order.limits.surface_min or truck.air) + self.chance.uniform(4, 12)
        surface = surface if order.limits.surface_max is None else min(surface, order.limits.surface_max)
        truck.minute = self.chance.uniform(6.5 * 60, 7.5 * 60)
        if day == 0:
            truck.content = self.machine.reserve * self.chance.uniform(1.1, 1.6) * truck.factor
        self._write("days", day, date=float(serial(self.date)), operator=self.say["demo.operator"])
        self._write("days", day, air_temperature=to_step(truck.air, order.reading.temperature))
        self._write("days", day, surface_temperature=to_step(surface, order.reading.temperature))
        dip = dip_cell(truck.dip(), order)
        self._write("days", day, start_dip=dip, start_temperature=truck.thermometer())

    def _end_day(self, day: int, last: bool) -> None:
        truck = self.truck
        self._read_monitor()
        truck.wait(self.chance.uniform(10, 25))
        if last and truck.hot > 2.5 * self.machine.reserve:
            returned = round_half_away(truck.content - 1.3 * self.machine.reserve, 0)
            truck.content -= returned
            self._write("days", day, returned=returned)
        self._write("days", day, end_dip=dip_cell(truck.dip(), self.order))
        self._write("days", day, end_temperature=truck.thermometer())

    def _load(self, rest: list[Stretch]) -> None:
        needed = sum(self.truck.hot_rate(s.section) * s.length * s.width for s in rest)
        row = self.loading.count
        self._write("loads", row, date=float(serial(self.date)), **self.loading.load(needed * self._per_area))

    @property
    def _per_area(self) -> float:
        """Area in the order's unit of a length times a width."""
        return 1 / constants(self.order.units)["area_divisor"]

    def _length_on_board(self, stretch: Stretch) -> float:
        spare = self.truck.hot - self.machine.reserve * 1.05
        return max(spare, 0.0) / (self._volume_per_length(stretch) * (1 + 3 * _SPREAD))

    def _least_length(self, stretch: Stretch) -> float:
        return _LEAST_PART * self.truck.chart.capacity / self._volume_per_length(stretch)

    def _volume_per_length(self, stretch: Stretch) -> float:
        return self.truck.hot_rate(stretch.section) * stretch.width * self._per_area

    def _cut(self, stretch: Stretch, on_board: float) -> _Shot:
        """As much of a stretch as one shot takes: to its end, or to a station that is easy to mark."""
        least = self._least_length(stretch)
        length = min(on_board, stretch.length, least * self.chance.uniform(1.3, 3))
        if length < stretch.length < length + least:
            length = stretch.length if stretch.length <= on_board else stretch.length / 2
        if length == stretch.length:
            return _Shot(stretch, stretch.start, stretch.stop)
        mark = max(self.order.reading.station, 25.0 if self.order.units == "us" else 10.0)
        length = max(math.floor(length / mark) * mark, self.order.reading.station)
        return _Shot(
            stretch, stretch.start, stretch.start + math.copysign(length, stretch.stop - stretch.start)
        )

    def _shoot(self, shot: _Shot) -> None:
        truck, stretch, hand = self.truck, shot.stretch, shot.stretch.nozzles is None
        truck.wait(self.chance.uniform(4, 9))
        row: dict[str, Value] = {"dip_before": dip_cell(truck.dip(), self.order)}
        row["temperature"] = truck.thermometer()
        if self.machine.meter:
            row["meter_before"] = truck.meter()
        began = truck.minute
        hot = self._volume_per_length(stretch) * shot.length
        hot *= 1 + max(-2.0, min(2.0, self.chance.gauss(0, 1))) * (_HAND_SPREAD if hand else _SPREAD)
        flow = truck.discharge(stretch) if not hand else self.machine.discharge_min * _HAND_FLOW
        minutes = hot / (flow * self.chance.gauss(1, 0.01))
        waste = to_step(self.chance.uniform(1, 3) * self._gallon, 1) if self._flushes() else 0.0
        truck.take(hot + waste)
        if self.machine.meter:
            row["meter_after"] = truck.meter(hot + waste)
        truck.minute += minutes
        row |= {"start": clock(began), "end": clock(truck.minute)}
        truck.wait(self.chance.uniform(2, 4))
        row["dip_after"] = dip_cell(truck.dip(), self.order)
        if waste:
            row["waste"] = waste
        self._write_shot(shot, row)
        if self.machine.monitor and self.monitoring.counts(
            self.shots, shot.length, hot + waste, stretch.nozzles
        ):
            self._read_monitor()

    def _read_monitor(self) -> None:
        """A line of the monitor log for the shots since the last one, where there are any."""
        if line := self.monitoring.read():
            self._write("monitor", self.monitoring.lines - 1, date=float(serial(self.date)), **line)

    def _flushes(self) -> bool:
        """Whether the bar is flushed into a bucket with this shot."""
        return self.chance.random() < 0.06

    @property
    def _gallon(self) -> float:
        return 1.0 if self.order.units == "us" else 3.785411784

    def _write_shot(self, shot: _Shot, row: dict[str, Value]) -> None:
        stretch = shot.stretch
        row |= {"date": float(serial(self.date)), "section": stretch.section.id, "lane": stretch.lane}
        row |= {
            "from_station": station_cell(shot.start, self.order),
            "to_station": station_cell(shot.stop, self.order),
            "width": round(stretch.width, 6),  # as it is typed: 3.6, not 3.5999999999999996
            "load": float(max(self.loading.count, 1)),
        }
        row |= (
            {"kind": self.say["words.hand"]}
            if stretch.nozzles is None
            else {"nozzles": float(stretch.nozzles)}
        )
        self._write("shots", self.shots, **row)
        self.shots += 1

    def _write(self, table: str, row: int, **cells: Value) -> None:
        self.log |= {(table, row, column): value for column, value in cells.items()}


def _after(shot: _Shot) -> Stretch:
    whole = shot.stretch
    return Stretch(whole.section, whole.lane, shot.stop, whole.stop, whole.width, whole.nozzles)


def _working_day(after: dt.date) -> dt.date:
    """The next day that is not a weekend."""
    day = after + dt.timedelta(days=1)
    while day.weekday() >= 5:
        day += dt.timedelta(days=1)
    return day
