"""Eight kinds of job, as orders and as the distributors that spray them. Every job, place and name is invented."""

from __future__ import annotations

import datetime as dt
from typing import Any, NamedTuple

from sheetgen.order.model import Order


class Job(NamedTuple):
    """A kind of work, and how its crew works where that is not in the order.

    Attributes:
        order: what the office asked for
        by_volume: the plant gives gallons (liters) and a temperature, not a weight
        transport: one delivery fills the distributor several times; its parts are written as volumes
        parts: such a part is written as one: what the ticket holds, and what was taken of it
        stick_at_loads: the stick is read before and after each load
        begins: hour at which a shift begins
        empties: what is left in the evening goes back to the plant
        evening_fill: now and then the tank is filled after the last shot of a day
        cools: degrees an hour that the tank loses
    """

    order: Order
    by_volume: bool = False
    transport: bool = False
    parts: bool = False
    stick_at_loads: bool = False
    begins: float = 7.0
    empties: bool = False
    evening_fill: bool = False
    cools: float = 3.0


_US_TRUCK: dict[str, Any] = {
    "name": "Distributor B", "tank": {"shape": "elliptical", "height": 44, "width": 62, "length": 76},
    "bar_widths": [12, 10, 8], "nozzle_spacing": 6, "discharge": 60, "discharge_min": 18, "discharge_max": 75,
    "nozzle_flow_min": 1.0, "nozzle_flow_max": 4.5, "speed_min": 80, "speed_max": 1100, "reserve": 40,
    "meter": True, "burners": True, "flue_top": 12, "cover_over_flues": 6, "burner_power": 350000,
}  # fmt: skip
_SI_TRUCK: dict[str, Any] = {
    "name": "Distribuidor C", "tank": {"shape": "circular", "height": 1250, "length": 2600},
    "bar_widths": [3.6, 3.0], "nozzle_spacing": 150, "discharge": 250, "discharge_min": 80, "discharge_max": 300,
    "nozzle_flow_min": 4, "nozzle_flow_max": 18, "speed_min": 20, "speed_max": 320, "reserve": 150,
    "meter": True, "burners": True, "flue_top": 350, "cover_over_flues": 160, "burner_power": 110,
}  # fmt: skip
_US_READING = {"dip": 0.125, "temperature": 2, "meter": 1, "station": 1, "width": 0.1}
_SI_READING = {"dip": 5, "temperature": 1, "meter": 5, "station": 1, "width": 0.05}
_LIMITS = {"us": {"air_min": 40, "surface_min": 45}, "si": {"air_min": 5, "surface_min": 7}}


def _section(
    name: str, lanes: list[str], ends: tuple[float, float], width: float, **more: Any
) -> dict[str, Any]:
    return {
        "id": name, "road": "Invented Road", "lanes": lanes, "from_station": ends[0], "to_station": ends[1],
        "width": width, "basis": "residual", "tolerance": 0.10, **more,
    }  # fmt: skip


def _material(grade: str, kind: str, gravity: float, residue: float, low: float, high: float, plan: float,
              dilution: float = 1.0) -> dict[str, Any]:  # fmt: skip
    return {
        "grade": grade, "material_class": kind, "specific_gravity": gravity, "residue": residue,
        "spray_min": low, "spray_max": high, "spray_planned": plan, "spray_source": "invented",
        "dilution": dilution,
    }  # fmt: skip


def _order(units: str, material: dict[str, Any], sections: list[dict[str, Any]], language: str = "en",
           truck: dict[str, Any] | None = None, **more: Any) -> Order:  # fmt: skip
    machine = (_US_TRUCK if units == "us" else _SI_TRUCK) | (truck or {})
    data: dict[str, Any] = {
        "units": units, "language": language, "material": material, "sections": sections, "machines": [machine],
        "job": {"number": "SIM-1", "name": "Invented", "date": dt.date(2026, 5, 4), "invented": True},
        "reading": _US_READING if units == "us" else _SI_READING,
        "pay": {"unit_price": 4.0, "measured_by": "dip"}, "limits": _LIMITS[units],
        "size": {"shots": 60, "loads": 30, "days": 8},
    }  # fmt: skip
    return Order.model_validate(data | more)


_CSS = _material("CSS-1h", "emulsion", 1.01, 0.60, 70, 160, 140)
_CSS_SI = _material("CSS-1h", "emulsion", 1.01, 0.60, 20, 70, 60)

JOBS: dict[str, Job] = {
    "tack": Job(_order("us", _CSS, [
        _section("S1", ["NB", "SB"], (1200, 5200), 12, work="tack", surface="existing-asphalt", rate=0.05),
        _section("S2", ["NB", "SB"], (5200, 7800), 12, work="tack", surface="milled-asphalt", rate=0.06),
    ]), evening_fill=True),
    "tack in liters, diluted": Job(_order("si", _CSS_SI | {"dilution": 0.5}, [
        _section("S1", ["D", "I"], (300, 1800), 3.6, work="tack", rate=0.25),
        _section("S2", ["D"], (1800, 2600), 3.6, work="tack", rate=0.20),
    ], "es"), cools=2.0),
    "prime with cutback": Job(_order("us", _material("MC-70", "cutback", 0.949, 0.63, 120, 225, 160), [
        _section("P1", ["L", "R"], (0, 1400), 12, work="prime", surface="granular-base", rate=0.25,
                 basis="undiluted", rate_temperature="base"),
    ], truck={"burner_power": 350000}), cools=8.0, empties=True),
    "prime in liters": Job(_order("si", _material("EI", "emulsion", 1.0, 0.55, 20, 70, 50), [
        _section("T1", ["D", "I"], (100, 1100), 3.6, work="prime", surface="granular-base", rate=1.0,
                 basis="undiluted"),
    ], "es"), cools=2.0, by_volume=True),
    "fog seal": Job(_order("us", _CSS | {"dilution": 0.5}, [
        _section("F1", ["NB", "SB"], (0, 3000), 12, work="fog", rate=0.10, basis="as-diluted"),
        _section("F2", ["NB", "SB"], (3000, 5000), 10, work="fog", rate=0.12, basis="as-diluted"),
    ]), evening_fill=True, by_volume=True),
    "chip seal": Job(_order("us", _material("CRS-2P", "emulsion", 1.0, 0.68, 140, 185, 165), [
        _section("C1", ["NB", "SB"], (2000, 4600), 12, work="chip-seal", rate=0.35, basis="undiluted"),
    ]), transport=True),
    "chip seal in liters, asphalt": Job(_order("si", _material("PG 64-22", "asphalt", 1.03, 1.0, 150, 185, 170), [
        _section("A1", ["D", "I"], (0, 900), 3.6, work="chip-seal", rate=1.4, basis="undiluted"),
    ], "es", truck={"burner_power": 250}), cools=8.0, empties=True),
    "tack by night, by the meter": Job(_order("us", _CSS, [
        _section("N1", ["L1", "L2", "L3"], (800, 3400), 12, work="tack", rate=0.04),
    ], pay={"unit_price": 4.0, "measured_by": "meter"}), begins=19.0, evening_fill=True),
}  # fmt: skip


def paid_by(job: Job, unit: str) -> Job:
    """The same job in another unit of pay."""
    data = job.order.model_dump(mode="json")
    data["pay"]["unit"] = unit
    return job._replace(order=Order.model_validate(data))
