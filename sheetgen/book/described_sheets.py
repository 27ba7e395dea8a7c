"""The sheets that are only description: job, ordered work, totals, cautions. What stands in them is data."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from math import sqrt
from typing import Any

from sheetgen import templates
from sheetgen.book.canvas import Canvas
from sheetgen.book.identity_code import draw_identity_code
from sheetgen.book.paid import by_rule, paid_facts, rule_has
from sheetgen.ditto_marks import ditto_marks
from sheetgen.load_kinds import LoadKind, load_kinds
from sheetgen.order.burners import least_cover
from sheetgen.order.heating import fill_temperature, heat_max
from sheetgen.order.model import Section
from sheetgen.order.pay_terms import paid_kind
from sheetgen.plan.fit import lane_limit, nozzle_share, widest_shot
from sheetgen.plan.guidance import usual_rates
from sheetgen.plan.inputs import stick_uncertainty
from sheetgen.plan.judging import QUESTIONED, difference_spread, standard
from sheetgen.plan.workable import warnings_of
from sheetgen.plausibility import plausibility
from sheetgen.shot_kinds import ShotKind, shot_kinds
from sheetgen.xlsx.blocks import (
    Columns,
    Part,
    across,
    draw_field,
    draw_fields,
    draw_line,
    draw_table,
    draw_title,
    value_at,
)
from sheetgen.xlsx.model import Sheet, Value
from sheetgen.xlsx.page import page

_JOB_WIDTHS = {0: 28, 1: 30, 2: 7.5, 3: 2, 4: 31, 5: 18, 6: 7.5}
_JOB_SIDES = {"left": Columns((0, 0), (1, 1), 2), "right": Columns((4, 4), (5, 5), 6)}
BASIS_CODES = {"residual": 1, "undiluted": 2, "as-diluted": 3}
_TOTALS = Columns((0, 4), (5, 5), 6)
_TOTALS_MONEY = Columns((0, 4), (5, 6), 7)  # an amount can be longer than any volume
_TOTALS_LAST = 9
_QUOTES = tuple(
    mark for mark in ditto_marks() if mark in '"“”'
)  # some programs curl a straight one as it is typed
# As many lines of sections and days stand on one page in a type that can be read.
_LINES_ON_A_PAGE = 40
_KINDS_COL = 6  # beside the lists of lanes and widths


def draw_job(canvas: Canvas) -> Sheet:
    """Draw the job sheet: everything the formulas take from the order, each value in a named cell."""
    sheet = canvas.sheet("job")
    sheet.column_widths |= _JOB_WIDTHS
    draw_title(canvas, sheet, canvas.say["sheet.job.title"])
    canvas.put(sheet, 0, 4, canvas.say.say("book.identity", identity=canvas.identity), "subtitle")
    if canvas.order.job.invented:
        across(canvas, sheet, 1, 6, canvas.say["book.invented"], "banner")
    _draw_issued_with(canvas, sheet)
    rows = {"left": 3, "right": 3}
    facts = job_facts(canvas)
    for group in templates.toml("sheets/job.toml")["group"]:
        fields = [each for each in group["fields"] if not group.get("given") or _given(each, facts)]
        if not fields:
            continue
        columns, row = _JOB_SIDES[group["side"]], rows[group["side"]]
        first, last = columns.label[0], columns.value[1] + 1
        across(canvas, sheet, row, last, canvas.say[f"job.{group['key']}"], "group", first)
        rows[group["side"]] = draw_fields(canvas, sheet, row + 1, columns, fields, facts) + 1
    draw_identity_code(canvas, sheet, rows["left"], 0, 1.0)
    sheet.freeze = (2, 0)
    page(canvas, sheet, "portrait", fit_height=1)
    return sheet


def _draw_issued_with(canvas: Canvas, sheet: Sheet) -> None:
    """How many warnings the book was issued with, and where they stand."""
    if not canvas.planned:
        return
    count = len(warnings_of(canvas.plan, canvas.order.language))
    if count:
        text = canvas.say.say("plan.issued_with", count=count, part=canvas.say["plan.part.notices"])
        across(canvas, sheet, 2, 6, text, "caution_line")


def job_facts(canvas: Canvas) -> dict[str, Any]:
    """What the job sheet shows: the order's parts, flags as 0 or 1, and a tank's outside dimensions."""
    order, machine, tank = canvas.order, canvas.machine, canvas.machine.tank
    calibrated = tank.shape == "calibrated"
    parts = {name: getattr(order, name) for name in type(order).model_fields}
    return parts | {
        "machine": machine,
        "bounds": plausibility(),
        "replaces": "; ".join(order.job.replaces),
        "is_emulsion": int(order.material.material_class == "emulsion"),
        "hand_exempt": int(order.pay.hand_exempt),
        "paid": paid_facts(order),
        "stick_spread": round(difference_spread(stick_uncertainty(order, machine)), 6),
        "meter_spread": round(difference_spread(standard(order.reading.meter)), 6),
        "stick_questioned": round(QUESTIONED * stick_uncertainty(order, machine), 6),
        "meter_questioned": round(QUESTIONED * sqrt(2) * standard(order.reading.meter), 6),
        "thermometer_reach": plausibility()["thermometer_steps"] * order.reading.temperature,
        "flash_limit": None if order.material.material_class == "cutback" else order.material.flash_point,
        "has_burners": int(machine.burners),
        "heat_max": heat_max(order),
        "fill_temperature": fill_temperature(order),
        "cover_over_flues": (machine.cover_over_flues or least_cover(order.units))
        if machine.burners
        else None,
        "tank_height": tank.points[-1].depth if calibrated else tank.height,
        "tank_width": None if calibrated else (tank.width if tank.shape == "elliptical" else tank.height),
        "tank_length": None if calibrated else tank.length,
        "head_depth": None if calibrated else (tank.head_depth if tank.heads == "ellipsoidal" else 0),
    }


def _given(field: Mapping[str, Any], facts: Any) -> bool:
    return value_at(field["value"], facts) is not None


def draw_ordered(canvas: Canvas) -> Sheet:
    """Draw the ordered work, register the table "ordered" and name the lists that drop-downs use."""
    sheet, spec = canvas.sheet("ordered"), templates.toml("sheets/ordered.toml")
    sheet.column_widths |= {col: column["width"] for col, column in enumerate(spec["column"])}
    note = [_note(canvas, "sheet.ordered.note"), *_unsprayed(canvas), *canvas.given_to_others()]
    head = draw_title(canvas, sheet, canvas.say["sheet.ordered.title"], note, 19) + 2
    facts = [section_facts(canvas, section) for section in canvas.order.sections]
    place = draw_table(canvas, sheet, spec, facts, head, head=52)
    canvas.name("section_ids", sheet, place.first_row, 0, rows=len(facts))
    row = place.last_row + 3
    lanes = list(dict.fromkeys(lane for section in canvas.order.sections for lane in section.lanes))
    _draw_list(canvas, sheet, row, 0, "lane_names", lanes)
    widths = _widths(canvas)
    _draw_list(canvas, sheet, row, 3, "bar_widths", widths)
    col = place.columns["lane_count"]
    _draw_list(canvas, sheet, row, col, "ditto_marks", ditto_marks())
    sections = [section.id for section in canvas.order.sections]
    words = [canvas.say[f"words.{key}"] for key in shot_kinds()]
    others = [section.id for section in canvas.order.sections if not section.is_for(canvas.machine)]
    if others:
        col += 1
        _draw_list(canvas, sheet, row, col, "sections_of_others", others)
    choices: dict[str, Sequence[Value]] = {"section": sections, "lane": lanes, "width": widths, "kind": words}
    for key, offered in choices.items():  # what drop-downs of the shot log offer: the mark for "as above" too
        col += 1
        _draw_list(canvas, sheet, row, col, f"{key}_choices", [*offered, *_QUOTES])
    end = row
    for key, kinds in (("kinds", shot_kinds()), ("load_kinds", load_kinds())):
        codes = [{"key": kind.key, **_codes(kind)} for kind in kinds.values()]
        end = (
            draw_table(canvas, sheet, templates.toml(f"sheets/{key}.toml"), codes, end, _KINDS_COL).last_row
            + 2
        )
    sheet.freeze = (head + 2, 1)
    last = max(row + max(len(lanes), len(widths)), end - 2)
    area = (0, 0, last, place.columns["quantity"])
    page(canvas, sheet, "landscape", area=area, repeat_rows=(head, head + 1))
    return sheet


def _codes(kind: ShotKind | LoadKind) -> dict[str, int]:
    """Give the marks of a kind as the formulas take them: 1, 0, or -1 for what is sent back."""
    return {mark: int(getattr(kind, mark)) for mark in kind._fields[1:]}


def _note(canvas: Canvas, key: str) -> tuple[str, str]:
    return canvas.say.say(key, base=canvas.say[f"book.base_{canvas.system}"]), "note"


def _unsprayed(canvas: Canvas) -> list[tuple[str, str]]:
    """The sections that this distributor cannot spray, in a line of their own."""
    own = {section.id for section in canvas.own_sections}
    names = [name for name, planned in canvas.planned.items() if name in own and planned.verdict == "none"]
    text = canvas.say.say("card.unsprayed", sections=", ".join(names))
    return [(text, "caution_line")] if names else []


def _draw_list(canvas: Canvas, sheet: Sheet, row: int, col: int, key: str, values: Sequence[Value]) -> None:
    canvas.put(sheet, row, col, canvas.say[f"name.{key}"], "grid_title")
    for index, value in enumerate(values, start=1):
        canvas.put(sheet, row + index, col, value, "value_line" if isinstance(value, str) else "value_number")
    canvas.name(key, sheet, row + 1, col, rows=len(values))


def _widths(canvas: Canvas) -> list[float]:
    """What the crew may write as the width of a shot: each bar width, and each pass that is offered."""
    planned = (
        each.width
        for section in canvas.planned.values()
        for setting in section.offered
        for each in setting.sprayed
    )
    return sorted({*canvas.machine.bar_widths, *(round(width, 3) for width in planned)}, reverse=True)


def _lane_limit(canvas: Canvas, section: Section) -> float | None:
    planned = canvas.planned.get(section.id)
    return lane_limit(planned, canvas.machine, canvas.order.units) if planned else None


def section_facts(canvas: Canvas, section: Section) -> dict[str, Value]:
    """What the table shows of a section: its own values, and codes for the formulas."""
    percent = section.tolerance_kind == "percent"
    low, high = usual_rates(canvas.order, section)
    shown = f"{section.tolerance:.4g}"
    if percent:
        shown = f"{100 * section.tolerance:.4g} %"
    return {
        **section.model_dump(exclude={"lanes"}),
        "lanes_text": ", ".join(section.lanes),
        "lane_count": len(section.lanes),
        "lane_limit": _lane_limit(canvas, section),
        "width_limit": max(
            widest_shot(canvas.order, canvas.machine, section), min(canvas.machine.bar_widths)
        ),
        "nozzle_share": nozzle_share(section, canvas.machine, canvas.order.units),
        "rate_low": low,
        "rate_high": high,
        "basis_code": BASIS_CODES[section.basis],
        "at_spraying": int(section.rate_temperature == "spraying"),
        "tolerance_code": 1 if percent else 2,
        "tolerance_text": f"± {shown}" if percent else f"± {shown} {canvas.unit('rate')}",
        "by_hand": int(section.hand_spray),
        "own_bar": int(not section.hand_spray and canvas.order.sprays_alone(canvas.machine, section)),
        "hand_text": canvas.say["words.yes" if section.hand_spray else "words.no"],
    }


def draw_totals(canvas: Canvas) -> Sheet:
    """Draw the totals; registers the tables "sections" and "by_day" and names the totals of the whole book."""
    sheet, spec = canvas.sheet("totals"), templates.toml("sheets/totals.toml")
    sheet.column_widths |= {0: 14} | dict.fromkeys(range(1, _TOTALS_LAST + 1), 10.8)
    notes = [_note(canvas, "totals.note"), *_unsprayed(canvas)]
    row = draw_title(canvas, sheet, canvas.say["sheet.totals.title"], notes, _TOTALS_LAST)
    draw_line(canvas, sheet, row, Part(0, _TOTALS_LAST, None, "line", formula="={checks_line}"), least=22)
    row = across(canvas, sheet, row + 2, _TOTALS_LAST, canvas.say["totals.overall"], "group")
    row = _draw_overall(canvas, sheet, row, spec["overall"]["fields"])
    tables = _tables(canvas, spec)
    for title, table, of in tables:
        canvas.put(sheet, row + 1, 0, canvas.say[f"totals.{title}"], "grid_title")
        place = draw_table(canvas, sheet, table, of, row + 2)
        row = place.last_row + 1
    canvas.put(sheet, place.last_row + 2, 0, canvas.say["totals.signature"], "plain")
    short = sum(len(of) for _, _, of in tables) <= _LINES_ON_A_PAGE
    page(canvas, sheet, "portrait", fit_height=1 if short else 0, repeat_rows=(0, 0))
    return sheet


def _tables(canvas: Canvas, spec: Mapping[str, Any]) -> list[tuple[str, Mapping[str, Any], Sequence[Any]]]:
    """Title, columns and lines of each table: by section, by section in the unit of pay, by day."""
    order, kind = canvas.order, paid_kind(canvas.order)
    tables: list[tuple[str, Mapping[str, Any], Sequence[Any]]] = [
        ("by_section", spec["sections"], order.sections)
    ]
    if kind != "volume":
        columns = [
            by_rule(column, order) if "formula" in column else column for column in spec[kind]["column"]
        ]
        tables.append((f"by_section_{kind}", spec[kind] | {"column": columns}, order.sections))
    return [*tables, ("by_day", spec["days"], range(order.size.days))]


def _draw_overall(canvas: Canvas, sheet: Sheet, row: int, fields: Sequence[Mapping[str, Any]]) -> int:
    """The totals that the order's pay rule has."""
    has, order = rule_has(canvas.order), canvas.order
    for field in fields:
        if not has.issuperset(field.get("needs", ())):
            continue
        label, money = canvas.say[f"name.{field['key']}"], field["format"] == "money"
        shown = by_rule(field, order)
        if field["key"] == "total_payable" and paid_kind(order) != "volume":
            shown, label = shown | {"style": "result"}, canvas.say["totals.material"]
        columns = _TOTALS_MONEY if money else _TOTALS
        draw_field(canvas, sheet, row, columns, shown, {}, label, table="sections")
        if money:
            canvas.put(sheet, row, columns.unit or 0, order.pay.currency, "unit")
        row += 1
    return row


def draw_cautions(canvas: Canvas) -> Sheet:
    """Draw the usual cautions that hold for the order's class of material, with their sources."""
    sheet = canvas.sheet("cautions")
    sheet.column_widths |= {0: 5, 1: 72, 2: 24}
    notes = [(canvas.forms["cautions.defer"], "caution_line")]
    row = draw_title(canvas, sheet, canvas.in_one_line("sheet.cautions.title"), notes, 2) + 1
    rows = templates.for_class("cautions", canvas.order.material.material_class)
    for number, caution in enumerate(rows, start=1):
        text = canvas.forms.own(f"caution.{caution['key']}", canvas.order.units)
        source = canvas.forms[f"caution_source.{caution['source_key']}"]
        parts = (
            Part(0, 0, number, "row_number"),
            Part(1, 1, text, "caution"),
            Part(2, 2, source, "note_beside"),
        )
        draw_line(canvas, sheet, row, *parts, least=20)
        row += 1
    page(canvas, sheet, "portrait", fit_height=1)
    return sheet
