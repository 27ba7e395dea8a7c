"""The two unit systems a book can be written in: inch-pound ("us") and metric ("si").

A number in an order, a book or an entry is always in its system's unit for that kind of quantity; the
table ``units.csv`` says which. Nothing here needs a library of units, which takes longer to read than one book takes
to be rechecked: see :mod:`sheetgen.quantities` for quantities. Tests hold the tables here against that library.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
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
        system, kind: of which system, for which kind of quantity
        decimals: how many decimals a value is shown with
    """

    name: str
    system: str
    kind: str
    decimals: int

    def label(self, language: str) -> str:
        """What it is called in print in a language."""
        return templates.unit_label(self.system, self.kind, language)


@cache
def units(system: str) -> dict[str, Unit]:
    """The unit of every kind of quantity ("distance", "volume", "rate", ...) in a system."""
    return {
        row["kind"]: Unit(row["unit"], system, row["kind"], int(row["decimals"]))
        for row in templates.table("units")
        if row["system"] == system
    }


@cache
def constants(system: str) -> dict[str, float]:
    """Every fixed number of ``tables/constants.csv`` for ``"us"`` or ``"si"``, by its key."""
    return {
        row["key"]: float(row["value"]) for row in templates.table("constants") if row["system"] == system
    }


@dataclass(frozen=True, slots=True)
class UnitSize:
    """One unit of ``tables/unit_sizes.csv`` in the units of the SI.

    Attributes:
        dimension: what can be converted into each other has the same
        size: of one, in coherent units of the SI, exactly; of an angle, in degrees
        zero: where its scale begins, K; 0 but for temperatures
    """

    dimension: str
    size: Fraction
    zero: Fraction


@cache
def unit_size(unit: str) -> UnitSize:
    """Give what a unit of the table is, by pint's name of it; ``KeyError`` where the table has none."""
    return _sizes()[unit]


@cache
def _sizes() -> dict[str, UnitSize]:
    return {
        row["unit"]: UnitSize(row["dimension"], Fraction(row["size"]), Fraction(row["zero"]))
        for row in templates.table("unit_sizes")
    }


def converted(value: float, source: str, target: str) -> float:
    """Convert a plain number from one unit into another of the same dimension, exactly before it is rounded."""
    one, other = unit_size(source), unit_size(target)
    if one.dimension != other.dimension:
        raise ValueError(f"a number in {source} cannot be given in {target}")
    return float((Fraction(value) * one.size + one.zero - other.zero) / other.size)
