"""Published limits of heating, handling, weather and safety, each with its document and whether it was seen.

The numbers stand in ``tables/limits.csv``, ``heating_limits.csv``, ``spray_ranges.csv`` and ``constants.csv``.
"""

from __future__ import annotations

import pytest

from sheetgen.order.published import heat_limits_of, spray_ranges
from sheetgen.templates import LANGUAGES, table, texts
from sheetgen.trade.limits import limit
from sheetgen.units import constants
from tests.published import Published, cases


def _end(source: str, key: str, end: str, printed: float, decimals: int = 0) -> Published:
    """One end of a published limit."""
    what = f"{key.replace('_', ' ')}, {'at least' if end == 'low' else 'at most'}"
    return Published(source, "seen", what, printed, decimals, lambda: getattr(limit(key), end))


LIMITS = [
    _end("AEMA and PPRA storage pages", "emulsion_storage", "low", 50),
    _end("PPRA", "emulsion_surface", "high", 212),
    _end("City of Austin 301S.6; Ohio CMS 2002 Table 702.00-1", "binder_temperature", "high", 350),
    _end("NAVEDTRA 14081 p. 490", "burner_air", "low", 1.5, 1),
    _end("NAVEDTRA 14081 p. 490", "burner_air", "high", 2),
    _end("NAVEDTRA 14081 p. 490", "burner_fuel", "low", 10),
    _end("NAVEDTRA 14081 p. 490", "burner_fuel", "high", 20),
    _end("PPRA fog seal pages", "fog_seal_rate", "low", 0.05, 2),
    _end("PPRA fog seal pages", "fog_seal_rate", "high", 0.15, 2),
    _end("UFGS 02785 p. 17", "cutback_uncovered", "high", 90),
    _end("UFGS 02785 p. 17", "binder_uncovered", "high", 180),
    _end("UFGS 02785 p. 17", "smoking_distance", "low", 25),
    _end("Canadian roofing manual 1.3.10", "gas_cylinder_distance", "low", 15),
    _end("Canadian roofing manual 1.3.10", "gas_trailer_distance", "low", 25),
    _end("OSHA letter of 14 Apr 1993", "hydrogen_sulphide", "high", 20),
    _end("TxDOT Seal Coat Manual ch. 8 section 2", "seal_surface", "low", 60),
    _end("TxDOT Seal Coat Manual ch. 8 section 2", "seal_air_rising", "low", 50),
    _end("TxDOT Seal Coat Manual ch. 8 section 2", "seal_air_falling", "low", 60),
    _end("TxDOT Seal Coat Manual ch. 8 section 2", "polymer_seal_surface", "low", 70),
    _end("TxDOT Seal Coat Manual ch. 8 section 2", "polymer_seal_air_rising", "low", 70),
    _end("TxDOT Seal Coat Manual ch. 8 section 2", "polymer_seal_air_falling", "low", 80),
    _end("PPRA bond coat weather page", "tack_air", "low", 50),
    Published("AEMA and PPRA storage pages", "seen", "emulsion max, at most", 185, 0,
              lambda: constants("us")["emulsion_max"]),
    Published("NAVEDTRA 14081 p. 490", "seen", "cover over flues, at least", 6, 0,
              lambda: constants("us")["cover_over_flues"]),
]  # fmt: skip


@cases(LIMITS)
def test_a_limit_is_the_published_one(case: Published) -> None:
    case.check()


@pytest.mark.parametrize(
    ("key", "classes", "words"),
    [
        # NAVEDTRA 14081 p. 488 (seen): cutback circulates the whole time that it is heated; asphalt need not
        ("circulate", "cutback", "Circulate cutback"),
        # PPRA handling page (seen): CRS-2 never into a tank that held SS-1h and was not cleaned
        ("charges", "emulsion", "Never mix anionic with cationic"),
        # PPRA fog seal best practices (seen): water into emulsion; the log does not say in which order they were filled
        ("dilution", "emulsion", "never emulsion to water"),
        # ASTM D6999 and PPRA (seen): no rapid setting grade with water; others after a compatibility test
        ("dilution", "emulsion", "after a compatibility test"),
        ("dilution", "emulsion", "Do not dilute rapid-setting grades"),
    ],
)
def test_what_no_entry_of_a_log_shows_is_a_caution(key, classes, words) -> None:
    (row,) = (each for each in table("cautions") if each["key"] == key)
    assert row["classes"] == classes
    assert row["source"]
    assert words in texts("en")[f"caution.{key}"]
    assert all(texts(language)[f"caution.{key}"] for language in LANGUAGES)


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
        # TxDOT Item 316, Seal Coat Manual ch. 8 section 2 (seen): 55 °F rising on 62 °F goes, 58 falling and 59 stop
        ("seal_air_rising", 55, True), ("seal_surface", 62, True), ("seal_air_falling", 58, False),
        ("seal_surface", 59, False),
        # the same, polymer-modified asphalt cement (seen): 72 °F rising on 70 °F goes, 78 falling stops
        ("polymer_seal_air_rising", 72, True), ("polymer_seal_surface", 70, True),
        ("polymer_seal_air_falling", 78, False),
        # PPRA bond coat (seen): 52 °F in the air, 51 °F on the pavement go
        ("tack_air", 52, True), ("tack_air", 51, True), ("tack_air", 49, False),
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
