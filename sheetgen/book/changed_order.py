"""What a revision of an order changes: a plain list of field, was and is, which the books of the revision carry."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from pydantic import BaseModel

from sheetgen.order.fields import FORMS, Field, fields, unit_label, words
from sheetgen.order.model import Changed, Machine, Order, Section
from sheetgen.plan.figures import Figures
from sheetgen.templates import texts
from sheetgen.xlsx.blocks import value_at

_OF_THE_REVISION = ("job.revision", "job.replaces")  # they differ by nature
_SECTION_IN_WORDS = ("road", "lanes", "from_station", "to_station", "width", "rate")
_LONGEST = 200  # characters of a value in the list


def without_changes(order: Order) -> Order:
    """Give the order as its workbook says it, without the list of what it changes."""
    return order.model_copy(update={"changed": ()})


def changes_between(before: Order, after: Order) -> tuple[Changed, ...]:
    """List what an order asks for otherwise than an earlier one, in the words of the later one."""
    return tuple(_Comparison(before, after).all())


class _Comparison:
    def __init__(self, before: Order, after: Order) -> None:
        self._before, self._after = before, after
        self._say = texts(after.language, after.units)
        self._figures = Figures(after.units, after.language)

    def all(self) -> Iterator[Changed]:
        before, after = self._before, self._after
        yield from self._of_book(
            "units", *(self._say[f"order.system.{each.units}"] for each in (before, after))
        )
        yield from self._of_book(
            "language", *(texts(each.language)["language.name"] for each in (before, after))
        )
        for sheet in FORMS:
            for field in fields(sheet, after.units):
                if field.path not in _OF_THE_REVISION:
                    yield from self._of_field(field, "", before, after)
        yield from self._of_list("machines", {each.name: each for each in before.machines},
                                 {each.name: each for each in after.machines})  # fmt: skip
        yield from self._of_list("sections", {each.id: each for each in before.sections},
                                 {each.id: each for each in after.sections})  # fmt: skip

    def _of_book(self, field: str, was: str, now: str) -> Iterator[Changed]:
        if was != now:
            yield _changed("job", "", field, was, now)

    def _of_list(self, sheet: str, old: dict[str, Any], new: dict[str, Any]) -> Iterator[Changed]:
        """Sections or distributors: those that went, those that came, and what changed in each that stayed."""
        for name in (each for each in old if each not in new):
            yield _changed(sheet, name, "", self._whole(old[name]), "")
        for name, item in new.items():
            if name not in old:
                yield _changed(sheet, name, "", "", self._whole(item))
                continue
            for field in fields(sheet, self._after.units):
                yield from self._of_field(field, name, old[name], item)
            if sheet == "machines" and old[name].tank.points != item.tank.points:
                yield _changed(sheet, name, "tank.points", _points(old[name]), _points(item))
            if sheet == "machines" and old[name].functions != item.functions:
                yield _changed(sheet, name, "functions", *map(self._functions, (old[name], item)))

    def _of_field(self, field: Field, of: str, before: BaseModel, after: BaseModel) -> Iterator[Changed]:
        was, now = value_at(field.path, before), value_at(field.path, after)
        if was != now:
            shown = (self._shown(field, value, source) for value, source in ((was, before), (now, after)))
            yield _changed(field.sheet, of, field.path, *shown)

    def _functions(self, machine: Machine) -> str:
        """A function table in a few words."""
        lines = []
        for function in machine.functions:
            valves = enumerate(function.valves, start=1)
            said = (
                f"{number} {self._say[f'order.words.valve.{valve}']}" for number, valve in valves if valve
            )
            lines.append(f"{function.name}: {', '.join(said)}")
        return "; ".join(lines)

    def _whole(self, item: Section | Machine) -> str:
        """A section or distributor in a few words."""
        if isinstance(item, Machine):
            return item.name
        by_path = {field.path: field for field in fields("sections", self._after.units)}
        return ", ".join(self._shown(by_path[path], getattr(item, path), item) for path in _SECTION_IN_WORDS)

    def _shown(self, field: Field, value: Any, source: BaseModel) -> str:
        """A value as a person reads it, with its unit; empty where there is none."""
        if value is None or value in ("", ()):
            return ""
        if field.kind in ("choice", "yes-no"):
            choice = field.choice or "yes_no"
            return words(choice, self._say)[("yes" if value else "no") if choice == "yes_no" else value]
        if field.kind == "station":
            return self._figures.station(value)
        if field.kind == "percent" or (field.kind == "tolerance" and _relative(source)):
            return f"{100 * value:.10g} %"
        kind = "rate" if field.kind == "tolerance" else field.unit
        unit = unit_label(Field(field.sheet, field.path, field.kind, unit=kind, unit_text=field.unit_text),
                          self._after.units, self._say)  # fmt: skip
        return f"{_plain(value)} {unit}".strip()


def _relative(source: BaseModel) -> bool:
    return getattr(source, "tolerance_kind", "") == "percent"


def _plain(value: Any) -> str:
    if isinstance(value, Sequence) and not isinstance(value, str):
        return "; ".join(map(_plain, value))
    return f"{value:.10g}" if isinstance(value, int | float) else f"{value}"


def _points(machine: Machine) -> str:
    return "; ".join(f"{point.depth:.10g}/{point.volume:.10g}" for point in machine.tank.points)


def _changed(sheet: str, of: str, field: str, was: str, now: str) -> Changed:
    return Changed(sheet=sheet, of=of, field=field, was=_cut(was), now=_cut(now))


def _cut(text: str) -> str:
    return text if len(text) <= _LONGEST else f"{text[: _LONGEST - 1]}…"
