"""The first page of a book: what it is for, what is open, what to do each day, what to print, and where all else is.

Facts, steps and groups of sheets are data (``templates_src/sheets/start.toml``, ``templates_src/sheets/tabs.toml``).
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from sheetgen.book.canvas import Canvas
from sheetgen.book.described_sheets import job_facts
from sheetgen.book.revision_sheet import revision_line
from sheetgen.book.tabs import Group, groups
from sheetgen.templates import toml
from sheetgen.xlsx.blocks import Part, across, draw_line, draw_title, value_of
from sheetgen.xlsx.formulas import address, quoted
from sheetgen.xlsx.model import Sheet
from sheetgen.xlsx.page import page, pages_of

_WIDTHS = {0: 4.5, 1: 14, 2: 40, 3: 14, 4: 14, 5: 14, 6: 14}
_LAST = 6
_LINKS = 3  # the first column of the links of a step
_SIDES = {"left": ((0, 1), (2, 2)), "right": ((3, 3), (4, 6))}  # columns of label and value


def draw_start(canvas: Canvas) -> Sheet:
    """Draw the first page; the sheets that it leads to must be drawn before."""
    drawn = {sheet.key: sheet for sheet in canvas.sheets}
    sheet = canvas.sheet("start")
    sheet.column_widths |= _WIDTHS
    notes = [(canvas.say["book.invented"], "banner")] if canvas.order.job.invented else []
    if canvas.order.job.revision:
        notes.append((revision_line(canvas), "caution_line"))
    row = draw_title(canvas, sheet, canvas.say["sheet.start.title"], notes, _LAST)
    canvas.put(sheet, 0, _LAST, canvas.say.say("book.identity", identity=canvas.identity), "subtitle_right")
    row = _draw_facts(canvas, sheet, row) + 1
    draw_line(canvas, sheet, row, Part(0, _LAST - 1, None, "line", formula="={checks_line}"), least=24)
    _draw_link(canvas, sheet, row, _LAST, drawn["checks"])
    words = _words(canvas, drawn)
    row = _draw_steps(canvas, sheet, row + 2, drawn, words) + 1
    for group in groups():
        members = [drawn[key] for key in group.sheets if key in drawn]
        if members:
            row = _draw_group(canvas, sheet, row, group, members, words) + 1
    across(canvas, sheet, row, _LAST, canvas.say.say("start.hidden", **words), "note")
    page(canvas, sheet, "portrait", fit_height=1)
    return sheet


def _words(canvas: Canvas, drawn: dict[str, Sheet]) -> dict[str, str]:
    """What the texts of the page name: tabs, pages to print, and what the line of checks says in the end."""
    pack = [drawn[key] for group in groups() if group.pack for key in group.sheets if key in drawn]
    hidden = [key for group in groups() if group.hidden for key in group.sheets]
    return {
        "first": pack[0].name,
        "last": pack[-1].name,
        "pages": str(sum(map(pages_of, pack))),
        "start": canvas.say["sheet.start.tab"],
        "checks": drawn["checks"].name,
        "ready": canvas.say["checks.ready"],
        "sheets": ", ".join(canvas.say[f"sheet.{key}.tab"] for key in hidden),
    }


def _draw_facts(canvas: Canvas, sheet: Sheet, row: int) -> int:
    """What the book is for, two facts in a line; gives the next row."""
    declared, facts = toml("sheets/start.toml")["facts"], job_facts(canvas)
    for pair in zip(*(declared[side] for side in _SIDES), strict=True):
        parts = [
            part for spec, side in zip(pair, _SIDES, strict=True) for part in _fact(canvas, spec, facts, side)
        ]
        draw_line(canvas, sheet, row, *parts, least=18)
        row += 1
    return row


def _fact(canvas: Canvas, spec: dict[str, str], facts: dict[str, Any], side: str) -> tuple[Part, Part]:
    label, place = _SIDES[side]
    value = value_of(canvas, spec, facts)
    shown = canvas.shown_value(spec["format"], value)
    return Part(*label, canvas.say[f"name.{spec['key']}"], "label"), Part(*place, value, "value", shown)


def _draw_steps(
    canvas: Canvas, sheet: Sheet, row: int, drawn: dict[str, Sheet], words: dict[str, str]
) -> int:
    """The steps of a day in a line each, with links to the sheets that they speak of; gives the next row."""
    row = across(canvas, sheet, row, _LAST, canvas.say["start.steps"], "group")
    for number, step in enumerate(toml("sheets/start.toml")["step"], start=1):
        text = canvas.say.say(f"start.step.{step['key']}", **words)
        last = _LAST - len(step["go"])
        parts = (Part(0, 0, number, "row_number"), Part(1, last, text, "start_text"))
        draw_line(canvas, sheet, row, *parts, least=20)
        for col, key in enumerate(step["go"], start=last + 1):
            _draw_link(canvas, sheet, row, col, drawn[key])
        row += 1
    return row


def _draw_group(
    canvas: Canvas, sheet: Sheet, row: int, group: Group, members: Sequence[Sheet], words: dict[str, str]
) -> int:
    """The sheets of a group, each with its link, what it is for and its pages on paper; gives the next row."""
    row = across(canvas, sheet, row, _LAST, canvas.say.say(f"start.{group.key}_title", **words), "group")
    if group.pack:
        for key in ("pack", "forms"):
            row = across(canvas, sheet, row, _LAST, canvas.say.say(f"start.{key}", **words), "start_text")
    for member in members:
        parts = [Part(2, _LAST - group.pack, canvas.say[f"start.for.{member.key}"], "start_text")]
        if group.pack:
            parts.append(Part(_LAST, _LAST, _pages(canvas, member), "start_text"))
        draw_line(canvas, sheet, row, *parts, least=16)
        _draw_link(canvas, sheet, row, 0, member, 1)
        row += 1
    return row


def _pages(canvas: Canvas, sheet: Sheet) -> str:
    count = pages_of(sheet)
    return canvas.say["start.one_page"] if count == 1 else canvas.say.say("start.pages", count=count)


def _draw_link(
    canvas: Canvas, sheet: Sheet, row: int, col: int, target: Sheet, last: int | None = None
) -> None:
    """A sheet's name that leads to it, to the first entry where it has one."""
    draw_line(canvas, sheet, row, Part(col, last or col, target.name, "words_link"))
    sheet.links[row, col] = f"{quoted(target.name)}!{address(*(target.selected or (0, 0)))}"
