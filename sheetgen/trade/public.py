"""The arithmetic as a caller from outside has it: the functions of this package with quantities in any unit.

Results are in inch-pound units, or in metric ones where a function takes ``base`` and the base is 15 °C.
"""

from __future__ import annotations

from collections.abc import Iterable
from math import nan
from typing import Any, Literal, TypeAlias

import numpy as np

from sheetgen.quantities import quantity_in
from sheetgen.trade import (
    bar,
    basis,
    correction,
    density,
    evenness,
    gauging,
    heating,
    loads,
    passes,
    pay,
    rates,
    seal,
)
from sheetgen.trade import tolerance as judging
from sheetgen.trade.kinds import AboveZero, PartOrRate, Rate, Temperature
from sheetgen.trade.limits import Limit as Limit
from sheetgen.trade.limits import limit as limit
from sheetgen.trade.refused import refused
from sheetgen.trade.rounding import round_down as round_down
from sheetgen.trade.rounding import round_half_away as round_half_away
from sheetgen.trade.rounding import round_up as round_up
from sheetgen.trade.tank_with_units import Chart as Chart
from sheetgen.trade.tank_with_units import Tank as Tank
from sheetgen.trade.with_units import BASE_15_C as BASE_15_C
from sheetgen.trade.with_units import BASE_60_F, Base, base_system, is_quantity, with_units

PayQuantity: TypeAlias = pay.PayQuantity
Uniformity: TypeAlias = evenness.Uniformity
McLeodDesign: TypeAlias = seal.McLeodDesign

area_of = with_units(rates.area_of)
rate_over = with_units(rates.rate_over)
application_rate = with_units(rates.application_rate)
volume_for = with_units(rates.volume_for)
spread_length = with_units(rates.spread_length)
travel_speed = with_units(rates.travel_speed)
discharge_for = with_units(rates.discharge_for)
bar_rate = with_units(basis.bar_rate)
residual_rate = with_units(basis.residual_rate)
dilution_of = with_units(basis.dilution_of)
emulsion_in = with_units(basis.emulsion_in)
same_residual = with_units(basis.same_residual)
volume_of = with_units(density.volume_of, based=True)
mass_of = with_units(density.mass_of, based=True)
pad_rate = with_units(density.pad_rate, based=True)
bar_height = with_units(bar.bar_height)
nozzles_open = with_units(bar.nozzles_open)
nozzle_flow = with_units(bar.nozzle_flow)
caught_flow = with_units(bar.caught_flow)
bar_discharge = with_units(bar.bar_discharge)
average_rate = with_units(bar.average_rate)
uniformity = with_units(evenness.uniformity)
rock_land = with_units(loads.rock_land)
loads_needed = with_units(loads.loads_needed)
pass_overlap = with_units(passes.pass_overlap)
passes_needed = with_units(passes.passes_needed)
heat_for = with_units(heating.heat_for, based=True)
heating_time = with_units(heating.heating_time)
specific_heat_of_mix = with_units(heating.specific_heat_of_mix)
expansion_room = with_units(heating.expansion_room, based=True)
fill_before_heating = with_units(heating.fill_before_heating, based=True)
correction_kind = with_units(correction.correction_kind)
at_base = with_units(correction.at_base)
depth_at_middle = with_units(gauging.depth_at_middle)
meter_error = with_units(gauging.meter_error)
unexplained = with_units(gauging.unexplained)
deviation = with_units(judging.deviation)
pay_quantity = with_units(pay.pay_quantity)
mcleod_design = with_units(seal.mcleod_design)


def volume_factor(
    temperature: Any,
    kind: str,
    base: Base = BASE_60_F,
    decimals: int | None = None,
    outside: Literal["error", "nan"] | None = None,
) -> Any:
    """Give the factor from volume at a temperature to volume at the base temperature: a number or an array.

    The temperature is taken to the whole degree of the base's scale first, the factor rounded after, as a
    person with the printed chart would do. At the base it is exactly 1.

    Args:
        temperature: any unit of temperature
        kind: ``"asphalt-a"``, ``"asphalt-b"`` or ``"emulsion"``; :func:`correction_kind` says which
        base: ``"60 degF"`` or ``"15 degC"``, each with its own chart
        decimals: places the factor is rounded to; by default 4, for emulsion 5
        outside: what becomes of a temperature outside the chart: ``"error"``, or ``"nan"`` in its place. By
            default a single temperature is an error and an element of an array becomes NaN. Nothing is
            extrapolated.

    Raises:
        QuantityError: not a temperature, not finite, outside the chart, an unknown kind or base

    Source: as for :func:`sheetgen.trade.correction.volume_factor`.
    """
    chart = correction.correction_chart(kind, base_system(base))
    to_nan = (
        outside or ("nan" if np.ndim(getattr(temperature, "magnitude", temperature)) else "error")
    ) == "nan"

    def factor(temperature: Temperature, system: str) -> float:
        if to_nan and not chart.covers(round_half_away(temperature)):
            return nan
        return correction.volume_factor(temperature, kind, system, decimals)

    return with_units(factor, based=True)(temperature, base)


def correction_chart(kind: str, base: Base = BASE_60_F) -> correction.CorrectionChart:
    """Look up the chart of a kind of material on a base: its ends and coefficients.

    Raises:
        QuantityError: an unknown kind or base
    """
    return correction.correction_chart(kind, base_system(base))


def within_tolerance(measured: Any, ordered: Any, tolerance: Any) -> Any:
    """Tell whether a rate is ``"in"`` tolerance, ``"low"`` or ``"high"``; an array of these words for arrays.

    A deviation just at the tolerance is in: both are rounded to six decimals first.

    Args:
        measured: rate on the same basis and at the same temperature as the ordered one
        ordered: above zero
        tolerance: a plain fraction of the order, or a rate

    Raises:
        QuantityError: wrong dimension, negative, not finite, or no ordered rate

    Source: as for :func:`sheetgen.trade.tolerance.allowed_deviation`.
    """
    absolute = is_quantity(tolerance) and bool(tolerance.dimensionality)

    def judgement(measured: Rate, ordered: AboveZero[Rate], tolerance: PartOrRate) -> str:
        allowed = judging.allowed_deviation(tolerance, ordered, absolute)
        return judging.judged(judging.deviation(measured, ordered), allowed)

    return with_units(judgement)(measured, ordered, tolerance)


def total_payable(quantities: Iterable[PayQuantity], decimals: int = 0) -> Any:
    """Give the payable total of several applications, in gal, rounded once, on the sum.

    Args:
        quantities: from :func:`pay_quantity`
        decimals: places the total is rounded to

    Raises:
        QuantityError: no application at all

    Source: as for :func:`sheetgen.trade.pay.total_payable`.
    """
    volumes: list[Any] = [quantity.payable for quantity in quantities]
    if not volumes:
        raise refused("quantities", "none", "at least one application")
    numbers = [float(np.sum(volume.to("gal").magnitude)) for volume in volumes]
    return quantity_in(pay.total_payable(numbers, decimals), "gal")
