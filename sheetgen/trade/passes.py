"""Passes side by side: how many a width takes and how far they overlap."""

from __future__ import annotations

from sheetgen.trade.kinds import AboveZero, Number, Spacing, Width
from sheetgen.trade.refused import refused, shown
from sheetgen.trade.rounding import round_up
from sheetgen.units import constants

_DUST = 1e-9  # relative: passes that just meet do meet


def joint_width(sprayed_width: Width, passes: Number, covered_width: Width) -> float:
    """Give the [width] of each overlap of adjoining passes whose outer edges are those of the covered width.

    Args:
        sprayed_width: [width] of all passes together; where it is less than the covered width, strips stay bare and the
            result is below zero
        passes: side by side, 2 or more
        covered_width: [width] of the whole

    Source: geometry; one joint less than passes.
    """
    return (sprayed_width - covered_width) / (passes - 1)


def pass_overlap(bar_width: Width, passes: AboveZero[Number], covered_width: Width, system: str) -> Spacing:
    """Give the overlap of adjoining passes that together cover a width, in the unit of [spacing].

    Args:
        bar_width: [width] sprayed in one pass
        passes: side by side, 2 or more
        covered_width: [width] of the whole
        system: ``"us"`` or ``"si"``, the units of all

    Raises:
        QuantityError: a single pass, or passes that leave a strip bare

    Source: geometry; 2 to 4 in published in NCHRP Synthesis 342 p. 44 (seen).
    """
    if passes < 2 or passes != int(passes):
        raise refused("passes", f"{passes:g}", "a whole number of passes, 2 or more")
    if passes * bar_width < covered_width * (1 - _DUST):
        each = shown(bar_width, "width", system)
        raise refused(
            "covered_width",
            shown(covered_width, "width", system),
            f"no more than {passes:g} passes of {each} cover",
        )
    return (
        max(joint_width(passes * bar_width, passes, covered_width), 0.0)
        * constants(system)["nozzle_spacing_per_width"]
    )


def passes_needed(
    bar_width: AboveZero[Width], covered_width: AboveZero[Width], least_overlap: Spacing, system: str
) -> float:
    """Count the passes that cover a width with at least an overlap between adjoining ones.

    Args:
        bar_width: [width] sprayed in one pass, wider than the overlap
        covered_width: [width] of the whole, not zero
        least_overlap: [spacing] between adjoining passes
        system: ``"us"`` or ``"si"``, the units of all

    Raises:
        QuantityError: an overlap as wide as the bar

    Source: geometry.
    """
    overlap = least_overlap / constants(system)["nozzle_spacing_per_width"]
    if overlap >= bar_width:
        each = shown(bar_width, "width", system)
        raise refused(
            "least_overlap",
            shown(overlap, "width", system),
            f"less than the width of the bar, {each}",
        )
    if covered_width <= bar_width * (1 + _DUST):
        return 1.0
    return round_up((covered_width - overlap) / (bar_width - overlap))
