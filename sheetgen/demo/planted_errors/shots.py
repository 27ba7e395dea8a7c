"""Errors in the readings, widths, stations and times of a shot."""

from __future__ import annotations

from sheetgen.demo.planted_errors.plant import (
    AREA,
    BARE,
    TIME,
    UNCOUNTED,
    VOLUME,
    Changes,
    Spot,
    after_a_long_one,
    hand_shots,
    largest,
    last,
    last_bar,
    next_following,
    shot,
)
from sheetgen.demo.writing import MINUTES_IN_A_DAY, station_cell
from sheetgen.order.tank import chart_of
from sheetgen.templates import texts
from sheetgen.units import constants


def _swap(spot: Spot, one: str, other: str) -> Changes:
    return spot.put(spot.value(other), one) | spot.put(spot.value(one), other)


def _move(spot: Spot, steps: float) -> Changes:
    """A station moved ahead as the shot runs, by steps of 1 ft or 5 m; back where negative."""
    step = constants(spot.order.units)["station_length"] / spot.choose(100, 200)
    ahead = 1 if spot.number("to_station") > spot.number("from_station") else -1
    return spot.put(station_cell(spot.number() + ahead * steps * step, spot.order))


def _later(spot: Spot, minutes: float) -> Changes:
    return spot.put(spot.number() + minutes / MINUTES_IN_A_DAY)


def _at_the_same_time(spot: Spot) -> Changes:
    return spot.put(spot.value("start", 2), "start") | spot.put(spot.value("end", 2), "end")


def _two_hours_early(spot: Spot) -> Changes:
    early = {column: spot.number(column) - 2 / 24 for column in ("start", "end")}
    return spot.put(early["start"], "start") | spot.put(early["end"], "end")


def _slower(spot: Spot) -> Changes:
    """An end so late that the speed no longer fits the rate, while pump, nozzles and truck still could."""
    hot = spot.number("meter_after") - spot.number("meter_before")
    minutes = int(hot / (0.75 * spot.machine.discharge)) + 2
    return spot.put(spot.number("start") + minutes / MINUTES_IN_A_DAY)


def _deeper_after(spot: Spot) -> Changes:
    """A last stick reading so low that hand work took several times what was due."""
    return spot.put(spot.number("dip_after") - spot.choose(3, 80), "dip_after")


def _capacity(spot: Spot) -> float:
    return chart_of(spot.machine, spot.order).capacity


def _of_kind(spot: Spot, kind: str) -> Changes:
    return spot.put(texts(spot.order.language)[f"words.{kind}"])


def _out_of_the_tank(spot: Spot) -> Changes:
    return spot.put(chart_of(spot.machine, spot.order).height + 5)


SHOT_PLANTS = (
    shot("stick-reading-outside-chart", "dip_before", _out_of_the_tank),
    shot(
        "stick-reading-rose-during-shot", "dip_after", lambda at: _swap(at, "dip_before", "dip_after"), VOLUME
    ),
    shot("nothing-sprayed", "dip_after", lambda at: at.put(at.value("dip_before")), VOLUME),
    shot("meter-ran-backwards", "meter_after", lambda at: _swap(at, "meter_before", "meter_after")),
    shot("waste-above-volume", "waste", lambda at: at.put(0.9 * _capacity(at)), VOLUME),
    shot("stick-and-meter-differ", "meter_after", lambda at: at.put(at.number() + at.choose(30, 110))),
    shot("rate-out-of-tolerance", "dip_after", lambda at: at.put(at.number() - at.choose(3, 80)), VOLUME),
    shot(
        "width-wider-than-bar",
        "width",
        lambda at: at.put(max(at.machine.bar_widths) + at.choose(4, 1.2)),
        AREA | {"width-and-nozzles-differ"},
    ),
    shot(
        "width-and-nozzles-differ",
        "nozzles",
        lambda at: at.put(at.number() - 4),
        {"nozzle-flow-outside-range"},
    ),
    shot("shot-without-length", "to_station", lambda at: at.put(at.value("from_station")), AREA),
    shot("lane-not-of-section", "lane", lambda at: at.put(at.order.sections[-1].lanes[0]), AREA),
    shot("shot-outside-section", "to_station", lambda at: _move(at, 60), AREA, row=last_bar),
    shot("shots-overlap-in-lane", "from_station", lambda at: _move(at, -25), AREA),
    shot("gap-in-lane", "from_station", lambda at: _move(at, 10), AREA),
    shot("end-before-start", "end", lambda at: _later(at, -45)),
    shot(
        "started-before-last-ended",
        "start",
        lambda at: at.put(at.value("start", 1)),
        TIME | VOLUME | AREA,
        row=after_a_long_one,
    ),
    shot("two-shots-at-once", "start", _at_the_same_time, TIME | VOLUME | AREA, row=next_following),
    shot(
        "shot-out-of-sequence",
        "start",
        _two_hours_early,
        TIME | {"load-used-before-it-came"},
        row=next_following,
    ),
    shot(
        "date-before-order",
        "date",
        lambda at: at.put(at.number() - 365),
        UNCOUNTED | {"day-not-logged", "load-used-before-it-came", "level-fell-between-readings"},
    ),
    shot(
        "day-not-logged",
        "date",
        lambda at: at.put(at.number() + 3),
        VOLUME | {"level-rose-overnight"},
        row=last,
    ),
    shot(
        "shot-past-midnight",
        "end",
        lambda at: at.put(1 / MINUTES_IN_A_DAY) | at.put(1439 / MINUTES_IN_A_DAY, "start"),
        TIME,
        row=last_bar,
    ),
    shot(
        "discharge-outside-pump-range",
        "end",
        lambda at: _later(at, 25),
        TIME | {"speed-outside-truck-range"},
        row=last_bar,
    ),
    shot(
        "speed-outside-truck-range",
        "end",
        lambda at: _later(at, 25),
        TIME | {"discharge-outside-pump-range"},
        row=last_bar,
    ),
    shot("hand-spray-not-ordered", "kind", lambda at: _of_kind(at, "hand"), BARE | {"rate-out-of-tolerance"}),
    shot(
        "void-without-reason",
        "kind",
        lambda at: _of_kind(at, "void"),
        UNCOUNTED | VOLUME | AREA | {"meter-jumped-between-shots"},
        row=last_bar,
    ),
    shot(
        "second-pass-over-nothing",
        "kind",
        lambda at: _of_kind(at, "second_pass"),
        BARE | {"sprayed-beyond-pay-limit"},
    ),
    shot(
        "touch-up-above-share",
        "kind",
        lambda at: _of_kind(at, "touch_up"),
        BARE | {"sprayed-beyond-pay-limit"},
    ),
    shot("hand-spray-above-rate", "kind", _deeper_after, VOLUME | {"tank-below-reserve"}, row=hand_shots),
    shot("speed-and-rate-disagree", "end", _slower, TIME, row=largest),
)
