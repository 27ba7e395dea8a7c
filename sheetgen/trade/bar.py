"""The spray bar: height for a coverage, nozzles open and what each of them gives, and cans under them.

A flat fan of angle θ at height h, its slot turned by α from the bar, wets w = 2·h·tan(θ/2)·cos α along the bar; with
nozzles s apart every point gets w/s fans. Source: plane geometry; the angle of the slot is measured from the bar as in
the FHWA fog seal checklist (2006), 15° to 30° (seen).
"""

from __future__ import annotations

from collections.abc import Sequence
from math import cos, fsum, radians, tan

from sheetgen.trade.kinds import (
    AboveZero,
    Depth,
    Duration,
    FanAngle,
    Flow,
    Number,
    Rate,
    SlotAngle,
    Spacing,
    Speed,
    Volume,
    Width,
)
from sheetgen.trade.refused import refused
from sheetgen.trade.rounding import round_half_away
from sheetgen.units import constants

_SECONDS = 60.0


def bar_height(
    spacing: AboveZero[Spacing], fan_angle: FanAngle, nozzle_angle: SlotAngle, coverage: AboveZero[Number]
) -> Depth:
    """Give the height of the nozzles over the road for single, double or triple coverage, in the unit of the spacing.

    Args:
        spacing: [spacing] between nozzles, not zero
        fan_angle: of one nozzle's flat fan, degrees between 0 and 180
        nozzle_angle: of the slot to the bar, degrees from 0 to below 90
        coverage: fans that every point of the road gets: 1, 2 or 3

    Source: geometry, see the module; coverage: NAVEDTRA 14081 (seen).
    """
    wetted_per_height = 2 * tan(radians(fan_angle) / 2) * cos(radians(nozzle_angle))
    return coverage * spacing / wetted_per_height


def nozzles_open(width: Width, spacing: AboveZero[Spacing], system: str) -> float:
    """Count the nozzles that spray a width: the width over the spacing, to the nearest whole one, a half upward.

    Args:
        width: [width] sprayed
        spacing: [spacing] between nozzles, not zero
        system: ``"us"`` or ``"si"``, the units of both

    Source: TxDOT Seal Coat Manual ch. 4 table 4-8: 3 nozzles a foot at 4 in (seen).
    """
    return round_half_away(width * constants(system)["nozzle_spacing_per_width"] / spacing)


def nozzle_flow(rate: Rate, speed: Speed, spacing: Spacing, system: str) -> Flow:
    """Give the [flow] of one nozzle that gives a rate at a speed: q = R·S·s.

    Args:
        rate: [rate] of the mix at its temperature in the bar
        speed: [speed] while spraying
        spacing: [spacing] between nozzles
        system: ``"us"`` or ``"si"``, the units of all

    Source: DOT study guide ch. 8 p. HMA-8-1 for the whole bar (seen), for the width of one nozzle.
    """
    number = constants(system)
    return rate * speed * spacing / number["nozzle_spacing_per_width"] / number["area_divisor"]


def caught_flow(volume: Volume, duration: AboveZero[Duration]) -> Flow:
    """Give the [flow] of a nozzle from what a can under it caught in a time.

    Args:
        volume: [volume] caught
        duration: of the spraying, s, not zero

    Source: ASTM D2995-99 method B: gal × 60 / seconds (seen).
    """
    return volume * _SECONDS / duration


def bar_discharge(flows: Sequence[Flow]) -> Flow:
    """Give the [flow] of a bar: the sum of its nozzles'.

    Args:
        flows: [flow] of every nozzle

    Source: ASTM D2995-99 method B (seen).
    """
    return fsum(flows)


def average_rate(rates: Sequence[Rate], nozzles: Sequence[Number]) -> Rate:
    """Give the [rate] to set where groups of nozzles are chosen for different rates.

    Args:
        rates: [rate] of each group
        nozzles: how many nozzles each group has

    Raises:
        QuantityError: no nozzle at all

    Source: TxDOT Seal Coat Manual ch. 4, variable transverse rate: with one bar the average is set (seen).
    """
    count = fsum(nozzles)
    if not count:
        raise refused("nozzles", "none", "one nozzle at least")
    return fsum(rate * group for rate, group in zip(rates, nozzles, strict=True)) / count
