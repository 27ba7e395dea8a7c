"""A batch of returned files: order, files that cannot be used, continuing, and what comes out."""

import functools
import os
import signal
from dataclasses import replace

import pytest

from sheetgen.batch import Tally, recheck_many, returned_files
from sheetgen.errors import RegisterError, SheetgenError
from sheetgen.order.demo import demo_order
from sheetgen.register.register import open_register
from tests.batch import fakes

JOBS = (1, 2)


@pytest.fixture
def run(tmp_path):
    """Run a batch over the folder ``returned``, with the stand-ins."""

    def begin(**facts):
        given = {"out_dir": tmp_path / "out", "recheck_one": fakes.recheck, "write_report": fakes.report}
        return recheck_many([tmp_path / "returned"], **given | facts)

    return begin


def verdicts(results):
    return [result.conclusion for result in results]


# Which files


def test_folders_are_searched_for_workbooks_in_the_order_of_names(tmp_path):
    for name in (
        "b.xlsx", "a.XLSX", "deep/c.xlsx", "deep/er/d.xlsx", "old.xls", "open.ods", "~$b.xlsx", ".hidden.xlsx",
        ".trash/e.xlsx", "notes.txt", "plan.pdf", "b.recheck.xlsx",
    ):  # fmt: skip
        (tmp_path / name).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / name).write_text("")
    fakes.report_of_this_program(tmp_path / "b.recheck.xlsx")
    found = [path.relative_to(tmp_path).as_posix() for path in returned_files([tmp_path])]
    assert found == ["a.XLSX", "b.xlsx", "old.xls", "open.ods", "deep/c.xlsx", "deep/er/d.xlsx"]


def test_each_file_is_taken_once_however_it_is_named(tmp_path, monkeypatch):
    files = fakes.make_returns(tmp_path, ["honest", "honest"])
    monkeypatch.chdir(tmp_path)
    (tmp_path / "link.xlsx").symlink_to(files[0])
    named = [
        files[1],
        tmp_path,
        files[0].name,
        tmp_path / "." / files[0].name,
        "missing.xlsx",
        "missing.xlsx",
    ]
    assert [path.name for path in returned_files(named)] == ["book 001.xlsx", "book 000.xlsx", "missing.xlsx"]


def test_folders_that_hold_each_other_end(tmp_path):
    (tmp_path / "inner").mkdir()
    (tmp_path / "inner" / "round").symlink_to(tmp_path, target_is_directory=True)
    fakes.make_returns(tmp_path / "inner", ["honest"])
    assert len(returned_files([tmp_path])) == 1


def test_a_report_inside_the_folder_of_returns_is_no_return(tmp_path, run):
    fakes.make_returns(tmp_path / "returned", ["honest"])
    out = tmp_path / "returned" / "rechecked"
    for _ in range(2):
        assert verdicts(run(out_dir=out)) == ["clean"]
        for name in ("summary.xlsx", "book 000.recheck.xlsx"):
            fakes.report_of_this_program(out / name)


# Results


@pytest.mark.parametrize("jobs", JOBS)
def test_results_come_in_the_order_of_the_files(tmp_path, run, jobs):
    words = ["slow", "honest", "honest", "query", "slow", *["honest"] * 12, "query"]
    files = fakes.make_returns(tmp_path / "returned", words)
    results = list(run(jobs=jobs))
    assert [result.path for result in results] == files
    assert verdicts(results) == ["query" if word == "query" else "clean" for word in words]
    assert all(fakes.whole(report) for result in results for report in result.reports)
    assert [result.summary.identity for result in results] == [f"book {n}" for n in range(len(words))]


@pytest.mark.parametrize("jobs", JOBS)
def test_files_that_cannot_be_used_stop_no_other(tmp_path, run, jobs):
    folder = tmp_path / "returned"
    files = fakes.make_returns(folder, ["honest", "unusable", "defect", "honest", "written-to", "honest"])
    (folder / "book 006.xlsx").mkdir()
    results = list(
        recheck_many(
            [*files, folder / "none.xlsx", folder / "book 006.xlsx" / "in.xlsx"], out_dir=tmp_path / "out", jobs=jobs,
            recheck_one=fakes.recheck, write_report=fakes.report,
        )
    )  # fmt: skip
    assert verdicts(results) == [
        "clean", "unusable", "unusable", "clean", "unusable", "clean", "unusable", "unusable"
    ]  # fmt: skip
    said = [str(result.error) for result in results]
    assert said[1].endswith("found a word; expected a book. Send the book.")
    assert "a defect of this program (ZeroDivisionError: planted)" in said[2]
    assert "ZeroDivisionError" in results[2].detail
    assert "written to while it was being read" in said[4]
    assert "no file of that name" in said[6]
    assert all(str(result.path) in said[index] for index, result in enumerate(results) if result.error)
    assert sorted(path.name for path in (tmp_path / "out").glob("*.txt")) == [
        f"book 00{n}.{part}.txt" for n in (0, 3, 5) for part in ("first", "second")
    ]  # fmt: skip


def test_a_file_that_may_not_be_read_is_said(tmp_path, run, monkeypatch):
    def denied(*_):
        raise PermissionError(13, "Permission denied")

    fakes.make_returns(tmp_path / "returned", ["honest"])
    monkeypatch.setattr("sheetgen.batch.one_file._digest", denied)
    (result,) = run()
    assert "does not let this program read (Permission denied)" in str(result.error)


def test_a_pipe_among_the_files_does_not_hang_the_batch(tmp_path, run):
    fakes.make_returns(tmp_path / "returned", ["honest"])
    os.mkfifo(tmp_path / "returned" / "pipe.xlsx")
    assert verdicts(run()) == ["clean", "unusable"]


def test_a_report_that_cannot_be_written_is_said_and_not_taken_for_done(tmp_path, run):
    fakes.make_returns(tmp_path / "returned", ["honest"])
    (result,) = run(write_report=fakes.report_full_disk)
    assert "No space left on device" in str(result.error)
    (result,) = run()
    assert (result.kept, result.error) == (False, None)


@pytest.mark.skipif(not hasattr(signal, "SIGKILL"), reason="no such signal on this system")
def test_a_file_that_kills_its_process_is_lost_alone(tmp_path, run):
    words = ["honest", "die", "honest", "slow", "die", *["honest"] * 6]
    fakes.make_returns(tmp_path / "returned", words)
    results = list(run(jobs=2))
    assert verdicts(results) == ["unusable" if word == "die" else "clean" for word in words]
    assert "stopped by the system" in str(results[1].error)


def test_files_of_one_name_get_reports_of_their_own(tmp_path, run):
    for folder in ("a", "b", "c"):
        (tmp_path / "returned" / folder).mkdir(parents=True)
        (tmp_path / "returned" / folder / "Book.xlsx").write_text(f"honest {folder}")
    results = list(run())
    assert [result.reports[0].name for result in results] == [
        "Book.first.txt", "Book (2).first.txt", "Book (3).first.txt"
    ]  # fmt: skip
    for result in results:
        assert result.reports[0].read_text().startswith(str(result.path))


def test_no_reports_are_written_without_a_folder_for_them(tmp_path, run):
    fakes.make_returns(tmp_path / "returned", ["honest"])
    (result,) = run(out_dir=None)
    assert (result.conclusion, result.reports) == ("clean", ())
    assert [path.name for path in tmp_path.iterdir()] == ["returned"]


def test_a_folder_without_files_is_a_result_of_its_own(tmp_path, run):
    (tmp_path / "returned").mkdir()
    (result,) = run(jobs=2)
    assert (result.path, result.conclusion) == (tmp_path / "returned", "unusable")
    assert "a folder without a returned field book" in str(result.error)


@pytest.mark.parametrize("jobs", JOBS)
def test_progress_counts_from_nothing_to_all(tmp_path, run, jobs):
    fakes.make_returns(tmp_path / "returned", ["honest", "unusable", "honest"])
    seen = []
    list(run(jobs=jobs, progress=lambda done, of: seen.append((done, of))))
    assert seen == [(0, 3), (1, 3), (2, 3), (3, 3)]


def test_fewer_than_one_process_is_refused(run):
    with pytest.raises(ValueError, match="1 or more"):
        run(jobs=0)


def test_input_files_are_not_changed(tmp_path, run):
    files = fakes.make_returns(tmp_path / "returned", ["honest", "unusable", "defect"])
    before = [(file.read_bytes(), file.stat().st_mtime_ns) for file in files]
    list(run())
    assert [(file.read_bytes(), file.stat().st_mtime_ns) for file in files] == before


def test_only_as_many_results_are_held_as_are_under_way(tmp_path, run):
    """A consumer that stops after the first one: of 40 files only those handed out ahead are done."""
    fakes.make_returns(tmp_path / "returned", ["honest"] * 40)
    results = run(jobs=2)
    next(results)
    results.close()
    assert len(list((tmp_path / "out").glob("*.second.txt"))) <= 8


# Continuing


@pytest.mark.parametrize("jobs", JOBS)
def test_a_second_run_takes_over_what_is_done(tmp_path, run, jobs):
    fakes.make_returns(tmp_path / "returned", ["honest", "query", "unusable", "honest"])
    first = list(run(jobs=jobs))
    times = {path: path.stat().st_mtime_ns for path in (tmp_path / "out").glob("*.txt")}
    second = list(run(jobs=jobs))
    assert [result.kept for result in second] == [True, True, False, True]
    assert [replace(result, kept=False) for result in second if result.kept] == [
        result for result in first if not result.error
    ]
    assert {path: path.stat().st_mtime_ns for path in (tmp_path / "out").glob("*.txt")} == times


def _file_changed(tmp_path):
    (tmp_path / "returned" / "book 000.xlsx").write_text("doubt 0")
    return {}


def _report_lost(tmp_path):
    (tmp_path / "out" / "book 000.second.txt").unlink()
    return {}


def _note_lost(tmp_path):
    for note in (tmp_path / "out" / ".done").glob("*.json"):
        note.unlink()
    return {}


def _note_damaged(tmp_path):
    for note in (tmp_path / "out" / ".done").glob("*.json"):
        note.write_bytes(note.read_bytes()[:-50])
    return {}


def _other_order(tmp_path):
    return {"order": demo_order("us", "es")}


def _other_claim(tmp_path):
    return {"recheck_one": functools.partial(fakes.recheck, claim=900.0)}


def _all_again(tmp_path):
    return {"fresh": True}


@pytest.mark.parametrize(
    "change",
    [_file_changed, _report_lost, _note_lost, _note_damaged, _other_order, _other_claim, _all_again],
)
def test_what_would_come_out_otherwise_is_made_again(tmp_path, run, change):
    fakes.make_returns(tmp_path / "returned", ["honest"])
    list(run())
    facts = change(tmp_path)
    (result,) = run(**facts)
    assert not result.kept
    (result,) = run(**facts)
    assert result.kept is (change is not _all_again)


def test_another_version_of_the_program_makes_all_again(tmp_path, run, monkeypatch):
    fakes.make_returns(tmp_path / "returned", ["honest"])
    list(run())
    monkeypatch.setattr("sheetgen.version.VERSION", "9.9.9")
    (result,) = run()
    assert not result.kept


def test_a_file_of_that_name_elsewhere_is_not_taken_for_done(tmp_path, run):
    """Reports lead to the returned file, wherever it is."""
    fakes.make_returns(tmp_path / "returned", ["honest"])
    list(run())
    (tmp_path / "returned").rename(tmp_path / "moved")
    (result,) = recheck_many(
        [tmp_path / "moved"], out_dir=tmp_path / "out", recheck_one=fakes.recheck, write_report=fakes.report
    )
    assert not result.kept


def test_two_runs_into_one_folder_do_not_mix(tmp_path, run):
    fakes.make_returns(tmp_path / "returned", ["honest", "honest"])
    first = run()
    next(first)
    with pytest.raises(SheetgenError, match="another run"):
        list(run())
    first.close()
    assert verdicts(run()) == ["clean", "clean"]


def test_a_file_in_place_of_the_output_folder_is_said(tmp_path, run):
    (tmp_path / "out").write_text("mine")
    with pytest.raises(SheetgenError, match="expected a folder to write into"):
        list(run())
    assert (tmp_path / "out").read_text() == "mine"


# Register and summary


@pytest.mark.parametrize("jobs", JOBS)
def test_each_result_is_recorded_as_it_comes(tmp_path, run, jobs):
    fakes.make_returns(tmp_path / "returned", ["honest", "unusable", "honest"])
    kinds = [result.outcome and result.outcome.kind for result in run(register=tmp_path / "r.db", jobs=jobs)]
    assert kinds == ["new", None, "new"]
    kinds = [result.outcome and result.outcome.kind for result in run(register=tmp_path / "r.db", jobs=jobs)]
    assert kinds == ["same-again", None, "same-again"]
    with open_register(tmp_path / "r.db") as register:
        (kept,) = register.history("book 0").returns
        assert len(kept.rechecks) == 1  # what was taken over is the same to the last digit


def test_what_an_earlier_run_made_is_recorded_where_it_was_not(tmp_path, run):
    """A run stopped between a report and its record."""
    fakes.make_returns(tmp_path / "returned", ["honest"])
    list(run())
    with open_register(tmp_path / "r.db") as register:
        (result,) = run(register=register)
        assert (result.kept, result.outcome.kind) == (True, "new")


def test_a_register_that_cannot_be_used_stops_the_batch_and_leaves_its_reports(tmp_path, run):
    fakes.make_returns(tmp_path / "returned", ["honest", "honest"])
    with pytest.raises(RegisterError):
        list(run(register=tmp_path))
    assert verdicts(run()) == ["clean", "clean"]


def test_the_tally_has_a_line_a_book_and_what_they_say_against_each_other(tmp_path, run):
    """The stand-in reads one log out of every file, so each book has the tickets of the first."""
    fakes.make_returns(tmp_path / "returned", ["honest", "unusable", "query"])
    tally = Tally()
    with open_register() as register:
        for result in run(register=register):
            tally.add(result)
        names = {found.finding.name for found in tally.across(register)}
        written = tally.write(tmp_path / "out", register=register)
    assert [line.conclusion for line in tally.lines] == ["clean", "query"]
    assert [error.path for error in tally.unusable] == [str(tmp_path / "returned" / "book 001.xlsx")]
    assert names == {
        "ticket-in-two-books", "stretch-in-two-books", "distributor-in-two-places", "section-beyond-order-in-books",
    }  # fmt: skip
    assert all(path.is_file() for path in written)
