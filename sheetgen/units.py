"""The two unit systems a book can be written in: inch-pound ("us") and metric ("si").

A number in an order, a book or an entry is always in its system's unit for that kind of quantity; the
table ``units.csv`` says which. Nothing here needs pint: see :mod:`sheetgen.quantities` for quantities.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import Literal

from sheetgen import templates

System = Literal["us", "si"]
SYSTEMS: tuple[System, ...] = ("us", "si")


@dataclass(frozen=True, slots=True)
class Unit:
    """The unit of one kind of quantity in one system.

    Attributes:
        name: pint's name, such as ``"gal/yd**2"``
        labels: the printed label by language
        decimals: how many decimals a value is shown with
    """

    name: str
    labels: dict[str, str]
    decimals: int


@cache
def units(system: str) -> dict[str, Unit]:
    """The unit of every kind of quantity ("distance", "volume", "rate", ...) in a system."""
    return {
        row["kind"]: Unit(row["unit"], {"en": row["label_en"], "es": row["label_es"]}, int(row["decimals"]))
        for row in templates.table("units")
        if row["system"] == system
    }


@cache
def constants(system: str) -> dict[str, float]:
    """Every fixed number of ``tables/constants.csv`` for ``"us"`` or ``"si"``, by its key."""
    return {
        row["key"]: float(row["value"]) for row in templates.table("constants") if row["system"] == system
    }
