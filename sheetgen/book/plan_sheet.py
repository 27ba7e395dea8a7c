"""The Plan sheet: what :mod:`sheetgen.plan` works out for this distributor, as formulas.

How many rows its tables have follows from the plan; every number in them is a formula of the order's values, and an
engine that recalculates them must agree with the plan.
"""

from __future__ import annotations

from operator import attrgetter
from typing import Any

from sheetgen import templates
from sheetgen.book.canvas import Canvas
from sheetgen.book.page import block_page, text_height
from sheetgen.book.plan_charts import draw_plan_charts
from sheetgen.book.plan_lists import draw_inputs, draw_lists
from sheetgen.book.plan_tables import Facts, draw_plan_table
from sheetgen.errors import QuantityError
from sheetgen.plan.figures import Figures
from sheetgen.plan.inputs import default
from sheetgen.plan.job import plan
from sheetgen.plan.model import MachinePlan, Notice, Plan
from sheetgen.plan.notice_text import notice_text
from sheetgen.trade.limits import limit
from sheetgen.units import constants
from sheetgen.xlsx.model import Sheet, Value

_LAST_COL = 16
_WORKINGS = 19
_WIDTH = 9.4


def draw_plan(canvas: Canvas) -> Sheet:
    """Draw the sheet; registers tables and cells that formulas name, all of which begin with "plan_".

    An order whose temperatures no correction chart covers has no plan: the sheet then says why.
    """
    sheet = canvas.sheet("plan")
    row = _draw_top(canvas, sheet)
    starts = [0]
    try:
        made = plan(canvas.order.model_copy(update={"machines": (canvas.machine,)}))
    except QuantityError as error:
        canvas.put(sheet, row, 0, str(error), "caution_line")
        canvas.merge(sheet, row, 0, row, _LAST_COL)
    else:
        row = _draw_all(canvas, sheet, made, made.machines[0], row, starts)
    sheet.column_widths |= dict.fromkeys(range(_LAST_COL + 1), _WIDTH) | {_LAST_COL + 1: 2, _LAST_COL + 2: 2}
    block_page(canvas, sheet, "landscape", _LAST_COL, row, starts)
    return sheet


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
    sections = section_facts(canvas, made, machine)
    parts: list[tuple[str, str, Facts]] = [
        ("sections", "sections_planned", sections),
        ("settings", "settings", setting_facts(machine)),
        ("judging", "judging_and_guide", sections),
    ]
    for key, heading, facts in parts:
        row = _draw_tables(canvas, sheet, spec, key, heading, facts, row, starts)
    row = _draw_notices(canvas, sheet, [*made.notices, *machine.notices], row, starts)
    if machine.shots:
        row = draw_plan_charts(canvas, sheet, made, machine, row, starts)
        for key, numbers in (("shots", len(machine.shots)), ("loads", len(machine.loads))):
            numbered: Facts = [{"number": number} for number in range(1, numbers + 1)]
            row = _draw_tables(canvas, sheet, spec, key, key, numbered, row, starts)
        row = _draw_tables(canvas, sheet, spec, "runs", "runs", run_facts(made, machine), row, starts)
    drawn = {name for name, there in (("shots", machine.shots), ("seal", made.seal)) if there}
    starts.append(row)
    row = draw_inputs(canvas, sheet, made.inputs, row)
    starts.append(row)
    return draw_lists(canvas, sheet, given_values(canvas), drawn, row) - 2


def _draw_tables(
    canvas: Canvas, sheet: Sheet, spec: dict[str, Any], key: str, heading: str, facts: Facts, row: int,
    starts: list[int],
) -> int:  # fmt: skip
    """A table under its heading, and its workings beside it; nothing where it has no rows."""
    if not facts:
        return row
    starts.append(row)
    canvas.put(sheet, row, 0, canvas.say[f"plan.part.{heading}"], "grid_title")
    place = draw_plan_table(canvas, sheet, spec[key], facts, row + 1)
    if f"{key}_more" in spec:
        draw_plan_table(canvas, sheet, spec[f"{key}_more"], facts, row + 1, _WORKINGS)
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


def section_facts(canvas: Canvas, made: Plan, machine: MachinePlan) -> Facts:
    """What the tables show of each section beside formulas."""
    return [
        {
            "no": number,
            "id": section.id,
            "is_prime": int(section.work == "prime"),
            "is_chip": int(section.work == "chip-seal"),
            "by_hand": int(section.hand),
            "has_meter": int(canvas.machine.meter),
            "shots": bool(machine.shots),
            "low": section.guidance.low,
            "high": section.guidance.high,
            "other_low": section.guidance.other_low,
            "other_high": section.guidance.other_high,
        }
        for number, section in enumerate(made.sections, start=1)
    ]


def setting_facts(machine: MachinePlan) -> Facts:
    """One row for every bar width on every section that is not sprayed by hand."""
    rows: list[dict[str, Value]] = []
    for section_no, section in enumerate(machine.sections, start=1):
        for index, setting in enumerate(section.settings):
            rows.append(
                {
                    "no": len(rows) + 1,
                    "section_no": section_no,
                    "index": index,
                    "id": section.id,
                    "bar": setting.bar_width,
                }
            )
    return rows


def run_facts(made: Plan, machine: MachinePlan) -> Facts:
    """One row for every pass."""
    return [
        {
            "number": run.number,
            "section_no": run.section + 1,
            "id": made.sections[run.section].id,
            "lane": run.lane,
            "pass_number": run.pass_number,
        }
        for run in machine.runs
    ]


def given_values(canvas: Canvas) -> dict[str, Value]:
    """Values that the lists take as they are: of the order, of published tables, fixed numbers."""
    order, machine = canvas.order, canvas.machine
    angles = limit("nozzle_angle")
    values: dict[str, Value] = {
        "reading_width": order.reading.width,
        "heating_step": default(order, "heating_step"),
        "flue_cover_published": constants(order.units)["flue_cover"],
        "angle_low": angles.low,
        "angle_high": angles.high,
        "coverage": default(order, "coverage"),
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
