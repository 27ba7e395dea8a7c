"""A table as rows of texts, before it is drawn."""

from __future__ import annotations

from dataclasses import dataclass, field

from sheetgen.plan.figures import Figures


@dataclass(frozen=True, slots=True)
class Lines:
    """Headings, none for a table of labelled values, and rows of texts."""

    heads: list[str] = field(default_factory=list)
    rows: list[list[str]] = field(default_factory=list)


def head(figures: Figures, key: str, kind: str = "") -> str:
    """The heading of a column, with the unit below it."""
    unit = figures.unit(kind)
    return figures.say[f"plan.head.{key}"] + (f"\n{unit}" if unit else "")
