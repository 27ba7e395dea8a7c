"""Entries typed so that they cannot be read, or only with doubt, and entries left out."""

from __future__ import annotations

from sheetgen.demo.planted_errors.plant import AREA, UNCOUNTED, Changes, Spot, first, shot
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
    shot("number-read-by-range", "nozzles", lambda at: at.put(f"{at.number():g},000")),
    shot("station-read-by-range", "from_station", _in_stations),
    shot("letter-typed-for-digit", "from_station", _lookalikes),
    shot("remark-in-number-cell", "temperature", lambda at: at.put(f"about {at.number():g}")),
    shot("entry-in-another-unit", "temperature", _other_scale),
    shot("entry-typed-as-text", "temperature", lambda at: at.put(f" {at.number():g} ")),
    shot("time-typed-as-number", "start", _without_colon, row=first),
    shot("section-not-ordered", "section", lambda at: at.put("S99"), AREA),
    shot("lane-not-ordered", "lane", lambda at: at.put("ZZ"), AREA),
    shot(
        "volume-reading-missing",
        "dip_after",
        lambda at: at.put(None) | at.put(None, "meter_after"),
        UNCOUNTED,
    ),
)
