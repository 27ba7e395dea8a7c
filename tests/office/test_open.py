"""Files alone, as an icon hands them over: each is told by what is in it, and what fits it is done."""

from __future__ import annotations

import shutil

import openpyxl
import pytest

from sheetgen import cli
from sheetgen.audit.report import write_report
from sheetgen.audit.run import recheck_book
from sheetgen.errors import OrderError
from sheetgen.office.kinds import Kind, kind_of
from sheetgen.office.marked_order import write_marked
from sheetgen.office.orders import work_on_order
from sheetgen.order.read import read_order
from tests.command_line import run_text as run
from tests.office.conftest import SLIPS


@pytest.mark.parametrize(
    ("name", "kind"),
    [
        ("order.xlsx", Kind.ORDER), ("mistaken.xlsx", Kind.ORDER), ("clean.xlsx", Kind.BOOK),
        ("claim.csv", Kind.CLAIM), ("note.xlsx", Kind.BOOK), ("not-there.csv", Kind.BOOK),
    ],
)  # fmt: skip
def test_a_file_is_told_by_what_is_in_it(files, tmp_path, name, kind):
    renamed = tmp_path / f"as it came{name[name.index('.') :]}"
    if (files / name).exists():
        shutil.copy(files / name, renamed)
    assert kind_of(renamed) == kind


def test_reports_workbooks_of_claims_and_other_texts_are_told_too(files, tmp_path):
    report, _ = write_report(recheck_book(files / "clean.xlsx"), tmp_path)
    workbook = openpyxl.Workbook()
    workbook.active.append(["book", "payable"])
    workbook.save(tmp_path / "claims.xlsx")
    (tmp_path / "other.csv").write_text("a,b\n1,2\n")
    kinds = [kind_of(path) for path in (report, tmp_path / "claims.xlsx", tmp_path / "other.csv")]
    assert kinds == [Kind.REPORT, Kind.CLAIM, Kind.OTHER]


def test_a_mistaken_order_comes_back_with_a_note_at_each_mistake(files, tmp_path):
    work = work_on_order(files / "mistaken.xlsx", tmp_path)
    workbook = openpyxl.load_workbook(work.marked)
    for (sheet, cell), typed in SLIPS.items():
        note = workbook[sheet][cell].comment.text
        assert note.startswith("TO CORRECT")
        assert typed in note
    assert work.books == ()
    assert {(mistake.sheet, mistake.cell) for mistake in work.mistakes} == set(SLIPS)
    notes = sum(cell.comment is not None for sheet in workbook for row in sheet.iter_rows() for cell in row)
    assert notes == len(SLIPS)


def test_an_order_corrected_in_the_marked_copy_is_read_and_loses_its_old_notes(files, tmp_path):
    marked = work_on_order(files / "mistaken.xlsx", tmp_path).marked
    workbook = openpyxl.load_workbook(marked)
    workbook["Material"]["C10"].value = 60
    workbook["Job"]["B10"].comment = openpyxl.comments.Comment("Ask the agency.", "office")
    workbook.save(marked)
    work = work_on_order(marked, tmp_path)
    assert work.marked.name == marked.name
    again = openpyxl.load_workbook(work.marked)
    assert again["Material"]["C10"].comment is None
    assert again["Job"]["C15"].comment.text.count("TO CORRECT") == 1
    assert again["Job"]["B10"].comment.text == "Ask the agency."
    again["Job"]["C15"].value = "2026-05-04"
    again.save(marked)
    assert read_order(marked).job.number == read_order(files / "order.xlsx").job.number


def test_a_file_that_takes_no_notes_still_has_its_mistakes(files, tmp_path):
    with pytest.raises(OrderError) as told:
        read_order(files / "note.xlsx")
    assert write_marked(files / "note.xlsx", told.value, tmp_path) is None


def test_files_in_any_mix_do_what_fits_them(files, tmp_path):
    done = run(files, "--out", "office", "--register", "books.db", cwd=tmp_path)
    assert done.returncode == 2  # for the mistaken order and the file that is no workbook
    made = {path.relative_to(tmp_path / "office").as_posix() for path in (tmp_path / "office").rglob("*.*")}
    books = {"books/DEMO-0001_Distributor-A.xlsx", "books/mistaken - to correct.xlsx"}
    reports = {f"rechecked/{name}.xlsx" for name in ("clean.recheck", "spoilt.recheck", "summary")}
    assert books | reports <= made
    assert "Material!C10" in done.stderr
    assert "note.xlsx: found" in done.stderr
    assert "ticket-repeated" in done.stdout
    assert "claim" in done.stdout  # the sheet that came with the books is compared


def test_one_order_alone_is_built_beside_itself(files, tmp_path):
    shutil.copy(files / "order.xlsx", tmp_path / "my order.xlsx")
    done = run("my order.xlsx", cwd=tmp_path)
    assert (done.returncode, done.stderr) == (0, "")
    assert "Distributor A: YES, 4 of 4 sections" in done.stdout
    assert (tmp_path / "books" / "DEMO-0001_Distributor-A.xlsx").is_file()
    assert run("order.xlsx", "--help", cwd=tmp_path).returncode == 0


def test_a_claim_sheet_or_report_alone_is_nothing_to_do(files, tmp_path):
    done = run(files / "claim.csv", cwd=tmp_path)
    assert done.returncode == 2
    assert "nothing to do" in done.stderr


def test_an_icon_that_is_opened_alone_opens_the_desk(monkeypatch, tmp_path):
    asked = []
    monkeypatch.setattr(
        "sheetgen.commands.desk.desk_command", lambda *folder, **how: asked.append((folder, how))
    )
    cli.open_files(None, out=tmp_path, show=True)
    assert asked == [((tmp_path,), {"browser": True})]


@pytest.mark.parametrize(
    ("given", "said"),
    [("explian", "There is no command explian. Perhaps explain"), ("gone.xlsx", "gone.xlsx: found")],
)
def test_a_mistyped_command_is_no_file_and_a_missing_file_is_named(tmp_path, given, said):
    done = run(given, cwd=tmp_path)
    assert done.returncode == 2
    assert said in done.stderr
