"""Setting up the spray bar: height for single, double and triple coverage, nozzles to open for each width."""

from __future__ import annotations

from sheetgen.order.model import Machine
from sheetgen.plan.inputs import Inputs
from sheetgen.plan.model import BarCard
from sheetgen.trade.bar import bar_height, nozzles_open
from sheetgen.trade.limits import limit

_COVERAGES = (1, 2, 3)


def _coverage(heights: tuple[float, float, float], inputs: Inputs) -> int:
    """The coverage by preference, or the next lower one that does not lift the bar too high; 0 for none."""
    fitting = [
        coverage
        for coverage, height in zip(_COVERAGES, heights, strict=True)
        if coverage <= inputs.coverage and round(height - inputs.bar_height, 6) <= 0
    ]
    return max(fitting, default=0)


def bar_card(machine: Machine, inputs: Inputs, system: str) -> BarCard:
    """The card of a machine; angles are the order's or usual ones, and the maker's figure rules."""
    spacing = machine.nozzle_spacing
    first, second, third = (
        bar_height(spacing, inputs.fan_angle, inputs.nozzle_angle, coverage) for coverage in _COVERAGES
    )
    angles = limit("nozzle_angle")
    return BarCard(
        spacing=machine.nozzle_spacing,
        fan_angle=inputs.fan_angle,
        nozzle_angle=inputs.nozzle_angle,
        angle_low=angles.low or 0.0,
        angle_high=angles.high or 90.0,
        heights=(first, second, third),
        height_most=inputs.bar_height,
        coverage=_coverage((first, second, third), inputs),
        nozzles=tuple(
            (width, int(nozzles_open(width, spacing, system))) for width in sorted(machine.bar_widths)
        ),
    )
