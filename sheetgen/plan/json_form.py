"""A plan as plain data for JSON: the records of :mod:`sheetgen.plan.model` by published names, numbers unrounded."""

from __future__ import annotations

from typing import Any

from sheetgen.plan.model import Plan
from sheetgen.units import units

FORMAT, FORMAT_VERSION = "sheetgen plan", 4
# Fields whose name in the JSON is not that of the record, by record. "corrected" is a volume at 60 °F or 15 °C.
_PUBLISHED = {
    "Plan": {"machines": "distributors"},
    "MachineLimits": {
        "speed_least": "speed_minimum", "speed_greatest": "speed_maximum", "nozzle_least": "nozzle_minimum",
        "nozzle_greatest": "nozzle_maximum", "pump_least": "pump_minimum", "pump_greatest": "pump_maximum",
    },
    "Setting": {
        "least_discharge": "minimum_discharge", "greatest_discharge": "maximum_discharge", "least_by": "minimum_by",
        "greatest_by": "maximum_by",
    },
    "Judged": {"by_dip": "by_stick", "told": "long_enough", "verdict": "advice"},
    "SectionPlan": {"verdict": "result", "sprayed_base": "sprayed_corrected"},
    "Ordered": {"mix_base": "bar_rate", "mix_hot": "bar_rate_hot"},
    "Guidance": {"verdict": "result"},
    "PublishedRate": {"seen": "checked"},
    "ToOrder": {"mix": "as_sprayed", "mass": "weight"},
    "Heating": {"base": "corrected", "mass": "weight", "burner_dip": "burner_dip_line", "hours_least": "hours_minimum"},
    "BarCard": {"height_most": "height_maximum"},
    "PlannedShot": {"told": "long_enough"},
}  # fmt: skip


def plan_json(plan: Plan) -> dict[str, Any]:
    """Give the plan with a table of its units.

    ``templates_src/plan.schema.json`` says what each field is and of which kind of quantity; ``unit_of`` has the
    printed unit of each kind.
    """
    data: dict[str, Any] = as_data(plan)
    data["unit_of"] = {kind: unit.label(plan.language) for kind, unit in units(plan.units).items()}
    return data | {"format": FORMAT, "version": FORMAT_VERSION}


def published(record: str, field: str) -> str:
    """Give the name of a record's field in the JSON."""
    return _PUBLISHED.get(record, {}).get(field, field)


def as_data(value: Any) -> Any:
    """Records as objects by the names of their fields, whatever they hold of others; sequences as lists."""
    if hasattr(value, "_asdict"):
        record = type(value).__name__
        return {published(record, name): as_data(part) for name, part in value._asdict().items()}
    if isinstance(value, dict):
        return {key: as_data(part) for key, part in value.items()}
    return [as_data(part) for part in value] if isinstance(value, tuple | list) else value
