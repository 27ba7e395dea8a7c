"""Published figures in an order's unit system: grades, spraying ranges and rates."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from sheetgen import templates
from sheetgen.order.fields import layout
from sheetgen.units import converted, units

_UNITS = {"°F": "degF", "°C": "degC", "gal/yd²": "gal/yd**2", "L/m²": "l/m**2"}
_SYSTEM = {"°F": "us", "°C": "si", "gal/yd²": "us", "L/m²": "si"}


@dataclass(frozen=True, slots=True)
class Grade:
    """One grade: class, typical specific gravity, least residue (a part of one), least flash point."""

    grade: str
    material_class: str
    gravity: tuple[float | None, float | None]
    gravity_seen: str
    residue: float | None
    residue_seen: str
    flash: float | None
    flash_seen: str
    source: str


@dataclass(frozen=True, slots=True)
class Range:
    """The spraying temperatures of one grade in one document; ``high`` is None where it gives none."""

    grade: str
    document: str
    low: float
    high: float | None
    seen: str
    source: str


@dataclass(frozen=True, slots=True)
class Rate:
    """A published application rate: as printed, and in the order's unit where its unit is one of volume."""

    work: str
    surface: str
    basis: str
    printed: tuple[float | None, float | None]
    unit: str
    low: float | None
    high: float | None
    agency: str
    guide: bool
    seen: str
    source: str


@cache
def grade_facts(system: str, language: str = "en") -> tuple[Grade, ...]:
    """Every grade in the order of the table, its source in the words of a language."""
    return tuple(
        Grade(
            row["grade"], row["material_class"],
            (_number(row["gravity_low"]), _number(row["gravity_high"])), row["gravity_seen"],
            _number(row["residue_min"]), row["residue_seen"],
            _temperature(row["flash_min"], "°F", system), row["flash_seen"],
            templates.source(row, language),
        )
        for row in templates.table("materials")
    )  # fmt: skip


@cache
def spray_ranges(system: str, language: str = "en") -> tuple[Range, ...]:
    """Every range; in metric a document's own °C figures, and converted ones only where it has none."""
    rows = templates.table("spray_ranges")
    own = {(row["grade"], row["document"]) for row in rows if _SYSTEM[row["unit"]] == system}
    found = []
    for row in rows:
        printed_so = _SYSTEM[row["unit"]] == system
        if not printed_so and (system == "us" or (row["grade"], row["document"]) in own):
            continue
        low = _temperature(row["min"], row["unit"], system)
        high = _temperature(row["max"], row["unit"], system)
        seen = row["seen"] if printed_so or row["seen"] == "memory" else "converted"
        source = templates.source(row, language)
        found.append(Range(row["grade"], row["document"], low or 0.0, high, seen, source))
    return tuple(found)


@cache
def rates(system: str, language: str = "en") -> tuple[Rate, ...]:
    """Every published rate, its source in the words of a language."""
    return tuple(
        Rate(
            row["work"], row["surface"], row["basis"],
            (_number(row["min"]), _number(row["max"])), row["unit"],
            _rate(row["min"], row["unit"], system), _rate(row["max"], row["unit"], system),
            row["agency"], row["guide"] == "yes", row["seen"], templates.source(row, language),
        )
        for row in templates.table("rates")
    )  # fmt: skip


@cache
def compared_rates(system: str, language: str = "en") -> dict[tuple[str, str, str], Rate]:
    """The published rate that an order is compared with, by (work, surface, basis)."""
    surfaces = layout()["choices"]["surface"]["values"]
    return {
        (rate.work, surface, rate.basis): rate
        for rate in rates(system, language)
        if rate.guide
        for surface in ([rate.surface] if rate.surface else surfaces)
    }


def _number(text: str) -> float | None:
    return float(text) if text else None


def _temperature(text: str, unit: str, system: str) -> float | None:
    """Whole degrees: the documents print no finer."""
    if not text:
        return None
    return float(round(converted(float(text), _UNITS[unit], units(system)["temperature"].name)))


def _rate(text: str, unit: str, system: str) -> float | None:
    if not text or unit not in _UNITS:  # a rate by mass needs the material's density: it is only shown
        return None
    if _SYSTEM[unit] == system:
        return float(text)
    number = converted(float(text), _UNITS[unit], units(system)["rate"].name)
    return round(number, 3 if system == "us" else 2)


@dataclass(frozen=True, slots=True)
class HeatLimit:
    """A temperature that a document says is never to be passed, for a grade or for a whole class."""

    grade: str
    material_class: str
    most: float
    document: str
    seen: str
    source: str


@cache
def heat_limits(system: str, language: str = "en") -> tuple[HeatLimit, ...]:
    """Every published maximum, in the unit of the system, the lowest first."""
    found = [
        HeatLimit(
            row["grade"], row["material_class"], _temperature(row["max"], row["unit"], system) or 0.0,
            row["document"], row["seen"], templates.source(row, language),
        )
        for row in templates.table("heating_limits")
    ]  # fmt: skip
    return tuple(sorted(found, key=lambda each: each.most))


def heat_limits_of(
    grade: str, material_class: str, system: str, language: str = "en"
) -> tuple[HeatLimit, ...]:
    """The published maxima that hold for a grade, the lowest first."""
    return tuple(
        each
        for each in heat_limits(system, language)
        if (each.grade == grade if each.grade else each.material_class == material_class)
    )


def flash_of(grade: str, system: str) -> float | None:
    """The minimum flash point that the grade's specification asks for; None where it asks for none or is not known."""
    return next((each.flash for each in grade_facts(system) if each.grade == grade), None)
