"""The back of the card: the distributor's function table, and until when its certificates and calibrations hold."""

from __future__ import annotations

from typing import NamedTuple

from sheetgen.book.canvas import Canvas
from sheetgen.figures import serial
from sheetgen.order.fields import Field, fields
from sheetgen.order.model import Machine, Order
from sheetgen.xlsx.blocks import Part, across, draw_line, draw_title, value_at
from sheetgen.xlsx.model import Sheet, Value
from sheetgen.xlsx.page import page

_NAME_WIDTH, _VALVE_WIDTH = 34.0, 9.5  # characters
_LEAST_VALVES, _WIDE = 7, 10  # columns of valves that are drawn at least; more than these need the long side
_LINE = 27.0


class Certificate(NamedTuple):
    """A certificate or calibration: the field of its last day, its number and date, and that day as it is shown."""

    field: Field
    number: str
    until: Value


def has_back(order: Order, machine: Machine) -> bool:
    """Whether there is anything to print on the back of a distributor's card."""
    return bool(machine.functions or certificates(order, machine))


def certificates(order: Order, machine: Machine) -> list[Certificate]:
    """Give those of a distributor and of the material of which the order says the number or the last day."""
    found = []
    for sheet, source in (("machines", machine), ("material", order)):
        for field in fields(sheet, order.units):
            if not field.until:
                continue
            number = value_at(field.path.removesuffix("_until"), source)
            until = value_at(field.path, source)
            number = number if isinstance(number, str) else ""  # a meter is there or not, and has no number
            if number or until is not None:
                found.append(Certificate(field, number, None if until is None else serial(until)))
    return found


def draw_card_back(canvas: Canvas) -> Sheet:
    """Draw the sheet; it has the same top as the card whose back it is."""
    sheet = canvas.sheet("card_back")
    valves = max((len(each.valves) for each in canvas.machine.functions), default=0)
    last = max(valves, _LEAST_VALVES)
    sheet.column_widths |= {0: _NAME_WIDTH} | dict.fromkeys(range(1, last + 1), _VALVE_WIDTH)
    job = canvas.order.job
    name = canvas.about(canvas.machine.name, canvas.say.say("book.identity", identity=canvas.identity))
    notes = [(f"{job.number}  ·  {job.name}", "subtitle"), (name, "subtitle"),
             (canvas.forms["card_back.use"], "note")]  # fmt: skip
    row = draw_title(canvas, sheet, canvas.in_one_line("sheet.card_back.title"), notes, last)
    for key in ("manual_first", "hot"):
        row = across(canvas, sheet, row, last, canvas.forms[f"card_back.{key}"], "card_caution")
    if canvas.machine.functions:
        row = _draw_functions(canvas, sheet, row + 1, last)
    row = _draw_certificates(canvas, sheet, row + 1, last)
    page(canvas, sheet, "landscape" if last > _WIDE else "portrait", fit_height=1, area=(0, 0, row - 1, last))
    return sheet


def _draw_functions(canvas: Canvas, sheet: Sheet, row: int, last: int) -> int:
    """A line for each function; a valve of which the manual says nothing has a dash."""
    heads = [Part(col, col, f"{col}", "card_head") for col in range(1, last + 1)]
    row = across(canvas, sheet, row, last, canvas.in_one_line("card_back.valves"), "group")
    draw_line(
        canvas,
        sheet,
        row,
        Part(0, 0, canvas.in_one_line("card_back.function"), "card_head"),
        *heads,
        least=_LINE,
    )
    for function in canvas.machine.functions:
        row += 1
        valves = [*function.valves, *[""] * (last - len(function.valves))]
        cells = [
            Part(
                col,
                col,
                canvas.forms[f"order.words.valve.{valve}"] if valve else "–",
                f"valve_{valve or 'none'}",
            )
            for col, valve in enumerate(valves, start=1)
        ]
        draw_line(canvas, sheet, row, Part(0, 0, function.name, "card_label"), *cells, least=_LINE)
    return row + 1


def _draw_certificates(canvas: Canvas, sheet: Sheet, row: int, last: int) -> int:
    listed = certificates(canvas.order, canvas.machine)
    if not listed:
        return row
    split = last - 2
    row = across(canvas, sheet, row, last, canvas.in_one_line("card_back.certificates"), "group")
    for each in listed:
        until = Part(split + 1, last, each.until, "card_under", "yyyy\\-mm\\-dd")
        draw_line(canvas, sheet, row, Part(0, 0, each.field.label(canvas.forms), "card_rule"),
                  Part(1, split, each.number or None, "card_rule"), until, least=_LINE)  # fmt: skip
        row += 1
    return row
