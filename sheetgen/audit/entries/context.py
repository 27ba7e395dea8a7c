"""What is known before the entries of a returned book are read: its order, its distributor, its tank."""

from __future__ import annotations

from sheetgen.audit.compute.factors import Factors
from sheetgen.audit.compute.tank_chart import TankChart
from sheetgen.order.model import Machine, Order
from sheetgen.reading.outcome import Expected, Known
from sheetgen.units import constants

_LEAST_LOAD = 0.005  # of a full tank: nobody weighs in less, so 4.060 on a ticket is no 4.06


def known_of(order: Order, machine: Machine, date_1904: bool = False) -> Known:
    """Give what the readers must know of an order and a distributor."""
    return Known(
        order.units,
        order.language,
        order.job.date,
        date_1904,
        grouping_points=order.language != "en",
        notation=order.reading.dip_notation,
        shallowest=TankChart.of(machine, order).depth_for(0.5 * machine.reserve),
    )


def expected_of(order: Order, machine: Machine) -> dict[str, Expected]:
    """Give what the log's cells are expected to hold, by the kind of their column."""
    chart = TankChart.of(machine, order)
    heaviest = 1.35 * constants(order.units)["water_density"] * chart.capacity
    widest = 2 * max(*machine.bar_widths, *(section.width for section in order.sections))
    stations = [end for section in order.sections for end in (section.from_station, section.to_station)]
    return {
        "depth": Expected("depth", (0.0, chart.height)),
        "temperature": Expected("temperature", Factors.of(order).span),
        "weather": Expected("temperature", (-60.0, 200.0)),
        "volume": Expected("volume", (0.0, 1.5 * chart.capacity)),
        "mass": Expected("mass", (_LEAST_LOAD * heaviest, heaviest)),
        "load_volume": Expected("volume", (_LEAST_LOAD * chart.capacity, 1.5 * chart.capacity)),
        "gravity": Expected("", (0.7, 1.3)),
        "width": Expected("width", (0.0, widest)),
        "count": Expected("", (1.0, 500.0)),
        "station": Expected("distance", (min(stations), max(stations))),
        "meter": Expected("volume", (0.0, 1e9), order.reading.meter),
        "pad_area": Expected("pad_area", (0.0, 100.0)),
        "pad_mass": Expected("pad_mass", (0.0, 1e5)),
        "seconds": Expected("", (0.0, 3600.0), unit="second"),
    }
