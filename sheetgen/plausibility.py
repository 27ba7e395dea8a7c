"""Bounds of what a log can honestly hold, where the order gives none: live checks and recheck take the same."""

from __future__ import annotations

from functools import cache

from sheetgen import templates


@cache
def plausibility() -> dict[str, float]:
    """Give the bounds of ``tables/plausibility.csv`` by key, each in the unit that its row names."""
    return {row["key"]: float(row["value"]) for row in templates.table("plausibility")}
