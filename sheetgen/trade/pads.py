"""Rate and evenness from pads laid on the road, and from cans under the nozzles.

Source: ASTM D2995-99 method A (pads) and method B (cans), -14 and -23 options A (applied rate) and B
(residual rate) (editions and scope seen).
"""

from __future__ import annotations

from typing import Any

from sheetgen.trade.checks import Plain, Quantity, amounts, arithmetic, made
from sheetgen.trade.correction import BASE_60_F, Base
from sheetgen.trade.density import water_weight
from sheetgen.trade.kinds import AREA, GRAVITY, MASS


@arithmetic
def pad_rate(mass_gain: Quantity, area: Quantity, specific_gravity: Plain, base: Base = BASE_60_F) -> Any:
    """The rate at base temperature that a pad's gain of mass shows, in gal/yd².

    A mass does not change with temperature, so nothing is left to correct. The dried pad with the specific
    gravity of the residue gives the residual rate.

    Args:
        mass_gain: of the pad
        area: of the pad, above zero
        specific_gravity: at 60/60 °F (15 °C) of what was weighed, above zero
        base: ``"60 degF"`` or ``"15 degC"``, which sets the density of water

    Raises:
        QuantityError: wrong dimension, negative, not finite, or zero where it is divided by

    Source: ASTM D2995 (seen); 8.328 lb/gal from US Army subcourse EN5459 (seen).
    """
    gain, surface, gravity = amounts(
        mass_gain=(mass_gain, MASS),
        area=(area, AREA.above_zero),
        specific_gravity=(specific_gravity, GRAVITY),
    )
    return made(gain / (surface * gravity * water_weight(base)), "gal/yd**2")
