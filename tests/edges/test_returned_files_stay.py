"""No returned file is lost or passed over in silence, whatever it is called and wherever reports go."""

from __future__ import annotations

import hashlib
import json
import os
import zipfile

import pytest

from sheetgen.audit.report import write_report
from sheetgen.audit.run import recheck_book
from sheetgen.batch import recheck_many, returned_files
from sheetgen.batch.named_files import report_names
from sheetgen.batch.summary import write_summary
from sheetgen.book.build import write_filled
from sheetgen.errors import ReportInTheWay
from tests.audit.orders import small
from tests.command_line import run

ORDER = small()


@pytest.fixture(scope="module")
def book(tmp_path_factory):
    """A returned book without entries, as bytes."""
    return write_filled(ORDER, ORDER.machines[0], {}, tmp_path_factory.mktemp("made") / "b.xlsx").read_bytes()


def digests(folder):
    """Each file below a folder and the digest of its bytes; what a run notes for itself is left out."""
    return {
        file.relative_to(folder).as_posix(): hashlib.sha256(file.read_bytes()).hexdigest()
        for file in sorted(folder.rglob("*"))
        if file.is_file() and ".done" not in file.parts
    }


def recheck(*args, **environment):
    """Run the command; its exit status, output and errors."""
    done = run("recheck", *args, env=environment)
    return done.returncode, done.stdout.decode("utf-8", "replace"), done.stderr.decode("utf-8", "replace")


def test_reports_into_the_folder_of_returned_books_lose_none_of_them(tmp_path, book):
    for name in ("a.xlsx", "b.xlsx", "summary.xlsx", "a.recheck.xlsx"):
        (tmp_path / name).write_bytes(book)
    (tmp_path / "b.recheck.json").write_text('{"of": "the crew"}')
    before = digests(tmp_path)
    for _ in range(2):
        status, out, error = recheck(tmp_path, "--out", tmp_path)
        after = digests(tmp_path)
        assert {name: after[name] for name in before} == before
        assert status == 2
        assert "Traceback" not in error
        for name in ("a.recheck.xlsx", "b.recheck.json", "summary.xlsx"):
            assert str(tmp_path / name) in error
        assert {"summary.recheck.xlsx", "a.recheck.recheck.xlsx"} < set(
            after
        )  # both were rechecked themselves
        assert "a.recheck.json" not in after  # nothing is left of a report that could not be written whole
        assert f"{tmp_path / 'a.recheck.xlsx'}: " in out


def test_a_run_again_into_the_same_folder_is_no_trouble(tmp_path, book):
    for name in ("a.xlsx", "b.xlsx"):
        (tmp_path / name).write_bytes(book)
    first = recheck(tmp_path, "--out", tmp_path, "--copy", "--csv")
    made = digests(tmp_path)
    again = recheck(tmp_path, "--out", tmp_path, "--copy", "--csv")
    assert first[:2] == again[:2]
    assert digests(tmp_path) == made
    assert "written by this program" in again[2]
    assert "a.recheck.copy.xlsx" in again[2]


def test_a_report_that_somebody_saved_since_is_not_replaced(tmp_path, book):
    (tmp_path / "a.xlsx").write_bytes(book)
    result = recheck_book(tmp_path / "a.xlsx")
    report, *_ = write_report(result, tmp_path / "out")
    import openpyxl

    noted = openpyxl.load_workbook(report)
    noted.worksheets[0]["A1"] = "the auditor's remark"
    noted.save(report)
    kept = report.read_bytes()
    with pytest.raises(ReportInTheWay, match=r"a\.recheck\.xlsx"):
        write_report(result, tmp_path / "out")
    assert report.read_bytes() == kept
    assert returned_files([tmp_path / "out"]) == [tmp_path / "out"]  # it is a report all the same


@pytest.mark.parametrize("name", ["summary.xlsx", "summary.json", "summary.findings.csv"])
def test_a_summary_replaces_no_other_file(tmp_path, name):
    (tmp_path / name).write_text("another file")
    with pytest.raises(ReportInTheWay, match=name):
        write_summary([], [], tmp_path)
    assert digests(tmp_path).keys() == {name}
    assert (tmp_path / name).read_text() == "another file"


@pytest.mark.parametrize("name", ["a.recheck.copy.xlsx", "a.recheck.findings.csv", "a.recheck.shots.csv"])
def test_no_part_of_a_report_replaces_another_file(tmp_path, book, name):
    (tmp_path / "a.xlsx").write_bytes(book)
    result = recheck_book(tmp_path / "a.xlsx")
    out = tmp_path / "out"
    out.mkdir()
    (out / name).write_text("another file")
    with pytest.raises(ReportInTheWay, match=name):
        write_report(result, out, copy=True, csv=True)
    assert digests(out).keys() == {name}


def test_a_copy_that_the_crew_saved_again_is_a_returned_book(tmp_path, book):
    (tmp_path / "a.xlsx").write_bytes(book)
    copy = write_report(recheck_book(tmp_path / "a.xlsx"), tmp_path / "sent", copy=True)[2]
    assert returned_files([copy.parent]) == [copy.parent]  # as it was sent: nothing to recheck
    import openpyxl

    back = tmp_path / "back"
    back.mkdir()
    openpyxl.load_workbook(copy).save(back / copy.name)
    assert returned_files([back]) == [back / copy.name]


def test_files_passed_over_are_named(tmp_path, book):
    for name in ("a.xlsx", "~$a.xlsx", ".hidden.xlsx", "photo.jpg"):
        (tmp_path / name).write_bytes(book)
    (tmp_path / ".old").mkdir()
    told = []
    assert returned_files([tmp_path], lambda file, why: told.append((file.name, why))) == [
        tmp_path / "a.xlsx"
    ]
    assert sorted(told) == [
        (".hidden.xlsx", "hidden"), (".old", "hidden"), ("photo.jpg", "no-workbook"),
        ("~$a.xlsx", "left-by-program"),
    ]  # fmt: skip
    _status, _out, error = recheck(tmp_path, "--out", tmp_path / "out")
    assert all(name in error for name in ("~$a.xlsx", ".hidden.xlsx", "photo.jpg", ".old"))


@pytest.mark.parametrize("with_others", [False, True])
def test_an_empty_folder_is_said_and_never_clean(tmp_path, with_others):
    folder = tmp_path / "empty"
    folder.mkdir()
    if with_others:
        (folder / "notes.pdf").write_bytes(b"%PDF")
    status, out, error = recheck(folder, "--out", tmp_path / "out")
    assert (status, out) == (2, "")
    assert str(folder) in error
    assert "without a returned field book" in error


def test_an_empty_folder_stops_no_other(tmp_path, book):
    (tmp_path / "empty").mkdir()
    (tmp_path / "full").mkdir()
    (tmp_path / "full" / "a.xlsx").write_bytes(book)
    status, out, error = recheck(tmp_path / "empty", tmp_path / "full", "--out", tmp_path / "out")
    assert status == 2
    assert "a.xlsx" in out
    assert "without a returned field book" in error


@pytest.mark.parametrize("inside", [False, True])
def test_a_folder_that_may_not_be_read_is_said(tmp_path, monkeypatch, inside):
    closed = tmp_path / "returned" / "closed" if inside else tmp_path / "returned"
    closed.mkdir(parents=True)
    as_it_is = os.scandir

    def scandir(path="."):
        if os.fspath(path) == str(closed):
            raise PermissionError(13, "Permission denied", str(closed))
        return as_it_is(path)

    monkeypatch.setattr(os, "scandir", scandir)
    (result,) = recheck_many([tmp_path / "returned"])
    assert result.path == closed
    assert "Permission denied" in str(result.error)


def test_a_long_name_gets_a_report(tmp_path, book):
    names = [f"{'n' * 249}{end}.xlsx" for end in "12"]
    for name in names:
        (tmp_path / name).write_bytes(book)
    results = list(recheck_many([tmp_path], out_dir=tmp_path / "out"))
    assert [result.error for result in results] == [None, None]
    assert len({report.name for result in results for report in result.reports}) == 4


def test_reports_of_names_that_some_systems_take_for_the_same_differ(tmp_path):
    files = [tmp_path / name for name in ("Día.xlsx", "di\u0301a.xlsx", "DÍA.xlsx")]
    assert [name for _file, name in report_names(files)] == ["Día", "di\u0301a (2)", "DÍA (3)"]


def test_a_file_name_that_is_no_text_is_rechecked_and_kept(tmp_path, book):
    name = os.fsencode(tmp_path) + b"/in/bad\xff.xlsx"
    (tmp_path / "in").mkdir()
    with open(name, "wb") as file:  # noqa: PTH123 (bytes)
        file.write(book)
    for kept in (False, True):
        (result,) = recheck_many([tmp_path / "in"], out_dir=tmp_path / "out")
        assert (result.error, result.kept) == (None, kept)
    status, out, error = recheck(tmp_path / "in", "--out", tmp_path / "out2", PYTHONIOENCODING="utf-8")
    assert "Traceback" not in error
    assert "bad" in out
    assert status in (0, 1)
    assert json.loads((tmp_path / "out2" / "bad_.recheck.json").read_text())["file"]["name"] == "bad?.xlsx"


def spoilt_picture(book, path):
    """The book with one more part whose checksum is wrong."""
    import io

    with zipfile.ZipFile(io.BytesIO(book)) as old, zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as new:
        for info in old.infolist():
            new.writestr(info, old.read(info))
        new.writestr("xl/media/image77.png", b"picture" * 100, zipfile.ZIP_STORED)
    data = bytearray(path.read_bytes())
    at = data.index(b"picturepicture")
    data[at] ^= 0xFF
    path.write_bytes(bytes(data))


def test_a_copy_of_a_book_with_a_damaged_picture_is_made(tmp_path, book):
    spoilt_picture(book, tmp_path / "a.xlsx")
    (result,) = recheck_many([tmp_path / "a.xlsx"], out_dir=tmp_path / "out", write_report=_with_copy)
    assert result.error is None
    assert [report.name for report in result.reports] == [
        "a.recheck.xlsx", "a.recheck.json", "a.recheck.copy.xlsx"
    ]  # fmt: skip
    notes = {"comment-on-locked-cell", "comment-on-entry"}  # what was written into the copy
    found = [each for each in recheck_book(result.reports[2]).findings if each.name not in notes]
    assert found == recheck_book(tmp_path / "a.xlsx").findings


def _with_copy(result, out_dir, *, name):
    return write_report(result, out_dir, name=name, copy=True)


def test_where_no_copy_can_be_made_the_report_is_there_and_says_so(tmp_path, book, monkeypatch):
    from sheetgen.audit.report import noted_copy
    from sheetgen.xlsx.unusable import unusable

    def broken(*_):
        raise unusable("a.xlsx", "part-damaged", part="xl/comments1.xml")

    monkeypatch.setattr(noted_copy, "worksheet_parts", broken)
    (tmp_path / "a.xlsx").write_bytes(book)
    for _ in range(2):
        (result,) = recheck_many(
            [tmp_path / "a.xlsx"], out_dir=tmp_path / "out", write_report=_with_copy, fresh=True
        )
        assert result.error is None
        assert [report.name for report in result.reports][2] == "a.recheck.copy.txt"
    assert "xl/comments1.xml" in result.reports[2].read_text()


def test_a_copy_with_an_entry_of_16383_emoji_is_made(tmp_path, book):
    import openpyxl

    (tmp_path / "a.xlsx").write_bytes(book)
    changed = openpyxl.load_workbook(tmp_path / "a.xlsx")
    sheet = next(sheet for sheet in changed.worksheets if sheet.title == "Shots")
    sheet["B6"] = "\U0001f600" * 16_383
    changed.save(tmp_path / "a.xlsx")
    written = write_report(recheck_book(tmp_path / "a.xlsx"), tmp_path / "out", copy=True)
    assert [path.name for path in written][2] == "a.recheck.copy.xlsx"
    assert recheck_book(written[2]).entries is not None


ODD_WIDTHS = [
    'min="str" max="2" width="9"', 'min="1" max="2" width="wide"', 'min="9" max="2" width="9"',
    'min="-4" max="2" width="9"', 'min="1" max="2" width="1e300"',
]  # fmt: skip


@pytest.mark.parametrize("widths", ODD_WIDTHS)
def test_a_copy_of_a_sheet_with_odd_column_widths_is_made(tmp_path, book, widths):
    import io

    with zipfile.ZipFile(io.BytesIO(book)) as old, zipfile.ZipFile(tmp_path / "a.xlsx", "w") as new:
        for info in old.infolist():
            data = old.read(info)
            if info.filename.startswith("xl/worksheets/sheet"):
                data = data.replace(b"<cols>", f"<cols><col {widths}/>".encode(), 1)
            new.writestr(info, data)
    written = write_report(recheck_book(tmp_path / "a.xlsx"), tmp_path / "out", copy=True)
    assert [path.name for path in written][2] == "a.recheck.copy.xlsx"
