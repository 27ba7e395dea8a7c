"""Quantity, length, width, speed and discharge: one identity, solved for each of its members.

Sources: DOT study guides, chapter "Paving Math Problems" (2011): T = L·W·R/9, L = 9T/(W·R), R = 9T/(W·L),
speed = 9·discharge/(W·R) (seen); TxDOT Seal Coat Manual ch. 3 §4: area = L·W/9 (seen). Units take the place
of the 9 here, so that metric quantities go in as well.

An amount may be a volume of binder or a mass of aggregate or mix; a rate is then a volume or a mass per area.
"""

from __future__ import annotations

from typing import Any

from sheetgen.amounts import Amount
from sheetgen.trade.checks import Plain, Quantity, amounts, arithmetic, made, of_dimension
from sheetgen.trade.kinds import AREA, FLOW, LENGTH, MASS, PART, RATE, SPEED, SPREAD, VOLUME, WIDTH

_NO_ALLOWANCE = 0.0
_NO_WIDTH = Amount(0.0, "ft")


@arithmetic
def area_of(length: Quantity, width: Quantity) -> Any:
    """The area of a stretch, in yd².

    Args:
        length: along the road, any unit of length
        width: across it, any unit of length

    Raises:
        QuantityError: wrong dimension, negative or not finite

    Source: TxDOT Seal Coat Manual ch. 3 §4 (seen).
    """
    along, across = amounts(length=(length, LENGTH), width=(width, WIDTH))
    return made(along * across, "yd**2")


@arithmetic
def application_rate(volume: Quantity, length: Quantity, width: Quantity) -> Any:
    """The rate at which an amount was put on a stretch, in gal/yd² (lb/yd² for a mass).

    It is on the basis and at the temperature that the volume is: hot volume gives a hot rate of the mix.

    Args:
        volume: what was put down, any unit of volume (or of mass)
        length: along the road, above zero
        width: across it, above zero

    Raises:
        QuantityError: wrong dimension, negative, not finite, or a stretch without area

    Source: R = 9T/(W·L), DOT study guides, "Paving Math Problems" (seen).
    """
    kind = of_dimension(volume, VOLUME, MASS)
    amount, along, across = amounts(
        volume=(volume, kind), length=(length, LENGTH.above_zero), width=(width, WIDTH.above_zero)
    )
    return made(amount / (along * across), f"{kind.unit}/yd**2")


@arithmetic
def rate_over(volume: Quantity, area: Quantity) -> Any:
    """The rate at which a volume was put on an area, in gal/yd².

    It is on the basis and at the temperature that the volume is, as for :func:`application_rate`.

    Args:
        volume: what was put down
        area: on which, above zero

    Raises:
        QuantityError: wrong dimension, negative, not finite, or no area

    Source: R = 9T/(W·L), DOT study guides, "Paving Math Problems" (seen).
    """
    amount, surface = amounts(volume=(volume, VOLUME), area=(area, AREA.above_zero))
    return made(amount / surface, "gal/yd**2")


@arithmetic
def volume_for(
    rate: Quantity,
    length: Quantity,
    width: Quantity,
    allowance: Plain = _NO_ALLOWANCE,
    extra_width: Quantity = _NO_WIDTH,
) -> Any:
    """The amount that a stretch takes at a rate, in gal (lb for a mass per area); not rounded.

    Args:
        rate: any unit of volume (or mass) per area; the volume is on the same basis and at the same
            temperature
        length: along the road
        width: across it
        allowance: for waste, as a fraction: 0.05 adds 5 %
        extra_width: added to the width, as for a prime coat sprayed a foot wider on each side; none by
            default

    Raises:
        QuantityError: wrong dimension, negative or not finite

    Source: T = L·W·R/9, DOT study guides (seen); allowance and extra width: US Army FM 5-436 para 6-1 and
    EN5459 (seen).
    """
    kind, amount = _rate_kind(rate)
    per_area, along, across, part, more = amounts(
        rate=(rate, kind),
        length=(length, LENGTH),
        width=(width, WIDTH),
        allowance=(allowance, PART),
        extra_width=(extra_width, WIDTH),
    )
    return made(per_area * along * (across + more) * (1 + part), amount)


@arithmetic
def spread_length(volume: Quantity, rate: Quantity, width: Quantity) -> Any:
    """The length that an amount covers at a rate and width, in ft.

    Args:
        volume: any unit of volume (or of mass)
        rate: volume (or mass) per area, above zero, at the temperature of the volume
        width: above zero

    Raises:
        QuantityError: wrong dimension, negative, not finite, or zero where it is divided by

    Source: L = 9T/(W·R), Virginia DOT study guide ch. 9 (seen).
    """
    kind, _ = _rate_kind(rate)
    amount, per_area, across = amounts(
        volume=(volume, VOLUME if kind is RATE else MASS),
        rate=(rate, kind.above_zero),
        width=(width, WIDTH.above_zero),
    )
    return made(amount / (per_area * across), "yd", "ft")


@arithmetic
def travel_speed(discharge: Quantity, rate: Quantity, width: Quantity) -> Any:
    """The speed at which a discharge gives a rate over a width, in ft/min.

    Args:
        discharge: of the whole bar, any unit of volume per time
        rate: of the mix at its temperature in the bar, above zero
        width: sprayed, above zero

    Raises:
        QuantityError: wrong dimension, negative, not finite, or zero where it is divided by

    Source: S = 9·discharge/(W·R), DOT study guide ch. 8 p. HMA-8-1 (seen).
    """
    flow, per_area, across = amounts(
        discharge=(discharge, FLOW), rate=(rate, RATE.above_zero), width=(width, WIDTH.above_zero)
    )
    return made(flow / (per_area * across), "yd/min", "ft/min")


@arithmetic
def discharge_for(rate: Quantity, speed: Quantity, width: Quantity) -> Any:
    """The discharge of the whole bar that gives a rate at a speed over a width, in gal/min.

    Args:
        rate: of the mix at its temperature in the bar
        speed: any unit of speed
        width: sprayed

    Raises:
        QuantityError: wrong dimension, negative or not finite

    Source: DOT study guide ch. 8 p. HMA-8-1, solved for the discharge (seen).
    """
    per_area, along, across = amounts(rate=(rate, RATE), speed=(speed, SPEED), width=(width, WIDTH))
    return made(per_area * along * across, "gal/min")


@arithmetic
def rate_at(discharge: Quantity, speed: Quantity, width: Quantity) -> Any:
    """The rate that a discharge gives at a speed over a width, in gal/yd².

    Args:
        discharge: of the whole bar
        speed: above zero
        width: sprayed, above zero

    Raises:
        QuantityError: wrong dimension, negative, not finite, or zero where it is divided by

    Source: DOT study guide ch. 8 p. HMA-8-1, solved for the rate (seen).
    """
    flow, along, across = amounts(
        discharge=(discharge, FLOW), speed=(speed, SPEED.above_zero), width=(width, WIDTH.above_zero)
    )
    return made(flow / (along * across), "gal/yd**2")


def _rate_kind(rate: Quantity) -> tuple[Any, str]:
    """Volume or mass per area, and the unit of the amount that goes with it."""
    kind = of_dimension(rate, RATE, SPREAD)
    return kind, VOLUME.unit if kind is RATE else MASS.unit
