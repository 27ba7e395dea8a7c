"""The first sheet of the order workbook: how to fill it, what each basis means, and the usual cautions."""

from __future__ import annotations

from sheetgen import templates
from sheetgen.order.draft import Draft
from sheetgen.order.fields import fields
from sheetgen.order.places import KEY_ROW
from sheetgen.xlsx.model import Sheet
from sheetgen.xlsx.page import block_page
from sheetgen.xlsx.text_fit import text_height

_TERM, _TEXT = 1, 2
_TERM_WIDTH, _TEXT_WIDTH = 24, 88


def draw_guide(draft: Draft) -> Sheet:
    """Draw the sheet: paragraphs in the order of the texts."""
    sheet = draft.sheet("guide")
    draft.head(sheet, _TEXT)
    sheet.column_widths |= {0: 0, _TERM: _TERM_WIDTH, _TEXT: _TEXT_WIDTH}
    row, starts = KEY_ROW + 1, [0]
    for part in ("steps", "basis", "typing"):
        row = _draw_part(draft, sheet, row, part)
        starts.append(row)
    row = _draw_columns(draft, sheet, row)
    starts.append(row)
    row = _draw_cautions(draft, sheet, row)
    sheet.freeze = (2, 0)
    block_page(draft, sheet, "portrait", _TEXT, row - 1, starts)
    return sheet


def _draw_part(draft: Draft, sheet: Sheet, row: int, part: str) -> int:
    row = _title(draft, sheet, row, part)
    for text in _paragraphs(draft, part):
        row = _paragraph(draft, sheet, row, text)
    return row + 1


def _title(draft: Draft, sheet: Sheet, row: int, part: str) -> int:
    draft.put(sheet, row, _TERM, draft.say[f"order.guide.{part}.title"], "group")
    draft.merge(sheet, row, _TERM, row, _TEXT)
    return row + 1


def _paragraphs(draft: Draft, part: str) -> list[str]:
    """The texts of a part in order; those that end in a unit system only for that system."""
    prefix = f"order.guide.{part}."
    texts = draft.say.keys()
    keys = sorted(key for key in texts if key.startswith(prefix) and not key.endswith(".title"))
    other = "_si" if draft.system == "us" else "_us"
    return [draft.say[key] for key in keys if not key.endswith(other)]


def _paragraph(draft: Draft, sheet: Sheet, row: int, text: str, style: str = "order_step") -> int:
    draft.put(sheet, row, _TERM, text, style)
    draft.merge(sheet, row, _TERM, row, _TEXT)
    sheet.row_heights[row] = text_height(text, _TERM_WIDTH + _TEXT_WIDTH)
    return row + 1


def _draw_columns(draft: Draft, sheet: Sheet, row: int) -> int:
    row = _title(draft, sheet, row, "sections")
    for field in fields("sections", draft.system):
        draft.put(sheet, row, _TERM, field.label(draft.say), "order_cell_text")
        text = field.note(draft.say, draft.system)
        draft.put(sheet, row, _TEXT, text, "order_cell_text")
        sheet.row_heights[row] = max(16.0, text_height(text, _TEXT_WIDTH, 9))
        row += 1
    return row + 1


def _draw_cautions(draft: Draft, sheet: Sheet, row: int) -> int:
    row = _title(draft, sheet, row, "cautions")
    row = _paragraph(draft, sheet, row, draft.say["order.guide.cautions.defer"], "caution_line")
    for caution in templates.table("cautions"):
        source = draft.say[f"caution_source.{caution['source_key']}"]
        wording = draft.say.own(f"caution.{caution['key']}", draft.system)
        text = f"{wording} ({source})"
        row = _paragraph(draft, sheet, row, text)
    return row
