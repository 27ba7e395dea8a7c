"""Entries for the tests: logs as crews leave them, good and bad, in either unit system and language."""

from __future__ import annotations

from sheetgen.order.model import Order
from sheetgen.templates import texts
from sheetgen.xlsx.drawing import Entries

DAY = 46174.0  # 2026-06-01


def awkward_entries(order: Order) -> Entries:
    """Two loads, a doubled ticket, eight shots with one thing wrong in most of them, a row hardly begun."""
    say = texts(order.language, order.units)
    machine, section = order.machines[0], order.sections[0]
    height = machine.tank.height or machine.tank.points[-1].depth
    warm = order.material.spray_planned
    entries: Entries = {
        ("days", 0, "date"): DAY,
        ("days", 0, "operator"): "A. Invented",
        ("days", 0, "start_dip"): round(height / 12, 1),
        ("days", 0, "start_temperature"): warm,
        ("days", 0, "end_dip"): round(height / 8, 1),
        ("days", 0, "end_temperature"): warm - 2,
        ("days", 0, "returned"): 12,
        ("pages", 0, "shots"): 8,
        ("pages", 0, "volume"): 1.5,
        ("pages", 0, "last_station"): "1+50",
    }
    for row, (ticket, mass) in enumerate((("A-1", 4200), ("A-2", 4100.5))):
        entries |= _row(
            "loads", row, date=DAY, time=0.25 + row / 10, ticket=ticket, net_mass=mass, temperature=warm
        )
    entries |= _row("loads", 2, date=DAY, ticket="A-2", volume=200, temperature=warm + 0.4, water=20)
    step = abs(section.to_station - section.from_station) / 10
    for row in range(8):
        start = section.from_station + row * step
        entries |= _row(
            "shots", row, date=DAY, start=0.3 + row / 50, end=0.303 + row / 50, section=section.id,
            lane=section.lanes[0], from_station=start if row % 2 else _typed(start, order.units),
            to_station=start + step, width=machine.bar_widths[0], nozzles=24, load=1 + row // 4,
            dip_before=height * (0.8 - row / 20), dip_after=height * (0.76 - row / 20), temperature=warm - row,
        )  # fmt: skip
    entries |= _row(
        "monitor",
        0,
        date=DAY,
        first_shot=1,
        last_shot=4,
        distance=4 * step,
        volume=30.5,
        nozzles=24,
        rate=0.1,
    )
    entries |= _row("monitor", 1, date=DAY, session="2", first_shot=4, last_shot=9, volume=60)
    entries |= _row("monitor", 2, first_shot=12, last_shot=2, remarks="begun")
    entries |= _row(
        "gauges", 0, date=DAY - 400, distance_counted=502, distance_measured=500, checked_by="A. Invented"
    )
    entries |= _row("gauges", 1, date=DAY - 30, volume_counted=103, volume_measured=100)
    entries |= _row("gauges", 2, distance_counted=0, distance_measured=500, volume_counted=1)
    return entries | {
        ("shots", 2, "dip_after"): height * 0.9,
        ("shots", 3, "temperature"): None,
        ("shots", 4, "to_station"): section.to_station + 5,
        ("shots", 5, "width"): 99,
        ("shots", 6, "kind"): say["words.hand"],
        ("shots", 7, "waste"): 3.5,
        ("shots", 9, "remarks"): "begun",
    }


def _row(table: str, row: int, **values: float | str) -> Entries:
    return {(table, row, key): value for key, value in values.items()}


def _typed(station: float, units: str) -> str:
    whole = 100 if units == "us" else 1000
    digits = 2 if units == "us" else 3
    return f"{int(station // whole)}+{int(station % whole):0{digits}d}"
