"""How far a load goes: rock lands, shots, loads and containers."""

from __future__ import annotations

from typing import Any

from sheetgen.trade.checks import Quantity, amounts, arithmetic, made, of_dimension, wrong
from sheetgen.trade.elementwise import some
from sheetgen.trade.given import shown
from sheetgen.trade.kinds import FLOW, LENGTH, MASS, RATE, SPEED, SPREAD, VOLUME, WIDTH
from sheetgen.trade.rounding import round_down, round_up


@arithmetic
def rock_land(aggregate: Quantity, spread: Quantity, width: Quantity) -> Any:
    """The length that one truck of aggregate covers, in ft.

    Args:
        aggregate: on the truck, a volume or a mass
        spread: volume or mass of aggregate per area, above zero; 1 yd³ per 125 yd² is 1/125 yd³/yd²
        width: covered, above zero

    Raises:
        QuantityError: wrong dimension, negative, not finite, or zero where it is divided by

    Source: TxDOT Seal Coat Manual ch. 8 §7 (seen).
    """
    kind = of_dimension(spread, SPREAD, RATE)
    stone, per_area, across = amounts(
        aggregate=(aggregate, MASS if kind is SPREAD else VOLUME),
        spread=(spread, kind.above_zero),
        width=(width, WIDTH.above_zero),
    )
    return made(stone / (per_area * across), "yd", "ft")


@arithmetic
def usable_volume(on_board: Quantity, reserve: Quantity) -> Any:
    """What may be sprayed of a load, in gal: a shot never empties the tank.

    Args:
        on_board: volume in the tank
        reserve: volume that stays, to keep the pump's suction covered

    Raises:
        QuantityError: wrong dimension, negative, not finite, or less on board than the reserve

    Source: TxDOT Seal Coat Manual ch. 8 §8 (seen).
    """
    full, kept = amounts(on_board=(on_board, VOLUME), reserve=(reserve, VOLUME))
    if some(full < kept):
        raise wrong("on_board", shown(on_board), f"a volume of at least the reserve, {shown(reserve)}")
    return made(full - kept, "gal")


@arithmetic
def rock_lands_in(usable: Quantity, rate: Quantity, width: Quantity, land: Quantity) -> Any:
    """How many whole rock lands a load of binder covers.

    Args:
        usable: volume that may be sprayed
        rate: of the mix at the temperature of the volume, above zero
        width: sprayed, above zero
        land: length of one rock land, above zero

    Raises:
        QuantityError: wrong dimension, negative, not finite, or zero where it is divided by

    Source: TxDOT Seal Coat Manual ch. 8 §8: a shot is a whole number of rock lands (seen).
    """
    sprayed, per_area, across, one = amounts(
        usable=(usable, VOLUME),
        rate=(rate, RATE.above_zero),
        width=(width, WIDTH.above_zero),
        land=(land, LENGTH.above_zero),
    )
    return round_down(made(sprayed / (per_area * across) / one))


@arithmetic
def loads_needed(volume: Quantity, per_load: Quantity) -> Any:
    """How many loads, drums, barrels or tons a volume (or mass) takes, rounded up to whole ones.

    Args:
        volume: wanted, a volume or a mass
        per_load: of each, of the same dimension, above zero: usable volume of a load, 53 gal a drum, 240
            gal a ton

    Raises:
        QuantityError: wrong dimension, negative, not finite, or nothing in a load

    Source: drums of 53 gal: EN5459; tons rounded up: a tack coat guide (both seen).
    """
    return round_up(loads_in(volume, per_load))


@arithmetic
def loads_in(volume: Quantity, per_load: Quantity) -> Any:
    """How many loads a volume (or mass) is, with its fraction.

    Args:
        volume: a volume or a mass
        per_load: of each, of the same dimension, above zero

    Raises:
        QuantityError: wrong dimension, negative, not finite, or nothing in a load

    Source: as for :func:`loads_needed`.
    """
    kind = of_dimension(volume, VOLUME, MASS)
    wanted, each = amounts(volume=(volume, kind), per_load=(per_load, kind.above_zero))
    return made(wanted / each)


@arithmetic
def aggregate_for(volume: Quantity, rate: Quantity, spread: Quantity) -> Any:
    """The aggregate that covers what one load of binder sprays: in lb, or in yd³ for a spread by volume.

    Args:
        volume: of binder sprayed
        rate: of the binder, above zero, at the temperature of the volume
        spread: mass or volume of aggregate per area

    Raises:
        QuantityError: wrong dimension, negative, not finite, or no rate

    Source: aggregate = (T/R) × spread, DOT study guide ch. 8 p. HMA-8-1 (seen).
    """
    kind = of_dimension(spread, SPREAD, RATE)
    sprayed, per_area, stone = amounts(
        volume=(volume, VOLUME), rate=(rate, RATE.above_zero), spread=(spread, kind)
    )
    amount = sprayed / per_area * stone
    return made(amount, "lb") if kind is SPREAD else made(amount, "gal", "yd**3")


@arithmetic
def area_rate(speed: Quantity, width: Quantity) -> Any:
    """The area sprayed per time while the bar is open, in yd²/min.

    Args:
        speed: while spraying
        width: sprayed

    Raises:
        QuantityError: wrong dimension, negative or not finite

    Source: area = length × width (TxDOT Seal Coat Manual ch. 3 §4, seen), per time.
    """
    along, across = amounts(speed=(speed, SPEED), width=(width, WIDTH))
    return made(along * across, "yd**2/min")


@arithmetic
def spraying_time(volume: Quantity, discharge: Quantity) -> Any:
    """The time the bar is open for a volume, in min.

    Args:
        volume: sprayed
        discharge: of the whole bar, above zero

    Raises:
        QuantityError: wrong dimension, negative, not finite, or no discharge

    Source: common practice (no source).
    """
    sprayed, flow = amounts(volume=(volume, VOLUME), discharge=(discharge, FLOW.above_zero))
    return made(sprayed / flow, "min")
