"""From an order to a field book: which sheets stand in it, in which order."""

from __future__ import annotations

from collections.abc import Callable

from sheetgen.book.calibration_sheet import draw_calibration
from sheetgen.book.canvas import Canvas
from sheetgen.book.card_back_sheet import draw_card_back, has_back
from sheetgen.book.card_sheet import draw_card, draw_second_card
from sheetgen.book.charts_sheet import draw_charts
from sheetgen.book.checks_sheet import draw_checks
from sheetgen.book.day_lists_sheet import draw_day_lists
from sheetgen.book.described_sheets import draw_cautions, draw_job, draw_ordered, draw_totals
from sheetgen.book.log_sheet import draw_log, draw_pages
from sheetgen.book.plan_sheet import draw_plan
from sheetgen.book.rates_sheet import draw_rates
from sheetgen.book.record import draw_record, identity, signed_message
from sheetgen.book.revision_sheet import draw_revision
from sheetgen.book.start_sheet import draw_start
from sheetgen.book.tabs import arrange
from sheetgen.book.tank_sheet import draw_tank
from sheetgen.book.temperature_sheet import draw_temperature
from sheetgen.book.version import TEMPLATE_VERSION as TEMPLATE
from sheetgen.book.words_sheet import draw_words
from sheetgen.order.model import Machine, Order
from sheetgen.xlsx.drawing import Entries
from sheetgen.xlsx.model import Book, Sheet

# The order of drawing: the logs before the checks that look at them, the first page after all that it leads to.
# The order of the tabs stands in sheets/tabs.toml.
_TABS: tuple[tuple[str, Callable[[Canvas], Sheet]], ...] = (
    ("job", draw_job),
    ("card", draw_card),
    ("second_card", draw_second_card),
    ("card_back", draw_card_back),
    ("revision", draw_revision),
    ("day_lists", draw_day_lists),
    ("ordered", draw_ordered),
    ("plan", draw_plan),
    ("rates", draw_rates),
    ("calibration", draw_calibration),
    ("temperature", draw_temperature),
    ("tank", draw_tank),
    ("days", lambda canvas: draw_log(canvas, "days")),
    ("loads", lambda canvas: draw_log(canvas, "loads")),
    ("shots", lambda canvas: draw_log(canvas, "shots")),
    ("changes", lambda canvas: draw_log(canvas, "changes")),
    ("monitor", lambda canvas: draw_log(canvas, "monitor")),
    ("gauges", lambda canvas: draw_log(canvas, "gauges")),
    ("pages", draw_pages),
    ("checks", draw_checks),
    ("totals", draw_totals),
    ("charts", draw_charts),
    ("cautions", draw_cautions),
    ("start", draw_start),
    ("words", draw_words),
)
# Sheets of what not every distributor has.
_NEEDS = {"monitor": "monitor"}


def lay_out(
    order: Order,
    machine: Machine,
    entries: Entries | None = None,
    sign: Callable[[bytes], tuple[str, str]] | None = None,
) -> Book:
    """The field book of one distributor, as plain data.

    Args:
        order: the order
        machine: one of its distributors
        entries: what stands in input cells, by (table, row index, column); nothing for a blank book
        sign: gives (public key, signature) for a message, both hexadecimal; None for an unsigned book
    """
    printed = identity(order, machine)
    canvas = Canvas(order, machine, printed, entries)
    for key, draw in _TABS:
        if _needed(key, order, machine):
            draw(canvas)
    public_key, signature = (
        sign(signed_message(order.canonical(), machine.name, TEMPLATE)) if sign else ("", "")
    )
    draw_record(canvas, public_key, signature)
    arrange(canvas.sheets)
    properties = {
        "title": f"{order.job.number} {machine.name}",
        "subject": canvas.say["book.subject"],
        "comments": canvas.say.say("book.identity", identity=printed),
    }
    return canvas.book(properties)


def _needed(key: str, order: Order, machine: Machine) -> bool:
    if key == "revision":
        return bool(order.changed)
    if key == "second_card":
        return bool(order.second_language)
    if key == "card_back":
        return has_back(order, machine)
    return key not in _NEEDS or bool(getattr(machine, _NEEDS[key]))
