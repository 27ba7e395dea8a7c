"""What no order may hold, whoever made it: numbers outside all bounds of the trade, signs that act on a screen.

Work and memory grow with an order's numbers, and a returned book brings an order of its own: what is not refused here
could keep a machine busy for hours.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import cache
from typing import Any

from pydantic import BaseModel

from sheetgen import templates
from sheetgen.output import ACTING

Place = tuple[str | int, ...]
_BREAKS = re.compile("[\t\n\r]")


@cache
def bounds(units: str) -> dict[str, tuple[float, float]]:
    """Least and greatest number of each field of an order, by its path without the numbers of lists."""
    data: dict[str, list[float]] = templates.toml("order_bounds.toml")[units]
    return {path: (low, high) for path, (low, high) in data.items()}


def beyond_bounds(order: BaseModel, units: str) -> Iterator[tuple[Place, float, str, float]]:
    """Each number outside its bounds: its place, the number, ``"ge"`` or ``"le"``, and the bound that it breaks."""
    limits = bounds(units)
    for place, value in _leaves(order, ()):
        if isinstance(value, int | float) and not isinstance(value, bool):
            limit = limits.get(_path(place))
            if limit is not None and not limit[0] <= value <= limit[1]:
                below = value < limit[0]
                yield place, value, "ge" if below else "le", limit[0] if below else limit[1]


def acting_signs(order: BaseModel) -> Iterator[tuple[Place, str]]:
    """Each text with a sign that is not shown but acts on a screen, a file or a line, and its place."""
    for place, value in _leaves(order, ()):
        if isinstance(value, str) and (ACTING.search(value) or _BREAKS.search(value)):
            yield place, value


def _path(place: Place) -> str:
    return ".".join(step for step in place if isinstance(step, str))


def _leaves(part: Any, place: Place) -> Iterator[tuple[Place, Any]]:
    if isinstance(part, BaseModel):
        for name in type(part).model_fields:
            yield from _leaves(getattr(part, name), (*place, name))
    elif isinstance(part, tuple):
        for index, item in enumerate(part):
            yield from _leaves(item, (*place, index))
    elif part is not None:
        yield place, part
