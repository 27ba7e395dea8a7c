"""The sheet of the material: its form, what follows, and what is published for the grade picked."""

from __future__ import annotations

from sheetgen.order.draft import Draft, heading, warning_count
from sheetgen.order.fields import layout
from sheetgen.order.form_sheet import (
    LABEL,
    MARK,
    NOTE,
    UNIT,
    VALUE,
    draw_form,
    live_lines,
)
from sheetgen.order.model import Order
from sheetgen.xlsx.formulas import address
from sheetgen.xlsx.model import Sheet
from sheetgen.xlsx.page import page

RANGES = 7  # spraying ranges listed for a grade: no grade has more
_FACTS = (
    ("class", "text", ""),
    ("gravity_low", "two", ""),
    ("gravity_high", "two", ""),
    ("residue", "percent", ""),
    ("flash", "temperature", "temperature"),
    ("source", "text", ""),
)


def draw_material(draft: Draft, order: Order | None) -> Sheet:
    """Draw the sheet and name its results "live_…" and the published figures "guide_…"."""
    sheet, row = draw_form(draft, "material", order)
    row = heading(draft, sheet, row + 1, "live", NOTE)
    row = live_lines(draft, sheet, row, layout()["material"]["live"], "live", "live")
    draft.put(sheet, row, LABEL, draft.say["order.live.warnings"], "label")
    draft.calc(sheet, row, VALUE, f"={warning_count(draft, 'material')}", "order_live", "0")
    draft.name("material_warnings", sheet, row, VALUE)
    row = heading(draft, sheet, row + 2, "published", NOTE)
    row = _draw_facts(draft, sheet, row)
    _draw_ranges(draft, sheet, row + 1)
    page(draft, sheet, "portrait", fit_height=1)
    return sheet


def _draw_facts(draft: Draft, sheet: Sheet, row: int) -> int:
    found = "MATCH({material_grade},{grades},0)"
    for key, kind, unit in _FACTS:
        draft.put(sheet, row, LABEL, draft.say[f"order.published.{key}"], "label")
        value = f"INDEX({{ref_{key}}},{found})"
        template = f'=IF({{material_grade}}="","",IFERROR(IF({value}="","",{value}),""))'
        draft.calc(sheet, row, VALUE, template, "order_live", draft.shown(kind))
        draft.put(sheet, row, UNIT, draft.unit(unit) if unit else None, "unit")
        draft.name(f"guide_{key}", sheet, row, VALUE)
        if key == "source":
            draft.merge(sheet, row, VALUE, row, NOTE)
        row += 1
    return row


def _draw_ranges(draft: Draft, sheet: Sheet, row: int) -> None:
    """The spraying ranges of the grade: its rows stand together on the reference sheet."""
    unit = draft.unit("temperature")
    heads = {LABEL: "document", VALUE: "min", UNIT: "max", MARK: "holds", NOTE: "seen"}
    for col, key in heads.items():
        text = draft.say[f"order.column.{key}"]
        draft.put(sheet, row, col, f"{text} ({unit})" if key in ("min", "max") else text, "order_head_live")
    sheet.row_heights[row] = 26
    for number in range(RANGES):
        _draw_range(draft, sheet, row + 1 + number, number, heads)
    draft.name("published_min", sheet, row + 1, VALUE, rows=RANGES)
    draft.name("published_holds", sheet, row + 1, MARK, rows=RANGES)


def _draw_range(draft: Draft, sheet: Sheet, row: int, number: int, heads: dict[int, str]) -> None:
    line = f"(MATCH({{material_grade}},{{range_grade}},0)+{number})"
    here = f"INDEX({{range_grade}},{line})={{material_grade}}"
    for col, key in heads.items():
        value = f"INDEX({{range_{key}}},{line})"
        template = f'=IFERROR(IF(AND({{material_grade}}<>"",{here}),IF({value}="","",{value}),""),"")'
        if key == "holds":
            low, high = address(row, VALUE), address(row, UNIT)
            planned = "{material_spray_planned}"
            inside = f'AND({planned}>={low},OR({high}="",{planned}<={high}))'
            answer = f"IF({inside},{{'words.yes'}},{{'words.no'}})"
            template = f'=IF(OR({low}="",NOT(ISNUMBER({planned}))),"",{answer})'
        style = "order_cell_text" if key in ("document", "seen") else "order_live"
        draft.calc(sheet, row, col, template, style, "General")
    sheet.row_heights[row] = 26
