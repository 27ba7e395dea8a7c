"""The operating window: which speed goes with which rate, within every limit of the machine, and the job's points.

One panel for each sprayed width. Speed for a rate is S = k·Q/(W·R): a curve for each discharge. The window lies
between the truck's least and greatest speed and between the curves of the least and the greatest discharge that pump
and nozzles allow.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from sheetgen.plan.figures import Figures
from sheetgen.plan.model import MachinePlan, Plan, Setting
from sheetgen.plan.picture_strip import mark_invented

_POINTS = 200
_MARKERS = "osD^vPX*"


@dataclass(frozen=True, slots=True)
class Window:
    """What one sprayed width allows.

    Attributes:
        open_width: [width]
        nozzles: open
        discharge: [flow] as calibrated
        least, greatest: [flow] that pump and nozzles allow
        slow, fast: [speed] that the truck allows
        constant: speed × rate / discharge, for this width
        points: (section, [rate] hot, [speed]) planned
    """

    open_width: float
    nozzles: int
    discharge: float
    least: float
    greatest: float
    slow: float
    fast: float
    constant: float
    points: tuple[tuple[str, float, float], ...]


def windows_of(plan: Plan, machine: MachinePlan) -> tuple[Window, ...]:
    """One window for each sprayed width that the plan uses, widest first."""
    found: dict[tuple[float, float], list[tuple[str, float, float]]] = {}
    settings: dict[tuple[float, float], tuple[Setting, float]] = {}
    for section, planned in zip(plan.sections, machine.sections, strict=True):
        setting = planned.setting
        if setting is not None and setting.sprayed_at is not None:
            width = round(setting.open_width, 6), setting.alike
            settings.setdefault(width, (setting, section.mix_hot))
            found.setdefault(width, []).append((section.id, section.mix_hot, setting.sprayed_at))
    return tuple(
        _window(machine, *settings[width], tuple(found[width])) for width in sorted(found, reverse=True)
    )


def _window(
    machine: MachinePlan, setting: Setting, rate: float, points: tuple[tuple[str, float, float], ...]
) -> Window:
    limits = machine.limits
    return Window(
        open_width=setting.open_width,
        nozzles=setting.nozzles,
        discharge=machine.discharge,
        least=max(limits.pump_least, setting.alike * limits.nozzle_least),
        greatest=min(limits.pump_greatest, setting.alike * limits.nozzle_greatest),
        slow=limits.speed_least,
        fast=limits.speed_greatest,
        constant=setting.speed * rate / machine.discharge,
        points=points,
    )


def draw_window(picture: Any, plan: Plan, machine: MachinePlan, figures: Figures) -> None:
    """Draw the panels into an empty matplotlib figure."""
    windows = windows_of(plan, machine)
    picture.set_size_inches(6.4 * max(1, len(windows)), 5.2)
    for index, window in enumerate(windows, start=1):
        _panel(picture.add_subplot(1, len(windows), index), window, figures)
    if not windows:
        picture.text(0.5, 0.5, figures.say["plan.verdict.none"], ha="center")
    picture.suptitle(f"{figures.say['plan.part.window']} – {machine.name} – {plan.job}", fontsize=11)
    mark_invented(picture, plan, figures)


def _panel(axes: Any, window: Window, figures: Figures) -> None:
    say = figures.say
    rates = _rate_axis(window)
    low = np.maximum(window.slow, window.constant * window.least / rates)
    high = np.minimum(window.fast, window.constant * window.greatest / rates)
    axes.fill_between(
        rates, low, high, where=low <= high, facecolor="#FFFFFF", edgecolor="black", hatch="///", linewidth=1.0,
        label=say["plan.picture.works"],
    )  # fmt: skip
    for flow, style, key in (
        (window.greatest, (0, (5, 2)), "greatest_discharge"),
        (window.discharge, "solid", "calibrated"),
        (window.least, (0, (1, 1.5)), "least_discharge"),
    ):
        label = f"{say[f'plan.picture.{key}']}: {figures.full(flow, 'flow')}"
        axes.plot(
            rates, window.constant * flow / rates, color="black", linestyle=style, linewidth=1.3, label=label
        )
    for index, (name, rate, speed) in enumerate(window.points):
        axes.plot(
            [rate], [speed], linestyle="none", marker=_MARKERS[index % len(_MARKERS)], markersize=9, color="white",
            markeredgecolor="black", markeredgewidth=1.5, label=f"{say['plan.head.section']} {name}",
        )  # fmt: skip
    top = 1.12 * max(window.fast, *(speed for _name, _rate, speed in window.points))
    axes.set_ylim(0, top)
    axes.set_xlim(0, rates[-1])
    axes.axhline(window.slow, color="black", linewidth=0.6)
    axes.axhline(window.fast, color="black", linewidth=0.6)
    axes.set_xlabel(f"{say['plan.head.mix_hot']}, {figures.unit('rate')}")
    axes.set_ylabel(f"{say['rates.speed']}, {figures.unit('speed')}")
    width = figures.full(window.open_width, "width")
    axes.set_title(say.say("plan.picture.panel", width=width, nozzles=window.nozzles), fontsize=9)
    axes.grid(visible=True, color="#C8CED0", linewidth=0.5)
    axes.set_axisbelow(True)
    axes.legend(loc="upper right", fontsize=7.5, framealpha=1.0, edgecolor="black")


def _rate_axis(window: Window) -> Any:
    """Rates from near nothing to beyond the greatest of the job, and to where the window closes if it is near."""
    greatest = max(rate for _name, rate, _speed in window.points)
    closes = window.constant * window.greatest / window.slow
    return np.linspace(0.02 * greatest, max(1.8 * greatest, min(closes, 3 * greatest)), _POINTS)
