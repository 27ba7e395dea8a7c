"""The method: how a recheck goes, what the field book computes, and the arithmetic with its sources."""

from __future__ import annotations

import importlib
import inspect
from collections.abc import Iterator
from typing import Any

import sheetgen.trade
from sheetgen import templates
from sheetgen.audit.report.figures import Figures
from sheetgen.audit.report.method_sheet import told_step
from sheetgen.order.demo import demo_order
from tests.reference.markdown import page as joined
from tests.reference.markdown import table

OPENING = """\
Two computations that share no expression give every number: the field book's formulas (below, as templates), and the
recheck in Python, from the entries alone, through the functions at the end of this page. Both round where the trade's
paper does. The tables of fixed numbers and their sources are on [a page of their own](tables.md); what published
numbers they are checked against, on [another](published-checks.md)."""
TEMPLATES = """\
Formula templates as they stand in the data: `[length]` is the cell of that column in the same row, `[shots.base]` the
whole column of a log, `{round_rate}` a named cell of the sheet *Ordered*, `<<volume x>>` a piece used in many columns
(listed first; `$x` stands for its argument)."""
LOGS = ("shots", "loads", "days")
DECIDED = """\
What is decided here and not by a standard: see [the contradictions](published-checks.md) and, for an order, its own
rounding policy, basis, tolerance and pay rule, which always rule."""


def page() -> str:
    """The whole page."""
    return joined(
        "# Method",
        OPENING,
        "## A recheck, step by step",
        table(("step", "how", "source"), list(_steps())),
        "Numbers in this table are those of the inch-pound demonstration. " + DECIDED,
        "## What the field book computes",
        TEMPLATES,
        "### Pieces",
        table(("piece", "variant", "formula"), list(_macros())),
        *_columns(),
        "### Totals of the book",
        table(("total", "kind of quantity", "formula"), list(_overall())),
        "## The arithmetic (`sheetgen.trade`)",
        *_arithmetic(),
    )


def _steps() -> Iterator[tuple[str, str, str]]:
    figures = Figures(demo_order())
    for step in templates.toml("report.toml")["steps"]:
        yield told_step(step, figures)


def _macros() -> Iterator[tuple[str, str, str]]:
    for name, variants in templates.toml("sheets/macros.toml").items():
        for variant, formula in variants.items():
            yield f"`{name}`", "" if variant == "any" else variant, f"`{formula}`"


def _columns() -> Iterator[str]:
    say = templates.texts("en")
    for log in LOGS:
        sheet = templates.toml(f"sheets/{log}.toml")
        rows = [
            (say[f"{log}.{column['key']}"], column.get("unit", ""), f"`{_formula(column)}`")
            for column in sheet["column"]
            if not column.get("input")
        ]
        yield f"### {say[f'sheet.{log}.title']}"
        yield table(("column", "kind of quantity", "formula"), rows)


def _overall() -> Iterator[tuple[str, str, str]]:
    say = templates.texts("en")
    for field in templates.toml("sheets/totals.toml")["overall"]["fields"]:
        yield say[f"name.{field['key']}"], field.get("unit", ""), f"`{_formula(field)}`"


def _formula(column: dict[str, Any]) -> str:
    formula = column.get("formula", "")
    shown = formula if isinstance(formula, str) else " / ".join(map(str, formula.values()))
    return " ".join(shown.split())


def _arithmetic() -> Iterator[str]:
    """Each public name of the trade, below the module it is in."""
    by_module: dict[str, list[Any]] = {}
    for name in sheetgen.trade.__all__:
        member = getattr(sheetgen.trade, name)
        if inspect.isclass(member) or callable(member):
            by_module.setdefault(member.__module__, []).append(member)
    for module, members in by_module.items():
        yield f"### `{module}`"
        yield inspect.getdoc(importlib.import_module(module)) or ""
        for member in members:
            yield f"#### `{_signature(member)}`"
            yield f"```text\n{inspect.getdoc(member)}\n```"


def _signature(member: Any) -> str:
    try:
        names = ", ".join(inspect.signature(member).parameters)
    except ValueError:
        names = ""
    return f"{member.__name__}({names})"
