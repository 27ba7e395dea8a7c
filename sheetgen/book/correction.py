"""Which column of the temperature correction a material has, and between which temperatures."""

from __future__ import annotations

from sheetgen import templates
from sheetgen.order.model import Order


def correction_kind(order: Order) -> str:
    """Give the column by class and specific gravity (ASTM D4311/D4311M, footnotes of its tables)."""
    material = order.material
    if material.material_class == "emulsion":
        return "emulsion"
    return "asphalt-a" if round(material.specific_gravity, 3) >= 0.967 else "asphalt-b"


def chart_span(order: Order) -> tuple[int, int]:
    """Give the lowest and the highest temperature of the material's column."""
    wanted = (order.units, correction_kind(order))
    row = next(each for each in templates.table("correction") if (each["system"], each["kind"]) == wanted)
    return int(row["t_min"]), int(row["t_max"])
