"""Charts of the Plan sheet: shots along the stations, and the operating window for each sprayed width.

Readable in black and white: loads differ in hatching, limits are outlines with vertical hatching between them, points
are labelled. Every chart has a text in its stead.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from sheetgen.book.canvas import Canvas
from sheetgen.book.number_formats import number_format
from sheetgen.book.plan_facts import twelve_digits
from sheetgen.plan.figures import Figures
from sheetgen.plan.model import MachinePlan, Plan, PlannedShot
from sheetgen.units import constants
from sheetgen.xlsx.address import column_letters
from sheetgen.xlsx.formulas import quoted
from sheetgen.xlsx.model import Sheet

_FIRST_COL = 48  # right of all workings
_ROWS = 16  # of a curve
_CHART_ROWS = 18  # of 15 points and more, which a chart covers
_BLACK = "#000000"
_THIN = {"color": _BLACK, "width": 0.75}
_ON_WHITE = {"fill": {"color": "#FFFFFF"}}  # a label over hatching
_HATCH = {"pattern": "wide_upward_diagonal", "fg_color": "#4A5A61", "bg_color": "#FFFFFF"}


def draw_plan_charts(
    canvas: Canvas, sheet: Sheet, made: Plan, machine: MachinePlan, row: int, starts: list[int]
) -> int:
    """Draw the charts from ``row`` on, and the rows they are drawn from far to the right.

    Gives the row below; notes in ``starts`` where each line of charts begins.
    """
    figures = Figures(made.units, canvas.order.language)
    starts.append(row)
    sheet.charts.append(strip_chart(canvas, sheet, machine, figures, row))
    row += chart_rows(len(machine.runs))
    widths = _widths(machine)
    for index, sections in enumerate(widths.values()):
        at = (row + (index // 2) * _CHART_ROWS, (index % 2) * 9)
        if index % 2 == 0:
            starts.append(at[0])
        sheet.charts.append(_window(canvas, sheet, made, sections, figures, at, index))
    return row + -(-len(widths) // 2) * _CHART_ROWS


def chart_rows(runs: int) -> int:
    """Rows of the sheet that the strip chart covers."""
    return int((150 + 26 * runs) / 20) + 2


# ---------------------------------------------------------------- shots along the stations


def strip_chart(
    canvas: Canvas, sheet: Sheet, machine: MachinePlan, figures: Figures, row: int
) -> dict[str, Any]:
    """The chart of the shots along the stations, at ``row``; the rows it is drawn from stand far to the right."""
    by_run: dict[int, list[PlannedShot]] = {}
    for shot in machine.shots:
        by_run.setdefault(shot.run, []).append(shot)
    most = max(len(shots) for shots in by_run.values())
    first = row + 1
    runs = list(reversed(machine.runs))  # a bar chart begins at the bottom
    ids = [section.id for section in machine.sections]
    for line, run in enumerate(runs):
        label = f"{ids[run.section]}  {run.lane}  {run.pass_number}"
        of_run = [_shot_at(by_run[run.number], place) for place in range(most)]
        _strip_row(canvas, sheet, first + line, label, of_run)
    ends = [end for run in runs for end in (run.from_station, run.to_station)]
    rows = (first, first + len(runs) - 1)
    none = {"none": True}
    series: list[dict[str, Any]] = [
        {"kind": "bar", "values": _range(sheet, _FIRST_COL + 1, rows), "fill": none, "border": none}
    ]
    for place in range(most):
        shots = [_shot_at(by_run[run.number], place) for run in runs]
        series.append(_strip_series(_range(sheet, _FIRST_COL + 2 + place, rows), shots))
    categories = _range(sheet, _FIRST_COL, rows)
    return {
        "at": (row, 0),
        "title": canvas.say["plan.part.strip"],
        "alternative": canvas.say.say(
            "plan.picture.strip", machine=machine.name, shots=_told_shots(machine, figures)
        ),
        "x_axis": canvas.say["plan.picture.strip_axis"],
        "y_axis": "",
        "number_format": "General",
        "minimum": None,
        "maximum": None,
        "subtype": "stacked",
        "x_options": {
            "min": min(ends),
            "max": max(ends),
            "num_format": number_format("station", canvas.order),
        },
        "legend": {"none": True},
        "size": {"width": 1130, "height": 150 + 26 * len(runs)},
        "series": [{**one, "categories": categories} for one in series],
    }


def _strip_series(values: str, shots: list[PlannedShot | None]) -> dict[str, Any]:
    """The shots that stand at one place of their passes, labelled with their number and load."""
    labels = [
        {"delete": True}
        if shot is None
        else {"value": f"{shot.number} ({shot.load})", **(_ON_WHITE if _hatched(shot.load) else {})}
        for shot in shots
    ]
    return {
        "kind": "bar",
        "values": values,
        "border": _THIN,
        "pattern": _HATCH,
        "points": [None if shot is None else _look(shot.load) for shot in shots],
        "data_labels": {"value": True, "font": {"size": 8, "bold": True}, "custom": labels},
    }


def _strip_row(
    canvas: Canvas, sheet: Sheet, row: int, label: str, shots: Sequence[PlannedShot | None]
) -> None:
    """The pass in words, its lower end, and the lengths of its shots in the order of the stations."""
    ends = [end for shot in shots if shot is not None for end in (shot.from_station, shot.to_station)]
    canvas.put(sheet, row, _FIRST_COL, label, "value")
    canvas.put(sheet, row, _FIRST_COL + 1, min(ends), "value_number", "General")
    for place, shot in enumerate(shots):
        canvas.put(sheet, row, _FIRST_COL + 2 + place, shot.length if shot else 0, "value_number", "0")


def _shot_at(shots: list[PlannedShot], place: int) -> PlannedShot | None:
    """The shot at a place in the order of the stations; None where a pass has fewer."""
    along = sorted(shots, key=lambda shot: min(shot.from_station, shot.to_station))
    return along[place] if place < len(along) else None


def _look(load: int) -> dict[str, Any]:
    """Loads that follow each other look different: hatched and plain."""
    if _hatched(load):
        return {"pattern": _HATCH, "border": _THIN}
    return {"fill": {"color": "#FFFFFF"}, "border": _THIN}


def _hatched(load: int) -> bool:
    return load % 2 == 1


def _told_shots(machine: MachinePlan, figures: Figures) -> str:
    """The shots in words, as many as a text in a picture's stead may have."""
    told = [
        f"{shot.number}: {shot.section} {shot.lane} {figures.station(shot.from_station)} – "
        f"{figures.station(shot.to_station)} ({shot.load})"
        for shot in machine.shots
    ]
    return "; ".join(told[:20]) + (" …" if len(told) > 20 else "")


# ---------------------------------------------------------------- the operating window


def _widths(machine: MachinePlan) -> dict[tuple[float, float], list[int]]:
    """Indices of the sections that are planned at each sprayed width, those with nozzles of two sizes apart."""
    found: dict[tuple[float, float], list[int]] = {}
    for index, section in enumerate(machine.sections):
        if section.setting is not None:
            found.setdefault((round(section.open_width, 6), section.setting.alike), []).append(index)
    return found


def _window(
    canvas: Canvas, sheet: Sheet, made: Plan, sections: list[int], figures: Figures, at: tuple[int, int], index: int
) -> dict[str, Any]:  # fmt: skip
    col = _FIRST_COL + 8 * index
    top = at[0]
    _window_rows(canvas, sheet, made, sections, top, col)
    curve, points = (top + 8, top + 7 + _ROWS), (top + 9 + _ROWS, top + 8 + _ROWS + len(sections))
    rates = _range(sheet, col, curve)
    width = figures.full(made.machines[0].sections[sections[0]].open_width, "width")
    nozzles = (
        made.machines[0].sections[sections[0]].setting or made.machines[0].sections[0].settings[0]
    ).nozzles
    hatch = {"type": "custom", "direction": "minus", "minus_values": _range(sheet, col + 4, curve), "end_style": 0,
             "line": {"color": "#6B777C", "width": 0.75}}  # fmt: skip
    return {
        "at": at,
        "title": canvas.say.say("plan.picture.panel", width=width, nozzles=nozzles),
        "alternative": canvas.say.say(
            "plan.picture.window", machine=canvas.machine.name, points=_told_points(made, sections, figures)
        ),
        "x_axis": f"{canvas.say['plan.head.mix_hot']}, {canvas.unit('rate')}",
        "y_axis": f"{canvas.say['rates.speed']}, {canvas.unit('speed')}",
        "number_format": "0",
        "minimum": 0,
        "maximum": None,
        "subtype": "straight",
        "x_options": {"min": 0, "num_format": "0.00"},
        "legend": {"position": "bottom"},
        "size": {"width": 555, "height": 345},
        "series": [
            _line(canvas, sheet, "picture.upper", rates, col + 2, curve, "solid", 2.0)
            | {"y_error_bars": hatch},
            _line(canvas, sheet, "picture.lower", rates, col + 1, curve, "solid", 1.25),
            _line(canvas, sheet, "picture.calibrated", rates, col + 3, curve, "dash", 1.25),
            {
                "kind": "scatter",
                "name": canvas.say["plan.part.planned"],
                "categories": _range(sheet, col + 1, points),
                "values": _range(sheet, col + 2, points),
                "line": {"none": True},
                "marker": {"type": "diamond", "size": 8, "border": _THIN, "fill": {"color": _BLACK}},
                "data_labels": {
                    "custom": [{"value": made.sections[section].id} for section in sections],
                    "value": True,
                    "position": "below",
                    "font": {"size": 9, "bold": True},
                },
            },
        ],
    }


def _line(
    canvas: Canvas, sheet: Sheet, text: str, rates: str, col: int, rows: tuple[int, int], dash: str, width: float
) -> dict[str, Any]:  # fmt: skip
    return {
        "kind": "scatter",
        "name": canvas.say[f"plan.{text}"],
        "categories": rates,
        "values": _range(sheet, col, rows),
        "line": {"color": _BLACK, "width": width, "dash_type": dash},
        "marker": {"type": "none"},
    }


def _window_rows(canvas: Canvas, sheet: Sheet, made: Plan, sections: list[int], top: int, col: int) -> None:
    """Limits of the width, the curves between them, and the planned points."""
    machine = made.machines[0]
    limits, planned = machine.limits, machine.sections[sections[0]]
    nozzles = planned.setting.alike if planned.setting else 0
    rates = [made.sections[section].mix_hot for section in sections]
    flows = (
        max(limits.pump_least, nozzles * limits.nozzle_least),
        min(limits.pump_greatest, nozzles * limits.nozzle_greatest),
        machine.discharge,
    )
    per_flow = constants(canvas.system)["area_divisor"] / planned.open_width
    low = per_flow * flows[0] / limits.speed_greatest
    high = max(low, min(per_flow * flows[1] / limits.speed_least, 2 * max(rates)))
    for line, value in enumerate((planned.open_width, float(nozzles), *flows[:2], low, high)):
        _put(canvas, sheet, top + line, col + 1, value, "0.0000")
    for line in range(_ROWS):
        rate = low * (high / low) ** (line / (_ROWS - 1))
        least, greatest, calibrated = (per_flow * flow / rate for flow in flows)
        lower, upper = max(limits.speed_least, least), min(limits.speed_greatest, greatest)
        speeds = (lower, upper, min(limits.speed_greatest * 1.1, calibrated), upper - lower)
        for step, value in enumerate((rate, *speeds)):
            _put(canvas, sheet, top + 8 + line, col + step, value, "0" if step else "0.0000")
    for line, (section, rate) in enumerate(zip(sections, rates, strict=True), start=top + 9 + _ROWS):
        setting = machine.sections[section].setting
        canvas.put(sheet, line, col, made.sections[section].id, "value")
        _put(canvas, sheet, line, col + 1, rate, "0.0000")
        _put(canvas, sheet, line, col + 2, setting.sprayed_at if setting else None, "0")


def _put(canvas: Canvas, sheet: Sheet, row: int, col: int, value: float | None, shown: str) -> None:
    """A value to twelve digits, as many as every machine agrees on."""
    canvas.put(sheet, row, col, twelve_digits(value), "value_number", shown)


def _told_points(made: Plan, sections: list[int], figures: Figures) -> str:
    told = []
    for index in sections:
        setting = made.machines[0].sections[index].setting
        if setting is not None:
            rate, speed = made.sections[index].mix_hot, setting.sprayed_at
            told.append(
                f"{made.sections[index].id}: {figures.full(rate, 'rate')}, {figures.full(speed, 'speed')}"
            )
    return "; ".join(told)


def _range(sheet: Sheet, col: int, rows: tuple[int, int]) -> str:
    letters = column_letters(col)
    return f"={quoted(sheet.name)}!${letters}${rows[0] + 1}:${letters}${rows[1] + 1}"
