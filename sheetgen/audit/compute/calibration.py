"""The calibration computed again: pads on the road and cans under the nozzles, by the trade's arithmetic.

Source: ASTM D2995-99 methods A (pads) and B (cans), as in :mod:`sheetgen.trade.evenness`.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from statistics import fmean

from sheetgen import templates
from sheetgen.audit.entries.logs import Logs
from sheetgen.audit.model import Entry
from sheetgen.order.model import Machine, Order, Section
from sheetgen.order.wheel_paths import nozzles_to, wheel_paths_of, within
from sheetgen.plan.fit import Distributor
from sheetgen.trade.bar import bar_discharge, caught_flow
from sheetgen.trade.density import mixed_gravity, pad_rate
from sheetgen.trade.evenness import uniformity
from sheetgen.trade.rounding import round_half_away
from sheetgen.units import constants
from sheetgen.xlsx.returned import is_number

_Entries = Mapping[tuple[str, int, str], Entry]


@dataclass(frozen=True, slots=True)
class Calibration:
    """What pads and cans show, in the order's units.

    Attributes:
        rates: at base temperature, by row of the pads; of the residue where dried pads were weighed
        flows: by row of the nozzles
        results: by the keys of the calibration sheet, such as ``pads_mean_across``, ``pads_greatest_along``,
            ``catch_mean`` or ``discharge_measured``; None where there are too few readings
    """

    rates: dict[int, float] = field(default_factory=dict)
    flows: dict[int, float] = field(default_factory=dict)
    results: dict[str, float | None] = field(default_factory=dict)


def compute_calibration(logs: Logs, order: Order, machine: Machine) -> Calibration:
    """Compute what was entered on the calibration sheet; empty where nothing was."""
    entries = logs.entries
    rates, flows = _rates(entries, order), _flows(entries)
    results: dict[str, float | None] = {}
    if any(table == "pads" for table, _, _ in entries):
        lines = {line: _of_line(entries, rates, line, order) for line in ("across", "along")}
        pads = _sizes_of_pads(entries, order)
        everything = list(rates.values())
        results |= {"pads_mean": _mean(everything), "pads_spread": _spread(everything)}
        for line, mine in lines.items():
            results[f"pads_mean_{line}"] = _mean(list(mine.values()))
            own = _of_own_size(mine, pads) if line == "across" and pads is not None else list(mine.values())
            results[f"pads_spread_{line}"] = _spread(own)
            results[f"pads_greatest_{line}"] = _greatest(own)
        results["pads_more_across"] = _more(lines["across"], pads)
    if any(table == "catch" for table, _, _ in entries):
        caught = list(flows.values())
        cans = _sizes_of_nozzles(entries, order, machine)
        own = caught if cans is None else _of_own_size(flows, cans)
        results |= {"catch_mean": _mean(caught), "catch_greatest": _greatest(own)}
        results["catch_more"] = _more(flows, cans)
        results["discharge_measured"] = _discharge(entries, caught)
    return Calibration(rates, flows, results)


def _number(entries: _Entries, table: str, row: int, column: str) -> float | None:
    entry = entries.get((table, row, column))
    value = None if entry is None else entry.value
    return float(value) if is_number(value) else None


def _word(entries: _Entries, table: str, row: int, column: str) -> str:
    entry = entries.get((table, row, column))
    return str(entry.value).casefold() if entry is not None and entry.value is not None else ""


def _is(entries: _Entries, place: tuple[str, int, str], word: str, order: Order) -> bool:
    """Whether the order's word of the calibration sheet stands at a place."""
    return (
        _word(entries, *place)
        == templates.texts(order.language, order.units)[f"calibration.{word}"].casefold()
    )


def _gravity(entries: _Entries, order: Order) -> float | None:
    """Of what was weighed: as entered; of the mix where wet pads were; unknown for dried ones."""
    entered, material = _number(entries, "", 0, "pads_gravity"), order.material
    if entered is not None or _is(entries, ("", 0, "pads_weighed"), "dry", order):
        return entered
    return mixed_gravity(material.specific_gravity, material.dilution)


def _rates(entries: _Entries, order: Order) -> dict[int, float]:
    gravity, system = _gravity(entries, order), order.units
    rates: dict[int, float] = {}
    for row in sorted({row for table, row, _ in entries if table == "pads"}):
        before, after, area = (
            _number(entries, "pads", row, column) for column in ("mass_before", "mass_after", "area")
        )
        if before is None or after is None or not area or area < 0 or after < before or not gravity:
            continue
        rates[row] = pad_rate(after - before, area, gravity, system)
    return rates


def _flows(entries: _Entries) -> dict[int, float]:
    """Volume over time of each nozzle; the time of all where a row has none of its own."""
    common = _number(entries, "", 0, "catch_seconds")
    flows: dict[int, float] = {}
    for row in sorted({row for table, row, _ in entries if table == "catch"}):
        volume, own = (_number(entries, "catch", row, column) for column in ("volume", "seconds"))
        seconds = common if own is None else own
        if volume is None or volume < 0 or seconds is None or seconds <= 0:
            continue
        flows[row] = caught_flow(volume, seconds)
    return flows


def _of_line(entries: _Entries, rates: dict[int, float], line: str, order: Order) -> dict[int, float]:
    return {row: rate for row, rate in rates.items() if _is(entries, ("pads", row, "line"), line, order)}


def _varied_section(entries: _Entries, cell: str, order: Order) -> Section | None:
    """The section that a test was made for, where its rate varies across the lane."""
    named = _word(entries, "", 0, cell)
    varied = (section for section in order.sections if section.outside_more is not None)
    return next((section for section in varied if section.id.casefold() == named), None)


def _sizes_of_pads(entries: _Entries, order: Order) -> dict[int, bool] | None:
    """Whether each pad lay in a wheel path, by row, as far as its place is known; None where all nozzles are alike."""
    section = _varied_section(entries, "pads_section", order)
    if section is None:
        return None
    per_width = constants(order.units)["nozzle_spacing_per_width"]
    ends = [edge / per_width for edge in wheel_paths_of(section.width, order.units).edges]
    rows = {row for table, row, _ in entries if table == "pads"}
    places = {row: _number(entries, "pads", row, "position") for row in rows}
    return {row: within(place, ends) for row, place in places.items() if place is not None}


def _sizes_of_nozzles(entries: _Entries, order: Order, machine: Machine) -> dict[int, bool] | None:
    """Whether each nozzle stands over a wheel path, by row; None where all are alike."""
    section = _varied_section(entries, "catch_section", order)
    if section is None:
        return None
    pitch = Distributor(machine, order.units, 0.0).pitch
    ends = nozzles_to(wheel_paths_of(section.width, order.units).edges, pitch, order.units)
    return {row: within(row, ends) for table, row, _ in entries if table == "catch"}


def _of_own_size(values: Mapping[int, float], sizes: Mapping[int, bool]) -> list[float]:
    """Each value over the mean of those of its size."""
    means = {
        size: _mean([each for row, each in values.items() if sizes.get(row) is size])
        for size in (True, False)
    }
    found = ((value, means[sizes[row]]) for row, value in values.items() if row in sizes)
    return [value / mean for value, mean in found if mean]


def _more(values: Mapping[int, float], sizes: Mapping[int, bool] | None) -> float | None:
    """What those outside the wheel paths give more than those in them, a fraction."""
    inside, outside = (
        _mean([each for row, each in values.items() if (sizes or {}).get(row) is size])
        for size in (True, False)
    )
    return None if not inside or outside is None else round_half_away(outside / inside - 1, 6)


def _mean(values: list[float]) -> float | None:
    return fmean(values) if values else None


def _greatest(values: list[float]) -> float | None:
    return round_half_away(uniformity(values).greatest, 6) if len(values) > 1 and any(values) else None


def _spread(values: list[float]) -> float | None:
    return uniformity(values).variation if len(values) > 1 and any(values) else None


def _discharge(entries: _Entries, flows: list[float]) -> float | None:
    """Of the bar: the sum of its nozzles, where every one of them was caught."""
    nozzles = _number(entries, "", 0, "catch_nozzles")
    if not flows or nozzles != len(flows) or sum(flows) <= 0:
        return None
    return round_half_away(bar_discharge(flows), 2)
