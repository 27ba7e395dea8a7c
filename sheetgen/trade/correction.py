"""Volume of hot material to its volume at the base temperature.

Asphalt and cutback: ASTM D4311/D4311M, column A or B by specific gravity, the quadratic divided by its own
value at the base (which gives every value seen of Iowa DOT IM T102C; the printed constant is rounded).
Emulsion: linear, 0.00025 per °F. Coefficients, ranges and sources stand in ``tables/correction.csv``. The
inch-pound chart (base 60 °F) and the metric one (base 15 °C) are separate charts, not conversions of each
other.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import Literal, TypeAlias

from sheetgen import templates
from sheetgen.trade.kinds import Factor, Gravity, Temperature, Volume
from sheetgen.trade.refused import refused, shown
from sheetgen.trade.rounding import round_half_away
from sheetgen.units import constants

CorrectionKind: TypeAlias = Literal["asphalt-a", "asphalt-b", "emulsion"]

DECIMALS = {"asphalt-a": 4, "asphalt-b": 4, "emulsion": 5}
"""Places to which the trade's tables print the factors of each kind."""

_LEAST_GRAVITY = 0.850  # ASTM D4311 column B begins at a density of 850 kg/m³ (seen)


@dataclass(frozen=True, slots=True)
class CorrectionChart:
    """One correction chart: a kind of material on one base.

    Attributes:
        kind: ``"asphalt-a"``, ``"asphalt-b"`` or ``"emulsion"``
        system: ``"us"`` (°F, base 60 °F) or ``"si"`` (°C, base 15 °C)
        lowest, highest: the ends of the chart, whole degrees
        coefficients: of 1, T and T²
        base: the base temperature, degrees of the system
    """

    kind: str
    system: str
    lowest: float
    highest: float
    coefficients: tuple[float, float, float]
    base: float

    def factor(self, degrees: Temperature) -> float:
        """Give the factor at whole degrees, not rounded; nothing is said here about the ends of the chart."""
        return self._polynomial(degrees) / self._polynomial(self.base)

    def covers(self, degrees: Temperature) -> bool:
        """Tell whether a whole degree stands in the chart."""
        return self.lowest <= degrees <= self.highest

    def _polynomial(self, degrees: float) -> float:
        constant_term, linear, square = self.coefficients
        return constant_term + linear * degrees + square * degrees**2


def volume_factor(temperature: Temperature, kind: str, system: str, decimals: int | None = None) -> float:
    """Give the factor from volume at a temperature to volume at the base temperature.

    The temperature is taken to the whole degree first, the factor rounded after, as a person with the printed chart
    would do. At the base it is exactly 1.

    Args:
        temperature: [temperature]
        kind: ``"asphalt-a"``, ``"asphalt-b"`` or ``"emulsion"``; :func:`correction_kind` says which
        system: ``"us"`` (base 60 °F) or ``"si"`` (base 15 °C), each with its own chart
        decimals: places the factor is rounded to; by default 4, for emulsion 5

    Raises:
        QuantityError: a temperature outside the chart (nothing is extrapolated); an unknown kind

    Source: ASTM D4311/D4311M §4.2.2 and §4.2.3 (a public reproduction was seen); Iowa DOT IM T102C (seen);
    emulsion: a printed table (seen, see ``tables/correction.csv``).
    """
    return factor_of("temperature", temperature, kind, system, decimals)


def correction_kind(specific_gravity: Gravity, emulsion: bool = False) -> CorrectionKind:
    """Name the correction column of a material: ``"asphalt-a"``, ``"asphalt-b"`` or ``"emulsion"``.

    Args:
        specific_gravity: at 60/60 °F (or 15 °C), rounded to three decimals first. From 0.967 it is column A, from
            0.850 to 0.966 column B.
        emulsion: an emulsion, which ASTM D4311 does not cover (§1.1)

    Raises:
        QuantityError: an asphalt below 0.850, which has no column

    Source: ASTM D4311/D4311M table footnotes (A seen, the gravity of B from memory).
    """
    if emulsion:
        return "emulsion"
    rounded = round_half_away(specific_gravity, 3)
    if rounded < _LEAST_GRAVITY:
        raise refused(
            "specific_gravity", f"{rounded:g}", f"{_LEAST_GRAVITY:g} or more: lighter asphalt has no column"
        )
    return "asphalt-a" if rounded >= constants("us")["gravity_limit"] else "asphalt-b"


def at_base(volume: Volume, factor: Factor) -> Volume:
    """Give a hot volume's [volume] at the base temperature; not rounded.

    Args:
        volume: [volume] as measured
        factor: from :func:`volume_factor`, above zero

    Source: corrected volume = measured volume × factor, ASTM D4311/D4311M (seen).
    """
    return volume * factor


def factor_of(
    name: str, temperature: Temperature, kind: str, system: str, decimals: int | None = None
) -> float:
    """Give the :func:`volume_factor` of an argument of another name, which its errors then say."""
    chart = correction_chart(kind, system)
    whole = round_half_away(temperature, 0)
    if not chart.covers(whole):
        ends = f"{chart.lowest:g} to {shown(chart.highest, 'temperature', system)}"
        raise refused(
            name, shown(whole, "temperature", system), f"{ends}, where the chart of {chart.kind} ends"
        )
    return round_half_away(chart.factor(whole), DECIMALS[chart.kind] if decimals is None else decimals)


@cache
def correction_chart(kind: str, system: str) -> CorrectionChart:
    """Look up the chart of a kind of material in a unit system: its ends and coefficients.

    Raises:
        QuantityError: an unknown kind
    """
    for row in templates.table("correction"):
        if (row["kind"], row["system"]) == (kind, system):
            coefficients = (float(row["c0"]), float(row["c1"]), float(row["c2"]))
            ends = float(row["t_min"]), float(row["t_max"])
            return CorrectionChart(kind, system, *ends, coefficients, constants(system)["base_temperature"])
    raise refused("kind", f"{kind!r}", ", ".join(map(repr, DECIMALS)))
