"""Published limits of heating, handling, weather and safety, each with its document and whether it was seen.

The numbers stand in ``tables/limits.csv``, ``heating_limits.csv``, ``spray_ranges.csv`` and ``constants.csv``.
"""

from __future__ import annotations

import pytest

from sheetgen.order.published import heat_limits_of, spray_ranges
from sheetgen.trade.limits import limit
from sheetgen.units import constants


@pytest.mark.parametrize(
    ("key", "value", "allowed"),
    [
        # AEMA and PPRA storage pages (seen): emulsion stored at 50 °F or more
        ("emulsion_storage", 50, True), ("emulsion_storage", 49, False), ("emulsion_storage", 33, False),
        # PPRA (seen): heating surface at most 212 °F
        ("emulsion_surface", 212, True), ("emulsion_surface", 213, False),
        # Ohio CMS 2002 and City of Austin (seen): binder at most 350 °F
        ("binder_temperature", 350, True), ("binder_temperature", 351, False),
        # NAVEDTRA 14081 p. 490 (seen): burner air 1½ to 2 psi, fuel 10 to 20 psi
        ("burner_air", 1.75, True), ("burner_air", 2.5, False), ("burner_fuel", 15, True), ("burner_fuel", 25, False),
        # PPRA fog seal pages (seen): 0.05 to 0.15 gal/yd² as applied, diluted by at most 1:5
        ("fog_seal_rate", 0.15, True), ("fog_seal_rate", 0.16, False),
        ("fog_seal_dilution", 1 / 6, True), ("fog_seal_dilution", 1 / 7, False),
        # UFGS 02785 p. 17 (seen): cutback covered within 1½ minutes, any binder within 3
        ("cutback_uncovered", 80, True), ("cutback_uncovered", 95, False),
        ("binder_uncovered", 180, True), ("binder_uncovered", 181, False),
        # UFGS 02785 p. 17 (seen): nobody smokes within 25 ft of material other than emulsion
        ("smoking_distance", 25, True), ("smoking_distance", 20, False),
        # Canadian roofing manual 1.3.10 (seen): gas cylinders 15 ft, trailers 25 ft from burners
        ("gas_cylinder_distance", 14, False), ("gas_cylinder_distance", 15, True),
        ("gas_trailer_distance", 24, False), ("gas_trailer_distance", 25, True),
        # OSHA letter of 14 Apr 1993 (seen): hydrogen sulphide, ceiling of 20 ppm
        ("hydrogen_sulphide", 9, True), ("hydrogen_sulphide", 21, False), ("hydrogen_sulphide", 100, False),
    ],
)  # fmt: skip
def test_a_value_lies_within_a_published_limit(key, value, allowed) -> None:
    assert limit(key).allows(value) is allowed


@pytest.mark.parametrize(("temperature", "allowed"), [(185, True), (186, False)])
def test_no_emulsion_is_heated_above_185_degrees(temperature, allowed) -> None:
    # AEMA and PPRA storage pages (seen)
    assert (temperature <= constants("us")["emulsion_max"]) is allowed


@pytest.mark.parametrize(
    ("grade", "temperature", "ohio", "austin"),
    [
        # Ohio CMS 2002 Table 702.00-1 against City of Austin 301S.6 Table 18 (both seen)
        ("RC-250", 176, False, True),
        ("MC-30", 130, False, True),
    ],
)
def test_two_agencies_differ_on_one_grade(grade, temperature, ohio, austin) -> None:
    tops = {each.document.split(" ")[0]: each.high for each in spray_ranges("us") if each.grade == grade}
    most = {each.document.split(" ")[0]: each.most for each in heat_limits_of(grade, "cutback", "us")}
    assert (temperature <= tops["Ohio"]) is ohio
    assert (temperature <= most["City"]) is austin


def test_a_row_with_its_units_exchanged_is_read_as_it_can_only_be_meant() -> None:
    # Ohio CMS 2002 Table 702.00-1 prints RC-800 as "66 to 107 (150 to 225)" (seen): 150 to 225 °F
    (row,) = [
        each for each in spray_ranges("us") if each.grade == "RC-800" and each.document.startswith("Ohio")
    ]
    assert (row.low, row.high) == (150, 225)
    assert row.low <= 200 <= row.high


@pytest.mark.parametrize(("temperature", "cold", "warm", "never"), [(85, True, False, False), (155, False, True, False),
                                                                    (161, False, True, True)])  # fmt: skip
def test_a_tack_emulsion_of_reduced_tracking(temperature, cold, warm, never) -> None:
    # Tack emulsion specification of 2016, agency not on the page (seen): 90 to 150 °F, never above 160 °F
    (row,) = [each for each in spray_ranges("us") if each.grade == "trackless tack"]
    most = min(each.most for each in heat_limits_of("trackless tack", "emulsion", "us"))
    assert (temperature < row.low) is cold
    assert (temperature > (row.high or 0)) is warm
    assert (temperature > most) is never


@pytest.mark.parametrize("grade", ["PG 67-22", "PG 70-22", "PG 76-22", "RC-30", "AE-P", "SC-70", "CQS-1h", "CQS-1hP",
                                   "SS-1P", "CSS-1P", "trackless tack"])  # fmt: skip
def test_grades_of_every_day_are_listed(grade) -> None:
    from sheetgen.order.published import grade_facts

    assert grade in [each.grade for each in grade_facts("us")]
