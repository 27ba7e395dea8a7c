"""What a Plan sheet shows, by the names of the plan's data, as an engine worked it out."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Any

from sheetgen.plan.model import MachinePlan, Plan
from sheetgen.templates import texts, toml
from sheetgen.xlsx.model import Book, Value
from sheetgen.xlsx.results import Results

Pair = tuple[str, Any, Any]

# Columns of a table by attribute of the plan's data, where the names differ.
_SETTING = {
    "open_width": "open", "least_discharge": "least", "greatest_discharge": "greatest", "bar_width": "bar",
}  # fmt: skip
_SHOT = {
    "from_station": "from", "to_station": "to", "section": "id",
}  # fmt: skip


class SheetValues:
    """Reads the cells of a Plan sheet."""

    def __init__(self, book: Book, results: Results, areas: dict[str, Any]) -> None:
        self._book, self._results, self._areas = book, results, areas
        self._sheet = book.sheet("plan")

    def at(self, row: int, col: int) -> Value:
        """A cell's value: its constant, or the engine's result."""
        cell = self._sheet.cells[row, col]
        return cell.value if cell.formula is None else self._results["plan", row, col]

    def named(self, key: str) -> Value:
        """The cell that formulas call so."""
        area = self._areas[key]
        return self.at(area.first_row, area.first_col)

    def column(self, table: str, key: str) -> list[Value]:
        """A column of a table, or of its workings."""
        place = self._book.tables[table]
        return [self.at(row, place.columns[key]) for row in range(place.first_row, place.last_row + 1)]


def pairs(plan: Plan, machine: MachinePlan, sheet: SheetValues) -> Iterator[Pair]:
    """Every number and verdict of a plan beside what the sheet shows: (where, plan, sheet)."""
    yield from _sections(plan, machine, sheet)
    yield from _settings(plan, machine, sheet)
    if machine.shots:
        yield from _work(plan, machine, sheet)
    yield from _lists(plan, machine, sheet)


def differing(plan: Plan, machine: MachinePlan, sheet: SheetValues) -> list[str]:
    """Where the sheet and the plan do not agree; numbers to nine digits."""
    return [f"{where}: plan {ours!r}, sheet {theirs!r}" for where, ours, theirs in pairs(plan, machine, sheet)
            if not _same(ours, theirs)]  # fmt: skip


def _same(ours: Any, theirs: Any) -> bool:
    if ours in (None, ""):
        return theirs in ("", None)
    if isinstance(ours, (int, float)) and isinstance(theirs, (int, float)):
        return math.isclose(ours, theirs, rel_tol=1e-9, abs_tol=1e-9)
    return bool(ours == theirs)


def _sections(plan: Plan, machine: MachinePlan, sheet: SheetValues) -> Iterator[Pair]:
    say = texts(plan.language, plan.units)
    for index, (section, planned) in enumerate(zip(plan.sections, machine.sections, strict=True)):
        setting, judged, guidance = planned.setting, planned.judged, section.guidance

        def of(table: str, key: str, ours: Any, row: int = index, name: str = section.id) -> Pair:
            return f"{name} {key}", ours, sheet.column(table, key)[row]

        for key, ours in (
            ("id", section.id), ("covered", section.covered_width), ("mix_hot", section.mix_hot),
            ("passes", planned.passes), ("open", planned.open_width), ("sprayed_area", planned.sprayed_area),
            ("sprayed_hot", planned.sprayed_hot), ("sprayed_base", planned.sprayed_base),
            ("verdict", say[f"plan.verdict.{planned.verdict}"]),
        ):  # fmt: skip
            yield of("plan_sections", key, ours)
        for column, attribute in (("bar", "bar_width"), ("nozzles", "nozzles"), ("discharge", "discharge"),
                                  ("sprayed_at", "sprayed_at"), ("margin", "margin")):  # fmt: skip
            yield of("plan_sections", column, None if setting is None else getattr(setting, attribute))
        for key in ("by_dip", "by_meter", "longest"):
            yield of("plan_judging", key, None if judged is None else getattr(judged, key))
        yield of("plan_judging", "shots", 0 if judged is None else judged.shots)
        yield of("plan_judging", "told", 0 if judged is None else judged.told)
        yield of("plan_judging", "advice", None if judged is None else say[f"plan.judge.{judged.verdict}"])
        for key in ("rate", "low", "high", "other_low", "other_high"):
            yield of("plan_judging", key, getattr(guidance, key))
        yield of("plan_judging", "guide", say[f"plan.guide.{guidance.verdict}"])


def _half_up(minutes: float) -> int:
    """Whole minutes, as ROUND gives them."""
    return math.floor(round(minutes, 9) + 0.5)


def _settings(plan: Plan, machine: MachinePlan, sheet: SheetValues) -> Iterator[Pair]:
    say, row, of_pass = texts(plan.language, plan.units), 0, 0
    for section in machine.sections:
        for index, setting in enumerate(section.settings):
            named = f"{section.id} {setting.bar_width:g}"
            for attribute in ("bar_width", "passes", "open_width", "overlap", "beyond", "speed",
                              "nozzle_flow", "margin", "least_discharge", "greatest_discharge", "discharge",
                              "sprayed_at", "flow_at"):  # fmt: skip
                column = _SETTING.get(attribute, attribute)
                shown = sheet.column("plan_settings", column)[row]
                yield f"{named} {column}", getattr(setting, attribute), shown
            shown = sheet.column("plan_settings", "limit")[row]
            yield f"{named} limit", say[f"plan.limit_short.{setting.limit}"], shown
            mark = say["plan.planned_mark"] if index == section.chosen else ""
            yield f"{named} mark", mark, sheet.column("plan_settings", "mark")[row]
            row += 1
        for each in section.sprayed if section.setting else ():
            for attribute in ("number", "nozzles", "width", "overlap", "discharge", "speed", "flow"):
                column = {"number": "pass_number", "speed": "sprayed_at"}.get(attribute, attribute)
                shown = sheet.column("plan_passes", column)[of_pass]
                yield f"{section.id} pass {each.number} {attribute}", getattr(each, attribute), shown
            per_minute, length = (88, 100) if plan.units == "us" else (1000 / 60, 100)
            for column, ours in (
                ("road_speed", each.speed / per_minute),
                ("seconds", 60 * length / each.speed),
            ):
                yield (
                    f"{section.id} pass {each.number} {column}",
                    ours,
                    sheet.column("plan_passes", column)[of_pass],
                )
            of_pass += 1


def _work(plan: Plan, machine: MachinePlan, sheet: SheetValues) -> Iterator[Pair]:
    say = texts(plan.language, plan.units)
    for row, run in enumerate(machine.runs):
        for attribute, column in (("number", "number"), ("lane", "lane"), ("pass_number", "pass_number"),
                                  ("from_station", "from"), ("to_station", "to"), ("volume", "volume")):  # fmt: skip
            yield (
                f"run {run.number} {column}",
                getattr(run, attribute),
                sheet.column("plan_runs", column)[row],
            )
    for row, shot in enumerate(machine.shots):
        for name, value in shot._asdict().items():
            column = _SHOT.get(name, name)
            if column not in toml_columns("shots"):
                continue
            if name in ("begin", "end"):
                value = _clock(plan, value)
            if name == "told":
                value = say["plan.yes" if value else "plan.no"]
            if name == "ends_by":
                value = say[f"plan.ends_by.{value}"]
            yield f"shot {shot.number} {column}", value, sheet.column("plan_shots", column)[row]
    for row, load in enumerate(machine.loads):
        for name, value in load._asdict().items():
            column = {"section": "id"}.get(name, name)
            yield f"load {load.number} {column}", value, sheet.column("plan_loads", column)[row]
    day = machine.day
    assert day.end is not None
    for name, ours in (("loads", day.loads), ("shots", day.shots), ("sprayed_hot", day.sprayed_hot),
                       ("area", day.area), ("minutes", day.minutes), ("spray_minutes", day.spray_minutes),
                       ("area_per_hour", day.area_per_hour), ("days", day.days),
                       ("end", _clock(plan, day.end))):  # fmt: skip
        yield f"day {name}", ours, sheet.named(f"plan_day_{name}")


def _clock(plan: Plan, minutes: float) -> float | str:
    """A part of the first day, or day and time in words."""
    days, rest = divmod(_half_up(minutes), 1440)
    word = texts(plan.language, plan.units)["plan.head.day"]
    return f"{word} {days + 1}, {rest // 60:02d}:{rest % 60:02d}" if days else rest / 1440


def _lists(plan: Plan, machine: MachinePlan, sheet: SheetValues) -> Iterator[Pair]:
    for key in ("heating", "to_order", "bar"):
        data = getattr(machine, key)
        for field, value in data._asdict().items():
            if field in ("heights", "nozzles"):
                continue
            yield f"{key} {field}", value, sheet.named(f"plan_{key}_{field}")
    for number, height in enumerate(machine.bar.offered, start=1):
        yield f"height {number}", height, sheet.named(f"plan_bar_height_{number}")
    for key in ("full", "usable", "slope"):
        yield key, getattr(machine, key), sheet.named(f"plan_tank_{key}")
    if plan.seal is not None:
        for key in ("least_dimension", "voids", "aggregate", "binder"):
            yield f"seal {key}", getattr(plan.seal, key), sheet.named(f"plan_seal_{key}")
    for given in plan.inputs:
        yield given.key, given.value, sheet.named(f"plan_{given.key}")


def toml_columns(table: str) -> set[str]:
    """The columns of a table of the sheet."""
    return {column["key"] for column in toml("sheets/plan.toml")[table]["column"]}


def every_list_is_compared() -> set[str]:
    """Keys of the lists in the data that the comparison above does not look at."""
    seen = {"heating", "to_order", "bar", "tank", "day", "seal", "constants"}
    return {part["key"] for part in toml("sheets/plan.toml")["list"]} - seen
