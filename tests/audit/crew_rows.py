"""Rows that real days have besides shots: struck out, touched up, sprayed twice, flushed. An honest log with them."""

from __future__ import annotations

from collections.abc import Collection

from sheetgen.order.model import Order
from sheetgen.templates import texts

MINUTE = 1 / 1440
SPLIT = ("second_pass", "touch_up", "flush")


def used(log, table="shots"):
    """The used rows of a log."""
    return sorted({row for name, row, _ in log if name == table})


def bar_shots(log):
    """The rows sprayed with the bar, in the log's order."""
    return sorted(row for table, row, key in log if (table, key) == ("shots", "nozzles"))


def row_of(log, row):
    """What stands in a row of the shot log, by column."""
    return {key: value for (table, at, key), value in log.items() if (table, at) == ("shots", row)}


def inserted(log, row, **cells):
    """The log with a row more above a row of the shot log."""
    moved = {
        (table, at + (table == "shots" and at >= row), key): value for (table, at, key), value in log.items()
    }
    return moved | {("shots", row, key): value for key, value in cells.items()}


def word(order: Order, kind: str) -> str:
    """What a crew picks for a kind of row."""
    return texts(order.language)[f"words.{kind}"]


def split(log, order: Order, row: int, kind: str):
    """The log where a row's last stick step was not of that shot but a row of its own below it.

    The levels of the tank stay as they were, so that the day's balance does.
    """
    shot, step = row_of(log, row), order.reading.dip
    between = shot["dip_after"] + step
    after = {key: shot[key] for key in ("date", "load", "temperature")}
    after |= {"start": shot["end"] + MINUTE, "end": shot["end"] + 2 * MINUTE}
    after |= {"dip_before": between, "dip_after": shot["dip_after"], "kind": word(order, kind)}
    if kind != "flush":
        after |= {key: shot[key] for key in ("section", "lane", "from_station", "to_station")}
    if kind == "second_pass":
        after |= {key: shot[key] for key in ("width", "nozzles")}
    log = inserted(log, row + 1, **after) | {("shots", row, "dip_after"): between}
    for key in ("meter_before", "meter_after"):
        log.pop(("shots", row, key), None)
    return log


def struck_out(log, order: Order, row: int, reason: str | None = "wrong lane, written again"):
    """The log with a copy of a row above it, which the crew struck out."""
    cells = row_of(log, row) | {"kind": word(order, "void")} | ({"remarks": reason} if reason else {})
    return inserted(log, row, **cells)


def untidy(log, order: Order, but: Collection[int] = ()):
    """A log with a row of every kind in it, from the last to the first so that rows stay known; not at some rows."""
    rows = [row for row in bar_shots(log) if row not in but]
    for kind, row in zip(("flush", "second_pass", "touch_up"), reversed(rows), strict=False):
        log = split(log, order, row, kind)
    log = struck_out(log, order, rows[0])
    return inserted(log, rows[0], remarks="line spoiled")
