"""The card for the cab: one page in large type with what the crew sets and watches while spraying.

What to set and to drive is the plan's (:mod:`sheetgen.book.card_passes`).
"""

from __future__ import annotations

from math import floor

from sheetgen import templates
from sheetgen.book.canvas import Canvas
from sheetgen.book.card_passes import LAST_COL, WORKINGS, draw_passes
from sheetgen.book.identity_code import draw_identity_code
from sheetgen.book.number_formats import number_format
from sheetgen.book.revision_sheet import revision_line
from sheetgen.book.weather import weather_text
from sheetgen.order.heating import fill_temperature, published_maxima
from sheetgen.plan.figures import Figures
from sheetgen.plan.practice import cover_minutes
from sheetgen.xlsx.formulas import address
from sheetgen.xlsx.model import Sheet
from sheetgen.xlsx.page import page
from sheetgen.xlsx.text_fit import text_height

_SECTION, _RATE, _MIX, _FIRST_WIDTH = range(4)
_TOP_ROWS = {0: 30.0, 1: 20.0, 2: 20.0, 3: 30.0, 4: 30.0, 5: 27.0, 6: 22.0}
_CODE_INCHES = 0.95
_PLACES = 6  # of a length before it is cut to whole ones
_WIDTHS = (16.0, 11.0, 13.5, 11.0, 11.0, 12.5, 14.0, 11.0, 12.0)


def draw_card(canvas: Canvas) -> Sheet:
    """Draw the card; the sections it shows are chosen in the input cells "card_section_1" and so on."""
    sheet = canvas.sheet("card")
    sheet.column_widths |= dict(enumerate(_WIDTHS)) | {WORKINGS: 10}
    sheet.row_heights |= _TOP_ROWS
    _draw_top(canvas, sheet)
    row = draw_passes(canvas, sheet, 5)
    row = _draw_dips(canvas, sheet, row + 1)
    row = _draw_temperatures(canvas, sheet, row + 1)
    row = _draw_cautions(canvas, sheet, row + 1)
    page(canvas, sheet, "portrait", fit_height=1, area=(0, 0, row - 1, LAST_COL))
    return sheet


def _draw_top(canvas: Canvas, sheet: Sheet) -> None:
    order = canvas.order
    canvas.put(sheet, 0, 0, canvas.say["sheet.card.title"], "title")
    canvas.put(sheet, 1, 0, f"{order.job.number}  ·  {order.job.name}", "subtitle")
    text = canvas.about(canvas.machine.name, canvas.say.say("book.identity", identity=canvas.identity))
    canvas.put(sheet, 2, 0, text, "subtitle")
    if order.job.revision:
        canvas.put(sheet, 0, _FIRST_WIDTH, revision_line(canvas), "subtitle")
    _draw_code(canvas, sheet)
    canvas.put(sheet, 3, 0, canvas.say["card.speeds_for"], "card_line", last=_RATE)
    canvas.calc(sheet, 3, _MIX, "={discharge_used}", "result_strong", number_format("flow2", order))
    canvas.put(sheet, 3, _FIRST_WIDTH, canvas.unit("flow"), "unit")
    canvas.calc(sheet, 3, _FIRST_WIDTH + 1, "={discharge_source}", "card_line", last=LAST_COL)
    canvas.put(sheet, 4, 0, canvas.say["card.marks"], "caution_line", last=LAST_COL)


def _draw_code(canvas: Canvas, sheet: Sheet) -> None:
    """The code at the upper right: inside one column where it fits, so that no program distorts it."""
    dots = {col: int(width * 7 + 5) for col, width in sheet.column_widths.items()}
    col, room = LAST_COL - 1, dots[LAST_COL - 1]
    if room < _CODE_INCHES * 96:
        room += dots[LAST_COL]
    draw_identity_code(canvas, sheet, 0, col, _CODE_INCHES, x_offset=room - int(_CODE_INCHES * 96) - 2)


def _draw_dips(canvas: Canvas, sheet: Sheet, row: int) -> int:
    """Dips for the volumes that matter: rounded to the stick's marks, each to its safe side."""
    split = _FIRST_WIDTH + 1
    heads = (
        (_SECTION, _RATE, canvas.say["card.tank"]),
        (_MIX, _MIX, f"{canvas.say['card.dip']}, {canvas.unit('depth')}"),
        (_FIRST_WIDTH, split, f"{canvas.say['card.volume']}, {canvas.unit('volume')}"),
        (split + 1, LAST_COL, canvas.say["card.meaning"]),
    )
    _draw_line(canvas, sheet, row, [(first, last, text, "card_head") for first, last, text in heads])
    sheet.row_heights[row] = 21
    step = _stick_step(canvas)
    volume = number_format("volume", canvas.order)
    lines = [
        ("full_cold", "{full_cold}", "ROUNDDOWN"),
        ("full", "{full_volume}", "ROUNDDOWN"),
        ("half", "ROUND({capacity}/2,{round_volume})", "ROUNDDOWN"),
        ("reserve", "{reserve}", "ROUNDUP"),
    ]
    if canvas.machine.burners:
        lines.append(("burners", "", "ROUNDUP"))
    for key, amount, away in lines:
        row += 1
        sheet.row_heights[row] = 30
        exact = address(row, WORKINGS)
        depth = f"={_depth_for(amount)}" if amount else "={burner_dip}"
        canvas.calc(sheet, row, WORKINGS, depth, "result", "0.0000")
        marks = f"{step}*{away}(ROUND({exact}/{step},6),0)"
        canvas.calc(sheet, row, _MIX, f"={_as_written(canvas, marks)}", "card_value", _dip_format(canvas))
        canvas.name(f"dip_{key}", sheet, row, _MIX)
        held = amount or "{burner_volume}"
        canvas.calc(sheet, row, _FIRST_WIDTH, f"={held}", "card_value", volume, last=split)
        label = canvas.say.say(f"card.{key}", **_full_temperatures(canvas))
        texts = [(_SECTION, _RATE, label, "card_label"),
                 (split + 1, LAST_COL, canvas.say[f"card.rule_{key}"], "card_rule")]  # fmt: skip
        _draw_line(canvas, sheet, row, texts)
    if not canvas.machine.burners:
        row += 1
        _draw_line(canvas, sheet, row, [(_SECTION, LAST_COL, canvas.say["card.no_burners"], "card_rule")])
    return row + 1


def _full_temperatures(canvas: Canvas) -> dict[str, str]:
    """Temperatures that a full tank is filled at and heated to, as the labels of its lines say them."""
    unit = canvas.unit("temperature")
    filled, hot = fill_temperature(canvas.order), canvas.order.material.spray_planned
    return {"filled": f"{filled:g} {unit}", "hot": f"{hot:g} {unit}"}


def _depth_for(volume: str) -> str:
    """The depth that holds a volume: between two lines of the chart in a straight line, 0 below its first."""
    # Counted, not looked up: a chart rounded to few decimals holds the same volume at several depths.
    line = f"MAX(1,SUMPRODUCT(--({{chart_volumes}}<={volume})))"
    slope, below = (f"INDEX({{chart_{column}}},{line})" for column in ("slopes", "depths"))
    between = f"IF({slope}=0,0,({volume}-INDEX({{chart_volumes}},{line}))/{slope})"
    return f"IF({volume}<INDEX({{chart_volumes}},1),0,{below}+{between})"


def _stick_step(canvas: Canvas) -> str:
    """What a dip is rounded to: the stick's reading, in sixteenths where dips are written so."""
    if canvas.order.units == "us" and canvas.order.reading.dip_notation != "decimal":
        return "(ROUNDUP(ROUND({reading_dip}*16,6),0)/16)"
    return "{reading_dip}"


def _as_written(canvas: Canvas, depth: str) -> str:
    if canvas.order.units == "us" and canvas.order.reading.dip_notation == "sixteenths":
        return f'INT({depth})&"/"&ROUND(({depth}-INT({depth}))*16,0)'
    return depth


def _dip_format(canvas: Canvas) -> str:
    return "General" if canvas.order.units == "si" else number_format("dip", canvas.order)


def _draw_temperatures(canvas: Canvas, sheet: Sheet, row: int) -> int:
    split = _FIRST_WIDTH + 1
    spans = ((_MIX, _MIX), (_FIRST_WIDTH, split), (split + 1, LAST_COL))
    title = f"{canvas.say['card.temperature']}, {canvas.unit('temperature')}"
    heads = [(_SECTION, _RATE, title, "card_head")]
    heads += [
        (*span, canvas.say[f"card.{key}"], "card_head")
        for span, key in zip(spans, ("from", "to", "planned"), strict=True)
    ]
    _draw_line(canvas, sheet, row, heads)
    _draw_line(canvas, sheet, row + 1, [(_SECTION, _RATE, canvas.order.material.spray_source, "card_rule")])
    shown = number_format("temperature", canvas.order)
    for (first, last), name in zip(spans, ("spray_min", "spray_max", "spray_planned"), strict=True):
        canvas.calc(sheet, row + 1, first, f"={{{name}}}", "card_value", shown, last=last)
    width = sum(sheet.column_widths[col] for col in range(_RATE + 1))
    sheet.row_heights |= {row: max(21, text_height(title, width, 12, bold=True) + 4), row + 1: 34}
    return _draw_maximum(canvas, sheet, row + 2)


def _draw_maximum(canvas: Canvas, sheet: Sheet, row: int) -> int:
    """What is never passed: the order's maximum, and beside it what is published for the grade."""
    order, unit = canvas.order, canvas.unit("temperature")
    published = "; ".join(f"{each.most:g} {unit} {each.document}" for each in published_maxima(order)[:3])
    text = canvas.say.say("card.published_maxima", grade=order.material.grade, maxima=published)
    if not published:
        text = canvas.say["card.no_published_maxima"]
    label = canvas.say["card.heat_max"]
    lines = [(_SECTION, _RATE, label, "card_label"), (_FIRST_WIDTH, LAST_COL, text, "card_rule")]
    _draw_line(canvas, sheet, row, lines)
    canvas.calc(sheet, row, _MIX, "={heat_max}", "card_value", number_format("temperature", order))
    rooms = [sum(sheet.column_widths[col] for col in range(first, last + 1)) for first, last, _, _ in lines]
    needed = text_height(label, rooms[0] - 2, 14, bold=True), text_height(text, rooms[1], 10)
    sheet.row_heights[row] = max(30, max(needed) + 4)
    weather = weather_text(canvas, canvas.say)
    _draw_line(canvas, sheet, row + 1, [(_SECTION, LAST_COL, weather, "card_rule")])
    whole = sum(sheet.column_widths[col] for col in range(LAST_COL + 1))
    sheet.row_heights[row + 1] = text_height(weather, whole, 10) + 4
    return row + 2


def _draw_cautions(canvas: Canvas, sheet: Sheet, row: int) -> int:
    width = sum(sheet.column_widths[col] for col in range(LAST_COL + 1))
    rows = templates.for_class("card_cautions", canvas.order.material.material_class)
    texts = [canvas.say[f"card_caution.{key}"] for key in (*(row["key"] for row in rows), "defer")]
    for text in (*_waits(canvas), *texts):
        canvas.put(sheet, row, 0, text, "card_caution", last=LAST_COL)
        sheet.row_heights[row] = text_height(text, width * 1.08, 12) + 3
        row += 1
    return row


def _waits(canvas: Canvas) -> list[str]:
    """How long to wait after each work of the order, in a sentence."""
    minutes = f"{cover_minutes(canvas.order.material.material_class):g}"
    works = dict.fromkeys(section.work for section in canvas.order.sections)
    waits = [canvas.say.say(f"card.wait.{work}", minutes=minutes) for work in works]
    return waits + (_stone(canvas) if canvas.planned else [])


def _stone(canvas: Canvas) -> list[str]:
    """Trucks of stone before a shot, and the longest shot that the spreader covers in time, for all sections."""
    stone = canvas.plan.machines[0].stone
    trucks = max((one.per_shot for one in stone if one.per_shot), default=0)
    reach = min((one.within for one in stone if one.within is not None), default=None)
    lines = [canvas.say.say("card.cover.stone", trucks=trucks)] if trucks else []
    if reach is not None:
        figures = Figures(canvas.order.units, canvas.order.language)
        within = figures.full(floor(round(reach, _PLACES)), "distance")
        lines.append(canvas.say.say("card.cover.stone_within", within=within))
    return lines


def _draw_line(canvas: Canvas, sheet: Sheet, row: int, parts: list[tuple[int, int, str, str]]) -> None:
    """Texts side by side, each merged from its first column to its last."""
    for first, last, text, style in parts:
        canvas.put(sheet, row, first, text, style, last=last)
