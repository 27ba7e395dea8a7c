"""The copy of a returned book with notes at its cells, and the tables as CSV."""

from __future__ import annotations

import csv
import datetime as dt
import re
import shutil
import zipfile
from pathlib import Path

import openpyxl
import pandas as pd
import pytest
from openpyxl.comments import Comment

from sheetgen.audit.report import write_report
from sheetgen.audit.report.contents import contents
from sheetgen.audit.report.csv_tables import TABLES, safe
from sheetgen.audit.run import recheck_book
from sheetgen.errors import UnusableBook
from tests.audit.report_case import report_case
from tests.validator import schema_errors

SAMPLES = Path(__file__).parents[2] / "samples" / "returned"
RETURNED = SAMPLES / "DEMO-0001_Distributor-A_with-errors.xlsx"


@pytest.fixture(scope="module")
def rechecked():
    return recheck_book(RETURNED)


@pytest.fixture(scope="module")
def copied(rechecked, tmp_path_factory):
    folder = tmp_path_factory.mktemp("copied")
    return write_report(rechecked, folder, copy=True)[2]


def _notes(path):
    book = openpyxl.load_workbook(path)
    return {
        (sheet.title, cell.coordinate): cell.comment.text
        for sheet in book
        for row in sheet.iter_rows()
        for cell in row
        if cell.comment
    }


def test_every_finding_stands_at_its_cell(rechecked, copied):
    notes = _notes(copied)
    assert rechecked.findings
    for one in rechecked.findings:
        assert f"({one.name})" in notes[one.sheet, one.cell]
        assert one.found in notes[one.sheet, one.cell]
    assert len(notes) == 1 + len({(one.sheet, one.cell) for one in rechecked.findings})


def test_the_first_cell_says_that_it_is_a_copy_and_of_what(rechecked, copied):
    text = _notes(copied)["Start", "A1"]
    assert RETURNED.name in text
    assert rechecked.sha256 in text


def test_the_box_of_a_note_is_wide_enough_for_a_sentence_and_as_high_as_its_lines(copied):
    """VML boxes, in points; a default box is 96 wide and holds a few words."""
    with zipfile.ZipFile(copied) as parts:
        drawings = [
            parts.read(name).decode()
            for name in parts.namelist()
            if "recheck-notes" in name and "vml" in name
        ]
    boxes = re.findall(r"width:([\d.]+)pt;height:([\d.]+)pt", "".join(drawings))
    assert len(boxes) == len(_notes(copied))
    assert {float(width) for width, _ in boxes} == {285.0}  # 380 pixels, of which 96 are 72 points
    assert len({height for _, height in boxes}) > 1


def test_nothing_but_the_notes_differs_from_the_returned_file(copied):
    with zipfile.ZipFile(RETURNED) as old, zipfile.ZipFile(copied) as new:
        before, after = set(old.namelist()), set(new.namelist())
        assert before <= after
        assert all("recheck-notes" in name or name.endswith(".rels") for name in after - before)
        changed = {name for name in before if old.read(name) != new.read(name)}
        kept = before - changed
        assert "xl/workbook.xml" in kept
        assert "xl/styles.xml" in kept
        assert all("/worksheets/" in name or name == "[Content_Types].xml" for name in changed)
    old, new = (openpyxl.load_workbook(path, data_only=True) for path in (RETURNED, copied))
    for sheet in old:
        assert list(sheet.values) == list(new[sheet.title].values)


def test_the_copy_holds_to_the_schema(copied):
    assert schema_errors(copied) == []


def test_a_recheck_of_the_copy_finds_what_that_of_the_returned_file_found(rechecked, copied):
    notes = {"comment-on-locked-cell", "comment-on-entry"}  # what was written into the copy
    assert [one for one in recheck_book(copied).findings if one.name not in notes] == rechecked.findings


def test_the_same_recheck_gives_the_same_copy(rechecked, copied, tmp_path):
    assert write_report(rechecked, tmp_path, copy=True)[2].read_bytes() == copied.read_bytes()


def test_what_the_crew_noted_stays(tmp_path):
    returned = tmp_path / "noted.xlsx"
    book = openpyxl.load_workbook(RETURNED)
    book["Shots"]["M8"].comment = Comment("gauge read twice", "crew")
    book["Shots"]["B20"].comment = Comment("rain", "crew")
    book.save(returned)
    rechecked = recheck_book(returned)
    copy = write_report(rechecked, tmp_path / "out", copy=True)[2]
    notes = _notes(copy)
    assert notes["Shots", "M8"].startswith("gauge read twice")
    assert "(stick-reading-rose-during-shot)" in notes["Shots", "M8"]
    assert notes["Shots", "B20"] == "rain"
    assert schema_errors(copy) == schema_errors(returned)  # a program that saves has faults of its own


def test_a_file_that_was_changed_since_is_not_copied(tmp_path):
    returned = tmp_path / "returned.xlsx"
    shutil.copy(RETURNED, returned)
    rechecked = recheck_book(returned)
    shutil.copy(SAMPLES / "DEMO-0001_Distributor-A_clean.xlsx", returned)
    with pytest.raises(UnusableBook, match="another file"):
        write_report(rechecked, tmp_path / "out", copy=True)


@pytest.mark.parametrize("text", [
    "=1+1", "+1", "-1+cmd", "@SUM(1)", "\t=1", "\r=1", " =1", "\xa0=1", "＝1+1",
])  # fmt: skip
def test_what_a_spreadsheet_would_compute_is_written_as_text(text):
    assert safe(text) == f"'{text}".replace("\t", " ").replace("\r", " ")


@pytest.mark.parametrize("value", [-1.5, 0, True, "118+50", "S1", "a=b", ""])
def test_numbers_and_other_texts_stay_as_they_are(value):
    assert safe(value) == value


def test_the_tables_as_csv_say_what_the_report_says(tmp_path):
    recheck = report_case()
    document = contents(recheck, None)
    written = {
        path.name.split(".recheck.")[1]: path for path in write_report(recheck, tmp_path, csv=True)[2:]
    }
    assert set(written) == {f"{table}.csv" for table in TABLES}
    for table in TABLES:
        with written[f"{table}.csv"].open(encoding="utf-8-sig", newline="") as file:
            assert len(list(csv.reader(file))) == 1 + len(getattr(document, table))
    shots = pd.read_csv(written["shots.csv"])
    for number, line in enumerate(document.shots):
        assert shots["row"][number] == line.row + 1
        base = line.results["base"]
        assert (
            shots["volume_corrected recomputed [gal]"][number] == base.recomputed
        ) or base.recomputed is None
    findings = pd.read_csv(written["findings.csv"])
    assert list(findings["name"]) == [one.name for one in document.findings]


def _table(folder, name):
    path = next(folder.glob(f"*.{name}.csv"))
    return pd.read_csv(path, dtype=str, keep_default_na=False, encoding="utf-8-sig")


@pytest.mark.parametrize(("units", "lang"), [("us", "en"), ("si", "es")])
def test_numbers_in_the_csv_have_no_dust_and_percentages_are_percentages(units, lang, tmp_path):
    recheck = report_case(units, lang)
    document = contents(recheck, None)
    write_report(recheck, tmp_path, csv=True)
    for path in tmp_path.glob("*.csv"):
        cells = [cell for row in csv.reader(path.open(encoding="utf-8-sig", newline="")) for cell in row]
        assert [cell for cell in cells if re.fullmatch(r"-?\d+\.\d{8,}", cell)] == []
    shots = _table(tmp_path, "shots")
    deviations = [line.results["deviation"].recomputed for line in document.shots]
    assert sum(each is not None for each in deviations) > 3
    for printed, own in zip(shots["deviation recomputed [%]"], deviations, strict=True):
        assert (printed == "") == (own is None)
        assert own is None or float(printed) == pytest.approx(
            100 * own, abs=5e-5
        )  # rounded to 6 decimals of a part of one
    assert set(shots["allowed [%]"]) == {f"{100 * line.allowed:g}" for line in document.shots}


def test_rows_of_the_csv_are_led_by_what_a_person_looks_for(tmp_path):
    recheck = report_case()
    write_report(recheck, tmp_path, csv=True)
    shots, loads, days = (_table(tmp_path, name) for name in ("shots", "loads", "days"))
    assert list(shots.columns)[:4] == ["row", "section", "lane", "date"]
    assert list(loads.columns)[:3] == ["row", "ticket", "date"]
    assert list(days.columns)[:2] == ["row", "label"]
    typed = {(each.table, each.row, each.column): each.value for each in recheck.entries}
    for row, section, lane, date in shots.iloc[:, :4].itertuples(index=False):
        entry = [typed["shots", int(row) - 1, key] for key in ("section", "lane", "date")]
        assert [section, lane] == entry[:2]
        assert date == str(dt.date(1899, 12, 30) + dt.timedelta(days=entry[2]))
    entries = _table(tmp_path, "entries")
    times = entries[(entries["table"] == "shots") & (entries["column"] == "start")]["value"]
    assert all(re.fullmatch(r"\d\d:\d\d|", time) for time in times)
    assert any(times)


def test_a_formula_that_was_typed_does_not_reach_the_csv_as_a_formula(tmp_path):
    recheck = report_case()
    for path in write_report(recheck, tmp_path, csv=True)[2:]:
        with path.open(encoding="utf-8-sig", newline="") as file:
            for row in csv.reader(file):
                assert not any(cell.startswith(("=", "@")) for cell in row), path.name
    entries = (tmp_path / next(path.name for path in tmp_path.glob("*.entries.csv"))).read_text("utf-8-sig")
    assert "'=HYPERLINK" in entries
