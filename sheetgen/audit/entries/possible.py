"""What is known before entries are read: which values of each column are possible (``read.possible``)."""

from __future__ import annotations

import datetime as dt
from functools import cache

from sheetgen import templates
from sheetgen.audit.compute.factors import Factors
from sheetgen.columns import Bound, Column, tables
from sheetgen.order.model import Machine, Order
from sheetgen.order.tank import chart_of
from sheetgen.reading.outcome import Expected, Known
from sheetgen.units import constants

_DENSEST = 1.35  # specific gravity above that of any material that is sprayed; common practice, no source
_ANY = (-1e9, 1e9)
# What a bound can be a multiple of: "1.5 capacity".
MEASURES = ("capacity", "full_mass", "widest", "coldest", "hottest")


def known_of(order: Order, machine: Machine, date_1904: bool = False, saved: dt.date | None = None) -> Known:
    """Give what the readers must know of an order and a distributor."""
    return Known(
        order.units,
        order.language,
        order.job.date,
        date_1904,
        grouping_points=templates.typed_words(order.language)["grouping_points"],
        notation=order.reading.dip_notation,
        shallowest=chart_of(machine, order).depth_for(0.5 * machine.reserve),
        saved=saved,
    )


def last_day(saved: str) -> dt.date:
    """Give the day on which a file was last saved (ISO 8601), or today where it says nothing, or a day to come."""
    today = dt.datetime.now(dt.UTC).date()
    try:
        return min(dt.datetime.fromisoformat(saved).date(), today) if saved else today
    except ValueError:
        return today


def expected_of(order: Order, machine: Machine) -> dict[str, Expected]:
    """Give what columns of numbers hold, by "table.column"; also "depth", "station" and "count"."""
    chart = chart_of(machine, order)
    stations = [end for section in order.sections for end in (section.from_station, section.to_station)]
    coldest, hottest = Factors.of(order).span
    measures = {
        "capacity": chart.capacity,
        "full_mass": _DENSEST * constants(order.units)["water_density"] * chart.capacity,
        "widest": max(*machine.bar_widths, *(section.width for section in order.sections)),
        "coldest": coldest,
        "hottest": hottest,
    }
    expected = {
        "depth": Expected("depth", (0.0, chart.height)),
        "count": Expected("", (1.0, 500.0)),
        "station": Expected("distance", (min(stations), max(stations))),
    }
    for name, column in _numbers().items():
        low, high = (_bound(each, measures) for each in column.possible or _ANY)
        step = order.reading.meter if column.key.startswith("meter") else 0.0
        expected[name] = Expected(column.unit, (low, high), step)
    return expected


@cache
def _numbers() -> dict[str, Column]:
    return {
        f"{table}.{key}": column
        for table, columns in tables().items()
        for key, column in columns.items()
        if column.reading == "number"
    }


def _bound(bound: Bound, measures: dict[str, float]) -> float:
    if not isinstance(bound, str):
        return float(bound)
    factor, _, measure = bound.rpartition(" ")
    return float(factor or 1) * measures[measure]
