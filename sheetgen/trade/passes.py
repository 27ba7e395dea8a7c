"""Passes side by side: how many a width takes and how far they overlap."""

from __future__ import annotations

from typing import Any

from sheetgen.trade.checks import Plain, Quantity, amounts, arithmetic, made, wrong
from sheetgen.trade.elementwise import floor, greatest, some, where
from sheetgen.trade.given import shown
from sheetgen.trade.kinds import NUMBER, WIDTH
from sheetgen.trade.rounding import round_up

_DUST = 1e-9  # relative: passes that just meet do meet


@arithmetic
def pass_overlap(bar_width: Quantity, passes: Plain, covered_width: Quantity) -> Any:
    """The overlap of adjoining passes that together cover a width, in inches.

    Args:
        bar_width: sprayed in one pass
        passes: side by side, 2 or more
        covered_width: of the whole

    Raises:
        QuantityError: wrong dimension, negative, not finite, a single pass, or passes that leave a strip bare

    Source: geometry; 2 to 4 in published in NCHRP Synthesis 342 p. 44 (seen).
    """
    bar, count, whole = amounts(
        bar_width=(bar_width, WIDTH), passes=(passes, NUMBER), covered_width=(covered_width, WIDTH)
    )
    if some(count < 2) or some(count != floor(count)):
        raise wrong("passes", f"{passes}", "a whole number of passes, 2 or more")
    if some(count * bar < whole * (1 - _DUST)):
        raise wrong(
            "covered_width", shown(covered_width), f"no more than {passes} passes of {shown(bar_width)} cover"
        )
    return made(greatest(count * bar - whole, 0.0) / (count - 1), "yd", "in")


@arithmetic
def passes_needed(bar_width: Quantity, covered_width: Quantity, least_overlap: Quantity) -> Any:
    """The least number of passes that cover a width with at least an overlap between adjoining ones.

    Args:
        bar_width: sprayed in one pass, above the overlap
        covered_width: of the whole, above zero
        least_overlap: between adjoining passes

    Raises:
        QuantityError: wrong dimension, negative, not finite, or an overlap as wide as the bar

    Source: geometry.
    """
    bar, whole, overlap = amounts(
        bar_width=(bar_width, WIDTH.above_zero),
        covered_width=(covered_width, WIDTH.above_zero),
        least_overlap=(least_overlap, WIDTH),
    )
    if some(overlap >= bar):
        raise wrong(
            "least_overlap", shown(least_overlap), f"less than the width of the bar, {shown(bar_width)}"
        )
    return round_up(made(where(whole <= bar * (1 + _DUST), 1.0, (whole - overlap) / (bar - overlap))))
