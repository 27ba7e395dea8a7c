"""What the order comes to while one types: totals, loads, and each distributor's speed in each section."""

from __future__ import annotations

from collections.abc import Callable

from sheetgen import templates
from sheetgen.order.draft import Draft, heading
from sheetgen.order.fields import layout, unit_label
from sheetgen.order.machine_sheet import machine_columns
from sheetgen.order.model import Order
from sheetgen.order.places import KEY_ROW, section_name
from sheetgen.trade.limits import limit
from sheetgen.xlsx.model import Place, Sheet
from sheetgen.xlsx.page import page

ID, ROAD, FIRST = 1, 2, 3
_MACHINE_RESULTS = ("usable", "minutes", "widest", "nozzle_flow")


def draw_preview(draft: Draft, order: Order | None) -> Sheet:
    """Draw the sheet and register the table "preview", one row for each row of the sections."""
    sheet = draft.sheet("preview")
    count = machine_columns(order.machines if order else ())
    parts = layout()["preview"]["section"]
    last_col = FIRST + count * len(parts)
    draft.head(sheet, last_col)
    row = _draw_totals(draft, sheet, KEY_ROW + 1)
    row = _draw_machines(draft, sheet, row + 1, count)
    last_row = _draw_speeds(draft, sheet, row + 1, count, last_col)
    sheet.column_widths |= {0: 0, ID: 9, ROAD: 36, last_col: 12}
    for number in range(count):
        for offset, part in enumerate(parts):
            sheet.column_widths[FIRST + number * len(parts) + offset] = part["width"]
    page(draft, sheet, "landscape", fit_height=1, area=(0, 0, last_row, last_col))
    return sheet


def _draw_totals(draft: Draft, sheet: Sheet, row: int) -> int:
    row = heading(draft, sheet, row, "totals", FIRST + 2, ID)
    for result in layout()["preview"]["job"]:
        draft.put(sheet, row, ID, draft.say[f"order.total.{result['key']}"], "label", last=ROAD)
        look = draft.shown(result["format"])
        draft.result(sheet, row, FIRST, result["formula"], "order_live", look, last=FIRST + 1)
        draft.name(f"job_total_{result['key']}", sheet, row, FIRST)
        if result["key"] == "money":
            draft.calc(sheet, row, FIRST + 2, '={pay_currency}&""', "unit")
        else:
            draft.put(sheet, row, FIRST + 2, unit_label(result, draft.system, draft.say) or None, "unit")
        row += 1
    return row


def _draw_machines(draft: Draft, sheet: Sheet, row: int, count: int) -> int:
    """One line for each distributor: what it holds, and its loads if it sprays the whole job alone."""
    results = {result["key"]: result for result in layout()["machines"]["live"]}
    columns = [(results[key], f"order.live.{key}", f"={{m#_live_{key}}}") for key in _MACHINE_RESULTS]
    loads = layout()["preview"]["machine"][0]
    columns.append((loads, "order.total.loads", loads["formula"]))
    row = heading(draft, sheet, row, "machines", FIRST + 2 * len(columns) - 1, ID)
    draft.put(sheet, row, ID, draft.say["order.field.machines.name.label"], "order_head_live", last=ROAD)
    sheet.row_heights[row] = 40
    for number in range(count):
        name = f"{{m{number + 1}_name}}"
        draft.calc(sheet, row + 1 + number, ID, f'={name}&""', "order_cell_text", last=ROAD)
    for offset, (result, text, template) in enumerate(columns):
        col = FIRST + 2 * offset
        unit = unit_label(result, draft.system, draft.say)
        label = draft.say[text] + (f" ({unit})" if unit else "")
        draft.put(sheet, row, col, label, "order_head_live", last=col + 1)
        for number in range(count):
            line = row + 1 + number
            look = draft.shown(result["format"])
            draft.result(
                sheet, line, col, template.replace("#", str(number + 1)), "order_live", look, last=col + 1
            )
    return row + 1 + count


def _draw_speeds(draft: Draft, sheet: Sheet, row: int, count: int, last_col: int) -> int:
    parts, workings = layout()["preview"]["section"], layout()["preview"]["working"]
    rows = int(layout()["section_rows"])
    row = heading(draft, sheet, row, "speeds", last_col, ID)
    first = row + 2
    columns = {"id": ID, "road": ROAD, "fits": last_col}
    for number in range(count):
        for offset, part in enumerate(parts):
            columns[f"{part['key']}_{number + 1}"] = FIRST + number * len(parts) + offset
        for offset, part in enumerate(workings):
            columns[f"{part['key']}_{number + 1}"] = last_col + 2 + number * len(workings) + offset
    planned = _planned(draft.system)
    draft.tables["preview"] = Place(sheet.name, row + 1, first, first + rows - 1, columns, frozenset())
    _draw_heads(draft, sheet, row, count, last_col)
    for index in range(rows):
        named = f'IF([@sections.road]="","","{section_name(index)}")'
        for key, blank in (("id", named), ("road", '""')):
            template = f'=IF([@sections.{key}]="",{blank},[@sections.{key}]&"")'
            draft.calc(
                sheet, first + index, columns[key], template, "order_cell_text", table="preview", index=index
            )
        for number in range(1, count + 1):
            for part in workings:
                template = planned(part["formula"]).replace("#", str(number))
                col = columns[f"{part['key']}_{number}"]
                draft.calc(sheet, first + index, col, template, "result", "0.####", "preview", index)
            for part in parts:
                template = part["formula"].replace("#", str(number))
                look = draft.shown(part["format"])
                col = columns[f"{part['key']}_{number}"]
                draft.result(sheet, first + index, col, template, "order_live", look, "preview", index)
        fitting = "+".join(f"IF(N([total_{number}])>0,1,0)" for number in range(1, count + 1))
        template = f'=IF(OR([@sections.hot]="",[@sections.hand_spray]={{\'words.yes\'}}),"",{fitting})'
        draft.result(sheet, first + index, last_col, template, "order_live", "0", "preview", index)
    sheet.freeze = None
    sheet.row_heights[row] = 18
    return first + rows - 1


def _planned(system: str) -> Callable[[str], str]:
    """What stands in a formula for an entry of the planning sheet: the entry, or its default where it is blank."""
    usual = {row["key"]: row["value"] for row in templates.table("planning") if row["system"] == system}
    values = {
        key: f"IF(ISNUMBER({{planning_{key}}}),{{planning_{key}}},{usual[key]})"
        for key in ("overlap", "shot_step", "prime_extra_width")
    }
    inch = 1 if system == "us" else 25
    values |= {"joint": f"{(limit('joint').high or 0) * inch:g}", "passes": f"{limit('passes').high or 0:g}"}

    def planned(template: str) -> str:
        for key, value in values.items():
            template = template.replace(f"@{key}@", value)
        return template

    return planned


def _draw_heads(draft: Draft, sheet: Sheet, row: int, count: int, last_col: int) -> None:
    parts = layout()["preview"]["section"]
    for col, text in ((ID, "order.field.sections.id.label"), (ROAD, "order.field.sections.road.label")):
        draft.put(sheet, row, col, draft.say[text], "order_head_live")
        draft.merge(sheet, row, col, row + 1, col)
    draft.put(sheet, row, last_col, draft.say["order.total.fits"], "order_head_live")
    draft.merge(sheet, row, last_col, row + 1, last_col)
    for number in range(count):
        col = FIRST + number * len(parts)
        name = f"{{m{number + 1}_name}}"
        head = draft.say.say("order.column.distributor", number=number + 1)
        draft.calc(
            sheet, row, col, f'=IF({name}="","{head}",{name})', "order_head_live", last=col + len(parts) - 1
        )
        for offset, part in enumerate(parts):
            unit = unit_label(part, draft.system, draft.say)
            label = unit or draft.say[f"order.total.{part['key']}"]
            draft.put(sheet, row + 1, col + offset, label, "order_head_live")
