"""The arithmetic of spraying: pure functions on quantities, no files, no workbook.

Arguments are quantities of :data:`sheetgen.quantities.ureg` in any unit of the right dimension, their
magnitudes numbers or numpy arrays; fractions, specific gravities and counts are plain numbers. Each
docstring names the unit of the result. A wrong dimension, a negative number, one that is not finite and a
zero that is divided by are a :class:`~sheetgen.errors.QuantityError`.
"""

from sheetgen.trade.bar import average_rate, bar_discharge, bar_height, coverage_at, nozzle_flow, nozzles_open
from sheetgen.trade.basis import bar_rate, dilution_of, emulsion_in, residual_rate, same_residual
from sheetgen.trade.chart import Chart
from sheetgen.trade.correction import (
    BASE_15_C,
    BASE_60_F,
    CorrectionChart,
    at_base,
    correction_chart,
    correction_kind,
    volume_factor,
)
from sheetgen.trade.density import density_of, mass_of, volume_of
from sheetgen.trade.pads import pad_rate
from sheetgen.trade.pay import PayQuantity, pay_quantity, total_payable
from sheetgen.trade.rates import (
    application_rate,
    area_of,
    discharge_for,
    rate_at,
    spread_length,
    travel_speed,
    volume_for,
)
from sheetgen.trade.rounding import round_half_away, round_up
from sheetgen.trade.tank import Tank

__all__ = [
    "BASE_15_C",
    "BASE_60_F",
    "Chart",
    "CorrectionChart",
    "PayQuantity",
    "Tank",
    "application_rate",
    "area_of",
    "at_base",
    "average_rate",
    "bar_discharge",
    "bar_height",
    "bar_rate",
    "correction_chart",
    "correction_kind",
    "coverage_at",
    "density_of",
    "dilution_of",
    "discharge_for",
    "emulsion_in",
    "mass_of",
    "nozzle_flow",
    "nozzles_open",
    "pad_rate",
    "pay_quantity",
    "rate_at",
    "residual_rate",
    "round_half_away",
    "round_up",
    "same_residual",
    "spread_length",
    "total_payable",
    "travel_speed",
    "volume_factor",
    "volume_for",
    "volume_of",
]
