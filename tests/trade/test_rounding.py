"""Rounding half away from zero on 15 significant digits, against real spreadsheet engines and decimal arithmetic."""

from __future__ import annotations

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


def test_no_minus_zero_stands_in_a_book() -> None:
    for rounded in (round_half_away(-0.04, 1), round_half_away(-0.4), round_up(-0.4)):
        assert np.copysign(1.0, rounded) == 1.0


def test_numbers_too_great_for_a_last_place_stay_at_15_digits() -> None:
    assert round_half_away(123456789012345678.0, 2) == 1.23456789012346e17


@pytest.mark.parametrize("value", [float("nan"), float("inf"), -float("inf")])
def test_what_is_not_finite_cannot_be_rounded(value) -> None:
    for rounding in (round_half_away, round_up, round_down):
        with pytest.raises(QuantityError, match="expected a finite number to round"):
            rounding(value)


@pytest.mark.parametrize("value", [1e21, -1e21, 1e25, 123456789012345e9])
def test_the_greatest_numbers_are_left_as_they_are_at_any_decimals(value) -> None:
    for rounding in (round_half_away, round_up, round_down):
        assert rounding(value, 7) == rounding(value, 0) == pytest.approx(value, rel=1e-11)


def test_whole_numbers_unless_said_otherwise() -> None:
    assert [rounding(2.5) for rounding in (round_half_away, round_up, round_down)] == [3, 3, 2]
