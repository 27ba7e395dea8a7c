"""Rounding half away from zero on 15 significant digits, against real spreadsheet engines and decimal arithmetic."""

from __future__ import annotations

import warnings
from decimal import ROUND_HALF_UP, Decimal
from pathlib import Path

import numpy as np
import openpyxl
import pytest
import xlsxwriter
from hypothesis import given
from hypothesis import strategies as st

from sheetgen.errors import QuantityError
from sheetgen.trade import round_down, round_half_away, round_up
from tests.engines import absent, office
from tests.published import Q

# Halves that a double does not hold exactly, halves that it does, negatives, large and small ones.
TRICKY = [
    (2.675, 2), (1.005, 2), (0.285, 2), (1.115, 2), (-2.675, 2), (2.5, 0), (3.5, 0), (-2.5, 0), (0.5, 0), (-0.5, 0),
    (0.49999, 0), (0.05, 1), (0.25, 1), (0.35, 1), (213.64, 1), (1203.25, 1), (1203.35, 1), (0.06104, 4),
    (0.95195, 4), (0.971255, 5), (123456789.5, 0), (123456789.05, 1), (1e-9, 4), (0, 2), (14414.4, 0), (1250, -2),
    (1350, -2), (-1250, -2), (5, -1), (4.9999, -1), (99999.995, 2), (0.1 + 0.2, 1), (1.45, 1), (8.345, 2),
]  # fmt: skip


def _exactly(text: str, decimals: int) -> float:
    return float(Decimal(text).quantize(Decimal(1).scaleb(-decimals), ROUND_HALF_UP))


@pytest.mark.parametrize(("value", "decimals"), TRICKY)
def test_the_written_number_is_rounded_not_the_binary_one_beneath(value, decimals) -> None:
    assert round_half_away(value, decimals) == _exactly(f"{value:.15g}", decimals)


@pytest.fixture(scope="module")
def workbook(tmp_path_factory) -> Path:
    path = tmp_path_factory.mktemp("rounding") / "rounding.xlsx"
    with xlsxwriter.Workbook(path) as book:
        sheet = book.add_worksheet("r")
        for row, (value, decimals) in enumerate(TRICKY):
            sheet.write_number(row, 0, value)
            sheet.write_formula(row, 1, f"=ROUND(A{row + 1},{decimals})")
    return path


def test_libreoffice_rounds_as_we_do(workbook, tmp_path) -> None:
    sheet = openpyxl.load_workbook(office(workbook, tmp_path), data_only=True)["r"]
    theirs = [sheet.cell(row + 1, 2).value for row in range(len(TRICKY))]
    assert theirs == [round_half_away(value, decimals) for value, decimals in TRICKY]


def test_ironcalc_rounds_as_we_do(workbook) -> None:
    try:
        import ironcalc
    except ImportError:
        absent("IronCalc")
        raise
    model = ironcalc.load_from_xlsx(str(workbook), "en", "UTC", "en")
    model.evaluate()
    theirs = [model.get_cell_value(0, row + 1, 2) for row in range(len(TRICKY))]
    assert theirs == [round_half_away(value, decimals) for value, decimals in TRICKY]


@given(st.decimals(min_value=-(10**7), max_value=10**7, places=5, allow_nan=False), st.integers(0, 4))
def test_any_number_of_five_places_rounds_as_decimal_arithmetic_does(number, decimals) -> None:
    assert round_half_away(float(number), decimals) == _exactly(str(number), decimals)


@given(
    st.lists(st.floats(-1e12, 1e12, allow_nan=False) | st.sampled_from([v for v, _ in TRICKY]), max_size=20),
    st.integers(-2, 6),
)
def test_an_array_rounds_as_its_numbers_do(values, decimals) -> None:
    singly = [round_half_away(value, decimals) for value in values]
    assert round_half_away(np.array(values), decimals).tolist() == singly


@given(st.integers(-(10**9), 10**9), st.integers(0, 3))
def test_an_array_of_halves_rounds_as_its_numbers_do(number, decimals) -> None:
    half = float(Decimal(number) + Decimal("0.5")) / 10**decimals
    assert round_half_away(np.array([half]), decimals)[0] == round_half_away(half, decimals)


@given(st.floats(-1e9, 1e9, allow_nan=False), st.integers(0, 6))
def test_rounding_twice_is_rounding_once_and_moves_at_most_half_a_step(value, decimals) -> None:
    rounded = round_half_away(value, decimals)
    assert round_half_away(rounded, decimals) == rounded
    assert abs(rounded - value) <= 0.5 * 10.0**-decimals * (1 + 1e-6) + 1e-14 * abs(value)
    assert round_half_away(-value, decimals) == -rounded


@given(st.floats(-1e9, 1e9, allow_nan=False), st.integers(0, 3))
def test_up_and_down_enclose_the_number_within_one_step(value, decimals) -> None:
    step, dust = 10.0**-decimals, 1e-11 * abs(value) + 1e-12
    low, high = round_down(value, decimals), round_up(value, decimals)
    assert low - dust <= value <= high + dust
    assert high - low <= step * (1 + 1e-9) + 1e-6 * step + dust


@pytest.mark.parametrize(("value", "up", "down"), [
    (13860.000000000002, 13860, 13860), (13859.999999999998, 13860, 13860), (14414.4, 14415, 14414),
    (-1.2, -1, -2), (2.0, 2, 2), (0.0, 0, 0), (1e15, 1e15, 1e15),
])  # fmt: skip
def test_dust_of_the_arithmetic_orders_no_gallon(value, up, down) -> None:
    assert (round_up(value), round_down(value)) == (up, down)
    assert round_up(np.array([value])).tolist() == [up]
    assert round_down(np.array([[value]])).tolist() == [[down]]


def test_a_quantity_is_rounded_in_its_own_unit() -> None:
    assert str(round_half_away(Q(213.64, "gal"), 1)) == "213.6 gallon"
    assert str(round_up(Q(213.61, "gal"), 1)) == "213.7 gallon"
    assert str(round_down(Q(213.69, "gal"), 1)) == "213.6 gallon"
    assert round_half_away(Q(np.array([1.25, 2.35]), "gal"), 1).magnitude.tolist() == [1.3, 2.4]


def test_no_minus_zero_stands_in_a_book() -> None:
    for rounded in (round_half_away(-0.04, 1), round_half_away(np.array([-0.04]), 1)[0], round_up(-0.4)):
        assert np.copysign(1.0, rounded) == 1.0


def test_numbers_too_great_for_a_last_place_stay_at_15_digits() -> None:
    assert round_half_away(123456789012345678.0, 2) == 1.23456789012346e17
    assert round_half_away(np.array([123456789012345678.0]), 2)[0] == 1.23456789012346e17


@pytest.mark.parametrize("value", [float("nan"), float("inf"), -float("inf")])
def test_what_is_not_finite_cannot_be_rounded(value) -> None:
    for rounding in (round_half_away, round_up, round_down):
        with pytest.raises(QuantityError, match="expected a finite number to round"):
            rounding(value)


def test_in_an_array_nan_stays_and_infinity_is_refused() -> None:
    rounded = round_half_away(np.array([1.25, np.nan]), 1)
    assert rounded[0] == 1.3
    assert np.isnan(rounded[1])
    with pytest.raises(QuantityError) as raised:
        round_half_away(np.array([1.0, np.inf]), 1)
    assert str(raised.value) == "value: found an infinite number; expected finite numbers to round"
    with pytest.raises(QuantityError, match="finite"):
        round_up(np.array([1.0, np.nan]))


def test_rounding_warns_of_nothing() -> None:
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        assert round_half_away(np.array([1e308, np.nan]), 5)[0] == 1e308


@pytest.mark.parametrize("value", [1e21, -1e21, 1e25, 123456789012345e9])
def test_the_greatest_numbers_are_left_as_they_are_at_any_decimals(value) -> None:
    for rounding in (round_half_away, round_up, round_down):
        assert rounding(value, 7) == rounding(value, 0) == pytest.approx(value, rel=1e-11)


def test_whole_numbers_unless_said_otherwise() -> None:
    assert [rounding(2.5) for rounding in (round_half_away, round_up, round_down)] == [3, 3, 2]
    assert round_half_away(np.array([1, 2, 3])).tolist() == [1, 2, 3]
