"""Hypothesis strategies for believable orders: every unit system, language, tank, class of material and basis.

Every number has few decimals, as people write them, so that a workbook (which keeps 15 significant digits) carries it.
"""

from __future__ import annotations

import datetime as dt
from typing import Any

from hypothesis import strategies as st

from sheetgen.order.model import Order

_SIGNS = "abcdefgXYZ0123456789 -.()/&'\"#+=%ñáéíóúü"
_LANES = ("EB", "WB", "NB", "SB", "L1", "L2", "RT", "Carril 1", "shoulder")


def numbers(low: float, high: float, places: int = 0) -> st.SearchStrategy[float]:
    """Numbers from ``low`` to ``high`` with at most so many decimals."""
    scale = 10**places
    return st.integers(round(low * scale), round(high * scale)).map(lambda number: number / scale)


def words(longest: int = 30) -> st.SearchStrategy[str]:
    """Words of a line, signs and accents among them; never empty, no space at the ends."""
    text = st.text(alphabet=_SIGNS, min_size=1, max_size=longest).map(str.strip)
    return text.filter(bool)


def plain_names(longest: int = 8) -> st.SearchStrategy[str]:
    """Names that formulas look up: a letter first, then letters, digits, spaces and a few signs."""
    rest = st.text(alphabet="abcXYZ0123456789 -./éñ", max_size=longest - 1)
    return st.tuples(st.sampled_from("ABSTéñz"), rest).map("".join).map(str.strip)


def short_names() -> st.SearchStrategy[str]:
    """Names of sections as crews write them: a letter first, so that no spreadsheet takes them for a number."""
    return st.from_regex(r"[A-Za-zñé][A-Za-z0-9ñé]{0,3}([ .\-/][A-Za-z0-9]{1,3})?", fullmatch=True)


def _maybe(strategy: st.SearchStrategy[Any]) -> st.SearchStrategy[Any]:
    return st.none() | strategy


@st.composite
def tanks(draw: st.DrawFn, units: str) -> dict[str, Any]:
    """A tank of a small distributor: circular, elliptical, with heads or flat, or with its certificate."""
    length_unit = 1 if units == "us" else 25
    shape = draw(st.sampled_from(["circular", "elliptical", "calibrated"]))
    tank: dict[str, Any] = {"shape": shape, "certificate": draw(st.just("") | words())}
    if shape == "calibrated":
        steps = draw(st.integers(1, 40))
        depth_step = draw(st.sampled_from([1, 2, 2.5] if units == "us" else [25, 50]))
        volumes = draw(st.lists(numbers(1, 90, 1), min_size=steps, max_size=steps))
        points, volume = [{"depth": 0, "volume": 0}], 0.0
        for number, more in enumerate(volumes, start=1):
            volume = round(volume + more, 1)
            points.append({"depth": number * depth_step, "volume": volume})
        return {**tank, "points": points}
    tank["height"] = draw(numbers(30, 60)) * length_unit
    tank["length"] = draw(numbers(48, 140)) * length_unit
    if shape == "elliptical":
        tank["width"] = draw(numbers(36, 80)) * length_unit
    if draw(st.booleans()):
        tank |= {"heads": "ellipsoidal", "head_depth": draw(numbers(4, 15)) * length_unit}
    return tank


@st.composite
def machines(draw: st.DrawFn, units: str, name: str) -> dict[str, Any]:
    """A distributor whose settings are within its own limits."""
    us = units == "us"
    volume, flow, speed, width = (1, 1, 1, 1) if us else (4, 4, 0.3, 0.3)
    discharge_min, discharge_max = draw(numbers(10, 30)), draw(numbers(60, 120))
    widths = draw(st.lists(st.integers(2, 16), min_size=1, max_size=4, unique=True))
    tank = draw(tanks(units))
    return {
        "name": name,
        "serial": draw(st.just("") | words()),
        "tank": tank,
        "bar_widths": [round(each * width, 2) for each in widths],
        "nozzle_spacing": draw(st.sampled_from([4, 6, 12] if us else [100, 150, 300])),
        "discharge": draw(numbers(30, 60)) * flow,
        "discharge_min": discharge_min * flow,
        "discharge_max": discharge_max * flow,
        "nozzle_flow_min": draw(numbers(0.5, 2, 2)) * flow,
        "nozzle_flow_max": draw(numbers(3, 8, 1)) * flow,
        "speed_min": round(draw(numbers(100, 200)) * speed, 1),
        "speed_max": round(draw(numbers(600, 1200)) * speed, 1),
        "reserve": draw(numbers(0, 60)) * volume,
        "fill_limit": draw(numbers(0.7, 1, 2)),
        "meter": draw(st.booleans()),
        **draw(burners(us) if tank["shape"] != "calibrated" else st.just({"burners": False})),
        "burner_efficiency": draw(numbers(0.3, 1, 2)),
    }


@st.composite
def burners(draw: st.DrawFn, us: bool) -> dict[str, Any]:
    """No burners, or burners whose flues lie low enough for every tank drawn here, their power given or not."""
    if not draw(st.booleans()):
        return {"burners": False}
    inch = 1 if us else 25.4
    return {
        "burners": True,
        "flue_top": round(draw(numbers(2, 7)) * inch, 1),
        "cover_over_flues": draw(_maybe(numbers(6.1, 8).map(lambda n: round(n * inch, 1)))),
        "burner_power": draw(st.just(0.0) | numbers(1, 9).map(lambda n: n * (100_000 if us else 30))),
    }


@st.composite
def materials(draw: st.DrawFn, units: str) -> dict[str, Any]:
    """An emulsion (diluted or not), an asphalt or a cutback, sprayed within the range given with it."""
    kind = draw(st.sampled_from(["emulsion", "asphalt", "cutback"]))
    low, high = {"emulsion": (70, 180), "asphalt": (250, 375), "cutback": (80, 250)}[kind]
    if units == "si":
        low, high = {"emulsion": (20, 80), "asphalt": (120, 190), "cutback": (30, 120)}[kind]
    planned = draw(st.integers(low + 5, high - 5))
    gravity = {"emulsion": (0.98, 1.04), "asphalt": (0.99, 1.06), "cutback": (0.9, 1.0)}[kind]
    diluted = kind == "emulsion" and draw(st.booleans())
    return {
        "grade": draw(st.sampled_from(["CSS-1h", "PG 64-22", "MC-70"]) | words(20)),
        "material_class": kind,
        "specific_gravity": draw(numbers(*gravity, 3)),
        "residue": 1 if kind == "asphalt" else draw(numbers(0.45, 0.85, 3)),
        "dilution": draw(numbers(0.2, 0.9, 2)) if diluted else 1,
        "spray_min": draw(st.integers(low, planned)),
        "spray_max": draw(st.integers(planned + 1, high)),
        "spray_source": draw(words(60)),
        "spray_planned": planned,
        "flash_point": draw(_maybe(st.integers(low, high + 100))),
    }


@st.composite
def sections(draw: st.DrawFn, units: str, name: str, bar_width: float) -> dict[str, Any]:
    """A stretch of road, at a rate of its work on any basis."""
    us = units == "us"
    start = draw(numbers(0, 90_000, 1 if us else 2))
    length = draw(numbers(20, 6_000)) * (1 if us else 0.25)
    backwards = draw(st.booleans())
    ends = (start, round(start + length, 2))
    rate = round(draw(numbers(0.02, 0.5, 3)) * (1 if us else 4), 3)
    relative = draw(st.booleans())
    tolerance = draw(numbers(0.01, 0.5, 3)) if relative else round(rate * draw(numbers(0.05, 0.4, 2)), 4)
    return {
        "id": name,
        "road": draw(words(60)),
        "lanes": draw(st.lists(st.sampled_from(_LANES), min_size=1, max_size=3, unique=True)),
        "from_station": ends[1] if backwards else ends[0],
        "to_station": ends[0] if backwards else ends[1],
        "width": round(bar_width * draw(st.sampled_from([0.5, 0.75, 1])), 3),
        "work": draw(st.sampled_from(["tack", "prime", "fog", "chip-seal"])),
        "surface": draw(
            st.sampled_from(
                ["new-asphalt", "existing-asphalt", "milled-asphalt", "concrete", "granular-base", "other"]
            )
        ),
        "rate": rate,
        "basis": draw(st.sampled_from(["residual", "undiluted", "as-diluted"])),
        "rate_temperature": draw(st.sampled_from(["base", "spraying"])),
        "tolerance": tolerance,
        "tolerance_kind": "percent" if relative else "absolute",
        "hand_spray": draw(st.booleans()),
    }


@st.composite
def plannings(draw: st.DrawFn, units: str) -> dict[str, Any]:
    """What a plan of the day needs beyond the order; much of it is often left blank."""
    us = units == "us"
    seal = {
        "median_size": round(draw(numbers(0.1, 0.6, 2)) * (1 if us else 25), 2),
        "flakiness": draw(numbers(0.05, 0.4, 2)),
        "loose_weight": draw(numbers(70, 110)) * (1 if us else 16),
        "specific_gravity": draw(numbers(2.4, 2.9, 2)),
        "traffic_factor": draw(numbers(0.55, 0.9, 2)),
        "surface_correction": draw(numbers(-0.05, 0.09, 2)),
        "absorption": draw(numbers(0, 0.03, 2)),
        "waste_factor": draw(numbers(1, 1.15, 2)),
    }
    given = {
        "start_hour": numbers(5, 20, 1),
        "shift_hours": numbers(4, 12, 1),
        "haul_time": numbers(5, 90),
        "load_time": numbers(5, 45),
        "position_time": numbers(1, 15),
        "dip_time": numbers(1, 5),
        "hand_rate": numbers(2, 30),
        "allowance": numbers(0, 0.1, 2),
        "prime_extra_width": numbers(0, 1, 1),
        "overlap": numbers(2, 4).map(lambda n: n * (1 if us else 25)),
        "shot_step": st.sampled_from([10, 25, 50, 100]),
        "fan_angle": st.sampled_from([60, 65, 70, 80]),
        "nozzle_angle": numbers(15, 30),
        "specific_heat": numbers(0.4, 0.8, 2),
        "aggregate_truck": numbers(6, 20),
        "aggregate_cover": numbers(80, 150),
    }
    planning = {key: draw(_maybe(strategy)) for key, strategy in given.items()}
    return {**planning, "seal_design": draw(st.sampled_from([None, seal]))}


@st.composite
def pay_terms(draw: st.DrawFn) -> dict[str, Any]:
    """The unit of pay, and what a contract may say of its quantity."""
    terms: dict[str, Any] = {
        "unit": draw(st.sampled_from(("volume", "mass", "mass-by-ticket", "area"))),
        "decimals": draw(st.none() | st.integers(0, 3)),
        "money_decimals": draw(st.integers(0, 4)),
    }
    if draw(st.booleans()):
        terms["estimate"] = draw(numbers(1, 1_000_000, 2))
        terms["overrun_limit"] = draw(st.none() | numbers(0, 1, 3))
        terms["underrun_limit"] = draw(st.none() | numbers(0.01, 1, 3))
        if terms["overrun_limit"] is not None:
            terms["overrun_price"] = draw(st.none() | numbers(0, 1000, 3))
        if terms["underrun_limit"] is not None:
            terms |= draw(
                st.just({})
                | st.builds(lambda share: {"underrun_share": share}, numbers(0.01, 1, 3))
                | st.builds(lambda price: {"underrun_price": price}, numbers(0, 1000, 3))
            )
    return terms


@st.composite
def orders(
    draw: st.DrawFn,
    units: str | None = None,
    language: str | None = None,
    most_rows: int = 60,
    most_machines: int = 3,
) -> Order:
    """Orders that the model accepts; ``most_rows`` bounds the rows of each log of the field book."""
    units = units or draw(st.sampled_from(["us", "si"]))
    us = units == "us"
    count = draw(st.integers(1, most_machines))
    named = draw(st.lists(words(24), min_size=count, max_size=count, unique_by=str.casefold))
    fleet = [draw(machines(units, name)) for name in named]
    stretches = draw(st.integers(1, 5))
    ids = draw(st.lists(plain_names(), min_size=stretches, max_size=stretches, unique_by=str.casefold))
    widest = max(fleet[0]["bar_widths"])
    data = {
        "units": units,
        "language": language or draw(st.sampled_from(["en", "es"])),
        "paper": draw(st.sampled_from(["letter", "a4"])),
        "job": {
            "number": draw(words(20)),
            "name": draw(words(60)),
            "place": draw(st.just("") | words(60)),
            "agency": draw(st.just("") | words(60)),
            "contractor": draw(st.just("") | words(60)),
            "date": draw(st.dates(dt.date(2000, 1, 1), dt.date(2090, 12, 31))),
            "invented": draw(st.booleans()),
        },
        "material": draw(materials(units)),
        "sections": [draw(sections(units, name, widest)) for name in ids],
        "machines": fleet,
        "pay": {
            "measured_by": draw(st.sampled_from(["dip", "meter"])),
            "excess_limit": draw(numbers(0, 0.3, 3)),
            "hand_exempt": draw(st.booleans()),
            "source": draw(st.just("") | words(60)),
            "unit_price": draw(_maybe(numbers(0, 20, 2))),
            "currency": draw(st.sampled_from(["USD", "MXN", "EUR"])),
            **draw(pay_terms()),
        },
        "rounding": {
            "factor_asphalt": draw(st.integers(3, 6)),
            "factor_emulsion": draw(st.integers(3, 6)),
            "chart": draw(st.integers(0, 3)),
            "volume": draw(st.integers(0, 3)),
            "area": draw(st.integers(0, 3)),
            "rate": draw(st.integers(2, 5)),
            "pay": draw(st.integers(0, 3)),
        },
        "reading": {
            "dip": draw(st.sampled_from([0.0625, 0.125, 0.25] if us else [1, 2, 5])),
            "temperature": draw(st.sampled_from([0.5, 1, 2])),
            "meter": draw(st.sampled_from([0.1, 1, 5])),
            "station": draw(st.sampled_from([0.1, 1])),
            "width": draw(st.sampled_from([0.05, 0.1])),
            "dip_notation": draw(st.sampled_from(["decimal", "fraction", "sixteenths"])) if us else "decimal",
        },
        "limits": {
            "air_min": draw(_maybe(numbers(0, 70))),
            "surface_min": draw(_maybe(numbers(0, 70) if us else numbers(0, 21))),
            "surface_max": draw(_maybe(numbers(110, 150) if us else numbers(43, 66))),
            "source": draw(st.just("") | words(60)),
            "unexplained": draw(numbers(0.001, 0.2, 3)),
            "rate_checks": draw(_maybe(st.integers(1, 50))),
        },
        "size": {
            "shots": draw(st.integers(1, most_rows)),
            "loads": draw(st.integers(1, min(most_rows, 200))),
            "days": draw(st.integers(1, min(most_rows, 60))),
        },
        "planning": draw(plannings(units)),
    }
    return Order.model_validate(data)
