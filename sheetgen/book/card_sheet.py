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
from sheetgen.book.rates_sheet import discharge_source
from sheetgen.book.revision_sheet import revision_line
from sheetgen.book.weather import weather_text
from sheetgen.order.heating import fill_temperature, published_maxima
from sheetgen.plan.figures import Figures
from sheetgen.plan.practice import cover_minutes
from sheetgen.xlsx.blocks import Part, across, draw_line
from sheetgen.xlsx.formulas import address
from sheetgen.xlsx.model import Sheet
from sheetgen.xlsx.page import page

_SECTION, _RATE, _MIX, _FIRST_WIDTH = range(4)
_TOP_ROWS = {0: 30.0, 1: 20.0, 2: 20.0}
_CODE_INCHES = 0.95
_PLACES = 6  # of a length before it is cut to whole ones
_WIDTHS = (16.0, 11.0, 13.5, 11.0, 11.0, 12.5, 14.0, 11.0, 12.0)


def draw_card(canvas: Canvas) -> Sheet:
    """Draw the card; the sections it shows are chosen in the input cells "card_section_1" and so on."""
    return _draw(canvas, canvas.sheet("card"))


def draw_second_card(canvas: Canvas) -> Sheet:
    """Draw the card in the second language of the forms: on a page of its own, its figures as large as the first's."""
    first, canvas.say = canvas.say, canvas.languages[1]
    try:
        return _draw(canvas, canvas.sheet("second_card"))
    finally:
        canvas.say = first


def _draw(canvas: Canvas, sheet: Sheet) -> Sheet:
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
    source = "{discharge_source}" if sheet.key == "card" else discharge_source(canvas.say)
    draw_line(canvas, sheet, 3, Part(0, _RATE, canvas.say["card.speeds_for"], "card_line"),
              Part(_MIX, _MIX, None, "result_strong", number_format("flow2", order), "={discharge_used}"),
              Part(_FIRST_WIDTH, _FIRST_WIDTH, canvas.unit("flow"), "unit"),
              Part(_FIRST_WIDTH + 1, LAST_COL, None, "card_line", formula=f"={source}"), least=30)  # fmt: skip
    draw_line(canvas, sheet, 4, Part(0, LAST_COL, canvas.say["card.marks"], "caution_line"), least=30)


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
        Part(_SECTION, _RATE, canvas.say["card.tank"], "card_head"),
        Part(_MIX, _MIX, f"{canvas.say['card.dip']}, {canvas.unit('depth')}", "card_head"),
        Part(_FIRST_WIDTH, split, f"{canvas.say['card.volume']}, {canvas.unit('volume')}", "card_head"),
        Part(split + 1, LAST_COL, canvas.say["card.meaning"], "card_head"),
    )
    draw_line(canvas, sheet, row, *heads, least=21)
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
        exact = address(row, WORKINGS)
        depth = f"={_depth_for(amount)}" if amount else "={burner_dip}"
        canvas.calc(sheet, row, WORKINGS, depth, "result", "0.0000")
        marks = f"{step}*{away}(ROUND({exact}/{step},6),0)"
        canvas.calc(sheet, row, _MIX, f"={_as_written(canvas, marks)}", "card_value", _dip_format(canvas))
        if sheet.key == "card":
            canvas.name(f"dip_{key}", sheet, row, _MIX)
        held = amount or "{burner_volume}"
        canvas.calc(sheet, row, _FIRST_WIDTH, f"={held}", "card_value", volume, last=split)
        label = canvas.say.say(f"card.{key}", **_full_temperatures(canvas))
        rule = Part(split + 1, LAST_COL, canvas.say[f"card.rule_{key}"], "card_rule")
        draw_line(canvas, sheet, row, Part(_SECTION, _RATE, label, "card_label"), rule, least=30)
    if not canvas.machine.burners:
        row = across(canvas, sheet, row + 1, LAST_COL, canvas.say["card.no_burners"], "card_rule") - 1
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
    spans = {"from": (_MIX, _MIX), "to": (_FIRST_WIDTH, split), "planned": (split + 1, LAST_COL)}
    title = f"{canvas.say['card.temperature']}, {canvas.unit('temperature')}"
    heads = [Part(*span, canvas.say[f"card.{key}"], "card_head") for key, span in spans.items()]
    draw_line(canvas, sheet, row, Part(_SECTION, _RATE, title, "card_head"), *heads, least=21)
    shown = number_format("temperature", canvas.order)
    limits = [
        Part(*span, None, "card_value", shown, f"={{{name}}}")
        for span, name in zip(spans.values(), ("spray_min", "spray_max", "spray_planned"), strict=True)
    ]
    source = Part(_SECTION, _RATE, canvas.order.material.spray_source, "card_rule")
    draw_line(canvas, sheet, row + 1, source, *limits, least=34)
    return _draw_maximum(canvas, sheet, row + 2)


def _draw_maximum(canvas: Canvas, sheet: Sheet, row: int) -> int:
    """What is never passed: the order's maximum, and beside it what is published for the grade."""
    order = canvas.order.model_copy(update={"language": canvas.say.language})
    unit = canvas.unit("temperature")
    published = "; ".join(f"{each.most:g} {unit}, {each.document}" for each in published_maxima(order)[:3])
    text = canvas.say.say("card.published_maxima", grade=order.material.grade, maxima=published)
    if not published:
        text = canvas.say["card.no_published_maxima"]
    maximum = Part(_MIX, _MIX, None, "card_value", number_format("temperature", order), "={heat_max}")
    draw_line(canvas, sheet, row, Part(_SECTION, _RATE, canvas.say["card.heat_max"], "card_label"), maximum,
              Part(_FIRST_WIDTH, LAST_COL, text, "card_rule"), least=30)  # fmt: skip
    return across(canvas, sheet, row + 1, LAST_COL, weather_text(canvas, canvas.say), "card_rule")


def _draw_cautions(canvas: Canvas, sheet: Sheet, row: int) -> int:
    rows = templates.for_class("card_cautions", canvas.order.material.material_class)
    texts = [canvas.say[f"card_caution.{key}"] for key in (*(row["key"] for row in rows), "defer")]
    for text in (*_waits(canvas), *texts):
        row = across(canvas, sheet, row, LAST_COL, text, "card_caution")
    return row


def _waits(canvas: Canvas) -> list[str]:
    """How long to wait after each work of the order, in a sentence."""
    minutes = f"{cover_minutes(canvas.order.material.material_class):g}"
    works = dict.fromkeys(section.work for section in canvas.order.sections)
    waits = [canvas.say.say(f"card.wait.{work}", minutes=minutes) for work in works]
    return waits + (_stone(canvas) if canvas.planned else [])


def _stone(canvas: Canvas) -> list[str]:
    """Trucks of stone before a shot, and the longest shot that the spreader covers in time, for all sections."""
    stone = canvas.plan.machines[0].aggregate
    trucks = max((one.per_shot for one in stone if one.per_shot), default=0)
    reach = min((one.within for one in stone if one.within is not None), default=None)
    lines = [canvas.say.say("card.cover.stone", trucks=trucks)] if trucks else []
    if reach is not None:
        figures = Figures(canvas.order.units, canvas.say.language)
        within = figures.full(floor(round(reach, _PLACES)), "distance")
        lines.append(canvas.say.say("card.cover.stone_within", within=within))
    return lines
