"""Rates, speeds and discharge: how each section is sprayed, and what rates, speeds and bar widths mean.

For each section stands every setting that the plan allows, the planned one marked, and nothing else: a section by
hand, or one that this distributor cannot spray, says so in words. Speeds follow from the rate at spraying temperature:
S = k·Q/(W·R_hot) with k the area divisor (9 ft²/yd²). Q is the discharge that the catch test of the calibration sheet
measured, or the order's until there is one. The tables below open every nozzle of a bar width; where that would pass a
limit of the distributor they give no figure.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from itertools import groupby

from sheetgen import templates
from sheetgen.book.canvas import Canvas
from sheetgen.book.limit_marks import pass_marks
from sheetgen.book.number_formats import number_format
from sheetgen.book.refusals import list_refusal
from sheetgen.order.model import Section
from sheetgen.plan.model import Pass, Setting
from sheetgen.templates import Texts
from sheetgen.trade.basis import mix_rate
from sheetgen.xlsx.blocks import TableLook, draw_table
from sheetgen.xlsx.formulas import address, literal
from sheetgen.xlsx.model import Place, Sheet, Validation, Value
from sheetgen.xlsx.page import broken_page
from sheetgen.xlsx.text_fit import text_height

LINES = 12
_FIRST_COLUMN = 30.0
_LAST_COL = 9
# More settings than this begin the other tables on a page of their own; so many more stand on one page.
_LINES_WITH_TABLES, _LINES_ON_A_PAGE = 9, 40
_WORKINGS = ("section", "set", "calibrated")
_NOTHING = dict.fromkeys(("mark", "bar", "pass", "nozzles", "width", "set", "calibrated", "alike"))
_TABLE = TableLook(given="header_result", text="result_text")


def draw_rates(canvas: Canvas) -> Sheet:
    """Draw the sheet; the section that some tables are for is chosen in the input cell "rates_section"."""
    sheet = canvas.sheet("rates")
    widths = sorted(canvas.machine.bar_widths)
    fits = [line for section in canvas.order.sections for line in _fits(canvas, section)]
    most = max(
        sum(bool(line["width"]) and line["section"] == each.id for line in fits)
        for each in canvas.order.sections
    )
    last_col = max(2 * len(widths) + 1, most, _LAST_COL)
    sheet.column_widths |= {0: _FIRST_COLUMN} | dict.fromkeys(range(1, last_col + 1), 9.2)
    canvas.put(sheet, 0, 0, canvas.say["sheet.rates.title"], "title")
    canvas.put(
        sheet, 1, 0, canvas.say.say("rates.note", base=canvas.say[f"book.base_{canvas.system}"]), "note"
    )
    canvas.merge(sheet, 1, 0, 2, last_col)
    canvas.put(sheet, 3, 0, canvas.say["rates.marks"], "caution_line", last=last_col)
    sheet.row_heights |= {0: 26, 1: 18, 2: 18, 3: 44}
    _draw_discharge_used(canvas, sheet, 4, last_col)
    place = _draw_sections(canvas, sheet, 6, fits, last_col)
    row = place.last_row + 1
    breaks = list(range(place.first_row + _LINES_ON_A_PAGE, row, _LINES_ON_A_PAGE))
    breaks += [row + 1] if len(fits) > _LINES_WITH_TABLES else []
    row = _draw_speeds(canvas, sheet, widths, row + 1)
    row = _draw_rates_obtained(canvas, sheet, widths, row + 1)
    chosen = row + 1
    row = _draw_choice(canvas, sheet, chosen)
    row = _draw_discharges(canvas, sheet, max(most, 1), row + 1, last_col + 1)
    row = _draw_widths(canvas, sheet, widths, row + 2)
    sheet.freeze = (5, 1)
    across = "portrait" if last_col == _LAST_COL else "landscape"
    broken_page(canvas, sheet, across, last_col, row, [*breaks, chosen])
    return sheet


def _draw_discharge_used(canvas: Canvas, sheet: Sheet, row: int, last_col: int) -> None:
    """The discharge that every speed rests on ("discharge_used") and its source ("discharge_source")."""
    canvas.put(sheet, row, 0, canvas.say["name.discharge_used"], "label")
    used = "=IF(ISNUMBER({discharge_measured}),{discharge_measured},{discharge})"
    canvas.calc(sheet, row, 1, used, "result_strong", number_format("flow2", canvas.order))
    canvas.name("discharge_used", sheet, row, 1)
    canvas.put(sheet, row, 2, canvas.unit("flow"), "unit")
    canvas.calc(sheet, row, 3, f"={discharge_source(canvas.say)}", "result_text", last=last_col)
    canvas.name("discharge_source", sheet, row, 3)
    sheet.row_heights[row] = 30


def discharge_source(say: Texts) -> str:
    """Give the formula of where the discharge comes from, in a language."""
    # Spelt out: the letters of TEXT's date formats differ between the languages of spreadsheet programs.
    two = 'RIGHT("0"&{what}({{catch_date}}),2)'
    date = f'YEAR({{catch_date}})&"-"&{two.format(what="MONTH")}&"-"&{two.format(what="DAY")}'
    by_catch, undated, by_order = (
        literal(say[f"rates.{key}"]) for key in ("by_catch", "undated", "by_order")
    )
    dated = f'{by_catch}&" "&IF(ISNUMBER({{catch_date}}),{date},{undated})'
    return f"IF(ISNUMBER({{discharge_measured}}),{dated},{by_order})"


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


def _fits(canvas: Canvas, section: Section) -> Iterator[Mapping[str, Value]]:
    """A line for each kind of pass of each setting that the plan allows, or one that says why there is none."""
    planned = canvas.planned.get(section.id)
    name = f"{section.id}  {section.road}"
    if planned is None or planned.setting is None:
        by_hand = planned is not None and planned.verdict == "hand"
        said = canvas.say["card.hand" if by_hand else "card.none"]
        yield {**_NOTHING, "where": f"{name}: {said}", "section": section.id}
        return
    for settings in _alike(planned.offered):
        across = settings[0].sprayed[0].across
        line: dict[str, Value] = {
            "where": name if across is None else f"{name}  ({across.told})",
            "section": section.id,
            "mark": canvas.say["plan.planned_mark"] if planned.setting in settings else "",
            "bar": ", ".join(f"{each.bar_width:g}" for each in settings),
        }
        for _nozzles, passes in groupby(settings[0].sprayed, key=lambda one: one.nozzles):
            yield line | _pass_facts(settings[0], list(passes))


def _alike(offered: Sequence[Setting]) -> list[list[Setting]]:
    """The settings that are offered, the planned one first; those that open the same nozzles stand together."""
    found: dict[tuple[Pass, ...], list[Setting]] = {}
    for setting in offered:
        found.setdefault(setting.sprayed, []).append(setting)
    return list(found.values())


def _pass_facts(setting: Setting, passes: Sequence[Pass]) -> dict[str, Value]:
    first, last = passes[0], passes[-1]
    return {
        "pass": f"{first.number}" if first is last else f"{first.number} – {last.number}",
        "nozzles": first.nozzles,
        "width": round(first.width, 3),
        "set": first.discharge,
        "calibrated": int(first.discharge == setting.calibrated),
        "alike": first.alike,
    }


def _draw_sections(
    canvas: Canvas, sheet: Sheet, row: int, fits: Sequence[Mapping[str, Value]], last_col: int
) -> Place:
    """How every section may be sprayed; registers the table "fits", its workings beside the printed part."""
    canvas.put(sheet, row, 0, canvas.say["rates.by_section"], "grid_title")
    spec = templates.toml("sheets/rates.toml")["fits"]
    keys = (*_WORKINGS, "alike") if canvas.varied else _WORKINGS
    workings = {key: last_col + 2 + offset for offset, key in enumerate(keys)}
    place = draw_table(canvas, sheet, spec, fits, row + 1, texts="rates", head=41, look=_TABLE)
    place = replace(place, columns=place.columns | workings)
    canvas.table("fits", place)
    for line, fact in enumerate(fits, start=place.first_row):
        for key, col in workings.items():
            value = fact[key]
            look = "value" if isinstance(value, str) else "value_number"
            canvas.put(
                sheet,
                line,
                col,
                value,
                look,
                number_format("flow", canvas.order) if key == "set" else "General",
            )
    at = {
        key: f"${address(place.first_row, place.columns[column])}"
        for key, column in (
            ("nozzles", "alike" if canvas.varied else "nozzles"),
            ("discharge",) * 2,
            ("speed",) * 2,
        )
    }
    for key in ("speed", "road_speed"):
        block = (place.first_row, place.columns[key], place.last_row, place.columns[key])
        sheet.conditional += pass_marks(block, at, number_format(key, canvas.order))
    return place


def _draw_speeds(canvas: Canvas, sheet: Sheet, widths: list[float], row: int) -> int:
    axis = f"{canvas.say['rates.mix_rate']} {canvas.unit('rate')}"
    _head(canvas, sheet, row, "rates.speeds", axis, widths, twice=True)
    shown = number_format("rate", canvas.order)
    for line, rate in enumerate(rate_axis(canvas), start=row + 2):
        canvas.put(sheet, line, 0, rate, "grid_head", shown)
        for col in range(1, len(widths) + 1):
            width = address(row + 1, col, absolute=True)
            speed = f"{{area_divisor}}*{{discharge_used}}*{{planned_factor}}/({width}*${address(line, 0)})"
            template = _if_able(speed, "{discharge_used}", width, speed)
            canvas.calc(sheet, line, col, template, "grid", number_format("speed", canvas.order))
            here = address(line, col)
            road = f'=IF(ISNUMBER({here}),{here}/{{speed_per_road_speed}},"–")'
            road_shown = number_format("road_speed", canvas.order)
            canvas.calc(sheet, line, col + len(widths) + 1, road, "grid", road_shown)
    return row + 2 + LINES


def _if_able(figure: str, discharge: str, width: str, speed: str = "") -> str:
    """A formula for a figure, or a dash where a limit is passed with every nozzle of a width open."""
    nozzles = f"ROUND({width}*{{spacing_per_width}}/{{nozzle_spacing}},0)"
    tests = [_outside(discharge, "discharge"), _outside(f"{discharge}/{nozzles}", "nozzle_flow")]
    tests += [_outside(speed, "speed")] if speed else []
    return f'=IF(OR({",".join(tests)}),"–",{figure})'


def _outside(figure: str, limits: str) -> str:
    """Whether a figure is outside its limits, to six decimals: one that lies on its limit keeps it."""
    low, high = (f"ROUND({{{limits}_{end}}},6)" for end in ("min", "max"))
    return f"ROUND({figure},6)<{low},ROUND({figure},6)>{high}"


def _draw_rates_obtained(canvas: Canvas, sheet: Sheet, widths: list[float], row: int) -> int:
    axis = f"{canvas.say['rates.speed']} {canvas.unit('speed')}"
    _head(canvas, sheet, row, "rates.obtained", axis, widths, twice=False)
    for line, speed in enumerate(speed_axis(canvas), start=row + 2):
        canvas.put(sheet, line, 0, speed, "grid_head", "0")
        for col in range(1, len(widths) + 1):
            width = address(row + 1, col, absolute=True)
            rate = f"{{area_divisor}}*{{discharge_used}}*{{planned_factor}}/({width}*${address(line, 0)})"
            template = _if_able(rate, "{discharge_used}", width)
            canvas.calc(sheet, line, col, template, "grid", number_format("rate", canvas.order))
    return row + 2 + len(speed_axis(canvas))


def _draw_choice(canvas: Canvas, sheet: Sheet, row: int) -> int:
    canvas.put(sheet, row, 0, canvas.say["rates.choose"], "label")
    chosen = canvas.entry("", 0, "rates_section") or canvas.own_sections[0].id
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


def _draw_discharges(canvas: Canvas, sheet: Sheet, most: int, row: int, workings: int) -> int:
    """What the pump is to give at a speed, for the passes that the plan allows on the chosen section.

    The passes are counted in the columns after ``workings``.
    """
    canvas.put(sheet, row, 0, canvas.say["rates.discharges"], "grid_title")
    canvas.put(sheet, row + 1, 0, f"{canvas.say['rates.speed']} {canvas.unit('speed')}", "grid_head")
    first = "MATCH({rates_section},[fits.section],0)"
    shown = f'General" {canvas.unit("width")}"'
    for col in range(1, most + 1):
        canvas.put(sheet, row + 1, workings + col, col, "value_number")
        count = address(row + 1, workings + col)
        width = f"INDEX([fits.width],{first}+{count}-1)"
        none = f"OR(COUNTIF([fits.section],{{rates_section}})<{count},N({width})=0)"
        template = f'=IFERROR(IF({none},"",{width}),"")'
        canvas.calc(sheet, row + 1, col, template, "grid_head", shown, "fits")
    for line, speed in enumerate(speed_axis(canvas), start=row + 2):
        canvas.put(sheet, line, 0, speed, "grid_head", "0")
        for col in range(1, most + 1):
            width = address(row + 1, col, absolute=True)
            needed = f"{width}*${address(line, 0)}*{{rates_hot}}/{{area_divisor}}"
            able = _if_able(needed, f"({needed})", width).removeprefix("=")
            template = f'=IF(OR({width}="",{{rates_hot}}=""),"",{able})'
            canvas.calc(sheet, line, col, template, "grid", number_format("flow", canvas.order))
    canvas.name("rates_width", sheet, row + 1, 1)
    return row + 2 + len(speed_axis(canvas))


def _draw_widths(canvas: Canvas, sheet: Sheet, widths: list[float], row: int) -> int:
    canvas.put(sheet, row, 0, canvas.say["rates.per_width"], "grid_title")
    heads = (("nozzles", None), ("nozzle_flow", "flow"), ("load_area", "area"), ("minutes", None))
    canvas.put(sheet, row + 1, 0, f"{canvas.say['rates.width']} {canvas.unit('width')}", "grid_head")
    for col, (key, unit) in enumerate(heads, start=1):
        text = canvas.say[f"rates.{key}"] + (f" {canvas.unit(unit)}" if unit else "")
        canvas.put(sheet, row + 1, col, text, "header_result")
    for index, width in enumerate(widths):
        line = row + 2 + index
        canvas.put(sheet, line, 0, width, "grid_head", "General")
        own = f"${address(line, 0)}"
        flow = f"{{discharge_used}}/{address(line, 1)}"
        columns = (
            (f"=ROUND({own}*{{spacing_per_width}}/{{nozzle_spacing}},0)", "0"),
            (_if_able(flow, "{discharge_used}", own), "0.00"),
            ('=IF({rates_hot}="","",{usable_volume}/{rates_hot})', number_format("area", canvas.order)),
            ("={usable_volume}/{discharge_used}", "0.0"),
        )
        for col, (template, shown) in enumerate(columns, start=1):
            canvas.calc(sheet, line, col, template, "grid", shown)
    first, last = row + 2, row + 1 + len(widths)
    canvas.name("nozzles_by_width", sheet, first, 1, rows=len(widths))
    sheet.row_heights[row + 1] = 39
    canvas.calc(sheet, last + 1, 1, "=MAX({nozzles_by_width})", "result", "0")
    canvas.put(sheet, last + 1, 0, canvas.say["name.nozzles_most"], "label")
    canvas.name("nozzles_most", sheet, last + 1, 1)
    return last + 1


def rate_axis(canvas: Canvas) -> list[float]:
    """Mix rates at the base temperature in even steps, around what the sections order."""
    material = canvas.order.material
    rates = [
        mix_rate(section.rate, section.basis, material.residue, material.dilution)  # about: as if at the base
        for section in canvas.order.sections
    ]
    steps = templates.toml("sheets/rates.toml")[canvas.system]["rate_steps"]
    return _axis(0.6 * min(rates), 1.5 * max(rates), steps)


def speed_axis(canvas: Canvas) -> list[float]:
    """Speeds in even steps within the truck's range, its least where no step lies in it."""
    machine = canvas.machine
    steps = templates.toml("sheets/rates.toml")[canvas.order.units]["speed_steps"]
    within = [
        each for each in _axis(machine.speed_min, machine.speed_max, steps) if each <= machine.speed_max
    ]
    return [each for each in within if each >= machine.speed_min] or [machine.speed_min]


def _axis(low: float, high: float, steps: list[float]) -> list[float]:
    step = next((step for step in steps if (high - low) / step <= LINES - 1), steps[-1])
    while (high - low) / step > LINES - 1:
        step *= 2
    first = max(1, math.floor(low / step))
    return [round((first + index) * step, 6) for index in range(LINES)]
