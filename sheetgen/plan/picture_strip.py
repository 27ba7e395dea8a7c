"""Shots along the stations: one line for each pass of each lane, hatched by load, with the refills marked."""

from __future__ import annotations

from itertools import groupby
from typing import Any

from sheetgen.plan.figures import Figures
from sheetgen.plan.model import MachinePlan, Plan, PlannedShot

_HATCHES = ("", "////", "....", "\\\\\\\\", "xx", "----")
_SHADES = ("#FFFFFF", "#E3E7E9")
_BAR = 0.62
_ROW_INCHES = 0.34
_LEGEND_LOADS = 12


def draw_strip(picture: Any, plan: Plan, machine: MachinePlan, figures: Figures) -> None:
    """Draw the chart into an empty matplotlib figure."""
    rows = max(1, len(machine.runs))
    picture.set_size_inches(10, 1.9 + _ROW_INCHES * rows)
    axes = picture.add_subplot()
    for shot in machine.shots:
        _draw_shot(axes, shot, figures)
    labels = [_run_label(plan, machine, index) for index in range(len(machine.runs))]
    axes.set_yticks([float(index) for index in range(len(machine.runs))], labels)
    axes.set_ylim(rows - 0.4, -0.8)
    ends = [end for run in machine.runs for end in (run.from_station, run.to_station)] or [0.0, 1.0]
    margin = 0.02 * (max(ends) - min(ends))
    axes.set_xlim(min(ends) - margin, max(ends) + margin)
    axes.xaxis.set_major_formatter(lambda value, _position: figures.station(max(0.0, value)))
    axes.set_xlabel(figures.say["plan.picture.station"])
    axes.set_title(f"{figures.say['plan.part.strip']} – {machine.name} – {plan.job}", fontsize=11)
    axes.grid(visible=True, axis="x", color="#C8CED0", linewidth=0.5)
    axes.set_axisbelow(True)
    _legend(axes, machine, figures)
    mark_invented(picture, plan, figures)


def _draw_shot(axes: Any, shot: PlannedShot, figures: Figures) -> None:
    left, right = sorted((shot.from_station, shot.to_station))
    row = shot.run - 1
    axes.barh(row, right - left, left=left, height=_BAR, **_look(shot.load))
    onward = 1 if shot.to_station > shot.from_station else -1
    axes.plot(
        [shot.from_station],
        [row],
        marker=">" if onward > 0 else "<",
        color="black",
        markersize=5,
        clip_on=False,
    )
    axes.text(
        (left + right) / 2, row, str(shot.number), ha="center", va="center", fontsize=8,
        bbox={"boxstyle": "round,pad=0.15", "facecolor": "white", "edgecolor": "none"},
    )  # fmt: skip
    if shot.refill:
        axes.plot([shot.from_station], [row - 0.44], marker="v", color="black", markersize=7, clip_on=False)
        axes.annotate(
            f"{figures.say['plan.head.load']} {shot.load}", (shot.from_station, row - 0.44), fontsize=7,
            xytext=(6 * onward, 0), textcoords="offset points", ha="left" if onward > 0 else "right", va="center",
        )  # fmt: skip


def _look(load: int) -> dict[str, Any]:
    return {
        "facecolor": _SHADES[load % 2],
        "edgecolor": "black",
        "linewidth": 0.8,
        "hatch": _HATCHES[(load - 1) % len(_HATCHES)],
    }


def _run_label(plan: Plan, machine: MachinePlan, index: int) -> str:
    run = machine.runs[index]
    section = plan.sections[run.section]
    more = f"  +{100 * section.outside_more:.10g} %" if section.outside_more else ""
    label = f"{section.id}  {run.lane}{more}"
    return f"{label}  ({run.pass_number})" if machine.sections[run.section].passes > 1 else label


def _legend(axes: Any, machine: MachinePlan, figures: Figures) -> None:
    from matplotlib.lines import Line2D
    from matplotlib.patches import Patch

    handles: list[Any] = []
    for load, group in groupby(machine.shots, key=lambda shot: shot.load):
        volume = figures.full(next(group).loaded, "volume")
        handles.append(Patch(label=f"{figures.say['plan.head.load']} {load}: {volume}", **_look(load)))
    handles = handles[:_LEGEND_LOADS]
    handles.append(
        Line2D([], [], marker="v", color="black", linestyle="none", label=figures.say["plan.picture.refill"])
    )
    handles.append(
        Line2D([], [], marker=">", color="black", linestyle="none", label=figures.say["plan.picture.start"])
    )
    axes.legend(
        handles=handles, loc="upper center", bbox_to_anchor=(0.5, -0.75 / axes.figure.get_figheight()), ncols=4,
        frameon=False, fontsize=8,
    )  # fmt: skip


def mark_invented(picture: Any, plan: Plan, figures: Figures) -> None:
    """Say in the picture that its data are invented."""
    if plan.invented:
        picture.text(0.12, 0.995, figures.say["book.invented_short"], fontsize=8, weight="bold", va="top")
