"""The stick reading at or above which burners may be lit: the top of the flues plus the cover over them."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any

from sheetgen.order.tank import tank_of
from sheetgen.trade.heating import burner_dip
from sheetgen.units import constants

if TYPE_CHECKING:
    from sheetgen.order.model import Machine


def least_cover(system: str) -> float:
    """The published least cover over the flues before a burner is lit, in the system's unit of depth.

    Source: NAVEDTRA 14081, distributor section: at least 6 in (seen).
    """
    return constants(system)["cover_over_flues"]


def burner_line(machine: Machine, system: str) -> float | None:
    """The stick reading at or above which burners may be lit, in the unit of depth; None without burners."""
    if not machine.burners or machine.flue_top is None:
        return None
    return burner_dip(machine.flue_top, machine.cover_over_flues or least_cover(system))


def burner_line_too_high(machine: Machine, system: str) -> bool:
    """Whether the burners' reading lies outside the tank or above what may be filled."""
    line = burner_line(machine, system)
    if line is None:
        return False
    tank = tank_of(machine.tank, system)
    return line > tank.height or tank.volume_at(line) > machine.fill_limit * tank.capacity


def without_unclear_flues(text: str) -> str:
    """An order's JSON without the burners of a distributor whose flues are given by one depth alone.

    Such orders were written when one field held that depth. Some took it for the cover over the flues and others for
    a stick reading, so nothing may be concluded from it. A recheck needs neither.
    """
    if '"flue_cover"' not in text:
        return text
    data = json.loads(text)
    machines = data.get("machines") if isinstance(data, dict) else None
    for machine in machines if isinstance(machines, list) else ():
        if isinstance(machine, dict) and machine.pop("flue_cover", None) is not None:
            machine |= _NO_BURNERS
    return json.dumps(data)


_NO_BURNERS: dict[str, Any] = {"burners": False, "burner_power": 0.0, "flue_top": None}
