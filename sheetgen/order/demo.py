"""The demonstration order: an invented job on an invented road; its words stand in the texts."""

from __future__ import annotations

from copy import deepcopy
from typing import Any

from sheetgen import templates
from sheetgen.order.model import Order


def demo_order(units: str = "us", lang: str = "en") -> Order:
    """The invented job in one unit system and language.

    The metric job is a like one in round metric numbers, not the inch-pound one converted.
    """
    numbers, words = templates.toml("demo/order.toml"), templates.demo_words(lang)
    data: dict[str, Any] = {"language": lang}
    for layer in (numbers["shared"], numbers[units], words["all"], words.get(units, {})):
        _lay(layer, over=data)
    for listed in ("machines", "sections"):
        data[listed] = list(data[listed].values())
    return Order.model_validate(data)


def _lay(layer: dict[str, Any], over: dict[str, Any]) -> None:
    for key, value in layer.items():
        if isinstance(value, dict):
            _lay(value, over.setdefault(key, {}))
        else:
            over[key] = deepcopy(value)
