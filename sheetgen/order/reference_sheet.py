"""The published figures that the order workbook shows as guidance, each with its source."""

from __future__ import annotations

from collections.abc import Sequence

from sheetgen import templates
from sheetgen.order.draft import Draft
from sheetgen.order.fields import fields
from sheetgen.order.form_sheet import heading, planning_defaults
from sheetgen.order.places import KEY_ROW
from sheetgen.order.published import Range, compared_rates, grade_facts, rates, spray_ranges
from sheetgen.xlsx.model import Sheet, Value
from sheetgen.xlsx.page import block_page
from sheetgen.xlsx.text_fit import text_height

LAST = 10
_SOURCE_WIDTH = 54
_WIDTHS = {0: 0, 1: 42, 2: 20, 3: 15, 4: 14, 5: 14, 6: 14, 7: 17, 8: 17, 9: 17, LAST: _SOURCE_WIDTH}
_TEXT = "order_cell_text"
_CONSTANTS = (
    "area_divisor", "water_density", "mass_per_ton", "nozzle_spacing_per_width", "base_temperature",
    "station_length", "cubic_per_volume", "gravity_limit", "cover_over_flues",
)  # fmt: skip
_CORRECTIONS = ("emulsion", "asphalt-a", "asphalt-b")


def draw_reference(draft: Draft) -> Sheet:
    """Draw the sheet; names its columns "grades", "ref_…", "range_…", "rate_…", "k_…" and its cells "c_…"."""
    sheet = draft.sheet("reference")
    draft.head(sheet, LAST)
    row, starts = KEY_ROW, [0]
    for draw in (
        _draw_grades, _draw_ranges, _draw_rates, _draw_compared, _draw_corrections, _draw_constants, _draw_planning,
    ):  # fmt: skip
        row = draw(draft, sheet, row + 1)
        starts.append(row)
    sheet.column_widths |= _WIDTHS
    sheet.freeze = (2, 0)
    block_page(draft, sheet, "landscape", LAST, row - 1, starts[:-1])
    return sheet


def _draw_table(
    draft: Draft, sheet: Sheet, row: int, group: str, columns: Sequence[tuple[str, str, str]],
    lines: Sequence[Sequence[Value]],
) -> int:  # fmt: skip
    """A table with a heading; each column is (heading, name for formulas or "", number format)."""
    row = heading(draft, sheet, row, group, LAST)
    for col, (head, _name, _look) in enumerate(columns, start=1):
        draft.put(sheet, row, col, head, "order_head_live")
    sheet.row_heights[row] = 38
    for line, values in enumerate(lines, start=row + 1):
        text = str(values[-1] or "") if len(columns) == LAST else ""
        sheet.row_heights[line] = max(15.0, text_height(text, _SOURCE_WIDTH, 9))
    for line, values in enumerate(lines, start=row + 1):
        for col, ((_head, _name, look), value) in enumerate(zip(columns, values, strict=True), start=1):
            style = _TEXT if isinstance(value, str) or value is None else "order_cell"
            draft.put(sheet, line, col, value, style, look)
    for col, (_head, name, _look) in enumerate(columns, start=1):
        if name:
            draft.name(name, sheet, row + 1, col, rows=len(lines))
    return row + 1 + len(lines)


def _head(draft: Draft, key: str, unit: str = "") -> str:
    text = draft.say[f"order.column.{key}"]
    return f"{text} ({draft.unit(unit)})" if unit else text


def _draw_grades(draft: Draft, sheet: Sheet, row: int) -> int:
    columns = [
        (_head(draft, "grade"), "grades", "@"),
        (_head(draft, "class"), "ref_class", "General"),
        (_head(draft, "gravity_low"), "ref_gravity_low", "0.00"),
        (_head(draft, "gravity_high"), "ref_gravity_high", "0.00"),
        (_head(draft, "residue"), "ref_residue", "0%"),
        (_head(draft, "flash", "temperature"), "ref_flash", "0"),
        (_head(draft, "gravity_seen"), "", "General"),
        (_head(draft, "residue_seen"), "", "General"),
        (_head(draft, "flash_seen"), "", "General"),
        (_head(draft, "source"), "ref_source", "General"),
    ]
    lines = [
        (
            facts.grade, draft.say[f"words.class.{facts.material_class}"], facts.gravity[0], facts.gravity[1],
            facts.residue, facts.flash, _seen(draft, facts.gravity_seen), _seen(draft, facts.residue_seen),
            _seen(draft, facts.flash_seen), facts.source or None,
        )
        for facts in grade_facts(draft.system, draft.language)
    ]  # fmt: skip
    return _draw_table(draft, sheet, row, "grades", columns, lines)


def _draw_ranges(draft: Draft, sheet: Sheet, row: int) -> int:
    columns = [
        (_head(draft, "grade"), "range_grade", "@"),
        (_head(draft, "seen"), "range_seen", "General"),
        (_head(draft, "min", "temperature"), "range_min", "0"),
        (_head(draft, "max", "temperature"), "range_max", "0"),
    ]
    found = spray_ranges(draft.system, draft.language)
    lines = [(item.grade, _seen(draft, item.seen), item.low, item.high) for item in found]
    end = _draw_table(draft, sheet, row, "ranges", columns, lines)
    draft.put(sheet, row + 1, 5, _head(draft, "document"), "order_head_live")
    draft.merge(sheet, row + 1, 5, row + 1, 7)
    draft.put(sheet, row + 1, 8, _head(draft, "source"), "order_head_live")
    draft.merge(sheet, row + 1, 8, row + 1, LAST)
    for line, item in enumerate(found, start=row + 2):
        _put_wide(draft, sheet, line, item)
    draft.name("range_document", sheet, row + 2, 5, rows=len(found))
    return end


def _put_wide(draft: Draft, sheet: Sheet, line: int, item: Range) -> None:
    draft.put(sheet, line, 5, item.document, _TEXT)
    draft.merge(sheet, line, 5, line, 7)
    draft.put(sheet, line, 8, item.source, _TEXT)
    draft.merge(sheet, line, 8, line, LAST)


def _draw_rates(draft: Draft, sheet: Sheet, row: int) -> int:
    unit = "rate"
    columns = [
        (_head(draft, "work"), "", "General"),
        (_head(draft, "surface"), "", "General"),
        (_head(draft, "basis"), "", "General"),
        (_head(draft, "printed_min"), "", "0.00#"),
        (_head(draft, "printed_max"), "", "0.00#"),
        (_head(draft, "unit"), "", "General"),
        (_head(draft, "min", unit), "", "0.00#"),
        (_head(draft, "max", unit), "", "0.00#"),
        (_head(draft, "seen"), "", "General"),
        (_head(draft, "source"), "", "General"),
    ]
    say = draft.say
    lines = [
        (
            say[f"words.work.{item.work}"],
            say[f"words.surface.{item.surface}"] if item.surface else say["order.column.any_surface"],
            say[f"words.basis.{item.basis}"], item.printed[0], item.printed[1], item.unit,
            item.low, item.high, _seen(draft, item.seen), f"{item.agency}: {item.source}",
        )
        for item in rates(draft.system, draft.language)
    ]  # fmt: skip
    return _draw_table(draft, sheet, row, "rates", columns, lines)


def _draw_compared(draft: Draft, sheet: Sheet, row: int) -> int:
    columns = [
        (_head(draft, "key"), "rate_key", "General"),
        (_head(draft, "text"), "rate_text", "@"),
        (_head(draft, "min", "rate"), "rate_min", "0.00#"),
        (_head(draft, "max", "rate"), "rate_max", "0.00#"),
    ]
    say = draft.say
    lines = [
        (
            "|".join((say[f"words.work.{work}"], say[f"words.surface.{at}"], say[f"words.basis.{basis}"])),
            f"{item.low:g}–{item.high:g}", item.low, item.high,
        )
        for (work, at, basis), item in compared_rates(draft.system).items()
    ]  # fmt: skip
    return _draw_table(draft, sheet, row, "compared", columns, lines)


def _draw_corrections(draft: Draft, sheet: Sheet, row: int) -> int:
    columns = [
        (_head(draft, "name"), "k_name", "General"),
        (_head(draft, "min", "temperature"), "k_min", "0"),
        (_head(draft, "max", "temperature"), "k_max", "0"),
        (_head(draft, "c0"), "k_c0", "General"),
        (_head(draft, "c1"), "k_c1", "0.000000E+00"),
        (_head(draft, "c2"), "k_c2", "0.000000E+00"),
    ]
    table = {item["kind"]: item for item in templates.table("correction") if item["system"] == draft.system}
    lines: list[tuple[Value, ...]] = [
        (draft.say[f"order.correction.{kind}"], *(float(table[kind][key]) for key in _COEFFICIENTS))
        for kind in _CORRECTIONS
    ]
    end = _draw_table(draft, sheet, row, "correction", columns, lines)
    for line, kind in enumerate(_CORRECTIONS, start=row + 2):
        _put_source(draft, sheet, line, 7, templates.source(table[kind], draft.language))
    return end


_COEFFICIENTS = ("t_min", "t_max", "c0", "c1", "c2")


def _draw_constants(draft: Draft, sheet: Sheet, row: int) -> int:
    columns = [
        (_head(draft, "constant"), "", "General"),
        (_head(draft, "value"), "", "General"),
        (_head(draft, "unit"), "", "General"),
    ]
    table = {item["key"]: item for item in templates.table("constants") if item["system"] == draft.system}
    lines = [
        (draft.say[f"order.constant.{key}"], float(table[key]["value"]), table[key]["unit"] or None)
        for key in _CONSTANTS
    ]
    end = _draw_table(draft, sheet, row, "constants", columns, lines)
    for line, key in enumerate(_CONSTANTS, start=row + 2):
        draft.name(f"c_{key}", sheet, line, 2)
        _put_source(draft, sheet, line, 4, templates.source(table[key], draft.language))
    return end


def _draw_planning(draft: Draft, sheet: Sheet, row: int) -> int:
    columns = [
        (_head(draft, "name"), "", "General"),
        (_head(draft, "value"), "", "General"),
        (_head(draft, "unit"), "", "General"),
    ]
    usual = planning_defaults(draft.system)
    listed = [each for each in fields("planning", draft.system) if each.path.split(".")[-1] in usual]
    rows = [usual[each.path.split(".")[-1]] for each in listed]
    lines: list[tuple[Value, ...]] = [
        (each.label(draft.say), float(facts["value"]), facts["unit"] or None)
        for each, facts in zip(listed, rows, strict=True)
    ]
    end = _draw_table(draft, sheet, row, "defaults", columns, lines)
    for line, facts in enumerate(rows, start=row + 2):
        _put_source(draft, sheet, line, 4, templates.source(facts, draft.language))
    return end


def _put_source(draft: Draft, sheet: Sheet, line: int, col: int, text: str) -> None:
    draft.put(sheet, line, col, text or None, _TEXT)
    draft.merge(sheet, line, col, line, LAST)
    label = sheet.cells[line, 1].value
    beside = sum(_WIDTHS[each] for each in range(col, LAST + 1))
    needed = text_height(str(label), _WIDTHS[1], 9), text_height(text, beside, 9)
    sheet.row_heights[line] = max(15.0, *needed)


def _seen(draft: Draft, status: str) -> str | None:
    return draft.say[f"order.words.seen.{status}"] if status else None
