"""What an order says that is allowed and hardly meant: the order sheet's warnings, from the order itself."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Any, NamedTuple

from sheetgen.order.fields import fields
from sheetgen.order.heating import emulsion_max, flash_point
from sheetgen.order.model import Machine, Material, Order, Section
from sheetgen.order.published import Grade, grade_facts, spray_ranges
from sheetgen.order.tank import chart_of
from sheetgen.templates import Texts, texts
from sheetgen.units import constants
from sheetgen.xlsx.blocks import value_at

_NUMERIC = ("number", "integer", "percent", "numbers")
_JOINTS = (" and ", " y ", "&", "+", "/")
_GRAVITY_ROOM = 0.02  # beside the usual specific gravities of a grade
_RAPID_SETTING = (
    "RS",
    "CRS",
    "HFRS",
)  # how the names of rapid setting emulsions begin, AASHTO M 140 and M 208
_BROKEN = 0.01  # of a nozzle spacing, that a bar may be longer or shorter than a whole number of them
_LARGE_TOLERANCE = 0.5
_SHORT = 20.0  # distance: no ordered section is shorter and has broken stations


class OrderWarning(NamedTuple):
    """One thing to look at before the work is planned.

    Attributes:
        sheet: key of the order's sheet
        item: the section or distributor, empty on the sheet of the material
        key: what it is: ``unusual``, or that of its sentence on the sheet, such as ``overlaps``
        text: in the order's language
    """

    sheet: str
    item: str
    key: str
    text: str

    def told(self, say: Texts) -> str:
        """The warning with the place that it speaks of."""
        tab = say[f"order.sheet.{self.sheet}.tab"]
        return f"{tab} ({self.item}): {self.text}" if self.item else f"{tab}: {self.text}"


def warnings_of(order: Order) -> tuple[OrderWarning, ...]:
    """Every warning of an order that its sheets show beside the entries, those of one sheet together."""
    say = texts(order.language, order.units)
    items: list[tuple[str, str, Any, dict[str, Callable[[Any, Order], bool]]]]
    items = [("material", "", order.material, _MATERIAL)]
    items += [("machines", each.name, each, _MACHINES) for each in order.machines]
    items += [("sections", each.id, each, _SECTIONS) for each in order.sections]
    found: list[OrderWarning] = []
    for sheet, item, entry, checks in items:
        source = order if sheet == "material" else entry
        found += [*_unusual(order, say, sheet, item, source), *_run_out(order, say, sheet, item, source)]
        for key, holds in checks.items():
            if holds(entry, order):
                text = say.own(f"order.check.{sheet}.{key}", order.units)
                found.append(OrderWarning(sheet, item, key, text))
    return tuple(found)


def _unusual(order: Order, say: Texts, sheet: str, item: str, source: Any) -> Iterator[OrderWarning]:
    """Values outside what their field calls plausible, under one sentence."""
    labels = []
    for field in fields(sheet, order.units):
        value = value_at(field.path, source)
        if field.plausible is None or field.kind not in _NUMERIC or value is None or isinstance(value, bool):
            continue
        low, high = field.plausible
        values = value if isinstance(value, tuple) else (value,)
        if any(each and not low <= each <= high for each in values):
            labels.append(field.label(say))
    if labels:
        text = say["order.warning.unusual"] + "; ".join(labels) + "."
        yield OrderWarning(sheet, item, "unusual", text)


def _run_out(order: Order, say: Texts, sheet: str, item: str, source: Any) -> Iterator[OrderWarning]:
    """Certificates and calibrations that end before the day of the order, under one sentence."""
    dates = ((each, value_at(each.path, source)) for each in fields(sheet, order.units) if each.until)
    labels = [field.label(say) for field, date in dates if date is not None and date < order.job.date]
    if labels:
        text = say["order.warning.run_out"] + "; ".join(labels) + "."
        yield OrderWarning(sheet, item, "run_out", text)


def _grade(order: Order) -> Grade | None:
    grade = order.material.grade.casefold()
    return next((each for each in grade_facts(order.units) if each.grade.casefold() == grade), None)


def _class_known(material: Material, order: Order) -> bool:
    grade = _grade(order)
    return grade is not None and grade.material_class not in ("", material.material_class)


def _gravity_odd(material: Material, order: Order) -> bool:
    grade = _grade(order)
    low, high = grade.gravity if grade else (None, None)
    gravity = material.specific_gravity
    return low is not None and high is not None and not low - _GRAVITY_ROOM <= gravity <= high + _GRAVITY_ROOM


def _residue_low(material: Material, order: Order) -> bool:
    grade = _grade(order)
    return grade is not None and grade.residue is not None and material.residue < grade.residue - 0.0001


def _rapid_diluted(material: Material, _order: Order) -> bool:
    """ASTM D6999 covers medium and slow setting grades alone; PPRA: RS-1 and CRS-1 cannot be diluted (both seen)."""
    return material.dilution < 1 and material.grade.upper().startswith(_RAPID_SETTING)


def _planned_unpublished(material: Material, order: Order) -> bool:
    grade, planned = material.grade.casefold(), material.spray_planned
    ranges = [each for each in spray_ranges(order.units) if each.grade.casefold() == grade]
    inside = (each.low <= planned and (each.high is None or planned <= each.high) for each in ranges)
    return bool(ranges) and not any(inside)


def _emulsion_hot(material: Material, order: Order) -> bool:
    """Whether an emulsion might be heated too far; one that is planned so is a notice of the plan."""
    most = emulsion_max(order.units)
    planned = max(material.spray_planned, order.planning.arrival_temperature or material.spray_planned)
    hottest = max(material.spray_max, material.heat_max or material.spray_max)
    return material.material_class == "emulsion" and planned <= most < hottest


def _flash_unknown(material: Material, order: Order) -> bool:
    return material.material_class == "cutback" and flash_point(order) is None


def _flash_passed(material: Material, _order: Order) -> bool:
    flash = material.flash_point
    return material.material_class != "cutback" and flash is not None and material.spray_planned >= flash


def _nozzle_flow(machine: Machine, order: Order) -> float:
    """[flow] of each nozzle with the widest bar open, at the calibrated discharge."""
    return machine.discharge / _spacings(max(machine.bar_widths), machine, order)


def _spacings(width: float, machine: Machine, order: Order) -> float:
    return width * constants(order.units)["nozzle_spacing_per_width"] / machine.nozzle_spacing


def _nozzles_broken(machine: Machine, order: Order) -> bool:
    counts = [_spacings(width, machine, order) for width in machine.bar_widths]
    return any(abs(count - round(count)) > _BROKEN for count in counts)


def _nominal_differs(machine: Machine, order: Order) -> bool:
    nominal = machine.tank.nominal
    if nominal is None:
        return False
    share = constants(order.units)["nominal_share"]
    return abs(chart_of(machine, order).capacity / nominal - 1) > share


def _in_miles(section: Section, order: Order) -> bool:
    ends = (section.from_station, section.to_station)
    broken = any(not end.is_integer() for end in ends)
    return broken and max(ends) < constants(order.units)["station_length"] and abs(ends[0] - ends[1]) < _SHORT


def _lanes_joined(section: Section, _order: Order) -> bool:
    return any(joint in lane for lane in section.lanes for joint in _JOINTS)


def _overlaps(section: Section, order: Order) -> bool:
    return any(_overlap(section, other) for other in order.sections if other is not section)


def _overlap(one: Section, other: Section) -> bool:
    """Whether two sections order a stretch of one lane of one road twice."""
    if one.road.casefold() != other.road.casefold() or not _lanes(one) & _lanes(other):
        return False
    low, high = (sorted((each.from_station, each.to_station)) for each in (one, other))
    return low[0] < high[1] and high[0] < low[1]


def _lanes(section: Section) -> set[str]:
    return {lane.casefold() for lane in section.lanes}


def _other_material(section: Section, order: Order) -> bool:
    """Whether a prime coat or a chip seal shares the order's one material with another kind of work."""
    return section.work in ("prime", "chip-seal") and any(
        each.work != section.work for each in order.sections
    )


def _tolerance_large(section: Section, _order: Order) -> bool:
    part = section.tolerance / (1 if section.tolerance_kind == "percent" else section.rate)
    return part > _LARGE_TOLERANCE


# What each sheet says, by the key of its sentence below ``order.check``. What is not here cannot be read, is refused by
# the model, or is judged by the plan: the rate beside what is published, and whether a distributor fits.
_MATERIAL: dict[str, Callable[[Material, Order], bool]] = {
    "class_known": _class_known,
    "gravity_odd": _gravity_odd,
    "residue_low": _residue_low,
    "asphalt_residue": lambda material, _: material.material_class == "asphalt" and material.residue != 1,
    "rapid_diluted": _rapid_diluted,
    "planned_unpublished": _planned_unpublished,
    "emulsion_hot": _emulsion_hot,
    "cutback": lambda material, _: material.material_class == "cutback",
    "flash_unknown": _flash_unknown,
    "flash_asphalt": _flash_passed,
}
_MACHINES: dict[str, Callable[[Machine, Order], bool]] = {
    "points_unused": lambda machine, _: bool(machine.tank.points) and machine.tank.shape != "calibrated",
    "nozzle_low": lambda machine, order: _nozzle_flow(machine, order) < machine.nozzle_flow_min,
    "nozzle_high": lambda machine, order: _nozzle_flow(machine, order) > machine.nozzle_flow_max,
    "nozzles_broken": _nozzles_broken,
    "nominal_differs": _nominal_differs,
}
_SECTIONS: dict[str, Callable[[Section, Order], bool]] = {
    "overlaps": _overlaps,
    "miles": _in_miles,
    "lanes_joined": _lanes_joined,
    "undiluted_same": lambda section, order: section.basis == "undiluted" and order.material.dilution < 1,
    "tolerance_large": _tolerance_large,
    "other_material": _other_material,
}
