"""The Plan sheet: what :mod:`sheetgen.plan` calculates for this distributor.

No entry of the book changes a plan, so its tables hold values; the lists of heating and quantities are formulas.
"""

from __future__ import annotations

from operator import attrgetter
from typing import Any

from sheetgen import templates
from sheetgen.book.canvas import Canvas
from sheetgen.book.plan_charts import draw_plan_charts
from sheetgen.book.plan_facts import PlanFacts
from sheetgen.book.plan_lists import draw_inputs, draw_lists
from sheetgen.book.plan_tables import Facts, draw_plan_table
from sheetgen.book.temperature_sheet import correction_kind
from sheetgen.errors import QuantityError
from sheetgen.plan.figures import Figures
from sheetgen.plan.inputs import default
from sheetgen.plan.model import MachinePlan, Notice, Plan
from sheetgen.plan.notice_text import notice_text
from sheetgen.trade.limits import limit
from sheetgen.units import constants
from sheetgen.xlsx.blocks import across
from sheetgen.xlsx.model import Sheet, Value
from sheetgen.xlsx.page import block_page
from sheetgen.xlsx.text_fit import text_height

_LAST_COL = 16
_WIDTH = 9.4


def draw_plan(canvas: Canvas) -> Sheet:
    """Draw the sheet; registers tables and cells that formulas name, all of which begin with "plan_".

    An order whose temperatures no correction chart covers has no plan: the sheet then says why.
    """
    sheet = canvas.sheet("plan")
    row = _draw_top(canvas, sheet)
    starts = [0]
    try:
        made = canvas.plan
    except QuantityError:
        across(canvas, sheet, row, _LAST_COL, _no_plan(canvas), "caution_line")
    else:
        row = _draw_all(canvas, sheet, made, made.machines[0], row, starts)
    sheet.column_widths |= dict.fromkeys(range(_LAST_COL + 1), _WIDTH) | {_LAST_COL + 1: 2, _LAST_COL + 2: 2}
    block_page(canvas, sheet, "landscape", _LAST_COL, row, starts)
    return sheet


def _no_plan(canvas: Canvas) -> str:
    """Why an order has no plan."""
    kind = correction_kind(canvas)
    rows = templates.table("correction")
    chart = next(row for row in rows if row["kind"] == kind and row["system"] == canvas.system)
    return canvas.say.say(
        "plan.no_plan", low=chart["t_min"], high=chart["t_max"], unit=canvas.unit("temperature")
    )


def _draw_top(canvas: Canvas, sheet: Sheet) -> int:
    canvas.put(sheet, 0, 0, canvas.say["sheet.plan.title"], "title")
    if canvas.order.job.invented:
        canvas.put(sheet, 0, 11, canvas.say["book.invented_short"], "subtitle_right")
        canvas.merge(sheet, 0, 11, 0, _LAST_COL)
    base = canvas.say[f"book.base_{canvas.order.units}"]
    texts = (
        (canvas.say.say("sheet.plan.note", base=base), "note"),
        (canvas.say["cautions.defer"], "caution_line"),
    )
    for row, (text, style) in enumerate(texts, start=1):
        canvas.put(sheet, row, 0, text, style)
        canvas.merge(sheet, row, 0, row, _LAST_COL)
        sheet.row_heights[row] = text_height(text, _WIDTH * (_LAST_COL + 1), 9) + 5
    sheet.row_heights[0] = 26
    sheet.freeze = (3, 1)
    return 4


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
    row = draw_inputs(canvas, sheet, made.inputs, row)
    starts.append(row)
    return draw_lists(canvas, sheet, given_values(canvas) | facts.day() | facts.bar(), drawn, row) - 2


def _draw_tables(
    canvas: Canvas, sheet: Sheet, spec: dict[str, Any], key: str, heading: str, facts: Facts, row: int,
    starts: list[int],
) -> int:  # fmt: skip
    """A table under its heading; nothing where it has no rows."""
    if not facts:
        return row
    starts.append(row)
    canvas.put(sheet, row, 0, canvas.say[f"plan.part.{heading}"], "grid_title")
    place = draw_plan_table(canvas, sheet, spec[key], facts, row + 1)
    for index, _fact in enumerate(facts):
        sheet.row_heights[place.first_row + index] = 24 if key in ("sections", "settings", "judging") else 17
    return place.last_row + 2


def _draw_notices(canvas: Canvas, sheet: Sheet, notices: list[Notice], row: int, starts: list[int]) -> int:
    """What a person should know of this plan, in words."""
    if not notices:
        return row
    starts.append(row)
    canvas.put(sheet, row, 0, canvas.say["plan.part.notices"], "grid_title")
    figures = Figures(canvas.order.units, canvas.order.language)
    for notice in notices:
        row += 1
        text = notice_text(notice, figures)
        canvas.put(sheet, row, 0, text, "notice")
        canvas.merge(sheet, row, 0, row, _LAST_COL)
        sheet.row_heights[row] = text_height(text, _WIDTH * (_LAST_COL + 1), 10) + 2
    return row + 2


def given_values(canvas: Canvas) -> dict[str, Value]:
    """Values that the lists take as they are: of the order, of published tables, fixed numbers."""
    order, machine = canvas.order, canvas.machine
    angles = limit("nozzle_angle")
    values: dict[str, Value] = {
        "heating_step": default(order, "heating_step"),
        "emulsion_heating_rate": default(order, "emulsion_heating_rate"),
        "angle_low": angles.low,
        "angle_high": angles.high,
        "power": machine.burner_power,
        "efficiency": machine.burner_efficiency,
        "residue_heat_low": default(order, "specific_heat_low"),
        "residue_heat_high": default(order, "specific_heat_high"),
    }
    values |= {f"constant.{key}": value for key, value in constants(order.units).items()}
    values |= {f"published.{row['key']}": float(row["value"]) for row in templates.table("seal_design")}
    design = order.planning.seal_design
    if design is not None:
        values |= {f"seal.{name}": attrgetter(name)(design) for name in type(design).model_fields}
    return values
