"""Reading a tank and a meter: a stick on a slope, a meter against a known container, a day's balance."""

from __future__ import annotations

from dataclasses import dataclass
from math import nan
from typing import Any

from sheetgen.trade.checks import Quantity, amounts, arithmetic, made, wrong
from sheetgen.trade.elementwise import some, where
from sheetgen.trade.given import shown
from sheetgen.trade.kinds import DEPTH, REACH, SLOPE, VOLUME


@arithmetic
def depth_at_middle(depth: Quantity, distance: Quantity, slope: Any) -> Any:
    """The depth at mid-length of a tank that does not stand level, from a stick elsewhere, in inches.

    To first order, with both ends wetted, the volume is that of a level tank with this depth. Levelling
    comes first.

    Args:
        depth: as read
        distance: of the stick from mid-length, positive towards the low end, where it reads too deep
        slope: of the tank, a plain number such as 0.02

    Raises:
        QuantityError: wrong dimension, not finite, or a middle that lies dry

    Source: geometry; that tanks must stand level: TxDOT Seal Coat Manual, South Dakota SD 314 (seen).
    """
    read, away, fall = amounts(depth=(depth, DEPTH), distance=(distance, REACH), slope=(slope, SLOPE))
    middle = read - away * fall
    if some(middle < 0):
        raise wrong("depth", shown(depth), "a depth at which the middle of the tank is not dry")
    return made(middle, "in")


@arithmetic
def meter_error(indicated: Quantity, true: Quantity) -> Any:
    """The error of a meter against a known container, as a fraction: indicated / true − 1.

    Args:
        indicated: by the meter
        true: in the container, above zero

    Raises:
        QuantityError: wrong dimension, negative, not finite, or an empty container

    Source: Tex-922-K part I: a meter is rejected if wrong by more than 1.0 % (seen).
    """
    read, known = amounts(indicated=(indicated, VOLUME), true=(true, VOLUME.above_zero))
    return made(read / known - 1)


@dataclass(frozen=True, slots=True)
class Balance:
    """A balance of material, in gal at base temperature.

    Attributes:
        available: on hand at the start and loaded
        accounted: sprayed, wasted, returned and on hand at the end
        unexplained: available less accounted; negative where more was sprayed than was there
        share: unexplained as a fraction of what was available; NaN where nothing was available
    """

    available: Any
    accounted: Any
    unexplained: Any
    share: Any


@arithmetic
def balance(
    start: Quantity, loaded: Quantity, sprayed: Quantity, wasted: Quantity, returned: Quantity, end: Quantity
) -> Balance:
    """What was there against where it went, all of it mix at base temperature.

    Args:
        start: on hand at the start
        loaded: by ticket
        sprayed: on the road
        wasted: not on the road
        returned: taken away again
        end: on hand at the end

    Raises:
        QuantityError: wrong dimension, negative or not finite

    Source: South Dakota SD 314: used = start + received − end (seen).
    """
    first, more, road, waste, back, last = amounts(
        start=(start, VOLUME),
        loaded=(loaded, VOLUME),
        sprayed=(sprayed, VOLUME),
        wasted=(wasted, VOLUME),
        returned=(returned, VOLUME),
        end=(end, VOLUME),
    )
    available, accounted = first + more, road + waste + back + last
    missing = available - accounted
    share = where(available > 0, missing / where(available > 0, available, 1.0), nan)
    return Balance(made(available, "gal"), made(accounted, "gal"), made(missing, "gal"), share)
