"""When burners may be lit: the stick reading that covers the flues, and what a slope takes from the cover.

Hot asphalt, burners and fumes hurt people: nothing here replaces the maker's manual, local rules or qualified people.
"""

from __future__ import annotations


def burner_dip(flue_top: float, cover: float) -> float:
    """Add the cover to the height of the flues: the stick reading at or above which burners may be lit.

    Args:
        flue_top: top of the flues that are used above the tank's bottom, in any unit of depth. A tank with a high and
            a low flue may be heated by the lower burner alone; then the lower flue counts.
        cover: over that top, in the same unit

    Source: NAVEDTRA 14081, distributor section: at least 6 in of bitumen over the flues (seen).
    """
    return flue_top + cover


def cover_at_high_end(cover: float, distance: float, slope: float) -> float:
    """Give the cover over the flues at the high end of a tank that stands on a slope, in the unit of ``cover``.

    The material lies level while the flue rises with the tank, so the cover is least at the high end; below zero
    the flue lies bare there.

    Args:
        cover: where the stick reads it
        distance: from the stick to the high end of the flue, in the same unit
        slope: rise of the tank over its length, as a fraction

    Source: NAVEDTRA 14081, distributor section: covered over the full length of the tank (seen); geometry.
    """
    return cover - distance * slope
