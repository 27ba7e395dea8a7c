"""Pieces of formulas that many columns share, from ``templates_src/sheets/macros.toml``."""

from __future__ import annotations

import re

from sheetgen import templates
from sheetgen.order.model import Order

_INNERMOST = re.compile(r"<<(?P<name>[a-z]+) (?P<argument>[^<]*?(?:<(?!<)[^<]*?)*?)>>")


def expanded(template: str, order: Order) -> str:
    """A formula template with every ``<<name argument>>`` replaced, innermost first."""
    while match := _INNERMOST.search(template):
        variants = templates.toml("sheets/macros.toml")[match["name"]]
        body: str = variants.get("any") or variants[_notation(order)]
        template = template[: match.start()] + body.replace("$x", match["argument"]) + template[match.end() :]
    return template


def _notation(order: Order) -> str:
    # Metric dips are whole millimetres: no other notation is in use for them.
    return order.reading.dip_notation if order.units == "us" else "decimal"
