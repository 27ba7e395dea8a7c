"""The vocabulary of the book: every defined name, what it is, where it stands and what it holds now."""

from __future__ import annotations

from typing import Any

from sheetgen import templates
from sheetgen.book.canvas import Canvas
from sheetgen.book.number_formats import number_format
from sheetgen.xlsx.formulas import address, quoted
from sheetgen.xlsx.model import Cell, Sheet
from sheetgen.xlsx.page import block_page
from sheetgen.xlsx.text_fit import text_height

_NAME, _WHAT, _UNIT, _NOW, _WHERE = range(5)
_WIDTHS = {_NAME: 25, _WHAT: 47, _UNIT: 9, _NOW: 22, _WHERE: 20}
_TEXT_STYLES = ("result_text", "line", "card_line", "input_text")


def draw_words(canvas: Canvas) -> Sheet:
    """Draw the list of every name given so far: this sheet must be drawn after those that name cells."""
    sheet = canvas.sheet("words")
    sheet.column_widths |= _WIDTHS
    canvas.put(sheet, 0, 0, canvas.say["sheet.words.title"], "title")
    sheet.row_heights[0] = 26
    row = _draw_texts(canvas, sheet, 1)
    row = _draw_examples(canvas, sheet, row + 1)
    head = row + 1
    for col, key in enumerate(("name", "what", "unit", "now", "where")):
        canvas.put(sheet, head, col, canvas.say[f"vocabulary.{key}"], "header_result")
    sheet.row_heights[head] = 20
    headings, last = _draw_names(canvas, sheet, head + 1)
    sheet.freeze = (head + 1, 1) if head < 4 else None
    starts = [0, *(row for row in range(head + 1, last + 1) if row - 1 not in headings)]
    block_page(canvas, sheet, "portrait", _WHERE, last, starts, repeat=(head, head))
    return sheet


def _draw_texts(canvas: Canvas, sheet: Sheet, row: int) -> int:
    """How to use the names, and what the locking is and is not."""
    for part in ("use", "lock"):
        canvas.put(sheet, row, 0, canvas.say[f"vocabulary.{part}_title"], "group", last=_WHERE)
        text = canvas.say[f"vocabulary.{part}"]
        canvas.put(sheet, row + 1, 0, text, "words_text", last=_WHERE)
        sheet.row_heights |= {row: 18, row + 1: text_height(text, 0.95 * sum(_WIDTHS.values())) + 4}
        row += 2
    return row


def _draw_examples(canvas: Canvas, sheet: Sheet, row: int) -> int:
    spec = templates.toml("sheets/words.toml")
    figures: dict[str, Any] = spec[canvas.order.units]
    canvas.put(sheet, row, 0, canvas.say["vocabulary.examples"], "group", last=_WHERE)
    for example in spec["example"]:
        row += 1
        written = canvas.say.say(f"vocabulary.example.{example['key']}", **figures)
        answer = canvas.say.say(f"vocabulary.answer.{example['key']}", **figures)
        canvas.put(sheet, row, _NAME, written, "code_value", last=_WHAT)
        canvas.put(sheet, row, _UNIT, answer, "value", last=_NOW)
        formula = example["formula"]
        for key, figure in figures.items():
            formula = formula.replace(f"{{{key}}}", str(figure))
        shown = (
            example["format"] if "#" in example["format"] else number_format(example["format"], canvas.order)
        )
        canvas.calc(sheet, row, _WHERE, formula, "result", shown)
        sheet.row_heights[row] = max(18, text_height(answer, _WIDTHS[_UNIT] + _WIDTHS[_NOW] - 4))
    return row + 1


def _draw_names(canvas: Canvas, sheet: Sheet, row: int) -> tuple[set[int], int]:
    """The list, by sheet in the order of the tabs; gives the rows of its headings and its last row."""
    headings: set[int] = set()
    for other in canvas.sheets:
        keys = [key for key in canvas.named if canvas.areas[key].sheet == other.name]
        if not keys:
            continue
        canvas.put(sheet, row, 0, other.name, "grid_title")
        sheet.row_heights[row] = 22
        headings.add(row)
        for key in keys:
            row += 1
            _draw_name(canvas, sheet, other, key, row)
        row += 1
    return headings, row - 1


def _draw_name(canvas: Canvas, sheet: Sheet, other: Sheet, key: str, row: int) -> None:
    area = canvas.areas[key]
    first = (area.first_row, area.first_col)
    what = canvas.say[f"name.{key}"]
    canvas.put(sheet, row, _NAME, key, "code_value")
    canvas.put(sheet, row, _WHAT, what, "value")
    canvas.put(sheet, row, _UNIT, _unit(canvas, other, key), "value")
    many = first != (area.last_row, area.last_col)
    named = other.cells[first]
    if many:
        shown = f'0" {canvas.say["vocabulary.cells"]}"'
        canvas.calc(sheet, row, _NOW, f"=ROWS({{{key}}})*COLUMNS({{{key}}})", "result", shown)
    else:
        style = "result_text" if _is_text(named) else "result"
        # A list of one is still a range, which no formula takes for its only cell in every program.
        one = f"{quoted(other.name)}!{address(*first, absolute=True)}" if area.is_range else f"{{{key}}}"
        canvas.calc(sheet, row, _NOW, f'=IF({one}="","",{one})', style, named.number_format)
    place = address(*first) + (f":{address(area.last_row, area.last_col)}" if many else "")
    canvas.put(sheet, row, _WHERE, f"{other.name}!{place}", "words_link")
    sheet.links[row, _WHERE] = f"{quoted(other.name)}!{place}"
    held = named.value if isinstance(named.value, str) else ""
    height = max(text_height(what, _WIDTHS[_WHAT] - 2), text_height(held, _WIDTHS[_NOW] - 2), 16)
    sheet.row_heights[row] = max(height, 29) if _is_text(named) and named.formula is not None else height


def _is_text(cell: Cell) -> bool:
    return isinstance(cell.value, str) or cell.style in _TEXT_STYLES


def _unit(canvas: Canvas, other: Sheet, key: str) -> str | None:
    """The unit printed beside the name's cell, or the one that the template gives."""
    kind = templates.toml("sheets/words.toml")["units"].get(key)
    if kind:
        return canvas.unit(kind)
    area = canvas.areas[key]
    beside = other.cells.get((area.last_row, area.last_col + 1))
    return str(beside.value) if beside and beside.style == "unit" and beside.value else None
