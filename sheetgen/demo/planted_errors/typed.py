"""Entries typed so that they cannot be read, or only with doubt, and entries left out."""

from __future__ import annotations

from sheetgen.demo.planted_errors.plant import AREA, UNCOUNTED, Changes, Plant, Spot, first, following
from sheetgen.units import constants


def _other_scale(spot: Spot) -> Changes:
    degrees = spot.number()
    other = (degrees - 32) / 1.8, degrees * 1.8 + 32
    return spot.put(f"{other[0]:.1f} C" if spot.order.units == "us" else f"{other[1]:.1f} F")


def _without_colon(spot: Spot) -> Changes:
    minutes = round(spot.number() * 1440)
    return spot.put(float(f"{minutes // 60}{minutes % 60:02d}"))


def _lookalikes(spot: Spot) -> Changes:
    return spot.put(str(spot.value()).replace("0", "O").replace("1", "l"))


def _in_stations(spot: Spot) -> Changes:
    """``118.5`` for 118+50."""
    return spot.put(spot.number() / constants(spot.order.units)["station_length"])


TYPED_PLANTS = (
    Plant("number-read-by-range", "shots", "nozzles", following, lambda at: at.put(f"{at.number():g},000")),
    Plant("station-read-by-range", "shots", "from_station", following, _in_stations),
    Plant("letter-typed-for-digit", "shots", "from_station", following, _lookalikes),
    Plant(
        "remark-in-number-cell",
        "shots",
        "temperature",
        following,
        lambda at: at.put(f"about {at.number():g}"),
    ),
    Plant("entry-in-another-unit", "shots", "temperature", following, _other_scale),
    Plant("entry-typed-as-text", "shots", "temperature", following, lambda at: at.put(f" {at.number():g} ")),
    Plant("time-typed-as-number", "shots", "start", first, _without_colon),
    Plant("section-not-ordered", "shots", "section", following, lambda at: at.put("S99"), AREA),
    Plant("lane-not-ordered", "shots", "lane", following, lambda at: at.put("ZZ"), AREA),
    Plant(
        "volume-reading-missing",
        "shots",
        "dip_before",
        following,
        lambda at: at.put(None) | at.put(None, "meter_before"),
        UNCOUNTED,
    ),
)
