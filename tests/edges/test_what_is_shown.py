"""What comes from a file never acts on a terminal, a spreadsheet or a page, and no output fails for its encoding."""

from __future__ import annotations

import csv
import io
import json
import os
import re
import subprocess
import sys
import unicodedata
import zipfile

import pytest

from sheetgen.audit.report import write_report
from sheetgen.audit.report.csv_tables import safe
from sheetgen.audit.run import recheck_book
from sheetgen.book.build import write_filled
from sheetgen.errors import UnusableBook
from sheetgen.order.write import write_order
from sheetgen.output import as_json, nearest, printable, printable_lines
from tests.audit.orders import small
from tests.command_line import run

ORDER = small()
OLD_OUTPUTS = ["cp437", "cp850", "cp1252"]
SPOOF = "Shots\nother-book.xlsx: clean\n  origin issued; payable as recomputed 9,999 gal"


@pytest.fixture(scope="module")
def book(tmp_path_factory):
    """A returned book with a little written in it, as bytes."""
    log = {("shots", 0, "remarks"): "x;=cmd|'/c calc'!A0", ("shots", 0, "from_station"): -5000.0,
           ("shots", 0, "section"): "\u202eS1\u009b31m", ("shots", 1, "remarks"): "a\n=1+1\nb",
           ("shots", 2, "start"): 1e308}  # fmt: skip
    return write_filled(
        ORDER, ORDER.machines[0], log, tmp_path_factory.mktemp("made") / "b.xlsx"
    ).read_bytes()


def renamed(book, name):
    """The book with another name for the sheet of shots, in the file alone."""
    escaped = name.replace("\n", "&#10;")
    made = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(book)) as old, zipfile.ZipFile(made, "w", zipfile.ZIP_DEFLATED) as new:
        for info in old.infolist():
            data = old.read(info)
            if info.filename == "xl/workbook.xml":
                data = data.replace(b'name="Shots"', f'name="{escaped}"'.encode())
            new.writestr(info, data)
    return made.getvalue()


def acts(text):
    """Signs in a text that a terminal acts on, line breaks aside."""
    return [
        sign for sign in text if unicodedata.category(sign) in ("Cc", "Cf", "Cs", "Co", "Cn") and sign != "\n"
    ]


@pytest.mark.parametrize("name", [SPOOF, "\u009b31m\u202edraC\u2066x"])
def test_a_sheets_name_writes_no_line_of_its_own(tmp_path, book, name):
    (tmp_path / "back.xlsx").write_bytes(renamed(book, name))
    done = run("recheck", tmp_path / "back.xlsx", "--out", tmp_path / "out")
    said = (done.stdout + done.stderr).decode()
    assert acts(said) == []
    assert not any(line.startswith("other-book") for line in said.splitlines())
    for file in (tmp_path / "out").glob("*.json"):
        assert acts(file.read_text(encoding="utf-8")) == []
    for file in (tmp_path / "out").glob("*.xlsx"):
        with zipfile.ZipFile(file) as made:
            assert not re.search(
                "[\u0080-\u009f\u202a-\u202e\u2066-\u2069]", made.read("xl/sharedStrings.xml").decode()
            )


NAMES = [
    "esc\x1b[31m.xlsx",
    "c1\x9b31m.xlsx",
    "rtl\u202excod.xlsx",
    "fake.xlsx: clean\nreal.xlsx",
    "bad\udcff.xlsx",
]


@pytest.mark.parametrize("name", NAMES, ids=ascii)
@pytest.mark.parametrize("good", [True, False], ids=["a book", "no book"])
def test_a_files_name_writes_no_line_of_its_own(tmp_path, book, name, good):
    (tmp_path / "in").mkdir()
    (tmp_path / "in" / name).write_bytes(book if good else b"no book")
    for args in ((tmp_path / "in",), (tmp_path / "in" / name,)):
        done = run("recheck", *args, "--out", tmp_path / "out")
        said = (done.stdout + done.stderr).decode()
        assert acts(said) == []
        assert "Traceback" not in said
        assert not any(
            line.startswith("real.xlsx") or line.endswith("fake.xlsx: clean") for line in said.splitlines()
        )


def test_an_error_shows_a_path_on_one_line():
    assert "\n" not in str(UnusableBook("a\nb\x1b.xlsx", "x", "y", "z"))


@pytest.mark.parametrize("encoding", OLD_OUTPUTS)
def test_an_output_that_lacks_a_sign_replaces_it(tmp_path, book, encoding):
    order = write_order(tmp_path / "order.xlsx", order=small("us", "es"))
    (tmp_path / "Камион\u202e.xlsx").write_bytes(book)
    for args in (
        ("plan", order), ("plan", order, "--json"), ("explain", "gap-in-lane", "--lang", "es"),
        ("recheck", tmp_path / "Камион\u202e.xlsx", "--out", tmp_path / "out"),
        ("recheck", tmp_path / "Камион\u202e.xlsx", "--out", tmp_path / "out", "--json"),
        ("recheck", tmp_path / "Ж.xlsx", "--out", tmp_path / "out"),
        ("build", order, "--out", tmp_path / "Ж"),
    ):  # fmt: skip
        done = run(*args, encoding=encoding)
        assert b"Traceback" not in done.stderr, done.stderr.decode(encoding)
        assert done.returncode == (2 if "Ж.xlsx" in str(args[1]) else 1 if args[0] == "recheck" else 0), done
        said = done.stdout.decode(encoding)
        if "--json" in args:
            json.loads(said)


def test_a_process_takes_the_encoding_of_its_console():
    done = subprocess.run(
        [sys.executable, "-m", "sheetgen.cli", "explain", "gap-in-lane", "--lang", "es"],
        capture_output=True, check=False, env=os.environ | {"PYTHONIOENCODING": "cp437"},
    )  # fmt: skip
    assert (done.returncode, done.stderr) == (0, b"")
    assert done.stdout == run("explain", "gap-in-lane", "--lang", "es", encoding="cp437").stdout


def test_a_dash_and_a_degree_have_nearest_signs():
    text = "5–6 °F × 2 ≤ 3 “x” ñ 車"
    shown = text.encode("ascii", "nearest" if _registered() else "strict").decode()
    assert shown == '5-6  deg F x 2 <= 3 "x" n ?'


def _registered():
    import codecs

    codecs.register_error("nearest", nearest)
    return True


def test_json_says_the_same_and_has_no_sign_that_acts():
    value = {"a": "\x9b31m\u202e\u2066\ufeff\U000e0001 ñ 車", "b": ["\n\t", 1.5, None, True]}
    text = as_json(value, indent=2)
    assert json.loads(text) == value
    assert acts(text) == []


def test_lines_stay_lines_and_nothing_else_acts():
    assert printable_lines("a\nb\x1b[2J\u202e") == "a\nb·[2J·"
    assert printable("a\nb") == "a·b"


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("12\u202f345\u202f678.5 L", "12\u202f345\u202f678.5 L"),  # thousands of our own numbers
        ("a\u202fb.xlsx", "a·b.xlsx"),
        ("\u202f12\u202f34", "·12·34"),
        ("12\u202f3456", "12·3456"),
        ("12\u2009345\u00a0678", "12·345·678"),
    ],
    ids=ascii,
)
def test_a_narrow_blank_is_shown_where_it_parts_thousands_alone(text, shown):
    assert printable(text) == shown
    assert printable_lines(f"{text}\n") == f"{shown}\n"


# CSV


IN_A_CELL = [
    "=1+1", "x;=cmd|'/c calc'!A0", "x\n=1+1\ny", "x\t=1+1", "\u200b=1", "\ufeff=1", "\u3000=1", " =1", "\xa0+1",
    "a,@x", "a;  -1", 'x;"=cmd"', "＝1", "a;\u200b＋1", "\r\n=1", "-50+00", "x|=1", "\x00=1", "a\u2028=1",
]  # fmt: skip


@pytest.mark.parametrize("text", IN_A_CELL, ids=ascii)
@pytest.mark.parametrize("separator", [",", ";", "\t", "|"])
def test_no_part_of_a_text_begins_a_formula_however_a_program_parts_it(text, separator):
    made = io.StringIO()
    csv.writer(made).writerow(["1", safe(text), "end"])
    for line in made.getvalue().splitlines():
        for cell in [*line.split(separator), *next(csv.reader([line], delimiter=separator))]:
            bare = re.sub(r'^[\s"\u200b\ufeff\u3000\xa0\x00]+', "", cell)
            assert not bare.startswith(("=", "+", "-", "@", "＝", "＋", "－", "＠")), cell


@pytest.mark.parametrize(
    "text", ["a; b", "5-3", "I-95", "x=1", "10 %", "Ñandú", "", "clean", "2026-05-04", "a -5"]
)
def test_ordinary_texts_stay_as_they_are(text):
    assert safe(text) == text


def test_the_tables_of_a_report_hold_no_live_part(tmp_path, book):
    (tmp_path / "a.xlsx").write_bytes(book)
    write_report(recheck_book(tmp_path / "a.xlsx"), tmp_path / "out", csv=True)
    for file in (tmp_path / "out").glob("*.csv"):
        text = file.read_text(encoding="utf-8-sig")
        assert acts(text) == []
        for line in text.splitlines():
            for cell in line.split(";")[1:]:
                assert not cell.lstrip().startswith(("=", "+", "@"))
    entries = (tmp_path / "out" / "a.recheck.entries.csv").read_text(encoding="utf-8-sig")
    assert "'-50+00" in entries
    assert ";'=cmd" in entries
    assert any("1e+308" in line for line in entries.splitlines())  # no time: it has no end


# Names in pictures


@pytest.mark.parametrize("name", ["$x^{$", "Lot $5 and $6", "100 % \\frac", "a_b^c"])
def test_a_dollar_in_a_name_is_text_in_a_picture(tmp_path, name):
    pytest.importorskip("matplotlib")
    from sheetgen.plan import plan
    from sheetgen.plan.pictures import draw_pictures

    made = ORDER.model_dump() | {"job": ORDER.job.model_dump() | {"number": name, "name": name}}
    made["machines"] = [ORDER.machines[0].model_dump() | {"name": name}]
    assert len(draw_pictures(plan(type(ORDER).model_validate(made)), tmp_path)) == 4
