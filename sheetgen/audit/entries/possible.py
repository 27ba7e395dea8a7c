"""Between which values a number of each column is possible, as the columns declare it (``read.possible``)."""

from __future__ import annotations

from functools import cache

from sheetgen.audit.compute.factors import Factors
from sheetgen.audit.compute.tank_chart import TankChart
from sheetgen.columns import Bound, Column, tables
from sheetgen.order.model import Machine, Order
from sheetgen.units import constants

Span = tuple[float, float]
_DENSEST = 1.35  # specific gravity above that of any material that is sprayed; common practice, no source
_ANY = (-1e9, 1e9)
# What a bound can be a multiple of: "1.5 capacity".
MEASURES = ("capacity", "full_mass", "widest", "coldest", "hottest")


def possible_values(order: Order, machine: Machine, chart: TankChart) -> dict[str, Span]:
    """Minimum and maximum in the order's units, by "table.column"; also of "depth", "station" and "count"."""
    stations = [end for section in order.sections for end in (section.from_station, section.to_station)]
    coldest, hottest = Factors.of(order).span
    measures = {
        "capacity": chart.capacity,
        "full_mass": _DENSEST * constants(order.units)["water_density"] * chart.capacity,
        "widest": max(*machine.bar_widths, *(section.width for section in order.sections)),
        "coldest": coldest,
        "hottest": hottest,
    }
    spans = {
        "depth": (0.0, chart.height),
        "count": (1.0, 500.0),
        "station": (min(stations), max(stations)),
    }
    for name, column in _numbers().items():
        low, high = (_bound(each, measures) for each in column.possible or _ANY)
        spans[name] = (low, high)
    return spans


@cache
def number_units() -> dict[str, str]:
    """The kind of quantity of each column that holds a number, by "table.column"."""
    return {name: column.unit for name, column in _numbers().items()}


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
