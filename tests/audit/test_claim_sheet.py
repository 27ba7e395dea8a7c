"""A claim as one number or as a sheet with a line for each book; what cannot be read is named by its row."""

from __future__ import annotations

import openpyxl
import pytest

from sheetgen.audit.claim_sheet import claimed_for, read_claim
from sheetgen.errors import UnusableBook


def sheet(tmp_path, text, name="claim.csv"):
    path = tmp_path / name
    path.write_text(text, encoding="utf-8")
    return str(path)


def test_a_number_is_a_claim_for_every_book():
    assert read_claim("1015.5") == 1015.5
    assert claimed_for(1015.5, "a.xlsx", "") == 1015.5
    assert claimed_for(None, "a.xlsx", "AAAA-BBBB-CCCC") is None


def test_a_line_is_found_by_identity_or_by_file_name(tmp_path):
    claims = read_claim(sheet(tmp_path, "Book,Payable\n7F3A-91C2-0B5D,1015\nday 2.xlsx,980.5\n\n"))
    assert claimed_for(claims, "in/other.xlsx", "7f3a-91c2-0b5d") == 1015
    assert claimed_for(claims, "in/Day 2.xlsx", "") == 980.5
    assert claimed_for(claims, "in/day 3.xlsx", "AAAA-BBBB-CCCC") is None


def test_a_workbook_in_spanish_is_read_as_well(tmp_path):
    workbook = openpyxl.Workbook()
    workbook.active.append(["Libro", "nota", "A pagar"])
    workbook.active.append(["7F3A-91C2-0B5D", "x", 1015])
    workbook.save(tmp_path / "claim.xlsx")
    assert read_claim(str(tmp_path / "claim.xlsx")) == {"7f3a-91c2-0b5d": 1015}


@pytest.mark.parametrize(
    ("text", "said"),
    [("a,b\n1,2\n", "headings"), ("book,payable\nx,many\n", "row 2"), ("book,payable\nx,\n", "row 2"),
     ("book,payable\nx,nan\n", "'nan' in row 2"), ("book,payable\ny,1\nx,-inf\n", "'-inf' in row 3"),
     ("book,payable\nx,1\nX.xlsx,2\n", "row 3"), ("", "headings")],
)  # fmt: skip
def test_what_cannot_be_read_is_named(tmp_path, text, said):
    with pytest.raises(UnusableBook, match=said):
        read_claim(sheet(tmp_path, text))


def test_a_file_that_is_not_there_is_said_to_be_so(tmp_path):
    with pytest.raises(UnusableBook, match="neither a quantity nor a file"):
        read_claim(str(tmp_path / "absent.csv"))
