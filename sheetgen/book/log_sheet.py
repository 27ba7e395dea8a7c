"""Log sheets: a form of numbered rows, first what a person writes, then what the book works out from it.

The columns are data (``templates_src/sheets/<name>.toml``); the paper form is the first part of the same sheet.
"""

from __future__ import annotations

import textwrap
from itertools import chain, cycle
from typing import Any

from sheetgen import templates
from sheetgen.book.canvas import Canvas
from sheetgen.book.identity_code import draw_identity_code
from sheetgen.book.tank_strip import draw_strip
from sheetgen.book.weather import weather_text
from sheetgen.load_kinds import load_kinds
from sheetgen.plausibility import plausibility
from sheetgen.shot_kinds import shot_kinds
from sheetgen.templates import Texts
from sheetgen.xlsx.blocks import Part, draw_line, draw_table
from sheetgen.xlsx.formulas import literal
from sheetgen.xlsx.model import Sheet
from sheetgen.xlsx.page import column_inches, even_rows, form_page, same_rows
from sheetgen.xlsx.text_fit import text_height

TITLE_ROW, NOTE_ROW, GROUP_ROW, HEAD_ROW, UNIT_ROW, FIRST_ROW = range(6)
_CODE_INCHES = 0.7
_CODE_WIDTH = 10.0  # the same in characters of a column's width, with its margin
_LITERAL = 240  # letters of one text inside a formula: a spreadsheet takes 255
_SCREEN = (
    1366 - 66
) / 1.03  # dots of a small screen without row numbers and scroll bar; some programs draw wider
_LEAST_ZOOM = 75  # percent: smaller writing is not read
_TITLE_LETTER = 1.75  # width of a letter of the title, in characters of a column's width


def draw_log(canvas: Canvas, key: str) -> Sheet:
    """Draw the log of ``sheets/<key>.toml`` on a sheet of its own and register its table."""
    spec = templates.toml(f"sheets/{key}.toml")
    sheet = canvas.sheet(key)
    by_meter = canvas.order.pay.measured_by == "meter"
    columns = [_by_meter(column) if by_meter else column for column in spec["column"]]
    rows = row_count(canvas, spec["rows"])
    inputs = [column for column in columns if column.get("input")]
    for index, column in enumerate(columns):
        sheet.column_widths[index + 1] = column["width"]
    sheet.column_widths[0] = 4.5
    form = len(inputs) + sum(column.get("form", False) for column in columns)
    _draw_top(canvas, sheet, key, form, spec.get("code", False))
    _draw_group(canvas, sheet, columns, form, spec.get("strip", ""))
    draw_table(canvas, sheet, {**spec, "column": columns, "numbered": True}, range(rows), HEAD_ROW, texts=key)
    sheet.row_heights[HEAD_ROW] = max(
        sheet.row_heights[HEAD_ROW],
        *(head_height(canvas, sheet, HEAD_ROW, col) for col in range(1, form + 1)),
    )
    sheet.freeze = (FIRST_ROW, 1)
    begins = spec.get("begins", columns[0]["key"])
    sheet.selected = (FIRST_ROW, 1 + [column["key"] for column in columns].index(begins))
    # Paper has the form alone: results of rows that are filled by pen are empty boxes.
    form_page(canvas, sheet, form, (0, 0, FIRST_ROW + rows - 1, form), (0, UNIT_ROW), (0, 0))
    same_rows(canvas, sheet, FIRST_ROW, rows, even_rows(rows, canvas.rows_per_page(key)), spec["row_height"])
    sheet.page["footer"] = canvas.footer_of("book.log_footer")
    # A band as high as the strip of a form would be a dark block above its results.
    _draw_results_title(
        canvas, sheet, key, form + 1, len(columns), "grid_title" if spec.get("strip") else "group"
    )
    sheet.zoom = _zoom(sheet, columns)
    return sheet


def head_height(canvas: Canvas, sheet: Sheet, row: int, col: int) -> float:
    """Points that the heading of a column of a form needs; one language always fits."""
    if canvas.forms is canvas.say:
        return 0
    return text_height(str(sheet.cells[row, col].value), sheet.column_widths[col], 9, bold=True)


def _by_meter(column: dict[str, Any]) -> dict[str, Any]:
    """A column as it is where the meter counts for pay."""
    return column | {"formula": column["formula_meter"]} if "formula_meter" in column else column


def row_count(canvas: Canvas, what: str | int) -> int:
    """How many rows a log has: a number, as the order says, one for each paper page of the shot log, or enough for
    sessions of the monitor that are read before they are lost."""
    if isinstance(what, int):
        return what
    if what == "sessions":
        return max(
            canvas.rows_per_page("monitor"),
            -(-2 * canvas.order.size.shots // int(plausibility()["monitor_sessions"])),
        )
    if what == "pages":
        return -(
            -canvas.order.size.shots // even_rows(canvas.order.size.shots, canvas.rows_per_page("shots"))
        )
    rows: int = getattr(canvas.order.size, what)
    return rows


def draw_pages(canvas: Canvas) -> Sheet:
    """Control totals of the paper pages of the shot log: what was counted by hand against what was typed."""
    sheet = draw_log(canvas, "pages")
    per_page = even_rows(canvas.order.size.shots, canvas.rows_per_page("shots"))
    row = FIRST_ROW + row_count(canvas, "pages") + 1
    label = Part(1, 1, canvas.say["name.shots_per_page"], "label")
    draw_line(canvas, sheet, row, label, Part(2, 2, per_page, "value_number", "0"))
    canvas.name("shots_per_page", sheet, row, 2)
    return sheet


def _draw_group(canvas: Canvas, sheet: Sheet, columns: list[dict[str, Any]], form: int, strip: str) -> None:
    """Above the headings of the form what it is, or what one looks up and adds up on it."""
    if strip:
        last = next(number for number, column in enumerate(columns, start=1) if column["key"] == strip)
        draw_strip(canvas, sheet, GROUP_ROW, last, form)
    else:
        entries = " · ".join(say["book.entries"] for say in canvas.languages)
        canvas.put(sheet, GROUP_ROW, 1, entries, "group")
        canvas.merge(sheet, GROUP_ROW, 1, GROUP_ROW, form)


def _draw_top(canvas: Canvas, sheet: Sheet, key: str, form: int, code: bool) -> None:
    sheet.row_heights |= {TITLE_ROW: 24, NOTE_ROW: 30, GROUP_ROW: 17, HEAD_ROW: 39, UNIT_ROW: 14}
    last = form
    while code and sum(sheet.column_widths[col] for col in range(last + 1, form + 1)) < _CODE_WIDTH:
        last -= 1  # the code stands at the right of the form, and no text below it
    _draw_titles(canvas, sheet, key, last)
    if code:
        room = int(sheet.column_widths[form] * 7 + 5)
        offset = room - int(_CODE_INCHES * 96) - 2
        draw_identity_code(
            canvas, sheet, TITLE_ROW, form, _CODE_INCHES, x_offset=offset, text=canvas.identity
        )


def _draw_results_title(canvas: Canvas, sheet: Sheet, key: str, first: int, last: int, look: str) -> None:
    """Above the results what they are, and the line of all live checks."""
    _draw_checks_line(canvas, sheet, first, last + 1)
    canvas.put(sheet, TITLE_ROW, first, canvas.say[f"sheet.{key}.title_results"], "title")
    canvas.put(sheet, GROUP_ROW, first, canvas.say["book.results"], look)
    if last > first:
        canvas.merge(sheet, GROUP_ROW, first, GROUP_ROW, last)


def _zoom(sheet: Sheet, columns: list[dict[str, Any]]) -> int:
    """Percent at which a small screen shows the form with the result of a row and its reason, without scrolling."""
    keys = ["no", *(column["key"] for column in columns)]
    last = keys.index("look") if "look" in keys else len(keys) - 1
    dots = sum(96 * column_inches(sheet.column_widths[col]) for col in range(last + 1))
    return max(_LEAST_ZOOM, min(100, int(100 * _SCREEN / dots)))


def _draw_checks_line(canvas: Canvas, sheet: Sheet, first: int, end: int) -> None:
    """The one line of all live checks, over as many columns of a printed page as its longest words need."""
    words = (
        max((canvas.say[f"checks.{key}"] for key in ("empty", "ready", "thing", "things")), key=len) + " 999"
    )
    last = first
    while last < end - 1 and text_height(words, _width(sheet, first, last), 11, bold=True) > text_height(
        "", 1, 11
    ):
        last += 1
    canvas.calc(sheet, NOTE_ROW, first, "={checks_line}", "line")
    if last > first:
        canvas.merge(sheet, NOTE_ROW, first, NOTE_ROW, last)


def _width(sheet: Sheet, first: int, last: int) -> float:
    """Width of some columns, an indent of the text left out."""
    return sum(sheet.column_widths[col] for col in range(first, last + 1)) - 2


def _draw_titles(canvas: Canvas, sheet: Sheet, key: str, last: int) -> None:
    """The title, at its right what the book is for, and the caution below, up to the column ``last``."""
    order, widths = canvas.order, sheet.column_widths
    title, caution = canvas.say[f"sheet.{key}.title"], _caution(canvas, key, canvas.say)
    for say in canvas.languages[1:]:
        caution += f"\n{say[f'sheet.{key}.title']}: {_caution(canvas, key, say)}"
    canvas.put(sheet, TITLE_ROW, 1, title, "title")
    parts = [order.job.number, order.job.name, canvas.machine.name]
    if order.job.invented:
        parts.append(canvas.say["book.invented_short"])
    text, first = "  ·  ".join(parts), 2
    while first < last and sum(widths[col] for col in range(1, first)) < _TITLE_LETTER * len(title):
        first += 1
    canvas.put(sheet, TITLE_ROW, first, text, "subtitle_lines")
    if first < last:
        canvas.merge(sheet, TITLE_ROW, first, TITLE_ROW, last)
    if key == "loads" and canvas.machine.burners:
        caution = f"{caution} {_draw_burner_line(canvas, sheet, caution)}"
    else:
        canvas.put(sheet, NOTE_ROW, 1, caution, "caution_line")
    canvas.merge(sheet, NOTE_ROW, 1, NOTE_ROW, last)
    for row, left, words, size in ((TITLE_ROW, first, text, 9), (NOTE_ROW, 1, caution, 9.5)):
        width = sum(widths[col] for col in range(left, last + 1))
        sheet.row_heights[row] = max(sheet.row_heights[row], text_height(words, width, size))


def _caution(canvas: Canvas, key: str, say: Texts) -> str:
    """The caution of a log: for every material, for the order's own, and with the weather limits on the day log."""
    kinds = shot_kinds() if key == "shots" else load_kinds()
    picked = {"kinds": list(kinds)[1:], "volumes": ("as_measured", "at_base")}
    words = {
        name: ", ".join(_picked(canvas, say, f"words.{each}") for each in of) for name, of in picked.items()
    }
    parts = [say.say(f"sheet.{key}.caution", **words)]
    own = f"sheet.{key}.caution_{canvas.order.material.material_class}"
    if own in say:
        parts.append(say[own])
    if key == "days":
        parts.append(weather_text(canvas, say))
    return " ".join(parts)


def _picked(canvas: Canvas, say: Texts, key: str) -> str:
    """A word of a drop-down; in the second language with the word that is to be typed."""
    return say[key] if say is canvas.say else f"{say[key]} ({canvas.say[key]})"


def _draw_burner_line(canvas: Canvas, sheet: Sheet, caution: str) -> str:
    """The caution with the stick reading at which burners may be lit; gives that sentence about as long as it is."""
    units = {"depth": canvas.unit("depth"), "volume_unit": canvas.unit("volume")}
    sentence = canvas.forms.say("book.burner_line", dip="|", volume="|", **units)
    lines = [textwrap.wrap(line, _LITERAL) for line in caution.splitlines()]
    cut = [f"{part} " for line in lines[:-1] for part in [*line[:-1], f"{line[-1]}\n"]]
    cut = [part.replace("\n ", "\n") for part in cut] + [f"{part} " for part in lines[-1]]
    places = cycle(("{dip_burners}", "{burner_volume}"))
    words = [literal(part) for part in sentence.split("|")]
    template = "&".join(
        [*map(literal, cut), words[0], *chain.from_iterable(zip(places, words[1:], strict=False))]
    )
    canvas.calc(sheet, NOTE_ROW, 1, f"={template}", "caution_line")
    return sentence.replace("|", "00.00")
