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
from sheetgen.trade.correction import at_base
from sheetgen.trade.rates import area_of
from sheetgen.trade.rounding import round_down, round_half_away, round_up, without_dust
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


# As a book computes them: an exact half of each kind, and what binary arithmetic leaves of it.
_METERS = [(17293.75, 17237.9), (9590.5, 8848.95), (2617.65, 2605.8), (276.45, 272.8), (1203.35, 1190.2)]
_STATIONS = [
    (57175.55, 59709.5, 17.0),
    (35498.1, 35962.2, 4.5),
    (19515.0, 20792.1, 0.5),
    (53346.0, 54047.1, 0.5),
]
_FACTORS = [(213.5, 0.97), (1470.5, 0.985), (640.5, 0.9775), (8.5, 0.99)]
COMPUTED = [
    *(("=ROUND(ROUND(A{0}-B{0},6),1)", (after, before), round_half_away(without_dust(after - before), 1))
      for after, before in _METERS),
    *(("=ROUND(ROUND(ABS(B{0}-A{0}),6)*C{0}/9,1)", place,
       round_half_away(area_of(without_dust(abs(place[1] - place[0])), place[2], "us"), 1)) for place in _STATIONS),
    *(("=ROUND(A{0}*B{0},1)", pair, round_half_away(at_base(*pair), 1)) for pair in _FACTORS),
]  # fmt: skip


def _by_hand(formula: str, given: tuple[float, ...]) -> Decimal:
    """The decimal numbers reckoned as a person does, with a half away from zero."""
    one, other, *width = (Decimal(repr(number)) for number in given)
    result = one * other if "*B" in formula else abs(other - one) * width[0] / 9 if width else one - other
    return result.quantize(Decimal("0.1"), ROUND_HALF_UP)


@pytest.mark.parametrize(("formula", "given", "ours"), COMPUTED)
def test_a_half_that_binary_arithmetic_spoils_is_rounded_as_by_hand(formula, given, ours) -> None:
    assert ours == float(_by_hand(formula, given))


@pytest.fixture(scope="module")
def computed(tmp_path_factory) -> Path:
    path = tmp_path_factory.mktemp("rounding") / "computed.xlsx"
    with xlsxwriter.Workbook(path) as book:
        sheet = book.add_worksheet("r")
        for row, (formula, given, _) in enumerate(COMPUTED):
            sheet.write_row(row, 0, given)
            sheet.write_formula(row, 4, formula.format(row + 1))
    return path


def test_libreoffice_rounds_what_a_book_computes_as_we_do(computed, tmp_path) -> None:
    sheet = openpyxl.load_workbook(office(computed, tmp_path), data_only=True)["r"]
    assert [sheet.cell(row + 1, 5).value for row in range(len(COMPUTED))] == [ours for _, _, ours in COMPUTED]


def test_ironcalc_rounds_what_a_book_computes_as_we_do(computed) -> None:
    try:
        import ironcalc
    except ImportError:
        absent("IronCalc")
        raise
    model = ironcalc.load_from_xlsx(str(computed), "en", "UTC", "en")
    model.evaluate()
    theirs = [model.get_cell_value(0, row + 1, 5) for row in range(len(COMPUTED))]
    assert theirs == [ours for _, _, ours in COMPUTED]


def test_a_difference_without_dust_is_the_written_one() -> None:
    assert 17293.75 - 17237.9 != 55.85
    assert without_dust(17293.75 - 17237.9) == 55.85
    assert without_dust(0.1 + 0.2) == 0.3
