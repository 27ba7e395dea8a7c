"""How even a spray is, across the bar and along the road.

Source: ASTM D2995-99 methods A (pads) and B (cans), -23 option B with its variability (editions and scope
seen); the limits of 15 % across and 10 % along are in NAVEDTRA 14081 (seen).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from sheetgen.errors import QuantityError
from sheetgen.trade.checks import Quantity, amounts, arithmetic, made, of_dimension, wrong
from sheetgen.trade.given import shown
from sheetgen.trade.kinds import FLOW, RATE, TIME, VOLUME


@dataclass(frozen=True, slots=True)
class Uniformity:
    """Several measurements of what should be the same.

    Attributes:
        mean: of all of them
        deviations: of each from the mean, as fractions of the mean
        greatest: the greatest of these without their signs
        variation: standard deviation of the sample over the mean; NaN for a single measurement
    """

    mean: Any
    deviations: Any
    greatest: float
    variation: float


@dataclass(frozen=True, slots=True)
class PadTest:
    """Pads laid in a grid: the rate, and how even it is in both directions.

    Attributes:
        mean: rate over all pads, gal/yd²
        across: of the means of each place across the bar
        along: of the means of each row along the road
    """

    mean: Any
    across: Uniformity
    along: Uniformity


@dataclass(frozen=True, slots=True)
class CatchTest:
    """Cans under every nozzle for a time.

    Attributes:
        flows: of each nozzle, gal/min
        discharge: of the whole bar, gal/min
        uniformity: of the flows
    """

    flows: Any
    discharge: Any
    uniformity: Uniformity


@arithmetic
def caught_flow(volume: Quantity, duration: Quantity) -> Any:
    """The flow of a nozzle from what a can under it caught in a time, in gal/min.

    Args:
        volume: caught
        duration: of the spraying, above zero

    Raises:
        QuantityError: wrong dimension, negative, not finite, or no time

    Source: ASTM D2995-99 method B: gal × 60 / seconds (seen).
    """
    caught, minutes = amounts(volume=(volume, VOLUME), duration=(duration, TIME.above_zero))
    return made(caught / minutes, "gal/min")


@arithmetic
def uniformity(values: Quantity) -> Uniformity:
    """Mean and deviations of measurements of one thing: rates of pads or flows of nozzles.

    Args:
        values: an array of volumes per area or of volumes per time

    Raises:
        QuantityError: wrong dimension, negative, not finite, not an array, or nothing but zeros

    Source: see the module.
    """
    import numpy as np

    kind = of_dimension(values, RATE, FLOW)
    (each,) = amounts(values=(values, kind))
    if np.ndim(each) != 1 or not np.size(each) or not np.any(each):
        raise wrong("values", shown(values), "an array of measurements that are not all zero")
    mean = np.mean(each)
    deviations = each / mean - 1
    spread = float(np.std(each, ddof=1) / mean) if len(each) > 1 else float("nan")
    return Uniformity(made(mean, kind.unit), made(deviations), float(np.max(np.abs(deviations))), spread)


@arithmetic
def pad_test(rates: Quantity) -> PadTest:
    """The evenness of a grid of pads.

    Args:
        rates: from :func:`~sheetgen.trade.pads.pad_rate`, an array of rows along the road by places across
            the bar

    Raises:
        QuantityError: wrong dimension, negative, not finite, not a grid, or nothing but zeros

    Source: see the module.
    """
    import numpy as np

    (each,) = amounts(rates=(rates, RATE))
    if np.ndim(each) != 2 or not np.size(each):
        raise wrong(
            "rates", f"an array of shape {np.shape(each)}", "rows along the road by places across the bar"
        )
    across, along = each.mean(axis=0), each.mean(axis=1)
    return PadTest(
        made(each.mean(), "gal/yd**2"),
        uniformity(made(across, "gal/yd**2")),
        uniformity(made(along, "gal/yd**2")),
    )


@arithmetic
def catch_test(volumes: Quantity, duration: Quantity) -> CatchTest:
    """The flow of each nozzle and of the bar, from cans under the nozzles for a time.

    Args:
        volumes: caught from each nozzle, an array
        duration: of the spraying, one time, above zero

    Raises:
        QuantityError: wrong dimension, negative, not finite, not an array, nothing but zeros, or no time

    Source: ASTM D2995-99 method B: gal × 60 / seconds, summed over the bar (seen).
    """
    import numpy as np

    caught, minutes = amounts(volumes=(volumes, VOLUME), duration=(duration, TIME.above_zero))
    if np.ndim(caught) != 1 or np.ndim(minutes):
        raise QuantityError("volumes: expected an array of what each nozzle gave, and one duration for all")
    flows = caught / minutes
    return CatchTest(made(flows, "gal/min"), made(flows.sum(), "gal/min"), uniformity(made(flows, "gal/min")))
