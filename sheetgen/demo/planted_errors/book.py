"""Errors in loads, levels, temperatures and days."""

from __future__ import annotations

from sheetgen.demo.planted_errors.plant import (
    UNCOUNTED,
    VOLUME,
    Changes,
    Plant,
    Spot,
    first,
    first_of_second_load,
    fullest_following,
    last_bar,
    number,
    rows,
    second,
    shot,
)
from sheetgen.order.tank import chart_of
from sheetgen.units import constants


def _part_of_tank(spot: Spot, part: float) -> Changes:
    return spot.put(part * chart_of(spot.machine, spot.order).capacity)


def _came_late(spot: Spot) -> Changes:
    """The second load comes when the first shot that drew on it has ended."""
    return {("loads", 1, "time"): spot.number("end")}


def _while_spraying(spot: Spot) -> Changes:
    """In the middle of the longest shot that drew on the load before it."""
    shots = [row for row in rows(spot.log, "shots") if spot.log["shots", row, "load"] == spot.row]
    start, end = max(
        ([number(spot.log["shots", row, key]) for key in ("start", "end")] for row in shots),
        key=lambda span: span[1] - span[0],
    )
    return spot.put((start + end) / 2)


def _lighter(spot: Spot, part: float) -> Changes:
    """Only a part of the second load on its ticket."""
    return {("loads", 1, "net_mass"): part * number(spot.log["loads", 1, "net_mass"])}


def _filled_up(spot: Spot) -> Changes:
    return spot.put(chart_of(spot.machine, spot.order).height - spot.order.reading.dip)


def _run_dry(spot: Spot) -> Changes:
    chart = chart_of(spot.machine, spot.order)
    return spot.put(round(chart.depth_for(0.5 * spot.machine.reserve), 1))


def _warmer(spot: Spot) -> Changes:
    before, rise = spot.number(back=1), spot.choose(40, 20)
    return spot.put(before - 0.75 * rise, back=1) | spot.put(before + 0.25 * rise)


def _always_the_same(spot: Spot) -> Changes:
    warmth = spot.log["shots", 0, "temperature"]
    return {("shots", row, "temperature"): warmth for row in rows(spot.log, "shots")}


def _base(spot: Spot) -> Changes:
    return spot.put(constants(spot.order.units)["base_temperature"])


def _end_dip(spot: Spot, inches: float) -> Changes:
    """The day's last dip off by so many inches, or as many times 25 mm."""
    return spot.put(spot.number() + inches * spot.choose(1, 25))


_RATES = frozenset({"rate-out-of-tolerance", "residual-rate-sprayed-as-bar-rate", "rate-cannot-be-told"})
_WARMTH = frozenset({"temperature-rose-without-heating", "unexplained-beyond-limit"})
_LEVELS = frozenset(
    {"unexplained-beyond-limit", "level-fell-between-readings", "level-rose-between-readings"}
)

BOOK_PLANTS = (
    Plant("ticket-repeated", "loads", "ticket", second, lambda at: at.put(at.value(back=1))),
    Plant("load-weight-and-volume-differ", "loads", "volume", second, lambda at: _part_of_tank(at, 0.5)),
    Plant(
        "diluted-against-order",
        "loads",
        "water",
        second,
        lambda at: _part_of_tank(at, 0.1),
        UNCOUNTED | _RATES | {"load-and-stick-readings-differ"},
    ),
    shot("load-used-before-it-came", "load", _came_late, row=first_of_second_load),
    Plant("load-taken-during-shot", "loads", "time", second, _while_spraying),
    shot(
        "load-and-stick-readings-differ",
        "dip_before",
        lambda at: _lighter(at, 0.5),
        UNCOUNTED | {"load-used-beyond-its-volume"},
        row=first_of_second_load,
    ),
    shot(
        "load-used-beyond-its-volume",
        "load",
        lambda at: _lighter(at, 0.01),
        UNCOUNTED | {"load-and-stick-readings-differ"},
        row=first_of_second_load,
    ),
    shot("tank-above-fill-limit", "dip_before", _filled_up, VOLUME, row=first_of_second_load),
    shot("tank-below-reserve", "dip_after", _run_dry, VOLUME, row=last_bar),
    shot("temperature-outside-chart", "temperature", lambda at: at.put(at.number() + 200), UNCOUNTED),
    shot(
        "outside-spraying-range", "temperature", lambda at: at.put(at.order.material.spray_max + 10), _WARMTH
    ),
    shot("base-temperature-written", "temperature", _base, _WARMTH | {"rate-cannot-be-told"}),
    shot(
        "temperature-rose-without-heating",
        "temperature",
        _warmer,
        {"outside-spraying-range"},
        row=fullest_following,
    ),
    shot("temperature-unchanged-all-day", "temperature", _always_the_same, _WARMTH, row=first),
    Plant(
        "air-below-limit",
        "days",
        "air_temperature",
        first,
        lambda at: at.put((at.order.limits.air_min or 0.0) - 5),
    ),
    Plant("unexplained-beyond-limit", "days", "end_dip", first, lambda at: _end_dip(at, -3), _LEVELS),
    Plant("level-fell-between-readings", "days", "end_dip", first, lambda at: _end_dip(at, -3), _LEVELS),
    Plant("level-rose-between-readings", "days", "end_dip", first, lambda at: _end_dip(at, 3), _LEVELS),
)
