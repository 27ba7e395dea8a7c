"""Factors to the base temperature, as a person with the printed table takes them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache, lru_cache

from sheetgen import templates
from sheetgen.amounts import quantity
from sheetgen.audit.compute.rounding import half_away
from sheetgen.errors import QuantityError
from sheetgen.order.model import Order
from sheetgen.trade import BASE_15_C, BASE_60_F, correction_kind, volume_factor

BASES = {"us": BASE_60_F, "si": BASE_15_C}


@dataclass(frozen=True, slots=True)
class Factors:
    """The correction column of one material in one unit system.

    Attributes:
        kind: "emulsion", "asphalt-a" or "asphalt-b" (ASTM D4311/D4311M for the two of asphalt)
        system: "us" (base 60 °F) or "si" (base 15 °C)
        decimals: to which a factor is rounded before it is used
    """

    kind: str
    system: str
    decimals: int

    @classmethod
    def of(cls, order: Order, kind: str | None = None) -> Factors:
        """The column of the order's material, or another one of the same unit system."""
        material, rounding = order.material, order.rounding
        emulsion = material.material_class == "emulsion"
        kind = kind or str(correction_kind(material.specific_gravity, emulsion=emulsion))
        decimals = rounding.factor_emulsion if kind == "emulsion" else rounding.factor_asphalt
        return cls(kind, order.units, decimals)

    @property
    def span(self) -> tuple[float, float]:
        """The least and the greatest whole degree of the column."""
        return _span(self.kind, self.system)

    def at(self, temperature: float | None) -> float | None:
        """The factor at a temperature, taken to the whole degree; None without one or outside the column."""
        if temperature is None:
            return None
        return _at(self, temperature)

    def all(self, temperatures: Sequence[float | None]) -> list[float | None]:
        """:meth:`at` for many temperatures."""
        return [self.at(temperature) for temperature in temperatures]


def kind_of(gravity: float, material_class: str) -> str | None:
    """The column of a material by its specific gravity; None where the gravity is of no asphalt."""
    try:
        return str(correction_kind(gravity, emulsion=material_class == "emulsion"))
    except QuantityError:
        return None


@lru_cache(4096)
def _at(factors: Factors, temperature: float) -> float | None:
    degree = half_away(temperature, 0)
    low, high = factors.span
    if not low <= degree <= high:
        return None
    return _factor(factors.kind, factors.system, degree, factors.decimals)


@cache
def _span(kind: str, system: str) -> tuple[float, float]:
    row = next(row for row in templates.table("correction") if (row["kind"], row["system"]) == (kind, system))
    return float(row["t_min"]), float(row["t_max"])


@cache
def _factor(kind: str, system: str, degree: float, decimals: int) -> float:
    temperature = quantity(degree, "temperature", system)
    return float(volume_factor(temperature, kind, BASES[system], decimals))
