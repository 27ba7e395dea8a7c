"""The spray bar: height for a coverage, fans on the road, nozzles open and what each of them gives.

A flat fan of angle θ at height h, its slot turned by α from the bar, wets w = 2·h·tan(θ/2)·cos α along the
bar; with nozzles s apart every point gets w/s fans. Source: plane geometry; the angle of the slot is
measured from the bar as in the FHWA fog seal checklist (2006), 15° to 30° (seen).
"""

from __future__ import annotations

from typing import Any

from sheetgen.trade.checks import Plain, Quantity, amounts, arithmetic, made
from sheetgen.trade.elementwise import cos, is_array, radians, tan
from sheetgen.trade.kinds import DEPTH, FAN_ANGLE, FLOW, NUMBER, RATE, SLOT_ANGLE, SPEED, WIDTH
from sheetgen.trade.rounding import round_half_away


@arithmetic
def bar_height(spacing: Quantity, fan_angle: Quantity, nozzle_angle: Quantity, coverage: Plain) -> Any:
    """The height of the nozzles over the road for single, double or triple coverage, in inches.

    Args:
        spacing: between nozzles, above zero
        fan_angle: of one nozzle's flat fan, between 0 and 180 degrees, with its unit
        nozzle_angle: of the slot to the bar, 0 to below 90 degrees, with its unit
        coverage: fans that every point of the road gets, above zero: 1, 2 or 3

    Raises:
        QuantityError: wrong dimension, an angle without a unit, outside its bounds or not finite

    Source: geometry, see the module; coverage: NAVEDTRA 14081 (seen).
    """
    apart, fan, slot, fans = amounts(
        spacing=(spacing, DEPTH.above_zero),
        fan_angle=(fan_angle, FAN_ANGLE),
        nozzle_angle=(nozzle_angle, SLOT_ANGLE),
        coverage=(coverage, NUMBER.above_zero),
    )
    return made(fans * apart / _wetted_per_height(fan, slot), "in")


@arithmetic
def coverage_at(height: Quantity, spacing: Quantity, fan_angle: Quantity, nozzle_angle: Quantity) -> Any:
    """The mean number of fans that a point of the road gets at a height: the inverse of :func:`bar_height`.

    Between whole numbers some of the width gets one fan more than the rest, which shows as streaks.

    Args:
        height: of the nozzles over the road
        spacing, fan_angle, nozzle_angle: as for :func:`bar_height`

    Raises:
        QuantityError: wrong dimension, an angle without a unit, outside its bounds or not finite

    Source: geometry, see the module.
    """
    above, apart, fan, slot = amounts(
        height=(height, DEPTH),
        spacing=(spacing, DEPTH.above_zero),
        fan_angle=(fan_angle, FAN_ANGLE),
        nozzle_angle=(nozzle_angle, SLOT_ANGLE),
    )
    return made(above * _wetted_per_height(fan, slot) / apart)


@arithmetic
def nozzles_open(width: Quantity, spacing: Quantity) -> Any:
    """How many nozzles spray a width: the width over the spacing, to the nearest whole nozzle, a half upward.

    Args:
        width: sprayed
        spacing: between nozzles, above zero

    Raises:
        QuantityError: wrong dimension, negative, not finite, or no spacing

    Source: TxDOT Seal Coat Manual ch. 4 table 4-8: 3 nozzles a foot at 4 in (seen).
    """
    across, apart = amounts(width=(width, DEPTH), spacing=(spacing, DEPTH.above_zero))
    return round_half_away(made(across / apart))


@arithmetic
def nozzle_flow(rate: Quantity, speed: Quantity, spacing: Quantity) -> Any:
    """What one nozzle must give for a rate at a speed, in gal/min: q = R·S·s.

    Args:
        rate: of the mix at its temperature in the bar
        speed: any unit of speed
        spacing: between nozzles

    Raises:
        QuantityError: wrong dimension, negative or not finite

    Source: DOT study guide ch. 8 p. HMA-8-1 for the whole bar (seen), for the width of one nozzle.
    """
    per_area, along, apart = amounts(rate=(rate, RATE), speed=(speed, SPEED), spacing=(spacing, WIDTH))
    return made(per_area * along * apart, "gal/min")


@arithmetic
def bar_discharge(flow: Quantity, nozzles: Plain) -> Any:
    """The discharge of a bar whose nozzles all give the same flow, in gal/min.

    Args:
        flow: of one nozzle
        nozzles: how many are open

    Raises:
        QuantityError: wrong dimension, negative or not finite

    Source: ASTM D2995-99 method B (seen): the bar gives the sum of its nozzles.
    """
    each, count = amounts(flow=(flow, FLOW), nozzles=(nozzles, NUMBER))
    return made(each * count, "gal/min")


@arithmetic
def average_rate(rates: Quantity, nozzles: Plain) -> Any:
    """The rate to set where groups of nozzles are chosen for different rates, in gal/yd².

    Args:
        rates: of each group, an array
        nozzles: how many nozzles each group has, an array of the same shape

    Raises:
        QuantityError: wrong dimension, negative, not finite, or no nozzle at all

    Source: TxDOT Seal Coat Manual ch. 4, variable transverse rate: with one bar the average is set (seen).
    """
    each, count = amounts(rates=(rates, RATE), nozzles=(nozzles, NUMBER))
    sprayed, everywhere = each * count, count + 0 * each
    if is_array(sprayed):
        sprayed, everywhere = sprayed.sum(), everywhere.sum()
    return made(sprayed / everywhere, "gal/yd**2")


def _wetted_per_height(fan: Any, slot: Any) -> Any:
    """The width along the bar that a fan wets per unit of height; angles in degrees."""
    return 2 * tan(radians(fan) / 2) * cos(radians(slot))
