"""Varied orders for honest books: both systems and languages, every basis, tank, material and rule of pay. Invented."""

from __future__ import annotations

from functools import cache
from random import Random
from typing import Any

from sheetgen.order.model import Order
from tests.audit.orders import ASPHALT, CERTIFIED, CUTBACK, ROUND_WITH_HEADS, small

SIZE = {"shots": 10, "loads": 3, "days": 2}
_METRIC_ASPHALT = ASPHALT | {
    "material__spray_min": 135, "material__spray_max": 177, "material__spray_planned": 160,
    "material__flash_point": 230,
}  # fmt: skip
_METRIC_CUTBACK = CUTBACK | {
    "material__spray_min": 52, "material__spray_max": 80, "material__spray_planned": 71,
    "material__flash_point": 38,
}  # fmt: skip
_METRIC_CERTIFIED = {
    "shape": "calibrated", "height": None, "width": None, "length": None,
    "points": [
        {"depth": depth, "volume": volume}
        for depth, volume in ((0, 0), (150, 209), (330, 606), (530, 1137), (760, 1752), (1065, 2336))
    ],
}  # fmt: skip
_METRIC_ROUND = ROUND_WITH_HEADS | {"height": 1170, "length": 1830, "head_depth": 200}


@cache
def order_of(number: int) -> Order:
    """The order of a number: always the same one."""
    chance = Random(f"order {number}")
    units = chance.choice(("us", "us", "si"))
    changes: dict[str, Any] = {"size": SIZE}
    changes |= _material(units, chance) | _rates(units, chance) | _reading(units, chance)
    tank = chance.choice((None, None, "certified", "round"))
    if tank == "certified":
        changes["machines__tank"] = CERTIFIED if units == "us" else _METRIC_CERTIFIED
    elif tank == "round":
        changes["machines__tank"] = ROUND_WITH_HEADS if units == "us" else _METRIC_ROUND
    changes["machines__meter"] = meter = chance.random() < 0.6
    if meter and chance.random() < 0.4:
        changes["pay__measured_by"] = "meter"
    changes["pay__hand_exempt"] = chance.random() < 0.7
    changes["pay__excess_limit"] = chance.choice((0.0, 0.05, 0.1))
    if chance.random() < 0.3:
        changes["rounding"] = {
            "chart": chance.choice((0, 1)), "volume": chance.choice((0, 1)), "area": chance.choice((0, 1)),
            "rate": 4, "pay": chance.choice((0, 1, 2)),
        }  # fmt: skip
    return small(units, chance.choice(("en", "es")), **changes)


def _material(units: str, chance: Random) -> dict[str, Any]:
    kind = chance.choice(("emulsion", "emulsion", "asphalt", "cutback"))
    if kind == "asphalt":
        return ASPHALT if units == "us" else _METRIC_ASPHALT
    if kind == "cutback":
        return CUTBACK if units == "us" else _METRIC_CUTBACK
    return {"material__dilution": chance.choice((1.0, 1.0, 0.7, 0.5))}


def _rates(units: str, chance: Random) -> dict[str, Any]:
    basis = chance.choice((None, "undiluted", "as-diluted"))
    changes: dict[str, Any] = {}
    if basis:
        rate = {"us": 0.08, "si": 0.4}[units]
        changes = {"sections__basis": basis, "sections__rate": rate, "sections__rate_temperature": "base"}
        if chance.random() < 0.4:
            changes["sections__rate_temperature"] = "spraying"
        if chance.random() < 0.3:
            changes |= {"sections__tolerance_kind": "absolute", "sections__tolerance": round(rate * 0.1, 4)}
    return changes


def _reading(units: str, chance: Random) -> dict[str, Any]:
    if units == "si":
        return {}
    return {"reading__dip_notation": chance.choice(("decimal", "decimal", "fraction", "sixteenths"))}
