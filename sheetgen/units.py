"""The two unit systems a book can be written in: inch-pound ("us") and metric ("si").

A number in an order, a book or an entry is always in its system's unit for that kind of quantity; the
table ``units.csv`` says which. Nothing here needs a library of units, which takes longer to read than one book takes
to be rechecked: see :mod:`sheetgen.quantities` for quantities. Tests hold the tables here against that library.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from math import lcm
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


def converted(value: float, source: str, target: str) -> float:
    """Convert a number from one unit of ``tables/unit_sizes.csv`` into another of the same dimension, by their names.

    Raises:
        ValueError: units of different dimensions
        KeyError: a unit that the table does not have
    """
    a, b, c = _line(source, target)
    return (value * a + b) / c


def same_unit(one: str, other: str) -> bool:
    """Tell whether two names of ``tables/unit_sizes.csv`` are of one unit."""
    return _sizes()[one] == _sizes()[other]


def dimension(unit: str) -> str:
    """Tell the dimension of a unit of ``tables/unit_sizes.csv``: what can be converted into each other has the same.

    Raises:
        KeyError: a unit that the table does not have
    """
    return _sizes()[unit][0]


@cache
def _sizes() -> dict[str, tuple[str, Fraction, Fraction]]:
    """Dimension, size and zero of every unit."""
    return {
        row["unit"]: (row["dimension"], Fraction(row["size"]), Fraction(row["zero"]))
        for row in templates.table("unit_sizes")
    }


@cache
def _line(source: str, target: str) -> tuple[float, float, float]:
    """(a, b, c) of the conversion (value * a + b) / c, whole numbers: what can be exact then is."""
    (one, size, zero), (other, other_size, other_zero) = _sizes()[source], _sizes()[target]
    if one != other:
        raise ValueError(f"a number in {source} cannot be given in {target}")
    factor, shift = size / other_size, (zero - other_zero) / other_size
    whole = lcm(factor.denominator, shift.denominator)
    return float(factor * whole), float(shift * whole), float(whole)
