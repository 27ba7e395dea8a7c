"""What is payable of a log, computed apart from the product: nothing of the package is used but the order's numbers.

The paper's way, with its roundings: the tank chart at steps of 1/4 in (Maryland SHA 503) or 5 mm (common practice, no
source), read in a straight line; the factor by the whole degree, of four decimals for asphalt and cutback (ASTM D4311,
as seen in public in part, divided by its own value at the base temperature), of five for emulsion (0.00025 per °F and
0.00045 per °C, from memory); the excess over the order by UFGS 02785, 1.2.
"""

from __future__ import annotations

from decimal import ROUND_HALF_UP, Decimal
from math import acos, floor, sqrt
from typing import Any

from tests.simulated.days import Log, factor
from tests.simulated.jobs import Job

# Of water: a gallon at 60 °F, a liter at 15 °C. The former by US Army subcourse EN5459, the latter by IAPWS R6-95.
_POUNDS, _KILOGRAMS = 8.328, 0.9991
Row = dict[str, Any]


def rounded(value: float, places: int) -> float:
    """Half away from zero, as a person rounds what a pocket calculator shows."""
    shown = Decimal(repr(float(f"{value:.12g}")))
    return float(shown.quantize(Decimal(1).scaleb(-places), ROUND_HALF_UP))


class Paper:
    """The papers of one distributor: its chart and its factors."""

    def __init__(self, job: Job) -> None:
        self.job, self.order, self.us = job, job.order, job.order.units == "us"
        tank = job.order.machines[0].tank
        self.up, self.across = tank.height / 2, (tank.width or tank.height) / 2
        self.long = tank.length / (231.0 if self.us else 1e6)
        self.step = 0.25 if self.us else 5.0

    def segment(self, depth: float) -> float:
        """Of a lying cylinder of elliptical section, level."""
        below = 1 - depth / self.up
        return self.up * self.across * self.long * (acos(below) - below * sqrt(max(0.0, 1 - below * below)))

    def volume(self, depth: float) -> float:
        """As the chart gives it."""
        line = floor(depth / self.step + 1e-9)
        low, high = (rounded(self.segment((line + more) * self.step), 1) for more in (0, 1))
        return rounded(low + (high - low) * (depth / self.step - line), 1)

    def factor(self, temperature: float) -> float:
        """To the base temperature, of the whole degree."""
        whole, base = rounded(temperature, 0), 60.0 if self.us else 15.0
        if self.order.material.material_class == "emulsion":
            return rounded(factor(self.job, whole), 5)
        if not self.us and self.order.material.specific_gravity >= 0.967:
            return rounded(_column_a(whole) / _column_a(base), 4)
        return rounded(factor(self.job, whole) / factor(self.job, base), 4)


def _column_a(celsius: float) -> float:
    """ASTM D4311 Table 1, column A, with the constant that is printed, to be divided by its value at 15 °C."""
    return 1.009 - 6.3341e-4 * celsius + 1.4571e-7 * celsius**2


def rows_of(log: Log, table: str) -> list[Row]:
    """The rows of one log, in its order."""
    rows: dict[int, Row] = {}
    for (name, row, column), value in log.items():
        if name == table:
            rows.setdefault(row, {"row": row})[column] = value
    return [rows[row] for row in sorted(rows)]


def payable(job: Job, log: Log) -> float:
    """Undiluted material at base temperature that is paid for a log."""
    paper, order = Paper(job), job.order
    shots, by_meter = rows_of(log, "shots"), order.pay.measured_by == "meter"
    parts = _parts(paper, shots, rows_of(log, "loads"))
    sprayed: dict[str, float] = {}
    ordered: dict[str, float] = {}
    for shot, part in zip(shots, parts, strict=True):
        before, after = ("meter_before", "meter_after") if by_meter else ("dip_before", "dip_after")
        hot = shot[after] - shot[before] if by_meter else (
            paper.volume(shot[before]) - paper.volume(shot[after]))  # fmt: skip
        base = rounded(rounded(hot, 1) * paper.factor(shot["temperature"]), 1)
        section = next(each for each in order.sections if each.id == shot["section"])
        length = abs(shot["to_station"] - shot["from_station"])
        area = rounded(length * shot["width"] / (9 if paper.us else 1), 1)
        material = order.material
        rate = section.rate * {
            "residual": 1 / material.residue, "undiluted": 1.0, "as-diluted": material.dilution,
        }[section.basis]  # fmt: skip
        if section.basis == "as-diluted":  # what was ordered is so much of the mix as it came
            rate = section.rate * material.dilution
        sprayed[section.id] = sprayed.get(section.id, 0.0) + base * part
        ordered[section.id] = ordered.get(section.id, 0.0) + area * rate
    most = 1 + order.pay.excess_limit
    return rounded(sum(min(sprayed[name], ordered[name] * most) for name in sprayed), order.rounding.pay)


def _parts(paper: Paper, shots: list[Row], loads: list[Row]) -> list[float]:
    """The emulsion's part of what each shot sprayed: each load mixes with what was on board before the shot."""
    part, came, parts = paper.order.material.dilution, 0, []
    for shot in shots:
        for load in loads[came:]:
            if (load["date"], load["time"]) > (shot["date"], shot["start"]):
                break
            came += 1
            if paper.order.material.material_class != "emulsion" or paper.order.material.dilution == 1:
                continue
            emulsion = _emulsion(paper, load)
            mixed = rounded(emulsion + load.get("water", 0.0), 1)
            on_board = rounded(paper.volume(shot["dip_before"]) * paper.factor(shot["temperature"]), 1)
            share = min(1.0, mixed / on_board)
            part = share * emulsion / mixed + (1 - share) * part
        parts.append(part)
    return parts


def _emulsion(paper: Paper, load: Row) -> float:
    if "net_mass" in load:
        water = _POUNDS if paper.us else _KILOGRAMS
        return rounded(load["net_mass"] / (water * paper.order.material.specific_gravity), 1)
    return rounded(load["volume"] * paper.factor(load["temperature"]), 1)
