"""Published rates beside the order's, and rates that look as if given on the wrong basis."""

from __future__ import annotations

import pytest

from sheetgen.plan import plan, plan_text
from tests.plan.orders import order_of

# FHWA tack coat brief (from memory), existing asphalt: residual 0.04 to 0.07, bar 0.06 to 0.11, 1:1 0.12 to 0.22.
CASES = [
    ("residual", 0.05, 1.0, "within"),
    ("residual", 0.03, 1.0, "below"),
    ("residual", 0.09, 1.0, "looks-like-bar-rate"),
    ("residual", 0.30, 1.0, "above"),
    ("residual", 0.15, 0.5, "looks-like-bar-rate"),
    ("residual", 0.09, 0.5, "above"),
    ("undiluted", 0.08, 1.0, "within"),
    ("undiluted", 0.05, 1.0, "looks-like-residual"),
    ("undiluted", 0.02, 1.0, "below"),
    ("undiluted", 0.20, 1.0, "above"),
    ("as-diluted", 0.15, 0.5, "within"),
    ("as-diluted", 0.05, 0.5, "looks-like-residual"),
    # 0.08 as sprayed, not diluted, residue 60 %: 0.048 residual, in the middle of 0.04 to 0.07 (computed)
    ("as-diluted", 0.08, 1.0, "within"),
]


def _order(basis, rate, dilution, **more):
    material = {"material_class": "emulsion", "residue": 0.6, "dilution": dilution, "spray_max": 160}
    section = {"work": "tack", "surface": "existing-asphalt", "basis": basis, "rate": rate} | more
    return order_of(section=section, material=material)


@pytest.mark.parametrize(("basis", "rate", "dilution", "verdict"), CASES)
def test_a_rate_lies_beside_what_is_published_for_its_basis(basis, rate, dilution, verdict):
    made = plan(_order(basis, rate, dilution))
    assert made.sections[0].guidance.verdict == verdict
    assert (verdict in [notice.key for notice in made.notices]) == (verdict != "within")


def test_a_rate_at_spraying_temperature_is_compared_at_base_temperature():
    # 0.0712 hot at 160 °F is 0.0694 at 60 °F (factor 0.97500): inside 0.04 to 0.07, though the hot number is not.
    order = _order("residual", 0.0712, 1.0, rate_temperature="spraying")
    material = order.material.model_copy(update={"spray_planned": 160.0, "spray_max": 161.0})
    guidance = plan(order.model_copy(update={"material": material})).sections[0].guidance
    assert guidance.rate == pytest.approx(0.0712 * 0.975)
    assert guidance.verdict == "within"


def test_the_warning_names_the_agency_and_its_source():
    text = plan_text(plan(_order("residual", 0.09, 1.0)), "en")
    warning = next(
        line for line in text.splitlines() if "Was it meant as" in line or "ordered as residual" in line
    )
    assert "0.0900 gal/yd²" in warning
    assert "FHWA-HIF-16-017" in text


def test_every_published_rate_shown_has_a_source_and_says_whether_it_was_seen():
    for surface in ("new-asphalt", "milled-asphalt", "concrete"):
        published = plan(_order("residual", 0.05, 1.0, surface=surface)).sections[0].guidance.published
        assert published
        assert all(each.source and each.seen in ("seen", "memory") for each in published)


def test_works_without_a_published_rate_are_not_compared():
    made = plan(
        order_of(section={"work": "prime", "surface": "granular-base", "basis": "residual", "rate": 0.2})
    )
    assert made.sections[0].guidance.verdict == "none"


@pytest.mark.parametrize(("rate", "verdict"), [(0.30, "within"), (0.51, "above")])
def test_a_prime_coat_as_manuals_spray_it_is_within(rate, verdict):
    # Federal lands section 411 inspection sheet: 0.10 to 0.50 gal/yd² (seen); FM 5-436 and NAVEDTRA spray 0.30.
    order = order_of(
        section={"work": "prime", "surface": "granular-base", "basis": "undiluted", "rate": rate}
    )
    assert plan(order).sections[0].guidance.verdict == verdict
