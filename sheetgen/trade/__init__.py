"""The arithmetic of spraying: pure functions, no files, no workbook.

Its modules compute on plain numbers in the units of an order (``tables/units.csv``); what each number measures stands
in the types of :mod:`sheetgen.trade.kinds`. Plan, book and audit call those. The names here are for callers from
outside: the same functions, each taking and giving quantities of :data:`sheetgen.quantities.ureg` in any unit of the
right dimension, their magnitudes numbers or numpy arrays. Fractions, specific gravities and counts are plain numbers,
angles need their unit. A wrong dimension, a negative number, one that is not finite and a zero that is divided by are
a :class:`~sheetgen.errors.QuantityError`.
"""

from __future__ import annotations

from typing import Any

__all__ = [
    "BASE_15_C",
    "BASE_60_F",
    "Chart",
    "Limit",
    "McLeodDesign",
    "PayQuantity",
    "Tank",
    "Uniformity",
    "application_rate",
    "area_of",
    "at_base",
    "average_rate",
    "bar_discharge",
    "bar_height",
    "bar_rate",
    "caught_flow",
    "correction_chart",
    "correction_kind",
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
    "loads_needed",
    "mass_of",
    "mcleod_design",
    "meter_error",
    "nozzle_flow",
    "nozzles_open",
    "pad_rate",
    "pass_overlap",
    "passes_needed",
    "pay_quantity",
    "rate_over",
    "residual_rate",
    "rock_land",
    "round_down",
    "round_half_away",
    "round_up",
    "same_residual",
    "specific_heat_of_mix",
    "spread_length",
    "total_payable",
    "travel_speed",
    "unexplained",
    "uniformity",
    "volume_factor",
    "volume_for",
    "volume_of",
    "within_tolerance",
]


def __getattr__(name: str) -> Any:
    """The quantities' library is read where one of these names is asked for: no command does."""
    if name not in __all__:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    from sheetgen.trade import public

    return getattr(public, name)


def __dir__() -> list[str]:
    return __all__
