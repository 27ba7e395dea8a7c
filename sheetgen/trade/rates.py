"""Quantity, length, width, speed and discharge: one identity, solved for each of its members.

Sources: DOT study guides, chapter "Paving Math Problems" (2011): T = L·W·R/9, L = 9T/(W·R), R = 9T/(W·L),
speed = 9·discharge/(W·R) (seen); TxDOT Seal Coat Manual ch. 3 §4: area = L·W/9 (seen). The 9 ft² of a yd² is 1 where
lengths are in metres and areas in m².

What is put down may be a volume of binder or a mass of aggregate or mix; a rate is then a volume or a mass per area.
"""

from __future__ import annotations

from sheetgen.trade.kinds import (
    AboveZero,
    Area,
    Distance,
    Flow,
    Part,
    Rate,
    RateOrSpread,
    Speed,
    VolumeOrMass,
    Width,
)
from sheetgen.units import constants

_NOTHING = 0.0


def area_of(length: Distance, width: Width, system: str) -> Area:
    """Give the [area] of a stretch.

    Args:
        length: [distance] along the road
        width: [width] across it
        system: ``"us"`` or ``"si"``, the units of all

    Source: TxDOT Seal Coat Manual ch. 3 §4 (seen).
    """
    return length * width / constants(system)["area_divisor"]


def rate_over(volume: VolumeOrMass, area: AboveZero[Area]) -> RateOrSpread:
    """Give the [rate] at which a volume was put on an area, on the basis and at the temperature of the volume.

    Args:
        volume: [volume] of what was put down; or a mass, which gives a mass per area
        area: [area] on which, not zero

    Source: R = 9T/(W·L), DOT study guides, "Paving Math Problems" (seen).
    """
    return volume / area


def application_rate(
    volume: VolumeOrMass, length: AboveZero[Distance], width: AboveZero[Width], system: str
) -> RateOrSpread:
    """Give the [rate] at which a volume was put on a stretch: :func:`rate_over` its :func:`area_of`.

    It is on the basis and at the temperature that the volume is: hot volume gives a hot rate of the mix.

    Args:
        volume: [volume] of what was put down; or a mass, which gives a mass per area
        length: [distance] along the road, not zero
        width: [width] across it, not zero
        system: ``"us"`` or ``"si"``, the units of all

    Source: R = 9T/(W·L), DOT study guides, "Paving Math Problems" (seen).
    """
    return rate_over(volume, area_of(length, width, system))


def volume_for(
    rate: RateOrSpread,
    length: Distance,
    width: Width,
    allowance: Part = _NOTHING,
    extra_width: Width = _NOTHING,
    *,
    system: str,
) -> VolumeOrMass:
    """Give the [volume] that a stretch takes at a rate, on the rate's basis and at its temperature; not rounded.

    Args:
        rate: [rate]; or a mass per area, which gives a mass
        length: [distance] along the road
        width: [width] across it
        allowance: for waste, as a fraction: 0.05 adds 5 %
        extra_width: [width] added to the width, as for a prime coat sprayed a foot wider on each side
        system: ``"us"`` or ``"si"``, the units of all

    Source: T = L·W·R/9, DOT study guides (seen); allowance and extra width: US Army FM 5-436 para 6-1 and EN5459
    (seen).
    """
    return rate * area_of(length, width + extra_width, system) * (1 + allowance)


def spread_length(
    volume: VolumeOrMass, rate: AboveZero[RateOrSpread], width: AboveZero[Width], system: str
) -> Distance:
    """Give the [distance] that a volume covers at a rate and width.

    Args:
        volume: [volume]; or a mass, where the rate is a mass per area
        rate: [rate] at the temperature of the volume, not zero
        width: [width], not zero
        system: ``"us"`` or ``"si"``, the units of all

    Source: L = 9T/(W·R), Virginia DOT study guide ch. 9 (seen).
    """
    return constants(system)["area_divisor"] * volume / (rate * width)


def travel_speed(discharge: Flow, rate: AboveZero[Rate], width: AboveZero[Width], system: str) -> Speed:
    """Give the [speed] at which a discharge gives a rate over a width.

    Args:
        discharge: [flow] of the whole bar
        rate: [rate] of the mix at its temperature in the bar, not zero
        width: [width] sprayed, not zero
        system: ``"us"`` or ``"si"``, the units of all

    Source: S = 9·discharge/(W·R), DOT study guide ch. 8 p. HMA-8-1 (seen).
    """
    return constants(system)["area_divisor"] * discharge / (rate * width)


def discharge_for(rate: Rate, speed: Speed, width: Width, system: str) -> Flow:
    """Give the [flow] of the whole bar that gives a rate at a speed over a width.

    Args:
        rate: [rate] of the mix at its temperature in the bar
        speed: [speed] while spraying
        width: [width] sprayed
        system: ``"us"`` or ``"si"``, the units of all

    Source: DOT study guide ch. 8 p. HMA-8-1, solved for the discharge (seen).
    """
    return rate * speed * width / constants(system)["area_divisor"]
