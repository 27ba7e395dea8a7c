"""What an order says that is allowed and hardly meant: the order sheet's warnings, from the order itself."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations
from typing import Any, NamedTuple

from sheetgen.order.fields import fields, value_at
from sheetgen.order.model import Order, Section
from sheetgen.templates import Texts, texts
from sheetgen.units import constants

_NUMERIC = ("number", "integer", "percent", "numbers")
_JOINTS = (" and ", " y ", "&", "+", "/")
_SHORT = 20.0  # distance: no ordered section is shorter and has broken stations


class OrderWarning(NamedTuple):
    """One thing to look at before the work is planned.

    Attributes:
        sheet: key of the order's sheet
        item: the section or distributor, empty on the sheet of the material
        key: what it is: ``unusual``, ``overlaps``, ``miles`` or ``lanes_joined``
        text: in the order's language
    """

    sheet: str
    item: str
    key: str
    text: str

    def told(self, say: Texts) -> str:
        """The warning with the place that it speaks of."""
        tab = say[f"order.sheet.{self.sheet}.tab"]
        return f"{tab}, {self.item}: {self.text}" if self.item else f"{tab}: {self.text}"


def warnings_of(order: Order) -> tuple[OrderWarning, ...]:
    """Every warning of an order: values out of all measure, stretches ordered twice, stations and lanes misread."""
    say = texts(order.language, order.units)
    found = [*_unusual(order, say, "material", "", order)]
    for machine in order.machines:
        found += _unusual(order, say, "machines", machine.name, machine)
    for section in order.sections:
        found += _unusual(order, say, "sections", section.id, section)
        keys = (("miles", _in_miles(section, order.units)), ("lanes_joined", _lanes_joined(section)))
        found += [_warning(order, say, section.id, key) for key, holds in keys if holds]
    for one, other in combinations(order.sections, 2):
        if _overlap(one, other):
            found += [_warning(order, say, each.id, "overlaps") for each in (one, other)]
    return tuple(found)


def _warning(order: Order, say: Texts, item: str, key: str) -> OrderWarning:
    return OrderWarning("sections", item, key, say.own(f"order.check.sections.{key}", order.units))


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


def _in_miles(section: Section, system: str) -> bool:
    ends = (section.from_station, section.to_station)
    broken = any(not end.is_integer() for end in ends)
    return broken and max(ends) < constants(system)["station_length"] and abs(ends[0] - ends[1]) < _SHORT


def _lanes_joined(section: Section) -> bool:
    return any(joint in lane for lane in section.lanes for joint in _JOINTS)


def _overlap(one: Section, other: Section) -> bool:
    """Whether two sections order a stretch of one lane of one road twice."""
    if one.road.casefold() != other.road.casefold() or not _lanes(one) & _lanes(other):
        return False
    low, high = (sorted((each.from_station, each.to_station)) for each in (one, other))
    return low[0] < high[1] and high[0] < low[1]


def _lanes(section: Section) -> set[str]:
    return {lane.casefold() for lane in section.lanes}
