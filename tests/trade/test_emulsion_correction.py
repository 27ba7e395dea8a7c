"""Volume correction of emulsions: linear, 0.00025 per °F (a textbook's table, seen; after MS-19, from memory)."""

from __future__ import annotations

import numpy as np
import pytest

from sheetgen.errors import QuantityError
from sheetgen.trade import BASE_15_C, BASE_60_F, volume_factor
from tests.published import Published, Q, cases

LINEAR = "1 − 0.00025 (T − 60 °F), handbook practice"

FAHRENHEIT = {
    40: 1.00500, 45: 1.00375, 50: 1.00250, 55: 1.00125, 60: 1.00000, 65: 0.99875, 70: 0.99750, 75: 0.99625,
    80: 0.99500, 85: 0.99375, 90: 0.99250, 95: 0.99125, 100: 0.99000, 105: 0.98875, 110: 0.98750, 115: 0.98625,
    120: 0.98500, 125: 0.98375, 130: 0.98250, 135: 0.98125, 140: 0.98000, 145: 0.97875, 150: 0.97750,
    155: 0.97625, 160: 0.97500, 165: 0.97375, 170: 0.97250, 175: 0.97125, 180: 0.97000, 185: 0.96875,
}  # fmt: skip
CELSIUS = {
    5: 1.00450, 10: 1.00225, 15: 1.00000, 20: 0.99775, 25: 0.99550, 30: 0.99325, 40: 0.98875, 50: 0.98425,
    60: 0.97975, 70: 0.97525, 80: 0.97075, 85: 0.96850,
}  # fmt: skip

TEXTBOOK = "a Thai textbook on surfacing, Table 1-3, emulsified asphalts, °F, p. 19"
PRINTED = {60: 1.0000, 65: 0.9988, 70: 0.9975, 100: 0.9900, 105: 0.9888, 140: 0.9800, 145: 0.9788}

CASES = [
    *(Published(TEXTBOOK, "seen", f"emulsion at {t} °F, four decimals", printed, 4,
                lambda t=t: volume_factor(Q(t, "degF"), "emulsion", decimals=4)) for t, printed in PRINTED.items()),
    *(Published(LINEAR, "memory", f"emulsion at {t} °F", printed, 5,
                lambda t=t: volume_factor(Q(t, "degF"), "emulsion")) for t, printed in FAHRENHEIT.items()),
    *(Published(LINEAR + " × 1.8", "computed", f"emulsion at {t} °C", printed, 5,
                lambda t=t: volume_factor(Q(t, "degC"), "emulsion", base="15 degC")) for t, printed in CELSIUS.items()),
]  # fmt: skip


@cases(CASES)
def test_the_linear_table(case: Published) -> None:
    assert case.value() == case.printed


def test_the_whole_chart_is_the_straight_line() -> None:
    degrees = np.arange(40, 200)
    ours = volume_factor(Q(degrees, "degF"), "emulsion")
    assert ours == pytest.approx(1 - 0.00025 * (degrees - 60), abs=1e-12)


@pytest.mark.parametrize(
    ("degrees", "base"), [(39, "60 degF"), (200, "60 degF"), (-1, "15 degC"), (100, "15 degC")]
)
def test_nothing_is_extrapolated_beyond_the_chart(degrees, base) -> None:
    # below 40 °F an emulsion is not stored (seen); near 212 °F its water boils
    with pytest.raises(QuantityError, match="chart of emulsion"):
        volume_factor(Q(degrees, base.split()[1]), "emulsion", base=base)


def test_the_bases_of_the_two_systems() -> None:
    assert (BASE_60_F, BASE_15_C) == ("60 degF", "15 degC")


@pytest.mark.parametrize("degrees", [105, 140, 145])
def test_the_printed_table_is_the_straight_line_and_not_its_reciprocal(degrees) -> None:
    assert round(1 / (1 + 0.00025 * (degrees - 60)), 4) != PRINTED[degrees]
    assert volume_factor(Q(degrees, "degF"), "emulsion", decimals=4) == PRINTED[degrees]


def test_a_mix_with_water_is_taken_at_most_0_4_percent_too_small() -> None:
    # Water of 140 °F shrinks to 0.9841 at 60 °F (densities 0.9832 and 0.9990 kg/L, from memory): a mix of one part of
    # emulsion to four of water is a fifth of the one and four fifths of the other.
    emulsion, water = volume_factor(Q(140, "degF"), "emulsion"), 0.9832 / 0.9990
    mix = 0.2 * emulsion + 0.8 * water
    assert 0 < mix / emulsion - 1 < 0.004
