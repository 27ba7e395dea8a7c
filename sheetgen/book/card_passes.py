"""The passes on the card: for each section what the plan says that the crew sets, and the speed to drive.

What a section needs stands as values beside the printed part, one row for each section of the order; the crew picks
which sections the card shows. A pass that is planned at the calibrated discharge is driven by the measured one where
the catch test gave it. A figure outside a limit of the distributor carries a letter (:mod:`sheetgen.book.limit_marks`).
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import groupby
from typing import Any

from sheetgen.book.canvas import Canvas
from sheetgen.book.limit_marks import pass_marks
from sheetgen.book.number_formats import number_format
from sheetgen.book.refusals import list_refusal
from sheetgen.order.model import Section
from sheetgen.order.wheel_paths import Across
from sheetgen.plan.figures import Figures
from sheetgen.plan.model import Pass, SectionPlan
from sheetgen.units import constants
from sheetgen.xlsx.blocks import Part, draw_line
from sheetgen.xlsx.formulas import address
from sheetgen.xlsx.model import Place, Sheet, Validation, Value

# More sections than this do not fit in large type; the crew picks today's.
MOST_SECTIONS = 6
LAST_COL = 8
WORKINGS = 10
_PLAN_COL = 12
_KEYS = ("pass", "bar", "nozzles", "width", "height", "discharge")
_COLUMNS = ("id", "where", "ordered", *(f"{key}_{kind}" for kind in (1, 2) for key in (*_KEYS, "calibrated")))
_ALIKE = (
    "alike_1",
    "alike_2",
)  # nozzles by which the limits of one are judged, where a rate varies across the lane
# The lines of a section: of which text, its look, points at least, first and last column.
_LINES = (("where", "card_label", 28.0, 1, LAST_COL), ("ordered", "card_rule", 17.0, 0, LAST_COL),
          ("pass_1", "card_label", 32.0, 0, 0))  # fmt: skip
_UNDER = 22.0  # points of the lower line of the head
_DISCHARGE, _SPEED, _ROAD_SPEED, _SECONDS = 5, 6, 7, 8


def draw_passes(canvas: Canvas, sheet: Sheet, row: int) -> int:
    """Draw the head at ``row``, and below it the sections; the input cells are "card_section_1" and so on."""
    _draw_head(canvas, sheet, row)
    kinds, heights = _draw_plan(canvas, sheet, row)
    row += 2
    for line in range(min(MOST_SECTIONS, len(canvas.own_sections))):
        lines = [*heights[:2], *[heights[2]] * kinds]
        sheet.row_heights |= dict(enumerate(lines, start=row))
        _draw_section(canvas, sheet, row, line, kinds)
        row += 2 + kinds
    return row


def _draw_head(canvas: Canvas, sheet: Sheet, row: int) -> None:
    units = ("", "width", "", "width", "depth", "flow", "speed", "road_speed", "")
    keys = (*_KEYS, "speed", "road_speed", "seconds")
    for col, (key, unit) in enumerate(zip(keys, units, strict=True)):
        text = canvas.say.own(f"card.{key}", canvas.order.units)
        draw_line(
            canvas, sheet, row, Part(col, col, f"{text}\n{canvas.unit(unit)}" if unit else text, "card_head")
        )
        canvas.merge(sheet, row, col, row + 1, col)
    sheet.row_heights |= {row: max(27, sheet.row_heights[row] - _UNDER), row + 1: _UNDER}


def _draw_plan(canvas: Canvas, sheet: Sheet, row: int) -> tuple[int, tuple[float, ...]]:
    """What every section needs, as values beside the card.

    Gives how many kinds of passes a section has at most, and the heights of its lines that every one fits.
    """
    facts = [_facts(canvas, section) for section in canvas.order.sections]
    columns = {
        key: _PLAN_COL + offset for offset, key in enumerate((*_COLUMNS, *(_ALIKE if canvas.varied else ())))
    }
    place = Place(sheet.name, row, row + 1, row + len(facts), columns, frozenset())
    canvas.table(f"{sheet.key}_plan", place)
    for index, fact in enumerate(facts):
        for key, col in columns.items():
            value = fact.get(key)
            canvas.put(
                sheet, row + 1 + index, col, value, "value" if isinstance(value, str) else "value_number"
            )
    kinds = 2 if any(fact.get("nozzles_2") for fact in facts) else 1
    return kinds, tuple(_highest(canvas, sheet, facts, *line) for line in _LINES)


def _highest(
    canvas: Canvas,
    sheet: Sheet,
    facts: Sequence[dict[str, Value]],
    key: str,
    style: str,
    least: float,
    *cols: int,
) -> float:
    """Points that the longest of the texts of a line needs."""
    room = sum(sheet.column_widths[col] for col in range(cols[0], cols[1] + 1))
    return max(least, *(canvas.looks.height(str(fact.get(key, "")), room, style) + 2 for fact in facts))


def _facts(canvas: Canvas, section: Section) -> dict[str, Value]:
    planned = canvas.planned.get(section.id)
    found: dict[str, Value] = {
        "id": section.id,
        "where": _where(canvas, section),
        "ordered": _ordered(canvas, section, planned),
    }
    if planned is None or planned.setting is None:
        return found
    alike = [list(group) for _, group in groupby(planned.sprayed, key=lambda one: one.nozzles)]
    for kind, passes in enumerate(alike, start=1):
        found |= {f"{key}_{kind}": value for key, value in _pass(canvas, planned, passes).items()}
    return found


def _pass(canvas: Canvas, planned: SectionPlan, passes: Sequence[Pass]) -> dict[str, Value]:
    first, last, setting = passes[0], passes[-1], planned.setting
    assert setting is not None
    numbers = f"{first.number}" if first is last else f"{first.number} – {last.number}"
    return {
        "pass": canvas.say.say("card.numbered", numbers=numbers),
        "bar": setting.bar_width,
        "nozzles": first.nozzles,
        "alike": first.alike,
        "width": round(first.width, 3),
        "height": canvas.plan.machines[0].bar.height,
        "discharge": first.discharge,
        "calibrated": int(first.discharge == setting.calibrated),
    }


def _where(canvas: Canvas, section: Section) -> str:
    figures = Figures(canvas.order.units, canvas.say.language)
    stations = f"{figures.station(section.from_station)} – {figures.station(section.to_station)}"
    width = f"{section.width:g} {canvas.unit('width')}"
    return f"{section.road}  ·  {', '.join(section.lanes)}  ·  {stations}  ·  {width}"


def _ordered(canvas: Canvas, section: Section, planned: SectionPlan | None) -> str:
    """The ordered rate with its basis, and what cannot be sprayed by the bar in words before it."""
    rate, say = canvas.unit("rate"), canvas.say
    percent = section.tolerance_kind == "percent"
    tolerance = f"{100 * section.tolerance:.4g} %" if percent else f"{section.tolerance:.4g} {rate}"
    facts: dict[str, Any] = {
        "rate": f"{section.rate:g} {rate}",
        "basis": say[f"words.basis.{section.basis}"],
        "at": say[f"words.at.{section.rate_temperature}"],
        "tolerance": tolerance,
        "hot": _hot(canvas, section),
    }
    told = [say.say("card.ordered", **facts)]
    if planned is not None and planned.sprayed[0].across is not None:
        told.append(_across(canvas, section, planned.sprayed[0].across))
    if planned is None or planned.verdict in ("none", "hand"):
        key = "hand" if planned is not None and planned.verdict == "hand" else "none"
        told.insert(0, say[f"card.{key}"])
    if not section.is_for(canvas.machine):
        told.insert(0, say.say("card.given_to_other", distributor=section.distributor))
    return "  ".join(told)


def _across(canvas: Canvas, section: Section, across: Across) -> str:
    """Which nozzles are the larger ones, and the hot rates that both sizes give."""
    figures = Figures(canvas.order.units, canvas.say.language)
    inside, outside = (figures.full(each, "rate") for each in across.rates(canvas.hot_rates[section.id]))
    facts = {
        "nozzles": across.told,
        "more": f"{100 * across.more:.10g}",
        "inside": inside,
        "outside": outside,
    }
    return canvas.say.say("card.varied", **facts)


def _hot(canvas: Canvas, section: Section) -> str:
    if not canvas.planned:
        return "–"
    hot = canvas.hot_rates[section.id]
    return f"{hot:.{canvas.order.rounding.rate}f} {canvas.unit('rate')}"


def _draw_section(canvas: Canvas, sheet: Sheet, row: int, line: int, kinds: int) -> None:
    """The section's name and place, what is ordered, and a row for each kind of pass."""
    key = f"card_section_{line + 1}"
    if sheet.key == "card":
        chosen = canvas.entry("", 0, key) or canvas.own_sections[line].id
        canvas.put(sheet, row, 0, chosen, "card_input", "@", locked=False)
        canvas.fields[key] = (sheet.key, row, 0)
        canvas.mark(key, sheet, row, 0)
        sheet.validations.append(_choice(canvas, row))
    else:
        canvas.calc(sheet, row, 0, f"={{{key}}}", "card_input")
    place = f"=IFERROR(MATCH({{{key}}},{{section_ids}},0),0)"
    canvas.calc(sheet, row, WORKINGS, place, "result", "0")
    found = f"${address(row, WORKINGS)}"
    for at, first, column, style in ((row, 1, "where", "card_label"), (row + 1, 0, "ordered", "card_rule")):
        text = f'=IF({found}=0,"",INDEX([{sheet.key}_plan.{column}],{found}))'
        canvas.calc(sheet, at, first, text, style, "General", f"{sheet.key}_plan", last=LAST_COL)
    for kind in range(1, kinds + 1):
        _draw_pass(canvas, sheet, row + 1 + kind, kind, found)


def _draw_pass(canvas: Canvas, sheet: Sheet, row: int, kind: int, found: str) -> None:
    def of(key: str) -> str:
        return f"INDEX([{sheet.key}_plan.{key}_{kind}],MAX({found},1))"

    blank = f"OR({found}=0,<<number {of('nozzles')}>>=0)"

    def show(col: int, what: str, shown: str, style: str = "card_value") -> None:
        canvas.calc(sheet, row, col, f'=IF({blank},"",{what})', style, shown, f"{sheet.key}_plan")

    order = canvas.order
    speed, length = address(row, _SPEED), constants(order.units)["timing_length"]
    show(0, of("pass"), "General", "card_label")
    for col, (key, shown) in enumerate((("bar", "0.###"), ("nozzles", "0"), ("width", "0.###")), start=1):
        show(col, of(key), "General" if shown == "0.###" else shown)
    show(4, f'IF({of("height")}="","–",{of("height")})', number_format("bar_height", order))
    used = f"IF({of('calibrated')}=1,{{discharge_used}},{of('discharge')})"
    show(_DISCHARGE, used, number_format("flow", order))
    rate = f"INDEX([ordered.mix_hot],MAX({found},1))"
    drive = f"{{area_divisor}}*{address(row, _DISCHARGE)}/({of('width')}*{rate})"
    show(_SPEED, drive, number_format("speed", order))
    show(_ROAD_SPEED, f"{speed}/{{speed_per_road_speed}}", number_format("road_speed", order))
    show(_SECONDS, f"60*{length:g}/{speed}", "0.0")
    counted = 2
    if canvas.varied:
        counted = WORKINGS
        show(WORKINGS, of("alike"), "0.###", "result")
    at = {
        key: address(row, col)
        for key, col in (("nozzles", counted), ("discharge", _DISCHARGE), ("speed", _SPEED))
    }
    for col, kind_of in ((_SPEED, "speed"), (_ROAD_SPEED, "road_speed")):
        sheet.conditional += pass_marks((row, col, row, col), at, number_format(kind_of, order))


def _choice(canvas: Canvas, row: int) -> Validation:
    choose, section = canvas.say["card.choose"], canvas.say["card.section"]
    return Validation(
        row, 0, row, 0, kind="list", formula1="={section_ids}", prompt_title=section, prompt=choose,
        error_title=canvas.say["book.check_entry"], error=list_refusal(canvas, section, "{section_ids}"),
    )  # fmt: skip
