"""The arithmetic of spraying: pure functions on quantities, no files, no workbook.

Arguments are quantities of :data:`sheetgen.quantities.ureg` in any unit of the right dimension, or all of them
amounts (:mod:`sheetgen.amounts`), and results are what the arguments were; their magnitudes are numbers or numpy
arrays; fractions, specific gravities and counts are plain numbers, angles need
their unit. Each docstring names the unit of the result. A wrong dimension, a negative number, one that is
not finite and a zero that is divided by are a :class:`~sheetgen.errors.QuantityError`.
"""

from sheetgen.trade.bar import average_rate, bar_discharge, bar_height, coverage_at, nozzle_flow, nozzles_open
from sheetgen.trade.basis import bar_rate, dilution_of, emulsion_in, residual_rate, same_residual, water_for
from sheetgen.trade.chart import Chart
from sheetgen.trade.correction import (
    BASE_15_C,
    BASE_60_F,
    BASES,
    CorrectionChart,
    at_base,
    correction_chart,
    correction_kind,
    volume_factor,
)
from sheetgen.trade.density import density_of, mass_of, volume_of
from sheetgen.trade.gauging import Balance, balance, depth_at_middle, meter_error
from sheetgen.trade.heating import (
    expansion_room,
    fill_before_heating,
    heat_for,
    heating_time,
    specific_heat_of_asphalt,
    specific_heat_of_mix,
)
from sheetgen.trade.limits import Limit, limit
from sheetgen.trade.pads import pad_rate
from sheetgen.trade.passes import pass_overlap, passes_needed
from sheetgen.trade.pay import PayQuantity, pay_quantity, total_payable
from sheetgen.trade.rates import (
    application_rate,
    area_of,
    discharge_for,
    rate_at,
    rate_over,
    spread_length,
    travel_speed,
    volume_for,
)
from sheetgen.trade.rounding import round_down, round_half_away, round_up
from sheetgen.trade.seal import AustroadsDesign, McLeodDesign, austroads_design, mcleod_design
from sheetgen.trade.shots import (
    aggregate_for,
    area_rate,
    loads_in,
    loads_needed,
    rock_land,
    rock_lands_in,
    spraying_time,
    usable_volume,
)
from sheetgen.trade.tank import Tank
from sheetgen.trade.tolerance import deviation, within_tolerance
from sheetgen.trade.uniformity import (
    CatchTest,
    PadTest,
    Uniformity,
    catch_test,
    caught_flow,
    pad_test,
    uniformity,
)

__all__ = [
    "BASES",
    "BASE_15_C",
    "BASE_60_F",
    "AustroadsDesign",
    "Balance",
    "CatchTest",
    "Chart",
    "CorrectionChart",
    "Limit",
    "McLeodDesign",
    "PadTest",
    "PayQuantity",
    "Tank",
    "Uniformity",
    "aggregate_for",
    "application_rate",
    "area_of",
    "area_rate",
    "at_base",
    "austroads_design",
    "average_rate",
    "balance",
    "bar_discharge",
    "bar_height",
    "bar_rate",
    "catch_test",
    "caught_flow",
    "correction_chart",
    "correction_kind",
    "coverage_at",
    "density_of",
    "depth_at_middle",
    "deviation",
    "dilution_of",
    "discharge_for",
    "emulsion_in",
    "expansion_room",
    "fill_before_heating",
    "heat_for",
    "heating_time",
    "limit",
    "loads_in",
    "loads_needed",
    "mass_of",
    "mcleod_design",
    "meter_error",
    "nozzle_flow",
    "nozzles_open",
    "pad_rate",
    "pad_test",
    "pass_overlap",
    "passes_needed",
    "pay_quantity",
    "rate_at",
    "rate_over",
    "residual_rate",
    "rock_land",
    "rock_lands_in",
    "round_down",
    "round_half_away",
    "round_up",
    "same_residual",
    "specific_heat_of_asphalt",
    "specific_heat_of_mix",
    "spraying_time",
    "spread_length",
    "total_payable",
    "travel_speed",
    "uniformity",
    "usable_volume",
    "volume_factor",
    "volume_for",
    "volume_of",
    "water_for",
    "within_tolerance",
]
