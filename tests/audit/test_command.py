"""The command that rechecks books, called in this process: what it prints, its status, and the files it writes."""

from __future__ import annotations

import io
import json
import logging
import re
import shutil
import sys
from itertools import islice

import openpyxl
import pytest

from sheetgen.audit.findings import finding, in_a_line
from sheetgen.book.build import write_filled
from sheetgen.commands import recheck as command
from sheetgen.commands.recheck import CLEAN, FINDINGS, UNUSABLE, recheck_command
from sheetgen.errors import RegisterError, SheetgenError, UnusableBook
from sheetgen.order.write import write_order
from sheetgen.register.register import open_register
from sheetgen.templates import texts
from tests.audit.orders import day, small
from tests.audit.test_last_saved import saved_at

ORDER = small(size={"shots": 20, "loads": 4, "days": 1})
MACHINE = ORDER.machines[0]
SPANISH = small("si", "es", size={"shots": 6, "loads": 2, "days": 1}, paper="a4")


@pytest.fixture(scope="module")
def office(tmp_path_factory):
    """A clean book, one with a ticket twice, one in Spanish, and a text file that is no workbook."""
    folder = tmp_path_factory.mktemp("office")
    log = day(ORDER)
    write_filled(ORDER, MACHINE, log, folder / "clean.xlsx")
    log |= {("loads", 1, "ticket"): log["loads", 0, "ticket"]}
    write_filled(ORDER, MACHINE, log, folder / "spoilt.xlsx")
    write_filled(SPANISH, SPANISH.machines[0], {}, folder / "vacío.xlsx")
    (folder / "note.xlsx").write_text("not a workbook")
    return folder


@pytest.fixture(scope="module")
def out(tmp_path_factory):
    """One output folder for all that is asked alike: a report that is there already is taken over."""
    return tmp_path_factory.mktemp("out")


@pytest.fixture
def run(office, out, capsys):
    """Run the command over books of the office; its status, and the lines it printed and complained in."""

    def call(*books, into=None, **options):
        asked = {
            "order": None, "public_key": None, "claim": None, "register": None, "copy": False, "csv": False,
            "as_json": False, "jobs": 1,
        }  # fmt: skip
        named = [str(office / book) for book in books]
        status = recheck_command(named, **asked | options, out=str(into or out))
        said = capsys.readouterr()
        return status, said.out.replace(f"{office}/", "").splitlines(), said.err.replace(f"{office}/", "")

    return call


def report(folder, book):
    return json.loads((folder / f"{book}.recheck.json").read_text(encoding="utf-8"))


# One book


def test_a_clean_book_is_two_lines_with_what_is_payable(run, out):
    status, lines, complaints = run("clean.xlsx")
    payable = report(out, "clean")["totals"]["payable"]["recomputed"]
    assert (status, complaints) == (CLEAN, "")
    assert lines == [
        "clean.xlsx: clean, origin not checked",
        f"  origin unsigned; payable as recomputed {payable:,.10g} gal{worth(payable)}, all of it undisputed; "
        f"report {out}/clean.recheck.xlsx",
    ]
    assert payable > 0
    assert not (out / "summary.xlsx").exists()  # one book has nothing to be summed up with


def worth(volume):
    price = ORDER.pay.unit_price
    return "" if price is None else f" ({volume * price:,.2f} {ORDER.pay.currency})"


def test_what_is_undisputed_and_what_is_in_question_is_printed_with_its_worth(run, out):
    _, lines, _ = run("spoilt.xlsx")
    paid = report(out, "spoilt")["payable"]
    parts = [paid[key]["volume"] for key in ("recomputed", "undisputed", "in_question")]
    said = [f"{each:,.10g} gal{worth(each)}" for each in parts]
    assert parts[0] == parts[1] + parts[2]
    assert parts[2] > 0
    figures = f"payable as recomputed {said[0]}, undisputed {said[1]}, in question {said[2]};"
    assert figures in lines[1]


def test_a_finding_is_named_with_its_cell_and_counted_by_severity(run):
    status, lines, complaints = run("spoilt.xlsx")
    assert (status, complaints) == (FINDINGS, "")
    assert lines[0] == f"spoilt.xlsx: error (errors: 1{lines[0].partition('errors: 1')[2]}"
    (named,) = [line for line in lines if line.endswith("(ticket-repeated)")]
    assert named.split()[:2] == ["error", "Loads!D7"]


def test_findings_of_the_whole_book_and_of_sheets_with_long_names_are_told_apart_from_their_titles(run):
    status, lines, _ = run("clean.xlsx", order=None, public_key="a" * 64)
    (unsigned,) = [line for line in lines if line.endswith("(book-not-signed)")]
    severity, where, title = unsigned.split(maxsplit=2)
    assert (status, severity, "!" in where) == (FINDINGS, "error" if "error" in lines[0] else "query", False)
    assert title


@pytest.mark.parametrize(
    ("sheet", "cell", "line"),
    [
        ("Loads", "D7", "error    Loads!D7      {} (formula-changed)"),
        ("Temperature", "B5", "error    Temperature!B5 {} (formula-changed)"),
        ("Temperature", "B12", "error    Temperature!B12 {} (formula-changed)"),
        ("The crew's own sheet", "", "error    The crew's own sheet {} (formula-changed)"),
        ("", "", "error                  {} (formula-changed)"),
    ],
)
def test_the_line_of_a_finding_has_a_blank_behind_its_place(sheet, cell, line):
    title = texts("en")["findings.formula-changed.title"]
    assert in_a_line(finding("formula-changed", sheet=sheet, cell=cell), "en") == line.format(title)


def test_of_many_findings_the_first_are_printed_and_the_rest_counted(run, office, tmp_path):
    log = day(ORDER)
    for row in range(12):
        log |= {
            ("shots", row, "temperature"): 700.0 + row,
            ("shots", row, "waste"): 4000.0,
            ("shots", row, "width"): 50.0,
        }
    write_filled(ORDER, MACHINE, log, office / "messy.xlsx")
    status, lines, _ = run("messy.xlsx", into=tmp_path)
    (office / "messy.xlsx").unlink()
    findings = report(tmp_path, "messy")["findings"]
    assert status == FINDINGS
    assert len(findings) > 25
    assert len(lines) == 2 + 25 + 1
    assert lines[-1] == f"  and {len(findings) - 25} more: see the report"


def test_a_file_that_is_no_workbook_is_complained_of_and_the_others_are_done(run, out):
    status, lines, complaints = run("note.xlsx", "clean.xlsx")
    assert status == UNUSABLE
    assert lines[0] == "clean.xlsx: clean, origin not checked"
    assert complaints.startswith("note.xlsx: found")
    assert len(complaints.splitlines()) == 1
    summary = json.loads((out / "summary.json").read_text(encoding="utf-8"))
    assert [line["file"] for line in summary["books"]] == ["clean.xlsx"]
    assert [line["file"] for line in summary["unusable"]] == ["note.xlsx"]


def test_a_book_as_json_is_its_report_on_one_line(run, out):
    status, lines, _ = run("clean.xlsx", as_json=True)
    assert (status, len(lines)) == (CLEAN, 1)
    assert json.loads(lines[0]) == report(out, "clean")


def test_a_copy_with_notes_and_tables_are_written_where_they_are_asked_for(run, office, tmp_path):
    before = (office / "spoilt.xlsx").read_bytes()
    run("spoilt.xlsx", into=tmp_path, copy=True, csv=True)
    assert (office / "spoilt.xlsx").read_bytes() == before
    kinds = {path.suffix for path in tmp_path.rglob("*") if path.is_file()}
    books = [path.name for path in tmp_path.rglob("*.xlsx")]
    assert ".csv" in kinds
    assert len(books) == 2  # the report and the copy


# The office's own order and key


def test_the_offices_own_order_counts(run, tmp_path):
    own = small(size=ORDER.size.model_dump(), pay__excess_limit=0.0)
    write_order(tmp_path / "order.xlsx", order=own)
    status, lines, _ = run("clean.xlsx", order=tmp_path / "order.xlsx", into=tmp_path / "out")
    assert status == FINDINGS
    assert any(line.endswith("(carried-order-differs)") for line in lines)


@pytest.mark.parametrize("key", ["xyz", "", "0" * 63])
def test_a_public_key_that_is_none_stops_the_run_before_any_book(run, key, tmp_path):
    with pytest.raises(SheetgenError, match="64"):
        run("clean.xlsx", public_key=key, into=tmp_path / "out")
    assert not (tmp_path / "out").exists()


# Claims


def test_a_claim_as_one_number_is_held_against_the_book(run, out):
    payable = report_payable(run, out)
    assert run("clean.xlsx", claim=f"{payable:.10g}")[0] == CLEAN
    status, lines, _ = run("clean.xlsx", claim=f"{payable + 40:.10g}")
    assert status == FINDINGS
    assert any(line.endswith("(claim-above-recheck)") for line in lines)


def report_payable(run, out):
    run("clean.xlsx")
    return report(out, "clean")["totals"]["payable"]["recomputed"]


def test_lines_of_a_claim_sheet_that_no_book_stands_behind_are_said(run, out, tmp_path):
    payable = report_payable(run, out)
    claims = tmp_path / "claim.csv"
    claims.write_text(f"book,payable\nclean,{payable}\nday 9,1015.25\nday 8,980\n")
    status, lines, _ = run("clean.xlsx", claim=str(claims))
    assert status == FINDINGS
    assert lines[0] == "clean.xlsx: clean, origin not checked"
    assert lines[2:] == [
        f"{claims}: 980 is claimed for day 8, and no book of that name came back. "
        "Ask for the book, or correct its name in the claim sheet.",
        f"{claims}: 1,015.25 is claimed for day 9, and no book of that name came back. "
        "Ask for the book, or correct its name in the claim sheet.",
    ]
    summary = json.loads((out / "summary.json").read_text(encoding="utf-8"))
    assert summary["unsupported"] == [
        {"book": "day 8", "claimed": 980.0},
        {"book": "day 9", "claimed": 1015.25},
    ]


def test_a_run_that_is_stopped_calls_no_claim_unsupported(run, out, tmp_path, monkeypatch):
    """Books that it did not come to may be the ones that are claimed for."""
    claims = tmp_path / "claim.csv"
    claims.write_text("book,payable\nclean,1\nday 9,1015.25\n")
    whole = command.recheck_many

    def stopped(*books, **rest):
        yield from islice(whole(*books, **rest), 2)
        raise KeyboardInterrupt

    monkeypatch.setattr(command, "recheck_many", stopped)
    with pytest.raises(KeyboardInterrupt):
        run("clean.xlsx", "note.xlsx", "day 9.xlsx", claim=str(claims), into=tmp_path / "out")
    summary = json.loads((tmp_path / "out" / "summary.json").read_text(encoding="utf-8"))
    assert [len(summary[part]) for part in ("books", "unusable", "unsupported")] == [1, 1, 0]


def test_a_claim_sheet_of_the_books_that_came_back_is_no_finding(run, out, tmp_path):
    payable = report_payable(run, out)
    claims = tmp_path / "claim.csv"
    claims.write_text(f"book,payable\n{report(out, 'clean')['book']['identity']},{payable}\n")
    status, lines, _ = run("clean.xlsx", claim=str(claims))
    assert (status, len(lines)) == (CLEAN, 2)


def test_with_json_every_line_can_be_read_by_a_program(run, tmp_path):
    claims = tmp_path / "claim.csv"
    claims.write_text("book,payable\nday 9,1015.25\n")
    status, lines, _ = run("clean.xlsx", claim=str(claims), as_json=True)
    book, unsupported = map(json.loads, lines)
    assert status == FINDINGS
    assert (book["claim"], unsupported["book"]) == (None, "day 9")
    assert unsupported["claimed"] == 1015.25
    assert "no book of that name came back" in unsupported["said"]


@pytest.mark.parametrize("claim", ["nan", "inf", "-inf", "many"])
def test_a_claim_that_is_no_quantity_stops_the_run_before_any_book(run, claim, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    with pytest.raises(UnusableBook, match=f"{claim}: found neither a quantity nor a file that can be read"):
        run("clean.xlsx", claim=claim, into=tmp_path / "out")
    assert not (tmp_path / "out").exists()


def test_an_order_in_place_of_a_book_is_no_field_book_even_with_the_offices_own_order(run, office, tmp_path):
    own = tmp_path / "order.xlsx"
    write_order(own, order=ORDER)
    shutil.copy(own, office / "another file.xlsx")
    status, lines, complaints = run("another file.xlsx", order=own, into=tmp_path / "out")
    assert status == UNUSABLE
    assert "without a record sheet and without any of the logs" in complaints
    (office / "another file.xlsx").unlink()
    assert lines == []


# Several books, and the register


def test_several_books_are_summed_up_in_the_language_and_on_the_paper_of_the_first(run, office, out):
    status, _, _ = run("vacío.xlsx", "clean.xlsx", into=out)
    assert status in (CLEAN, FINDINGS)
    assert summed_up(out) == SPANISH_A4
    run("clean.xlsx", "vacío.xlsx", into=out)
    assert summed_up(out) == ENGLISH_LETTER


# The first tab of a summary, and the paper by its number in ECMA-376 part 1, 18.3.1.63: 9 is A4, 1 is Letter.
SPANISH_A4 = (texts("es")["report.summary.sheet.books"], 9)
ENGLISH_LETTER = (texts("en")["report.summary.sheet.books"], 1)


def summed_up(folder):
    first = openpyxl.load_workbook(folder / "summary.xlsx").worksheets[0]
    return first.title, int(first.page_setup.paperSize)


def test_the_offices_order_says_in_which_language_they_are_summed_up(run, tmp_path):
    write_order(tmp_path / "order.xlsx", order=SPANISH)
    run("absent.xlsx", "note.xlsx", order=tmp_path / "order.xlsx", into=tmp_path / "out")
    assert summed_up(tmp_path / "out") == SPANISH_A4


def test_where_no_book_can_be_used_the_summary_is_in_english(run, tmp_path):
    status, lines, complaints = run("note.xlsx", "absent.xlsx", into=tmp_path)
    assert (status, lines) == (UNUSABLE, [])
    assert len(complaints.splitlines()) == 2
    assert summed_up(tmp_path) == ENGLISH_LETTER


def test_one_load_in_two_books_is_told_behind_the_books(run, office, tmp_path):
    other = small(size=ORDER.size.model_dump(), job__number="INV-9")
    write_filled(other, other.machines[0], day(other), office / "other.xlsx")
    books = ("clean.xlsx", "other.xlsx")
    status, lines, _ = run(*books, into=tmp_path)
    told = [number for number, line in enumerate(lines) if line == "other.xlsx and clean.xlsx"]
    assert status == FINDINGS
    assert told
    assert any(lines[number + 1].endswith("-in-two-books)") for number in told)
    as_json = run(*books, into=tmp_path, as_json=True)
    (office / "other.xlsx").unlink()
    across = [json.loads(line) for line in as_json[1]][2:]
    pairs = [line for line in lines if line in ("other.xlsx and clean.xlsx", "clean.xlsx and other.xlsx")]
    assert pairs == list(dict.fromkeys(pairs)), "what two books say against each other stands together"
    assert len(across) == len(lines[told[0] :]) - len(pairs), "a line for each finding, and one for each pair"
    assert {each["name"] for each in across} >= {"ticket-in-two-books"}
    summary = json.loads((tmp_path / "summary.json").read_text(encoding="utf-8"))
    assert len(summary["across"]) == len(across)


def test_a_register_remembers_one_book_for_the_next_run(run, office, tmp_path):
    register = str(tmp_path / "books.db")
    with open_register(register) as kept:
        kept.record_issue(ORDER, MACHINE)
    assert run("clean.xlsx", register=register, into=tmp_path / "first")[0] == CLEAN
    status, lines, _ = run("spoilt.xlsx", register=register, into=tmp_path / "second")
    assert status == FINDINGS
    assert "spoilt.xlsx and clean.xlsx" in lines
    changes = lines[lines.index("spoilt.xlsx and clean.xlsx") + 1]
    assert changes.endswith("(return-changes-earlier)")


def test_a_book_that_the_register_did_not_issue_is_told_with_one_file_alone(run, tmp_path):
    register = str(tmp_path / "books.db")
    with open_register(register) as kept:
        kept.record_issue(SPANISH, SPANISH.machines[0])
    status, lines, _ = run("clean.xlsx", register=register, into=tmp_path / "out")
    assert status == FINDINGS  # for what the register says: the book itself is clean
    assert (lines[0], lines[2]) == ("clean.xlsx: clean, origin not checked", "clean.xlsx")
    assert lines[3].endswith("(book-not-in-register)")


# A run that is stopped


@pytest.mark.parametrize("done", [1, 2])
def test_a_stopped_run_says_how_it_goes_on_and_sums_up_what_was_done(
    run, office, tmp_path, monkeypatch, capsys, done
):
    many = command.recheck_many

    def stopped(*books, **options):
        results = many(*books, **options)
        for _ in range(done):
            yield next(results)
        results.close()
        raise KeyboardInterrupt

    monkeypatch.setattr(command, "recheck_many", stopped)
    with pytest.raises(KeyboardInterrupt):
        run("clean.xlsx", "spoilt.xlsx", "note.xlsx", into=tmp_path)
    said = capsys.readouterr()
    assert said.err == "stopped; finished parts are kept, and this command run again continues from there\n"
    assert "clean.xlsx: clean, origin not checked" in said.out
    assert (tmp_path / "clean.recheck.json").exists()
    assert (tmp_path / "summary.json").exists() == (done > 1)  # one book alone has its report
    if done > 1:
        summary = json.loads((tmp_path / "summary.json").read_text(encoding="utf-8"))
        assert [line["file"] for line in summary["books"]] == ["clean.xlsx", "spoilt.xlsx"]


# A terminal


class Terminal(io.StringIO):
    """A stream that says it is a terminal."""

    def isatty(self):
        return True


def test_progress_is_shown_on_a_terminal_with_its_rate(run, office, out, monkeypatch):
    monkeypatch.setenv("TERM", "xterm")
    monkeypatch.delenv("NO_COLOR", raising=False)
    monkeypatch.setattr(sys, "stderr", Terminal())
    run("clean.xlsx", "spoilt.xlsx", "vacío.xlsx")
    shown = sys.stderr.getvalue()
    assert "rechecked" in shown
    assert "3/3" in shown
    assert "books/s" in shown


def test_in_a_pipe_no_progress_is_shown(run):
    assert run("clean.xlsx", "vacío.xlsx")[2] == ""


# A cluster


def test_processes_of_ones_own_do_not_go_together_with_a_cluster(run):
    with pytest.raises(SheetgenError, match="--jobs: found together with --scheduler"):
        run("clean.xlsx", scheduler="tcp://10.0.0.5:8786", jobs=2)


@pytest.mark.parametrize("register", ["books.db", "sqlite:///books.db", "sqlite+pysqlite:///books.db"])
def test_the_workers_of_a_cluster_cannot_ask_a_register_in_a_file(run, register):
    with pytest.raises(
        RegisterError, match=f"^{re.escape(register)}: found a register in a file; expected a database server"
    ):
        run("clean.xlsx", scheduler="tcp://10.0.0.5:8786", register=register)


@pytest.mark.parametrize("register", [None, "postgresql+psycopg://office@10.0.0.5/books"])
def test_a_cluster_without_register_or_with_a_server_is_begun_in_silence(
    run, register, tmp_path, monkeypatch
):
    """The next thing that cannot be used, the order, is what is complained of."""
    logger = logging.getLogger("distributed")
    monkeypatch.setattr(logger, "level", logger.level)
    with pytest.raises(SheetgenError, match=r"absent\.xlsx"):
        run("clean.xlsx", scheduler="tcp://10.0.0.5:8786", register=register, order=tmp_path / "absent.xlsx")
    assert logger.level == logging.CRITICAL


def test_of_two_returns_of_a_book_the_one_saved_last_counts_whatever_the_files_are_called(
    run, office, tmp_path
):
    log = day(ORDER, 5)
    for name, dip, saved in (("a", 0.25, "2026-05-06T15:00:00Z"), ("b", 0.0, "2026-05-06T09:00:00Z")):
        changed = log | {("shots", 2, "dip_after"): log["shots", 2, "dip_after"] + dip}
        saved_at(write_filled(ORDER, MACHINE, changed, office / f"{name}.xlsx"), saved)
    try:
        status, lines, _ = run("a.xlsx", "b.xlsx", into=tmp_path)
    finally:
        for name in "ab":
            (office / f"{name}.xlsx").unlink()
    assert status == FINDINGS
    assert "a.xlsx and b.xlsx" in lines
    (across,) = json.loads((tmp_path / "summary.json").read_text(encoding="utf-8"))["across"]
    assert (across["name"], across["file"], across["other"]) == ("return-changes-earlier", "a.xlsx", "b.xlsx")
    assert "saved 2026-05-06 09:00:00 UTC, this one 2026-05-06 15:00:00 UTC" in across["found"]
