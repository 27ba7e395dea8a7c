"""The sheet of a revision: which books it replaces, and what it changes."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from sheetgen import templates
from sheetgen.book.canvas import Canvas
from sheetgen.order.fields import fields
from sheetgen.order.model import Changed
from sheetgen.templates import Texts
from sheetgen.xlsx.blocks import USUAL_TABLE, draw_table, draw_title
from sheetgen.xlsx.model import Sheet
from sheetgen.xlsx.page import page

_WHOLE_SHEETS = {"tank.points": "points", "functions": "functions"}  # changes that are named by their sheet


def draw_revision(canvas: Canvas) -> Sheet:
    """Draw the list of what changes, as it was found when the book was issued."""
    sheet, spec = canvas.sheet("revision"), templates.toml("sheets/revision.toml")
    sheet.column_widths |= {col: column["width"] for col, column in enumerate(spec["column"])}
    job, last = canvas.order.job, len(spec["column"]) - 1
    note = canvas.say.say("sheet.revision.note", number=job.revision, books="; ".join(job.replaces))
    head = draw_title(canvas, sheet, canvas.say["sheet.revision.title"], [(note, "note")], last) + 1
    facts = [_facts(canvas, each) for each in canvas.order.changed]
    look = USUAL_TABLE._replace(unit_row=False)
    place = draw_table(canvas, sheet, spec, facts, head, look=look)
    sheet.freeze = (place.first_row, 0)
    page(canvas, sheet, "portrait", repeat_rows=(head, head))
    return sheet


def _facts(canvas: Canvas, changed: Changed) -> dict[str, Any]:
    nothing = canvas.say["revision.nothing"]
    return {"what": what_changed(changed, canvas.say, canvas.system), "was": changed.was or nothing,
            "now": changed.now or nothing}  # fmt: skip


def revision_line(canvas: Canvas) -> str:
    """Say which revision the order is, and which book goes out of use; all of several books are on the record."""
    job = canvas.order.job
    first, *others = job.replaces
    replaced = canvas.say.say("book.and_more", book=first, count=len(others)) if others else first
    return canvas.say.say("book.revision", number=job.revision, replaced=replaced)


def what_changed(changed: Changed, say: Texts, system: str) -> str:
    """Give the name of what a change is of, such as ``"Sections, S1, Application rate"``."""
    parts = (say[f"order.sheet.{changed.sheet}.tab"], changed.of, _label(changed, say, system))
    return ", ".join(part for part in parts if part)


def change_lines(changed: Sequence[Changed], say: Texts, system: str) -> list[str]:
    """Give each change as a line of words: what it is of, what was and what is."""
    nothing = say["revision.nothing"]
    return [say.say("revised.change", what=what_changed(each, say, system),
                    was=each.was or nothing, now=each.now or nothing) for each in changed]  # fmt: skip


def _label(changed: Changed, say: Texts, system: str) -> str:
    """What the field is called; empty for a whole section or distributor, its path where none is known."""
    if changed.field in _WHOLE_SHEETS:
        return say[f"order.sheet.{_WHOLE_SHEETS[changed.field]}.tab"]
    known = {each.path: each.label(say) for each in fields(changed.sheet, system)}
    known |= {key: say[f"order.field.job.{key}.label"] for key in ("units", "language")}
    return known.get(changed.field, changed.field)
