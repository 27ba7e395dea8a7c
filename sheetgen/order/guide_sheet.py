"""The first sheet of the order workbook: how to fill it, what each basis means, and the usual cautions."""

from __future__ import annotations

from sheetgen import templates
from sheetgen.order.draft import Draft
from sheetgen.order.fields import fields
from sheetgen.order.places import KEY_ROW
from sheetgen.xlsx.blocks import Part, across, draw_line
from sheetgen.xlsx.model import Sheet
from sheetgen.xlsx.page import block_page, page

_TERM, _TEXT = 1, 2


def draw_guide(draft: Draft) -> Sheet:
    """Draw the sheet: paragraphs in the order of the texts."""
    sheet = draft.sheet("guide")
    sheet.column_widths |= {0: 0, _TERM: 24, _TEXT: 88}
    draft.head(sheet, _TEXT)
    row, starts = KEY_ROW + 1, [0]
    for part in (*(["from_yard"] if draft.yard else []), "steps", "basis", "typing"):
        row = _draw_part(draft, sheet, row, part)
        starts.append(row)
    row = _draw_columns(draft, sheet, row)
    starts.append(row)
    row = _draw_cautions(draft, sheet, row)
    sheet.freeze = (2, 0)
    block_page(draft, sheet, "portrait", _TEXT, row - 1, starts)
    return sheet


def draw_yard_guide(draft: Draft) -> Sheet:
    """Draw the first sheet of a yard workbook."""
    sheet = draft.sheet("yard_guide")
    sheet.column_widths |= {0: 0, _TERM: 24, _TEXT: 88}
    draft.head(sheet, _TEXT)
    row = _draw_part(draft, sheet, KEY_ROW + 1, "yard")
    row = _draw_part(draft, sheet, row, "typing")
    _draw_cautions(draft, sheet, row)
    page(draft, sheet, "portrait", fit_height=1)
    return sheet


def _draw_part(draft: Draft, sheet: Sheet, row: int, part: str) -> int:
    row = _title(draft, sheet, row, part)
    for text in _paragraphs(draft, part):
        row = _paragraph(draft, sheet, row, text)
    return row + 1


def _title(draft: Draft, sheet: Sheet, row: int, part: str) -> int:
    return across(draft, sheet, row, _TEXT, draft.say[f"order.guide.{part}.title"], "group", _TERM)


def _paragraphs(draft: Draft, part: str) -> list[str]:
    """The texts of a part in order; those that end in a unit system only for that system."""
    prefix = f"order.guide.{part}."
    texts = draft.say.keys()
    keys = sorted(key for key in texts if key.startswith(prefix) and not key.endswith(".title"))
    other = "_si" if draft.system == "us" else "_us"
    return [draft.say[key] for key in keys if not key.endswith(other)]


def _paragraph(draft: Draft, sheet: Sheet, row: int, text: str, style: str = "order_step") -> int:
    return across(draft, sheet, row, _TEXT, text, style, _TERM)


def _draw_columns(draft: Draft, sheet: Sheet, row: int) -> int:
    row = _title(draft, sheet, row, "sections")
    for field in fields("sections", draft.system):
        parts = (field.label(draft.say), field.note(draft.say, draft.system))
        draw_line(
            draft,
            sheet,
            row,
            *(Part(_TERM + at, _TERM + at, text, "order_cell_text") for at, text in enumerate(parts)),
        )
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
