"""The Plan sheet: what :mod:`sheetgen.plan` calculates for this distributor.

No entry of the book changes a plan: every cell holds a value.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from sheetgen import templates
from sheetgen.book.canvas import Canvas
from sheetgen.book.correction import correction_kind
from sheetgen.book.plan_charts import draw_plan_charts
from sheetgen.book.plan_facts import Facts, PlanFacts, twelve_digits
from sheetgen.errors import QuantityError
from sheetgen.plan.figures import Figures
from sheetgen.plan.model import Given, MachinePlan, Notice, Plan
from sheetgen.xlsx.blocks import Columns, Part, TableLook, across, draw_line, draw_table, draw_title
from sheetgen.xlsx.model import Sheet, Value
from sheetgen.xlsx.page import block_page

_LAST_COL = 16
_SIDES = {"left": Columns((0, 4), (5, 5), 6), "right": Columns((9, 13), (14, 14), 15)}
_SOURCE = (7, 16)
_TABLE = TableLook(given="header_result", note="result_note")
_FORMATS = {"allowance": "percent", "level_within": "percent", "specific_heat": "specific_heat"}
_WIDTH = 9.4
_OF_LIMITS, _WIDER = (10, 11), 12.2  # the nearest limit, in words


def draw_plan(canvas: Canvas, tab: str = "") -> Sheet:
    """Draw the sheet; registers its tables and marks the cells of its lists, all of which begin with "plan_".

    It is named as in a field book where no ``tab`` is given; its title then names the distributor. An order whose
    temperatures no correction chart covers has no plan: the sheet then says why.
    """
    sheet = canvas.add("plan", tab) if tab else canvas.sheet("plan")
    sheet.column_widths |= dict.fromkeys(range(_LAST_COL + 1), _WIDTH) | dict.fromkeys(_OF_LIMITS, _WIDER)
    name = f": {canvas.machine.name}" if tab else ""
    row = _draw_top(canvas, sheet, canvas.say["sheet.plan.title"] + name)
    starts = [0]
    try:
        made = canvas.plan
    except QuantityError:
        across(canvas, sheet, row, _LAST_COL, _no_plan(canvas), "caution_line")
    else:
        row = _draw_all(canvas, sheet, made, made.machines[0], row, starts)
    block_page(canvas, sheet, "landscape", _LAST_COL, row, starts)
    return sheet


def _no_plan(canvas: Canvas) -> str:
    """Why an order has no plan."""
    kind = correction_kind(canvas.order)
    rows = templates.table("correction")
    chart = next(row for row in rows if row["kind"] == kind and row["system"] == canvas.system)
    planned, arrival = canvas.order.material.spray_planned, canvas.order.planning.arrival_temperature
    unit = canvas.unit("temperature")
    return canvas.say.say(
        "plan.no_plan", low=chart["t_min"], high=chart["t_max"], unit=unit, planned=f"{planned:g}",
        arrival=canvas.say["plan.as_planned"] if arrival is None else f"{arrival:g} {unit}",
    )  # fmt: skip


def _draw_top(canvas: Canvas, sheet: Sheet, title: str) -> int:
    base = canvas.say[f"book.base_{canvas.order.units}"]
    notes = [
        (canvas.say.say("sheet.plan.note", base=base), "note"),
        (canvas.say["cautions.defer"], "caution_line"),
        *canvas.given_to_others(),
    ]
    row = draw_title(canvas, sheet, title, notes, _LAST_COL)
    if canvas.order.job.invented:
        across(canvas, sheet, 0, _LAST_COL, canvas.say["book.invented_short"], "subtitle_right", 11)
    sheet.freeze = (row, 1)
    return row + 1


def _draw_all(
    canvas: Canvas, sheet: Sheet, made: Plan, machine: MachinePlan, row: int, starts: list[int]
) -> int:
    """Draw every part of a plan; notes where each begins, and gives the last row."""
    spec = templates.toml("sheets/plan.toml")
    facts = PlanFacts(canvas.order, made, machine)
    parts: list[tuple[str, str, Facts]] = [
        ("sections", "sections_planned", facts.sections()),
        ("passes", "passes", facts.passes()),
        ("settings", "settings", facts.settings()),
        ("judging", "judging_and_guide", facts.judging()),
        ("stone", "stone", facts.stone()),
        ("waits", "waits", facts.waits()),
    ]
    for key, heading, rows in parts:
        row = _draw_tables(canvas, sheet, spec, key, heading, rows, row, starts)
    row = _draw_notices(canvas, sheet, [*made.notices, *machine.notices], row, starts)
    if machine.shots:
        row = draw_plan_charts(canvas, sheet, made, machine, row, starts)
        for key, rows in (("shots", facts.shots()), ("loads", facts.loads()), ("runs", facts.runs())):
            row = _draw_tables(canvas, sheet, spec, key, key, rows, row, starts)
    drawn = {name for name, there in (("shots", machine.shots), ("seal", made.seal)) if there}
    starts.append(row)
    row = _draw_inputs(canvas, sheet, made.inputs, row)
    starts.append(row)
    return _draw_lists(canvas, sheet, facts.lists(), drawn, row) - 2


def _draw_tables(
    canvas: Canvas, sheet: Sheet, spec: dict[str, Any], key: str, heading: str, facts: Facts, row: int,
    starts: list[int],
) -> int:  # fmt: skip
    """A table under its heading; nothing where it has no rows."""
    if not facts:
        return row
    starts.append(row)
    canvas.put(sheet, row, 0, canvas.say[f"plan.part.{heading}"], "grid_title")
    head = 52 if key == "stone" else 41
    place = draw_table(canvas, sheet, spec[key], facts, row + 1, texts="plan.column", head=head, look=_TABLE)
    for index, fact in enumerate(facts if key != "waits" else ()):
        later = isinstance(fact.get("end"), str)  # the day stands above the time
        usual = 24 if key in ("sections", "settings", "judging") else 17
        sheet.row_heights[place.first_row + index] = 28 if later else usual
    return place.last_row + 2


def _draw_notices(canvas: Canvas, sheet: Sheet, notices: list[Notice], row: int, starts: list[int]) -> int:
    """What a person should know of this plan, in words."""
    if not notices:
        return row
    starts.append(row)
    canvas.put(sheet, row, 0, canvas.say["plan.part.notices"], "grid_title")
    figures = Figures(canvas.order.units, canvas.order.language)
    for sentence in figures.notices(notices):
        row += 1
        across(canvas, sheet, row, _LAST_COL, sentence, "notice")
    return row + 2


def _draw_inputs(canvas: Canvas, sheet: Sheet, inputs: tuple[Given, ...], row: int) -> int:
    """Every input with its source; gives the row below."""
    row = across(canvas, sheet, row, _LAST_COL, canvas.say["plan.part.inputs"], "group")
    for given in inputs:
        source = canvas.say["plan.order"] if given.ordered else given.source
        if not given.ordered and given.key == "arrival_temperature":
            source = canvas.say["plan.as_planned"]
        spec = {"format": _FORMATS.get(given.key, "general"), "unit": given.kind}
        label = canvas.say[f"plan.input.{given.key}"]
        parts = _parts(canvas, _SIDES["left"], spec, given.value, label)
        draw_line(canvas, sheet, row, *parts, Part(*_SOURCE, source, "note"), least=16)
        canvas.mark(f"plan_{given.key}", sheet, row, _SIDES["left"].value[0])
        row += 1
    return row + 1


def _draw_lists(
    canvas: Canvas, sheet: Sheet, facts: Mapping[str, Mapping[str, Any]], drawn: set[str], row: int
) -> int:  # fmt: skip
    """The lists of ``sheets/plan.toml`` on two sides; gives the row below both.

    Args:
        facts: the values of each list by key
        drawn: which parts the plan has: "shots", "seal"
        row: the first
    """
    rows = dict.fromkeys(_SIDES, row)
    for part in templates.toml("sheets/plan.toml")["list"]:
        if part.get("needs", "") not in {"", *drawn}:
            continue
        key, columns, row = part["key"], _SIDES[part["side"]], rows[part["side"]]
        row = across(
            canvas, sheet, row, columns.unit or 0, canvas.say[f"plan.part.{key}"], "group", columns.label[0]
        )
        for field in part["fields"]:
            name = field["key"]
            label = canvas.say[f"plan.{key}_row.{name}"]
            draw_line(canvas, sheet, row, *_parts(canvas, columns, field, facts[key][name], label), least=16)
            canvas.mark(f"plan_{key}_{name}", sheet, row, columns.value[0])
            row += 1
        rows[part["side"]] = row + 1
    return max(rows.values())


def _parts(canvas: Canvas, columns: Columns, spec: Mapping[str, Any], value: Value, label: str) -> list[Part]:
    """A labelled value with its unit."""
    # A time of whole minutes is exact everywhere; cut short, a program that saves the book would mend it.
    value = value if spec["format"] == "time" else twelve_digits(value)
    style = "value_number"
    if spec.get("result"):
        style = "result_strong" if spec.get("strong") else "result"
    unit = spec.get("unit", "")
    named = (
        f"{canvas.unit('volume')}/{canvas.unit('depth')}" if unit == "slope" else unit and canvas.unit(unit)
    )
    shown = canvas.shown(spec["format"]) if spec.get("result") else canvas.shown_value(spec["format"], value)
    column = columns.unit or 0
    return [
        Part(*columns.label, label, "label"),
        Part(*columns.value, value, style, shown),
        Part(column, column, named or None, "unit"),
    ]
