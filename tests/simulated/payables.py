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
_SHORT_TON, _TON = 2000.0, 1000.0
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
        self.per_area = 9 if self.us else 1
        self.per_ton = _SHORT_TON if self.us else _TON
        self.ton = (_POUNDS if self.us else _KILOGRAMS) * self.order.material.specific_gravity / self.per_ton

    def segment(self, depth: float) -> float:
        """Of a lying cylinder of elliptical section, level."""
        below = 1 - depth / self.up
        return self.up * self.across * self.long * (acos(below) - below * sqrt(max(0.0, 1 - below * below)))

    def volume(self, depth: float | None) -> float | None:
        """As the chart gives it; it ends with the tank."""
        if depth is None or not 0 <= depth <= 2 * self.up:
            return None
        line = floor(depth / self.step + 1e-9)
        low, high = (rounded(self.segment(min((line + more) * self.step, 2 * self.up)), 1) for more in (0, 1))
        return rounded(low + (high - low) * (depth / self.step - line), 1)

    def factor(self, temperature: float) -> float | None:
        """To the base temperature, of the whole degree; nothing is read beyond the ends of a table."""
        whole, base = rounded(temperature, 0), 60.0 if self.us else 15.0
        kind = "emulsion" if self.order.material.material_class == "emulsion" else "asphalt"
        low, high = _ENDS[self.order.units, kind]
        if not low <= whole <= high:
            return None
        if kind == "emulsion":
            return rounded(factor(self.job, whole), 5)
        if not self.us and self.order.material.specific_gravity >= 0.967:
            return rounded(_column_a(whole) / _column_a(base), 4)
        return rounded(factor(self.job, whole) / factor(self.job, base), 4)

    def base(self, hot: float | None, temperature: float) -> float | None:
        """A volume at the base temperature, to tenths."""
        by = self.factor(temperature)
        return None if hot is None or by is None else rounded(hot * by, 1)

    def sprayed(self, shot: Row) -> float | None:
        """Of a shot, at the base temperature, by the reading of record where there is one."""
        before, after = (self.volume(shot.get(f"dip_{end}")) for end in ("before", "after"))
        stick = None if before is None or after is None else before - after
        meter = shot["meter_after"] - shot["meter_before"] if "meter_after" in shot else None
        first, other = (meter, stick) if self.order.pay.measured_by == "meter" else (stick, meter)
        hot = other if first is None else first
        return self.base(None if hot is None else rounded(hot, 1), shot["temperature"])

    def area(self, shot: Row) -> float:
        """Of a shot."""
        length = abs(shot["to_station"] - shot["from_station"])
        return rounded(length * shot["width"] / self.per_area, 1)


def _column_a(celsius: float) -> float:
    """ASTM D4311 Table 1, column A, with the constant that is printed, to be divided by its value at 15 °C."""
    return 1.009 - 6.3341e-4 * celsius + 1.4571e-7 * celsius**2


# Where the tables end: ASTM D4311 at 500 °F (seen); emulsions by degrees above freezing and below boiling (no source).
_ENDS = {
    ("us", "emulsion"): (40, 199), ("us", "asphalt"): (0, 499),
    ("si", "emulsion"): (0, 99), ("si", "asphalt"): (0, 269),
}  # fmt: skip


def rows_of(log: Log, table: str) -> list[Row]:
    """The rows of one log, in its order."""
    rows: dict[int, Row] = {}
    for (name, row, column), value in log.items():
        if name == table:
            rows.setdefault(row, {"row": row})[column] = value
    return [rows[row] for row in sorted(rows)]


def sprayed_rows(log: Log) -> list[Row]:
    """The shots that count."""
    return [row for row in rows_of(log, "shots") if row.get("kind") != "void"]


def ordered_rate(log: Log, section: Any, shot: Row) -> float:
    """The rate that a section's last change on the road before a shot orders, else that of the order."""
    said = [
        change["new_rate"]
        for change in rows_of(log, "changes")
        if change["section"] == section.id and "new_rate" in change
        and (change["date"], change["time"]) <= (shot["date"], shot["start"])
    ]  # fmt: skip
    return float([section.rate, *said][-1])


def payable(job: Job, log: Log) -> float:
    """What is paid for a log, in the order's unit of pay.

    Volume is undiluted material at base temperature; mass is that by the order's gravity; by tickets it is what came
    and what the tank held more at the start than at the end (South Dakota SD 314), shared by what each section got;
    area is what was covered. The ordered quantity limits each section; of an area, the area that was ordered.
    """
    paper, order = Paper(job), job.order
    measured, due = _by_section(paper, log)
    unit, ton = order.pay.unit, paper.ton
    if unit == "area":
        measured, due = _areas(paper, log)
    elif unit == "mass-by-ticket":
        whole = sum(measured.values())
        used = _used_by_tickets(paper, log)
        measured = {name: used * part / whole for name, part in measured.items()}
        due = {name: part * ton for name, part in due.items()}
    elif unit == "mass":
        measured, due = ({name: part * ton for name, part in each.items()} for each in (measured, due))
    most = 1 + order.pay.excess_limit
    places = order.rounding.pay if unit in ("volume", "area") else 2
    return rounded(sum(min(measured[name], due[name] * most) for name in measured), places)


def _by_section(paper: Paper, log: Log) -> tuple[dict[str, float], dict[str, float]]:
    """Undiluted volumes of each section: sprayed, and ordered over the same areas."""
    order, shots = paper.order, sprayed_rows(log)
    sprayed, due = ({each.id: 0.0 for each in order.sections} for _ in range(2))
    for shot, part in zip(shots, _parts(paper, shots, rows_of(log, "loads")), strict=True):
        section = next((each for each in order.sections if each.id == shot["section"]), None)
        volume, material = paper.sprayed(shot), order.material
        if section is None or volume is None:
            continue
        rate = ordered_rate(log, section, shot) * {
            "residual": 1 / material.residue, "undiluted": 1.0, "as-diluted": material.dilution,
        }[section.basis]  # fmt: skip
        sprayed[section.id] += volume * part
        if shot.get("kind") not in ("touch-up", "second pass"):
            due[section.id] += paper.area(shot) * rate
    return sprayed, due


def _areas(paper: Paper, log: Log) -> tuple[dict[str, float], dict[str, float]]:
    """Areas of each section: covered, and ordered."""
    sections = paper.order.sections
    covered = {each.id: 0.0 for each in sections}
    for shot in sprayed_rows(log):
        if shot["section"] in covered and paper.sprayed(shot) is not None:
            covered[shot["section"]] += paper.area(shot)
    return covered, {
        each.id: rounded(
            abs(each.to_station - each.from_station) * each.width * len(each.lanes) / paper.per_area, 1
        )
        for each in sections
    }


def _used_by_tickets(paper: Paper, log: Log) -> float:
    """Tons of undiluted material: what came, and what the tank held at the start less what was left and sent back."""
    days, tons = rows_of(log, "days"), 0.0
    for load in rows_of(log, "loads"):
        tons += load["net_mass"] / paper.per_ton if "net_mass" in load else _emulsion(paper, load) * paper.ton
    start, end = (
        paper.base(paper.volume(day[f"{end}_dip"]), day[f"{end}_temperature"]) or 0.0
        for day, end in ((days[0], "start"), (days[-1], "end"))
    )
    back = sum(day.get("returned", 0.0) for day in days)
    return float(tons + (start - end - back) * paper.order.material.dilution * paper.ton)


def _parts(paper: Paper, shots: list[Row], loads: list[Row]) -> list[float]:
    """The emulsion's part of what each shot sprayed: loads mix with what was on board before the shot.

    Where neither a time nor a load number says which loads had come, it is the ordered one.
    """
    part, came, parts = paper.order.material.dilution, 0, []
    thinned = paper.order.material.material_class == "emulsion" and part < 1
    for shot in shots:
        had_come = _loads_before(shot, loads)
        fresh = loads[came:had_come] if thinned else []
        if fresh:
            emulsion = sum(_emulsion(paper, load) for load in fresh)
            mixed = sum(rounded(_emulsion(paper, load) + load.get("water", 0.0), 1) for load in fresh)
            on_board = paper.base(paper.volume(shot.get("dip_before")), shot["temperature"])
            share = min(1.0, mixed / on_board) if on_board else 1.0
            part = share * emulsion / mixed + (1 - share) * part
        came = max(came, had_come)
        parts.append(part)
    return parts


def _loads_before(shot: Row, loads: list[Row]) -> int:
    named = int(shot.get("load", 0))
    if "start" not in shot:
        return named
    return max(named, sum((load["date"], load["time"]) <= (shot["date"], shot["start"]) for load in loads))


def _emulsion(paper: Paper, load: Row) -> float:
    if "net_mass" in load:
        water = _POUNDS if paper.us else _KILOGRAMS
        return rounded(load["net_mass"] / (water * paper.order.material.specific_gravity), 1)
    if load.get("volume_at") in ("corrected", "corregido"):
        return float(load["volume"])
    return paper.base(load["volume"], load["temperature"]) or 0.0
