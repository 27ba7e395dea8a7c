"""Errors in the readings, widths, stations and times of a shot."""

from __future__ import annotations

from sheetgen.demo.planted_errors.plant import (
    AREA,
    BARE,
    TIME,
    UNCOUNTED,
    VOLUME,
    Changes,
    Plant,
    Spot,
    after_a_long_one,
    following,
    hand_shots,
    largest,
    last,
    last_bar,
    next_following,
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


def _out_of_the_tank(spot: Spot) -> Changes:
    return spot.put(chart_of(spot.machine, spot.order).height + 5)


SHOT_PLANTS = (
    Plant("stick-reading-outside-chart", "shots", "dip_before", following, _out_of_the_tank),
    Plant(
        "stick-reading-rose-during-shot",
        "shots",
        "dip_after",
        following,
        lambda at: _swap(at, "dip_before", "dip_after"),
        VOLUME,
    ),
    Plant(
        "nothing-sprayed", "shots", "dip_after", following, lambda at: at.put(at.value("dip_before")), VOLUME
    ),
    Plant(
        "meter-ran-backwards",
        "shots",
        "meter_after",
        following,
        lambda at: _swap(at, "meter_before", "meter_after"),
    ),
    Plant("waste-above-volume", "shots", "waste", following, lambda at: at.put(0.9 * _capacity(at)), VOLUME),
    Plant(
        "stick-and-meter-differ",
        "shots",
        "meter_after",
        following,
        lambda at: at.put(at.number() + at.choose(30, 110)),
    ),
    Plant(
        "rate-out-of-tolerance",
        "shots",
        "dip_after",
        following,
        lambda at: at.put(at.number() - at.choose(3, 80)),
        VOLUME,
    ),
    Plant(
        "width-wider-than-bar",
        "shots",
        "width",
        following,
        lambda at: at.put(max(at.machine.bar_widths) + at.choose(4, 1.2)),
        AREA | {"width-and-nozzles-differ"},
    ),
    Plant(
        "width-and-nozzles-differ",
        "shots",
        "nozzles",
        following,
        lambda at: at.put(at.number() - 4),
        frozenset({"nozzle-flow-outside-range"}),
    ),
    Plant(
        "shot-without-length",
        "shots",
        "to_station",
        following,
        lambda at: at.put(at.value("from_station")),
        AREA,
    ),
    Plant(
        "lane-not-of-section",
        "shots",
        "lane",
        following,
        lambda at: at.put(at.order.sections[-1].lanes[0]),
        AREA,
    ),
    Plant("shot-outside-section", "shots", "to_station", last_bar, lambda at: _move(at, 60), AREA),
    Plant("shots-overlap-in-lane", "shots", "from_station", following, lambda at: _move(at, -25), AREA),
    Plant("gap-in-lane", "shots", "from_station", following, lambda at: _move(at, 10), AREA),
    Plant("end-before-start", "shots", "end", following, lambda at: _later(at, -45)),
    Plant(
        "started-before-last-ended",
        "shots",
        "start",
        after_a_long_one,
        lambda at: at.put(at.value("start", 1)),
        TIME | VOLUME | AREA,
    ),
    Plant("two-shots-at-once", "shots", "start", next_following, _at_the_same_time, TIME | VOLUME | AREA),
    Plant(
        "shot-out-of-sequence",
        "shots",
        "start",
        next_following,
        _two_hours_early,
        TIME | {"load-used-before-it-came"},
    ),
    Plant(
        "date-before-order",
        "shots",
        "date",
        following,
        lambda at: at.put(at.number() - 365),
        UNCOUNTED | {"day-not-logged", "load-used-before-it-came", "level-fell-between-readings"},
    ),
    Plant(
        "day-not-logged",
        "shots",
        "date",
        last,
        lambda at: at.put(at.number() + 3),
        VOLUME | {"level-rose-overnight"},
    ),
    Plant(
        "shot-past-midnight",
        "shots",
        "end",
        last_bar,
        lambda at: at.put(1 / MINUTES_IN_A_DAY) | at.put(1439 / MINUTES_IN_A_DAY, "start"),
        TIME,
    ),
    Plant(
        "discharge-outside-pump-range",
        "shots",
        "end",
        last_bar,
        lambda at: _later(at, 25),
        TIME | {"speed-outside-truck-range"},
    ),
    Plant(
        "speed-outside-truck-range",
        "shots",
        "end",
        last_bar,
        lambda at: _later(at, 25),
        TIME | {"discharge-outside-pump-range"},
    ),
    Plant(
        "hand-spray-not-ordered",
        "shots",
        "kind",
        following,
        lambda at: at.put(texts(at.order.language)["words.hand"]),
        BARE | {"rate-out-of-tolerance"},
    ),
    Plant(
        "void-without-reason",
        "shots",
        "kind",
        last_bar,
        lambda at: at.put(texts(at.order.language)["words.void"]),
        UNCOUNTED | VOLUME | AREA | {"meter-jumped-between-shots"},
    ),
    Plant(
        "second-pass-over-nothing",
        "shots",
        "kind",
        following,
        lambda at: at.put(texts(at.order.language)["words.second_pass"]),
        BARE | {"sprayed-beyond-pay-limit"},
    ),
    Plant(
        "touch-up-above-share",
        "shots",
        "kind",
        following,
        lambda at: at.put(texts(at.order.language)["words.touch_up"]),
        BARE | {"sprayed-beyond-pay-limit"},
    ),
    Plant(
        "hand-spray-above-rate", "shots", "kind", hand_shots, _deeper_after, VOLUME | {"tank-below-reserve"}
    ),
    Plant("speed-and-rate-disagree", "shots", "end", largest, _slower, TIME),
)
