"""Rate tables: speed for a rate, rate for a speed, discharge needed, what each bar width means for a load.

The pump delivers hot material, so speeds follow from the rate at spraying temperature: S = k·Q/(W·R_hot) with
k the area divisor (9 ft²/yd²) and R_hot = R_base / factor at the planned temperature. Q is the discharge that
the catch test of the calibration sheet measured, or the order's until there is one. A figure outside a limit
carries a letter (see :mod:`sheetgen.book.limit_marks`).
"""

from __future__ import annotations

import math

from sheetgen import templates
from sheetgen.book.canvas import Canvas
from sheetgen.book.limit_marks import Block, discharge_marks, flow_marks, rate_marks, speed_marks
from sheetgen.book.number_formats import number_format
from sheetgen.book.refusals import list_refusal
from sheetgen.xlsx.formulas import address
from sheetgen.xlsx.model import Sheet, Validation
from sheetgen.xlsx.page import broken_page
from sheetgen.xlsx.text_fit import text_height

LINES = 12
_FIRST_COLUMN = 30.0
# More bar widths than this need the long side of the paper.
_WIDTHS_UPRIGHT = 5
# More sections than this begin the other tables on a page of their own.
_SECTIONS_WITH_TABLES = 8


def draw_rates(canvas: Canvas) -> Sheet:
    """Draw the sheet; the section that some tables are for is chosen in the input cell "rates_section"."""
    sheet = canvas.sheet("rates")
    widths = sorted(canvas.machine.bar_widths)
    last_col = 2 * len(widths) + 1
    canvas.put(sheet, 0, 0, canvas.say["sheet.rates.title"], "title")
    canvas.put(sheet, 1, 0, canvas.say.say("rates.note", base=_base(canvas)), "note")
    canvas.merge(sheet, 1, 0, 2, max(last_col, 8))
    canvas.put(sheet, 3, 0, canvas.say["rates.marks"], "caution_line")
    canvas.merge(sheet, 3, 0, 3, max(last_col, 8))
    _draw_discharge_used(canvas, sheet, 4, max(last_col, 8))
    row = _draw_sections(canvas, sheet, widths, 6)
    breaks = [row + 1] if len(canvas.order.sections) > _SECTIONS_WITH_TABLES else []
    row = _draw_speeds(canvas, sheet, widths, row + 1)
    row = _draw_rates_obtained(canvas, sheet, widths, row + 1)
    chosen = row + 1
    row = _draw_choice(canvas, sheet, chosen)
    row = _draw_discharges(canvas, sheet, widths, row + 1)
    row = _draw_widths(canvas, sheet, widths, row + 2)
    sheet.column_widths |= {0: _FIRST_COLUMN} | dict.fromkeys(range(1, max(last_col, 8) + 1), 9.2)
    sheet.row_heights |= {0: 26, 1: 18, 2: 18, 3: 30}
    sheet.freeze = (5, 1)
    across = "portrait" if len(widths) <= _WIDTHS_UPRIGHT else "landscape"
    broken_page(canvas, sheet, across, max(last_col, 8), row, [*breaks, chosen])
    return sheet


def _draw_discharge_used(canvas: Canvas, sheet: Sheet, row: int, last_col: int) -> None:
    """The discharge that every speed rests on ("discharge_used") and its source ("discharge_source")."""
    canvas.put(sheet, row, 0, canvas.say["name.discharge_used"], "label")
    used = "=IF(ISNUMBER({discharge_measured}),{discharge_measured},{discharge})"
    canvas.calc(sheet, row, 1, used, "result_strong", number_format("flow2", canvas.order))
    canvas.name("discharge_used", sheet, row, 1)
    canvas.put(sheet, row, 2, canvas.unit("flow"), "unit")
    # Spelt out: the letters of TEXT's date formats differ between the languages of spreadsheet programs.
    two = 'RIGHT("0"&{what}({{catch_date}}),2)'
    date = f'YEAR({{catch_date}})&"-"&{two.format(what="MONTH")}&"-"&{two.format(what="DAY")}'
    dated = f"{{'rates.by_catch'}}&\" \"&IF(ISNUMBER({{catch_date}}),{date},{{'rates.undated'}})"
    source = f"=IF(ISNUMBER({{discharge_measured}}),{dated},{{'rates.by_order'}})"
    canvas.calc(sheet, row, 3, source, "result_text")
    canvas.merge(sheet, row, 3, row, last_col)
    canvas.name("discharge_source", sheet, row, 3)
    sheet.row_heights[row] = 30


def _base(canvas: Canvas) -> str:
    return canvas.say["book.base_us" if canvas.order.units == "us" else "book.base_si"]


def _head(
    canvas: Canvas, sheet: Sheet, row: int, title: str, axis: str, widths: list[float], twice: bool
) -> None:
    canvas.put(sheet, row, 0, canvas.say[title], "grid_title")
    canvas.put(sheet, row + 1, 0, axis, "grid_head")
    shown = f'General" {canvas.unit("width")}"'
    for block in range(2 if twice else 1):
        if twice:
            unit = canvas.unit("speed" if block == 0 else "road_speed")
            canvas.put(sheet, row, 1 + block * (len(widths) + 1) + len(widths) - 1, unit, "unit")
        for index, width in enumerate(widths):
            canvas.put(sheet, row + 1, 1 + block * (len(widths) + 1) + index, width, "grid_head", shown)


def _draw_sections(canvas: Canvas, sheet: Sheet, widths: list[float], row: int) -> int:
    axis = canvas.say["rates.section"]
    _head(canvas, sheet, row, "rates.by_section", axis, widths, twice=True)
    sections = canvas.order.sections
    # Many sections: a line each, a long name cut, rather than rows that leave the page no room.
    style = "result_text" if len(sections) <= _SECTIONS_WITH_TABLES else "result_line"
    for index, section in enumerate(sections):
        line = row + 2 + index
        canvas.calc(sheet, line, 0, '=[id]&"  "&[road]', style, "General", "ordered", index)
        for col in range(len(widths)):
            width = address(row + 1, 1 + col, absolute=True)
            template = f"={{area_divisor}}*{{discharge_used}}/({width}*[mix_hot])"
            _speed(canvas, sheet, line, 1 + col, template, len(widths), "ordered", index)
        needed = text_height(f"{section.id}  {section.road}", _FIRST_COLUMN - 3)
        sheet.row_heights[line] = max(18, needed) if style == "result_text" else 16
    _mark_speeds(canvas, sheet, row + 1, row + 1 + len(sections), len(widths))
    return row + 2 + len(sections)


def _speed(
    canvas: Canvas,
    sheet: Sheet,
    row: int,
    col: int,
    template: str,
    widths: int,
    table: str = "",
    index: int = 0,
) -> None:
    canvas.calc(sheet, row, col, template, "grid", number_format("speed", canvas.order), table, index)
    road = f"={address(row, col)}/{{speed_per_road_speed}}"
    canvas.calc(sheet, row, col + widths + 1, road, "grid", number_format("road_speed", canvas.order))


def _draw_speeds(canvas: Canvas, sheet: Sheet, widths: list[float], row: int) -> int:
    axis = f"{canvas.say['rates.mix_rate']} {canvas.unit('rate')}"
    _head(canvas, sheet, row, "rates.speeds", axis, widths, twice=True)
    shown = number_format("rate", canvas.order)
    for index, rate in enumerate(rate_axis(canvas)):
        line = row + 2 + index
        canvas.put(sheet, line, 0, rate, "grid_head", shown)
        for col in range(len(widths)):
            width = address(row + 1, 1 + col, absolute=True)
            template = (
                f"={{area_divisor}}*{{discharge_used}}*{{planned_factor}}/({width}*${address(line, 0)})"
            )
            _speed(canvas, sheet, line, 1 + col, template, len(widths))
    _mark_speeds(canvas, sheet, row + 1, row + 1 + LINES, len(widths))
    return row + 2 + LINES


def _draw_rates_obtained(canvas: Canvas, sheet: Sheet, widths: list[float], row: int) -> int:
    shown = number_format("rate", canvas.order)
    obtained = "={{area_divisor}}*{{discharge_used}}*{{planned_factor}}/({width}*{speed})"
    block = _draw_by_speed(canvas, sheet, widths, row, "rates.obtained", obtained, shown)
    sheet.conditional += rate_marks(block, row + 1, shown)
    return block[2] + 1


def _draw_by_speed(
    canvas: Canvas, sheet: Sheet, widths: list[float], row: int, title: str, template: str, shown: str
) -> Block:
    """A grid of bar widths by speeds; ``template`` names ``{width}`` and ``{speed}``. Gives where its figures stand."""
    _head(
        canvas, sheet, row, title, f"{canvas.say['rates.speed']} {canvas.unit('speed')}", widths, twice=False
    )
    speeds = speed_axis(canvas)
    for line, speed in enumerate(speeds, start=row + 2):
        canvas.put(sheet, line, 0, speed, "grid_head", "0")
        for col in range(1, len(widths) + 1):
            width = address(row + 1, col, absolute=True)
            formula = template.format(width=width, speed=f"${address(line, 0)}")
            canvas.calc(sheet, line, col, formula, "grid", shown)
    return row + 2, 1, row + 1 + len(speeds), len(widths)


def _draw_choice(canvas: Canvas, sheet: Sheet, row: int) -> int:
    canvas.put(sheet, row, 0, canvas.say["rates.choose"], "label")
    chosen = canvas.entry("", 0, "rates_section") or canvas.order.sections[0].id
    canvas.put(sheet, row, 1, chosen, "input", "@", locked=False)
    canvas.name("rates_section", sheet, row, 1)
    canvas.put(sheet, row + 1, 0, canvas.say["rates.chosen_rate"], "label")
    found = "MATCH({rates_section},[ordered.id],0)"
    template = f'=IF(ISNUMBER({found}),INDEX([ordered.mix_hot],{found}),"")'
    canvas.calc(sheet, row + 1, 1, template, "result_strong", number_format("rate", canvas.order), "ordered")
    canvas.put(sheet, row + 1, 2, canvas.unit("rate"), "unit")
    canvas.name("rates_hot", sheet, row + 1, 1)
    sheet.validations.append(
        Validation(
            row,
            1,
            row,
            1,
            kind="list",
            formula1="={section_ids}",
            error_title=canvas.say["book.check_entry"],
            error=list_refusal(canvas, canvas.say["card.section"], "{section_ids}"),
        )
    )
    needed = text_height(canvas.say["rates.chosen_rate"], _FIRST_COLUMN)
    sheet.row_heights |= {row: 22, row + 1: max(18, needed)}
    return row + 2


def _draw_discharges(canvas: Canvas, sheet: Sheet, widths: list[float], row: int) -> int:
    shown = number_format("flow", canvas.order)
    needed = '=IF({{rates_hot}}="","",{width}*{speed}*{{rates_hot}}/{{area_divisor}})'
    block = _draw_by_speed(canvas, sheet, widths, row, "rates.discharges", needed, shown)
    sheet.conditional += discharge_marks(block, row + 1, shown)
    return block[2] + 1


def _draw_widths(canvas: Canvas, sheet: Sheet, widths: list[float], row: int) -> int:
    canvas.put(sheet, row, 0, canvas.say["rates.per_width"], "grid_title")
    heads = (("nozzles", None), ("nozzle_flow", "flow"), ("load_length", "distance"), ("load_area", "area"),
             ("minutes", None))  # fmt: skip
    canvas.put(sheet, row + 1, 0, f"{canvas.say['rates.width']} {canvas.unit('width')}", "grid_head")
    for col, (key, unit) in enumerate(heads, start=1):
        text = canvas.say[f"rates.{key}"] + (f" {canvas.unit(unit)}" if unit else "")
        canvas.put(sheet, row + 1, col, text, "header_result")
    for index, width in enumerate(widths):
        line = row + 2 + index
        canvas.put(sheet, line, 0, width, "grid_head", "General")
        own = f"${address(line, 0)}"
        length = f'=IF({{rates_hot}}="","",{{usable_volume}}*{{area_divisor}}/({own}*{{rates_hot}}))'
        columns = (
            (f"=ROUND({own}*{{spacing_per_width}}/{{nozzle_spacing}},0)", "0"),
            (f"={{discharge_used}}/{address(line, 1)}", "0.00"),
            (length, number_format("distance", canvas.order)),
            ('=IF({rates_hot}="","",{usable_volume}/{rates_hot})', number_format("area", canvas.order)),
            ("={usable_volume}/{discharge_used}", "0.0"),
        )
        for col, (template, shown) in enumerate(columns, start=1):
            canvas.calc(sheet, line, col, template, "grid", shown)
    first, last = row + 2, row + 1 + len(widths)
    canvas.name("nozzles_by_width", sheet, first, 1, rows=len(widths))
    sheet.conditional += flow_marks((first, 2, last, 2), "0.00")
    sheet.row_heights[row + 1] = 39
    canvas.calc(sheet, last + 1, 1, "=MAX({nozzles_by_width})", "result", "0")
    canvas.put(sheet, last + 1, 0, canvas.say["name.nozzles_most"], "label")
    canvas.name("nozzles_most", sheet, last + 1, 1)
    return last + 1


def _mark_speeds(canvas: Canvas, sheet: Sheet, head_row: int, last_row: int, widths: int) -> None:
    for block, (kind, per) in enumerate((("speed", "1"), ("road_speed", "speed_per_road_speed"))):
        left = 1 + block * (widths + 1)
        area = (head_row + 1, left, last_row, left + widths - 1)
        sheet.conditional += speed_marks(area, head_row, number_format(kind, canvas.order), per)


def rate_axis(canvas: Canvas) -> list[float]:
    """Mix rates at the base temperature in even steps, around what the sections order."""
    rates = [base_mix_rate(canvas, index) for index in range(len(canvas.order.sections))]
    return _axis(
        0.6 * min(rates),
        1.5 * max(rates),
        templates.toml("sheets/rates.toml")[canvas.order.units]["rate_steps"],
    )


def base_mix_rate(canvas: Canvas, index: int) -> float:
    """About what a section orders as mix at the base temperature: only to choose a table's axis."""
    section, material = canvas.order.sections[index], canvas.order.material
    part = {
        "residual": material.residue * material.dilution,
        "undiluted": material.dilution,
        "as-diluted": 1.0,
    }
    return section.rate / part[section.basis]


def speed_axis(canvas: Canvas) -> list[float]:
    """Speeds in even steps over the truck's range."""
    machine = canvas.machine
    steps = templates.toml("sheets/rates.toml")[canvas.order.units]["speed_steps"]
    return _axis(machine.speed_min, machine.speed_max, steps)


def _axis(low: float, high: float, steps: list[float]) -> list[float]:
    step = next((step for step in steps if (high - low) / step <= LINES - 1), steps[-1])
    while (high - low) / step > LINES - 1:
        step *= 2
    first = max(1, math.floor(low / step))
    return [round((first + index) * step, 6) for index in range(LINES)]
