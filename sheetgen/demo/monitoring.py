"""The monitor of an invented distributor: its own count of volume and distance, read every few shots."""

from __future__ import annotations

import random

from sheetgen.demo.writing import to_step
from sheetgen.order.model import Machine, Order
from sheetgen.trade.rates import area_of
from sheetgen.units import constants
from sheetgen.xlsx.model import Value

_SHOTS_A_READING = 6
_VOLUME_SPREAD, _DISTANCE_SPREAD = 0.008, 0.002  # of its count; invented


class Monitoring:
    """What a monitor has counted since it was read, and how often it was read."""

    def __init__(self, order: Order, machine: Machine, chance: random.Random) -> None:
        self._order, self._machine, self._chance = order, machine, chance
        self.lines = 0
        self._shots: list[int] = []
        self._volume = self._distance = 0.0
        self._nozzles: set[int] = set()

    def counts(self, number: int, length: float, volume: float, nozzles: int | None) -> bool:
        """Let a shot, by its printed number, be counted; says whether the crew then reads it.

        The wheel does not turn while the wand sprays: then ``nozzles`` is None.
        """
        self._shots.append(number)
        self._volume += volume * (1 + self._chance.gauss(0, _VOLUME_SPREAD))
        if nozzles is not None:
            self._distance += length * (1 + self._chance.gauss(0, _DISTANCE_SPREAD))
        self._nozzles.add(nozzles or 0)
        return len(self._shots) == _SHOTS_A_READING

    def read(self) -> dict[str, Value]:
        """The entries of one line of the log; none where nothing was counted since the last."""
        if not self._shots:
            return {}
        volume, distance = to_step(self._volume, self._order.reading.meter), round(self._distance)
        line: dict[str, Value] = {
            "session": str(self.lines + 1), "first_shot": float(self._shots[0]),
            "last_shot": float(self._shots[-1]), "volume": volume, "distance": float(distance),
        }  # fmt: skip
        if len(self._nozzles) == 1 and (nozzles := max(self._nozzles)) and distance:
            line |= {"nozzles": float(nozzles), "rate": self._rate(volume, distance, nozzles)}
        self.lines += 1
        self._shots, self._volume, self._distance, self._nozzles = [], 0.0, 0.0, set()
        return line

    def _rate(self, volume: float, distance: float, nozzles: int) -> float:
        width = nozzles * self._machine.nozzle_spacing
        width /= constants(self._order.units)["nozzle_spacing_per_width"]
        return round(volume / area_of(distance, width, self._order.units), self._order.rounding.rate)
