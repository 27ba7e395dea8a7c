"""A plan as plain data for JSON: the same names as in :mod:`sheetgen.plan.model`, numbers unrounded."""

from __future__ import annotations

from dataclasses import asdict
from typing import Any

from sheetgen.plan.model import Plan
from sheetgen.plan.small_machines import small_machines, small_tanks
from sheetgen.units import units


def plan_json(plan: Plan) -> dict[str, Any]:
    """The plan with a table of its units; small machines are in inch-pound units whatever the order's.

    Kinds of quantity stand in the descriptions of :mod:`sheetgen.plan.model`; ``units`` says each kind's unit.
    """
    data = asdict(plan)
    data["unit_of"] = {kind: unit.name for kind, unit in units(plan.units).items()}
    data["small_machines"] = [asdict(machine) for machine in small_machines()]
    data["small_tanks"] = [asdict(tank) for tank in small_tanks()]
    return data
