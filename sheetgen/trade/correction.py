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
from math import nan
from typing import Any, Literal, TypeAlias

from sheetgen import templates
from sheetgen.errors import QuantityError
from sheetgen.trade.checks import Plain, Quantity, amounts, arithmetic, constant, made, wrong
from sheetgen.trade.elementwise import every, is_array, some, where
from sheetgen.trade.given import is_quantity
from sheetgen.trade.kinds import CELSIUS, FACTOR, FAHRENHEIT, GRAVITY, VOLUME, Kind
from sheetgen.trade.rounding import round_half_away

CorrectionKind: TypeAlias = Literal["asphalt-a", "asphalt-b", "emulsion"]
Base: TypeAlias = "str | Quantity"
"""``"60 degF"`` or ``"15 degC"``, or a temperature equal to one of them in the same unit."""

BASE_60_F = "60 degF"
BASE_15_C = "15 degC"
BASES = {"us": BASE_60_F, "si": BASE_15_C}
"""The base temperature of each unit system."""

_SYSTEMS = {base: system for system, base in BASES.items()}
_TEMPERATURES: dict[str, Kind] = {"us": FAHRENHEIT, "si": CELSIUS}
_DECIMALS = {"asphalt-a": 4, "asphalt-b": 4, "emulsion": 5}  # as the trade's tables are printed
_LEAST_GRAVITY = 0.850  # ASTM D4311 column B begins at a density of 850 kg/m³ (seen)


@dataclass(frozen=True, slots=True)
class CorrectionChart:
    """One correction chart: a kind of material on one base.

    Attributes:
        kind: ``"asphalt-a"``, ``"asphalt-b"`` or ``"emulsion"``
        system: ``"us"`` (°F, base 60 °F) or ``"si"`` (°C, base 15 °C)
        lowest, highest: the ends of the chart, whole degrees
        coefficients: of 1, T and T²
        base: the base temperature, a number in the system's degrees
    """

    kind: str
    system: str
    lowest: float
    highest: float
    coefficients: tuple[float, float, float]
    base: float

    def factor(self, degrees: Any) -> Any:
        """The factor at whole degrees, not rounded; nothing is said here about the ends of the chart."""
        return self._polynomial(degrees) / self._polynomial(self.base)

    def covers(self, degrees: Any) -> Any:
        """True where a whole degree stands in the chart."""
        return (degrees >= self.lowest) & (degrees <= self.highest)

    def _polynomial(self, degrees: Any) -> Any:
        constant_term, linear, square = self.coefficients
        return constant_term + linear * degrees + square * degrees**2


def volume_factor(
    temperature: Quantity,
    kind: str,
    base: Base = BASE_60_F,
    decimals: int | None = None,
    outside: Literal["error", "nan"] | None = None,
) -> Any:
    """The factor from volume at a temperature to volume at the base temperature: a plain number or array.

    The temperature is taken to the whole degree of the base's scale first, the factor rounded after, as a
    person with the printed chart would do. At the base it is exactly 1.

    Args:
        temperature: any unit of temperature
        kind: ``"asphalt-a"``, ``"asphalt-b"`` or ``"emulsion"``; :func:`correction_kind` says which
        base: ``"60 degF"`` or ``"15 degC"``, each with its own chart
        decimals: places the factor is rounded to; by default 4, for emulsion 5
        outside: what becomes of a temperature outside the chart: ``"error"``, or ``"nan"`` in its place. By
            default a single temperature is an error and an element of an array becomes NaN. Nothing is
            extrapolated.

    Raises:
        QuantityError: not a temperature, not finite, outside the chart, an unknown kind or base

    Source: ASTM D4311/D4311M §4.2.2 and §4.2.3 (a public reproduction was seen); Iowa DOT IM T102C (seen);
    emulsion: asphalt handbook practice (from memory).
    """
    return factor_of("temperature", temperature, kind, base, decimals, outside)


def correction_kind(specific_gravity: Plain, emulsion: bool = False) -> Any:
    """The correction column of a material: ``"asphalt-a"``, ``"asphalt-b"`` or ``"emulsion"``.

    Args:
        specific_gravity: at 60/60 °F (or 15 °C), a plain number or an array; rounded to three decimals first.
            From 0.967 it is column A, from 0.850 to 0.966 column B.
        emulsion: an emulsion, which ASTM D4311 does not cover (§1.1)

    Returns:
        the kind, or an array of kinds

    Raises:
        QuantityError: not a plain number, not finite, or an asphalt below 0.850, which has no column

    Source: ASTM D4311/D4311M table footnotes (A seen, the gravity of B from memory).
    """
    (gravity,) = amounts(specific_gravity=(specific_gravity, GRAVITY))
    if emulsion:
        return where(gravity > 0, "emulsion", "")  # an array of words for an array
    rounded = round_half_away(gravity, 3)
    if some(rounded < _LEAST_GRAVITY):
        found = f"{rounded.min() if is_array(rounded) else rounded:g}"
        raise wrong("specific_gravity", found, f"{_LEAST_GRAVITY:g} or more: lighter asphalt has no column")
    return where(rounded >= constant("us", "gravity_limit"), "asphalt-a", "asphalt-b")


@arithmetic
def at_base(volume: Quantity, factor: Plain) -> Any:
    """A hot volume's volume at the base temperature, in gal; not rounded.

    Args:
        volume: as measured
        factor: from :func:`volume_factor`, above zero

    Raises:
        QuantityError: wrong dimension, negative or not finite

    Source: corrected volume = measured volume × factor, ASTM D4311/D4311M (seen).
    """
    hot, part = amounts(volume=(volume, VOLUME), factor=(factor, FACTOR))
    return made(hot * part, "gal")


@arithmetic
def factor_of(
    name: str,
    temperature: Quantity,
    kind: str,
    base: Base,
    decimals: int | None = None,
    outside: Literal["error", "nan"] | None = None,
) -> Any:
    """:func:`volume_factor` for an argument of another name, which its errors then say."""
    chart = correction_chart(kind, base)
    (degrees,) = amounts(**{name: (temperature, _TEMPERATURES[chart.system])})
    whole = round_half_away(degrees, 0)
    covered = chart.covers(whole)
    if not every(covered) and (outside or ("nan" if is_array(whole) else "error")) == "error":
        raise _outside(name, whole, covered, chart)
    places = _DECIMALS[chart.kind] if decimals is None else decimals
    return where(covered, round_half_away(chart.factor(whole), places), nan)


@cache
def correction_chart(kind: str, base: Base = BASE_60_F) -> CorrectionChart:
    """The chart of a kind of material on a base: its ends and coefficients.

    Raises:
        QuantityError: an unknown kind or base
    """
    system = base_system(base)
    for row in templates.table("correction"):
        if (row["kind"], row["system"]) == (kind, system):
            coefficients = (float(row["c0"]), float(row["c1"]), float(row["c2"]))
            ends = float(row["t_min"]), float(row["t_max"])
            return CorrectionChart(kind, system, *ends, coefficients, constant(system, "base_temperature"))
    raise wrong("kind", f"{kind!r}", ", ".join(map(repr, _DECIMALS)))


def base_system(base: Base) -> str:
    """The unit system of a base temperature: ``"us"`` for 60 °F, ``"si"`` for 15 °C.

    Raises:
        QuantityError: another temperature
    """
    for name, system in _SYSTEMS.items():
        degrees, unit = name.split()
        if base == name or (is_quantity(base) and _is(base, float(degrees), unit)):
            return system
    raise wrong("base", str(base), " or ".join(map(repr, _SYSTEMS)))


def _is(base: Any, degrees: float, unit: str) -> bool:
    from sheetgen.quantities import quantity_in

    return bool(base == quantity_in(degrees, unit))


def _outside(name: str, whole: Any, covered: Any, chart: CorrectionChart) -> QuantityError:
    unit = {"us": "°F", "si": "°C"}[chart.system]
    first = float(whole[~covered][0] if is_array(whole) else whole)
    expected = f"{chart.lowest:g} to {chart.highest:g} {unit}, where the chart of {chart.kind} ends"
    return wrong(name, f"{first:g} {unit}", expected)
