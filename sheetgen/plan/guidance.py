"""Published rates beside the order's, and the warning that a rate was given on the wrong basis."""

from __future__ import annotations

from sheetgen.order.model import Order, Section
from sheetgen.order.published import Rate, compared_rates, rates
from sheetgen.plan.model import Guidance, Guide, PublishedRate

_PRINTED = {"us": "gal/yd²", "si": "L/m²"}
_DECIMALS = 9  # of a rate before it is compared


def guidance_for(order: Order, section: Section, rate: float) -> Guidance:
    """What is published for a section's work and surface, and how its rate lies beside it.

    Args:
        order: for its units and dilution
        section: the section
        rate: [rate] ordered, on the section's basis, at base temperature
    """
    guides = compared_rates(order.units, order.language)
    residual = guides.get((section.work, section.surface, "residual"))
    guide = residual or guides.get((section.work, section.surface, section.basis))
    part = 1.0 if residual is None else _residual_part(order, section)
    other = _confused_with(order, section)
    low, high = (None, None) if guide is None else (_over(guide.low, part), _over(guide.high, part))
    other_low, other_high = (None, None) if other is None else (other.low, other.high)
    return Guidance(
        rate=rate,
        low=low,
        high=high,
        other_low=other_low,
        other_high=other_high,
        agency="" if guide is None else guide.agency,
        source="" if guide is None else guide.source,
        verdict=_verdict(round(rate, _DECIMALS), section.basis, (low, high), (other_low, other_high)),
        published=tuple(
            PublishedRate(each.agency, each.source, each.seen, each.basis, each.low, each.high, each.guide)
            for each in _concerning(order, section)
        ),
    )


def usual_rates(order: Order, section: Section) -> tuple[float | None, float | None]:
    """The published minimum and maximum for a section's work and surface, on its basis; None for none."""
    guide = guidance_for(order, section, section.rate)
    low, high = (None if each is None else round(each, _DECIMALS) for each in (guide.low, guide.high))
    return low, high


def _residual_part(order: Order, section: Section) -> float:
    """What stays on the road of one of what was ordered: residue is compared, on whatever basis it was ordered."""
    material = order.material
    if section.basis == "residual":
        return 1.0
    return material.residue * (material.dilution if section.basis == "as-diluted" else 1.0)


def _over(rate: float | None, part: float) -> float | None:
    """A published residual rate on the basis that was ordered."""
    return None if rate is None else rate / part


def _concerning(order: Order, section: Section) -> list[Rate]:
    """Printed as a volume, for this work and this surface or for any; converted only where it must be."""
    found = [
        rate
        for rate in rates(order.units, order.language)
        if (rate.low is not None or rate.high is not None)
        and rate.work == section.work
        and rate.surface in ("", section.surface)
    ]
    own = {(rate.agency, rate.basis) for rate in found if rate.unit == _PRINTED[order.units]}
    return [
        rate for rate in found if rate.unit == _PRINTED[order.units] or (rate.agency, rate.basis) not in own
    ]


def _confused_with(order: Order, section: Section) -> Rate | None:
    """The guide of the basis that this one could be confused with: what leaves the bar, or what stays."""
    guides = compared_rates(order.units, order.language)
    if section.basis != "residual":
        return guides.get((section.work, section.surface, "residual"))
    diluted = guides.get((section.work, section.surface, "as-diluted"))
    if order.material.dilution < 1 and diluted is not None:
        return diluted
    return guides.get((section.work, section.surface, "undiluted"))


def _verdict(
    rate: float,
    basis: str,
    guide: tuple[float | None, float | None],
    other: tuple[float | None, float | None],
) -> Guide:
    low, high = guide
    if low is None and high is None:
        return "none"
    above, below = high is not None and rate > high, low is not None and rate < low
    if not (above or below):
        return "within"
    in_other = other[0] is not None and other[1] is not None and other[0] <= rate <= other[1]
    if in_other and above and basis == "residual":
        return "looks-like-bar-rate"
    if in_other and below and basis != "residual":
        return "looks-like-residual"
    return "above" if above else "below"
