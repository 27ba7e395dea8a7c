"""Factors to the base temperature, as a person with the printed table takes them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

from sheetgen.errors import QuantityError
from sheetgen.order.model import Order
from sheetgen.trade.correction import correction_chart, correction_kind, volume_factor


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
        kind = kind or correction_kind(material.specific_gravity, emulsion=emulsion)
        decimals = rounding.factor_emulsion if kind == "emulsion" else rounding.factor_asphalt
        return cls(kind, order.units, decimals)

    @property
    def span(self) -> tuple[float, float]:
        """The least and the greatest whole degree of the column."""
        chart = correction_chart(self.kind, self.system)
        return chart.lowest, chart.highest

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
        return correction_kind(gravity, emulsion=material_class == "emulsion")
    except QuantityError:
        return None


@lru_cache(4096)
def _at(factors: Factors, temperature: float) -> float | None:
    try:
        return volume_factor(temperature, factors.kind, factors.system, factors.decimals)
    except QuantityError:
        return None
