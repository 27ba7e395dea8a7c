"""The first page of a plan's workbook: what each distributor can do, section by section, on one sheet of paper."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from sheetgen.book.canvas import Canvas
from sheetgen.book.plan_charts import chart_rows, strip_chart
from sheetgen.order.model import Order
from sheetgen.plan import plan
from sheetgen.plan.answer import SectionAnswer, answers, by_section, together
from sheetgen.plan.figures import Figures
from sheetgen.plan.model import Plan
from sheetgen.plan.shared_work import as_assigned
from sheetgen.plan.text import material_line
from sheetgen.plan.text_job import price
from sheetgen.plan.workable import warnings_of
from sheetgen.xlsx.blocks import Part, across, draw_line, draw_title
from sheetgen.xlsx.model import Sheet
from sheetgen.xlsx.page import PAPERS, column_inches, height, page

_STUB = (8.0, 26.0, 11.0, 18.0, 8.0, 10.0)  # section, road, lanes, stations, width, rate
_ANSWERS = 66.0  # characters that the distributors share, where each has enough of it
_ANSWER = 26.0  # characters of one distributor at least
_SECTIONS = 20  # on the page; of more, those that a distributor cannot spray come first
_WARNINGS = 4
_RUNS = 26  # lines that the pictures may have together before they would crowd the page
_HEADS = ("section", "road", "lanes", "stations", "width", "mix_hot")
_UNITS = {"width": "width", "mix_hot": "rate"}


def draw_answer(canvas: Canvas, made: Plan) -> Sheet:
    """Draw the page on a canvas of the order."""
    sheet = canvas.add("answer", canvas.say["answer.tab"])
    width = max(_ANSWER, _ANSWERS / len(made.machines))
    sheet.column_widths |= dict(enumerate((*_STUB, *(width for _machine in made.machines))))
    figures = Figures(made.units, canvas.order.language)
    row = _draw_top(canvas, sheet, made, figures)
    row = _draw_answers(canvas, sheet, made, figures, row)
    row = _draw_together(canvas, sheet, made, figures, row)
    row = _draw_price(sheet, canvas, price(made, figures), row)
    row = _draw_sections(canvas, sheet, made, figures, row)
    row = _draw_warnings(canvas, sheet, made, row)
    row = _draw_strips(canvas, sheet, _at_work(canvas.order, made), figures, row)
    _set_page(canvas, sheet, row)
    return sheet


def _last(sheet: Sheet) -> int:
    return len(sheet.column_widths) - 1


def _draw_top(canvas: Canvas, sheet: Sheet, made: Plan, figures: Figures) -> int:
    say = canvas.say
    notes = [(material_line(made, figures), "subtitle"), (say["answer.defer"], "caution_line")]
    if made.invented:
        notes.insert(0, (say["book.invented"], "banner"))
    title = say.say("plan.title", job=made.job, name=made.job_name)
    return draw_title(canvas, sheet, title, notes, _last(sheet)) + 1


def _draw_answers(canvas: Canvas, sheet: Sheet, made: Plan, figures: Figures, row: int) -> int:
    """The parts of the answer, a column for each distributor, the first of them large; what each part means."""
    found, stub, say = answers(made, figures), len(_STUB), canvas.say
    names = (
        Part(stub + place, stub + place, name, "header_result") for place, name in enumerate(found.heads[1:])
    )
    draw_line(canvas, sheet, row, Part(0, stub - 1, say["answer.head"], "answer_label"), *names, least=18)
    for key, (label, *texts) in zip(found.keys, found.rows, strict=True):
        row += 1
        style = "answer_large" if key == "result" else "answer_cell"
        given = (
            Part(0, 1, label, "answer_label"),
            Part(2, stub - 1, say[f"answer.means.{key}"], "answer_note"),
        )
        cells = (Part(stub + place, stub + place, text, style) for place, text in enumerate(texts))
        draw_line(canvas, sheet, row, *given, *cells, least=18)
    return row + 2


def _draw_together(canvas: Canvas, sheet: Sheet, made: Plan, figures: Figures, row: int) -> int:
    """Who sprays what of a shared job, when all are done, and one quantity to order."""
    found = together(made, figures)
    if not found:
        return row
    canvas.put(sheet, row, 0, canvas.say["answer.together"], "grid_title")
    for label, text in found:
        row += 1
        parts = Part(0, 1, label, "answer_label"), Part(2, _last(sheet), text, "answer_cell")
        draw_line(canvas, sheet, row, *parts, least=18)
    return row + 2


def _draw_price(sheet: Sheet, canvas: Canvas, lines: Sequence[str], row: int) -> int:
    """What the ordered work comes to in the unit of pay and in money, where the order says so."""
    for line in lines:
        row = across(canvas, sheet, row, _last(sheet), line, "notice")
    return row + bool(lines)


def _draw_sections(canvas: Canvas, sheet: Sheet, made: Plan, figures: Figures, row: int) -> int:
    """A line for each section: what is ordered, and yes or no for each distributor."""
    stub, say = len(_STUB), canvas.say
    found = [by_section(made, machine) for machine in made.machines]
    heads = [_head(key, figures) for key in _HEADS] + [machine.name for machine in made.machines]
    draw_line(
        canvas,
        sheet,
        row,
        *(Part(col, col, text, "header_result") for col, text in enumerate(heads)),
        least=30,
    )
    shown = _shown(found)
    for index in shown:
        row += 1
        given = _section_parts(canvas, found[0][index], figures)
        told = (
            Part(stub + place, stub + place, _told(column[index], figures), "answer_cell")
            for place, column in enumerate(found)
        )
        draw_line(canvas, sheet, row, *given, *told, least=17)
    more = len(found[0]) - len(shown)
    if more:
        row = (
            across(canvas, sheet, row + 1, _last(sheet), say.say("answer.more_sections", count=more), "note")
            - 1
        )
    return row + 2


def _head(key: str, figures: Figures) -> str:
    unit = figures.unit(_UNITS.get(key, ""))
    return figures.say[f"answer.column.{key}"] + (f", {unit}" if unit else "")


def _section_parts(canvas: Canvas, found: SectionAnswer, figures: Figures) -> Iterator[Part]:
    section = found.section
    ends = f"{figures.station(section.from_station)} – {figures.station(section.to_station)}"
    for col, text in enumerate((section.id, section.road, ", ".join(section.lanes), ends)):
        yield Part(col, col, text, "answer_cell")
    yield Part(4, 4, section.covered_width, "answer_cell+value_number", canvas.shown("width"))
    yield Part(5, 5, section.mix_hot, "answer_cell+value_number", canvas.shown("rate"))


def _told(found: SectionAnswer, figures: Figures) -> str:
    """Yes or no, and how: passes, width and speed of the widest."""
    planned, say = found.planned, figures.say
    if planned is None:
        return "–"
    setting = planned.setting
    if setting is None:
        return say[f"answer.cell.{planned.verdict}"]
    facts = {"passes": setting.passes, "width": figures.full(setting.open_width, "width")}
    return say.say("answer.cell.yes", speed=figures.full(setting.sprayed_at, "speed"), **facts)


def _shown(found: Sequence[Sequence[SectionAnswer]]) -> list[int]:
    """The sections that the page has room for, in the order's order: those that somebody cannot spray before others."""
    count = len(found[0])
    unable = {index for index in range(count) for column in found if _unable(column[index])}
    first = sorted(range(count), key=lambda index: index not in unable)
    return sorted(first[:_SECTIONS])


def _unable(found: SectionAnswer) -> bool:
    return found.planned is not None and found.planned.verdict == "none"


def _draw_warnings(canvas: Canvas, sheet: Sheet, made: Plan, row: int) -> int:
    lines = warnings_of(made, canvas.order.language)
    if not lines:
        return row
    canvas.put(sheet, row, 0, canvas.say["plan.part.notices"], "grid_title")
    if len(lines) > _WARNINGS:
        more = canvas.say.say("answer.more_warnings", count=len(lines) - _WARNINGS + 1)
        lines = [*lines[: _WARNINGS - 1], more]
    for line in lines:
        row = across(canvas, sheet, row + 1, _last(sheet), line, "notice") - 1
    return row + 2


def _at_work(order: Order, made: Plan) -> Plan:
    """The plan in which each distributor sprays its share of the work alone, where the job is shared."""
    return made if made.shared is None else plan(as_assigned(order, made.shared))


def _draw_strips(canvas: Canvas, sheet: Sheet, made: Plan, figures: Figures, row: int) -> int:
    """The shots of each distributor along the road, as far as the page has room; gives the last row."""
    runs = 0
    wide = int(
        sum(7 * width + 5 for width in sheet.column_widths.values())
    )  # dots, in the narrower of programs
    for machine in made.machines:
        runs += len(machine.runs)
        if not machine.shots or runs > _RUNS:
            name = canvas.say.say("answer.no_strip", machine=machine.name)
            row = across(canvas, sheet, row, _last(sheet), name, "note")
            continue
        chart = strip_chart(canvas, sheet, machine, figures, row)
        chart["title"] = f"{chart['title']} – {machine.name}"
        chart["size"]["width"] = wide
        sheet.charts.append(chart)
        row += chart_rows(len(machine.runs))
    return row


def _set_page(canvas: Canvas, sheet: Sheet, last_row: int) -> None:
    """One page, turned so that it is printed as large as can be."""
    wide = sum(column_inches(width) for width in sheet.column_widths.values())
    high = height(sheet, 0, last_row + 1) / 72

    def scale(orientation: str) -> float:
        across_page, down = PAPERS[canvas.paper].printable(orientation)
        return min(across_page / wide, down / high)

    orientation = max(("landscape", "portrait"), key=scale)
    page(canvas, sheet, orientation, fit_height=1, centered=True, area=(0, 0, last_row, _last(sheet)))
