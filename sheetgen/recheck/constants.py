"""Fixed numbers of a unit system, from the published table that the book shows too."""

from __future__ import annotations

from functools import cache

from sheetgen import templates


@cache
def constants(system: str) -> dict[str, float]:
    """Every fixed number of ``tables/constants.csv`` for ``"us"`` or ``"si"``, by its key."""
    return {
        row["key"]: float(row["value"]) for row in templates.table("constants") if row["system"] == system
    }
