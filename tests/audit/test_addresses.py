"""Addresses of cells, against the bounds of ECMA-376 part 1 (18.3.1.73: 1,048,576 rows; 16,384 columns) and
openpyxl.
"""

import pytest
from openpyxl.utils import get_column_letter, range_boundaries

from sheetgen.xlsx.address import a1, a1_area, area, areas, column_letters, column_number

ROWS, COLUMNS = 1_048_576, 16_384


@pytest.mark.parametrize("column", [1, 26, 27, 52, 702, 703, 2000, COLUMNS])
def test_letters_of_a_column_are_those_of_another_library_and_lead_back(column):
    letters = column_letters(column - 1)
    assert letters == get_column_letter(column)
    assert column_number(letters) == column_number(letters.lower()) == column - 1


@pytest.mark.parametrize("letters", ["", "XFE", "ZZZ", "AAAA", "A1", "Ä", "7"])
def test_what_is_no_column_of_a_sheet(letters):
    assert column_number(letters) == -1


@pytest.mark.parametrize("text", ["B7", "$B$7", "B7:C9", "$B$7:C9", "XFD1048576", "A1:A1"])
def test_a_range_is_that_of_another_library(text):
    left, top, right, bottom = range_boundaries(text)
    assert area(text) == (top - 1, left - 1, bottom - 1, right - 1)


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("B:C", (0, 1, ROWS - 1, 2)),
        ("$B:$B", (0, 1, ROWS - 1, 1)),
        ("C:B", (0, 1, ROWS - 1, 2)),
        ("7:9", (6, 0, 8, COLUMNS - 1)),
        ("$9:$7", (6, 0, 8, COLUMNS - 1)),
        ("C9:B7", (6, 1, 8, 2)),  # the corners the other way round
    ],
)
def test_whole_columns_and_rows_and_turned_corners(text, expected):
    assert area(text) == expected


@pytest.mark.parametrize("text", [
    "", "B", "7", "B0", "B7:", "A1048577", "A1:A1048577", "XFE1", "A1:XFE1", "0:3", "1:1048577", "A:XFE", "B7 C9",
    "B7:C9:D1", "shots!B7",
])  # fmt: skip
def test_what_is_no_address(text):
    assert area(text) is None


def test_a_list_of_areas_leaves_out_what_is_none_and_what_is_too_much():
    assert areas("B7 nowhere C9:D9") == [(6, 1, 6, 1), (8, 2, 8, 3)]
    assert areas("A1 A2 A3", most=2) == [(0, 0, 0, 0), (1, 0, 1, 0)]


def test_addresses_are_written_as_a_person_says_them():
    assert a1(6, 1) == "B7"
    assert a1_area((6, 1, 8, 2)) == "B7:C9"
    assert a1_area((6, 1, 6, 1)) == "B7"
    assert a1_area((6, 1, 6, 2)) == "B7:C7"
