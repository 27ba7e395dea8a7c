"""A plan as plain data for JSON: the same names as in :mod:`sheetgen.plan.model`, numbers unrounded."""

from __future__ import annotations

from typing import Any

from sheetgen.plan.model import Plan
from sheetgen.plan.small_machines import small_machines, small_tanks
from sheetgen.units import units


def plan_json(plan: Plan) -> dict[str, Any]:
    """The plan with a table of its units; small machines are in inch-pound units whatever the order's.

    Kinds of quantity stand in the descriptions of :mod:`sheetgen.plan.model`; ``units`` says each kind's unit.
    """
    data: dict[str, Any] = as_data(plan)
    data["unit_of"] = {kind: unit.name for kind, unit in units(plan.units).items()}
    data["small_machines"] = as_data(small_machines())
    data["small_tanks"] = as_data(small_tanks())
    return data


def as_data(value: Any) -> Any:
    """Records as objects by the names of their fields, whatever they hold of others; sequences as lists."""
    if hasattr(value, "_asdict"):
        return {name: as_data(part) for name, part in value._asdict().items()}
    if isinstance(value, dict):
        return {key: as_data(part) for key, part in value.items()}
    return [as_data(part) for part in value] if isinstance(value, tuple | list) else value
