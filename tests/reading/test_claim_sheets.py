"""Claim sheets as office people write them, every mistake at once, and files that no one wrote in good faith."""

from __future__ import annotations

import os
import pickle
import re

import openpyxl
import pytest

from sheetgen.audit.claim_sheet import claimed_for, read_claim
from sheetgen.errors import ClaimError, UnusableBook
from tests.fuzz.mutations import packed, unpacked


def written(tmp_path, data: str | bytes, name="claim.csv") -> str:
    path = tmp_path / name
    path.write_bytes(data.encode() if isinstance(data, str) else data)
    return str(path)


@pytest.mark.parametrize(
    ("text", "gallons"),
    [
        ('book,payable\nx,"1,077"\n', 1077.0), ("book,payable\nx,600 gal\n", 600.0),
        ("libro;a pagar\nx;1077\n", 1077.0),
        ("book;payable\nx;1077,5\n", 1077.5), ("book;payable\nx;1.077,5\n", 1077.5),
        ("libro;a pagar\nx;1.077\n", 1077.0),
        ("book\tpayable\nx\t1077\n", 1077.0), ("sep=;\r\nbook;payable\r\nx;1077\r\n", 1077.0),
        ("book,payable\nx,1077.25\n", 1077.25), ("book,payable\nx,0\n", 0.0),
        ("Claims of May\nbook,payable\nx,5\n", 5.0),
        ("\ufeffbook,payable\nx,5\n", 5.0),
    ],
)  # fmt: skip
def test_a_quantity_as_office_programs_write_it(tmp_path, text, gallons):
    assert read_claim(written(tmp_path, text)) == {"x": gallons}


def test_texts_in_the_encodings_of_office_programs(tmp_path):
    assert read_claim(written(tmp_path, "book\tpayable\nCamión\t5\n".encode("utf-16"))) == {"camión": 5.0}
    assert read_claim(written(tmp_path, "book;payable\nCamión;5\n".encode("cp1252"))) == {"camión": 5.0}


def test_a_unit_is_converted_into_the_books_own(tmp_path):
    claims = read_claim(written(tmp_path, "book,payable\na,600 gal\nb,1000 L\nc,7\n"))
    assert claimed_for(claims, "a.xlsx", "", system="us") == 600.0
    assert claimed_for(claims, "a.xlsx", "", system="si") == pytest.approx(
        600 * 3.785411784
    )  # NIST SP 811, B.8
    assert claimed_for(claims, "b.xlsx", "", system="us") == pytest.approx(1000 / 3.785411784)
    assert claimed_for(claims, "c.xlsx", "", system="si") == 7.0
    assert pickle.loads(pickle.dumps(claims))["b"].unit == claims["b"].unit != ""


def test_a_book_is_found_by_the_name_under_which_it_was_issued(tmp_path):
    claims = read_claim(written(tmp_path, "book,payable\nAUD-44_Old-Etta,5\n"))
    assert claimed_for(claims, "in/back (2).xlsx", "AAAA", "AUD-44", "Old Etta") == 5.0
    assert claimed_for(claims, "in/back (2).xlsx", "AAAA", "AUD-45", "Old Etta") is None


def test_every_mistake_is_said_at_once_with_its_line_and_no_sign_that_acts_on_a_terminal(tmp_path):
    text = "book,payable\n\x1b[31mred,many\n,7\ny,\nz,1\nZ.xlsx,2\nw,-5\nv,1e99\nu,9 ft\nt,about 5\n"
    with pytest.raises(ClaimError) as caught:
        read_claim(written(tmp_path, text))
    said = str(caught.value)
    assert len(caught.value.mistakes) == 8
    for line in (2, 3, 4, 6, 7, 8, 9, 10):
        assert f"row {line};" in said
    assert "\x1b" not in said
    assert str(pickle.loads(pickle.dumps(caught.value))) == said


def test_a_mistake_in_a_workbook_names_its_cell(tmp_path):
    workbook = openpyxl.Workbook()
    workbook.active.title = "May"
    for row in (["note", "book", "payable"], ["", "x", "many"], ["", "y", 5]):
        workbook.active.append(row)
    workbook.save(tmp_path / "claim.xlsx")
    with pytest.raises(ClaimError, match="May!C2"):
        read_claim(str(tmp_path / "claim.xlsx"))


def test_a_far_cell_costs_nothing(tmp_path):
    workbook = openpyxl.Workbook()
    workbook.active.append(["book", "payable"])
    workbook.active.append(["x", 5])
    workbook.active["XFD1048576"] = "stray"
    workbook.save(tmp_path / "claim.xlsx")
    assert read_claim(str(tmp_path / "claim.xlsx")) == {"x": 5.0}


def test_a_workbook_without_a_sheet_is_refused(tmp_path):
    path = tmp_path / "claim.xlsx"
    openpyxl.Workbook().save(path)
    parts = unpacked(path.read_bytes())
    book = re.sub(rb"<sheets>.*</sheets>", b"<sheets></sheets>", parts["xl/workbook.xml"])
    path.write_bytes(packed(parts | {"xl/workbook.xml": book}))
    with pytest.raises((ClaimError, UnusableBook), match="claim"):
        read_claim(str(path))


def test_a_pipe_is_refused_and_not_waited_for(tmp_path):
    os.mkfifo(tmp_path / "claim.csv")
    with pytest.raises(UnusableBook):
        read_claim(str(tmp_path / "claim.csv"))


def test_more_lines_than_anyone_claims_are_refused(tmp_path):
    lines = "".join(f"book {number},1\n" for number in range(20_001))
    with pytest.raises(UnusableBook, match="20,000"):
        read_claim(written(tmp_path, "book,payable\n" + lines))
