"""Decisions of the desk and of reports are one: what is decided here is in the report there, and back."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from dataclasses import replace

import openpyxl
import pytest

from sheetgen.audit.decisions import match
from sheetgen.audit.model import Decision
from sheetgen.audit.report import write_report
from sheetgen.audit.report.decisions_sheet import read_decisions
from sheetgen.audit.run import recheck_book
from sheetgen.office.decisions import Decisions, decisions_beside
from sheetgen.templates import LANGUAGES, texts
from tests.audit.test_decisions import decide as decide_in_report
from tests.desk.test_pages import decide, spoilt

__all__ = ["spoilt"]

ONE = Decision("ticket-repeated", "Loads", "D9", "two rows", "not-payable", None, "AB", "2026-05-07", "seen")


def handed_in(office, *files):
    """The page of files that were handed in, when they are done."""
    browser = office.browser()
    page = browser.hand_in(*files)
    browser.done(page)
    return browser, page


def test_what_is_decided_on_the_desk_is_in_the_report_made_afterwards(office, spoilt, files):
    browser, book = spoilt
    delivery = office.delivery(book.removesuffix("/books/1"))
    before = delivery.books[0].in_question
    assert decide(browser, book, choice="not-payable", reason="one ticket").status_code == 303
    _, page = handed_in(office, files / "spoilt.xlsx")
    after = office.delivery(page)
    _, rows = read_decisions(office.folder / after.id / after.books[0].report)
    [typed] = [each for each in rows if each.said]
    assert (typed.name, typed.decision) == ("ticket-repeated", "not-payable")
    assert (typed.initials, typed.remark) == ("R. Inspector", "one ticket")
    assert after.books[0].in_question < before


def test_the_reports_of_a_delivery_are_made_again_with_what_was_decided_since(office, spoilt):
    browser, book = spoilt
    page = book.removesuffix("/books/1")
    for choice, seen in (
        ("accepted", 0),
        ("not-payable", 1),
    ):  # the second over a report that took the first over
        decide(browser, book, choice=choice, seen=str(seen))
        assert browser.post(f"{page}/again", follow_redirects=False).headers["location"] == page
        browser.done(page)
        delivery = office.delivery(page)
        _, rows = read_decisions(office.folder / delivery.id / delivery.books[0].report)
        assert [each.decision for each in rows if each.said] == [choice]


@pytest.mark.parametrize("language", LANGUAGES)
def test_what_is_decided_in_a_report_is_on_the_page(office, files, tmp_path, language):
    report = write_report(recheck_book(files / "spoilt.xlsx"), tmp_path)[0]
    word = texts(language)["report.decided.corrected"]  # whatever language the auditor types in
    decide_in_report(report, "ticket-repeated", decision=word, value=12.5, initials="AB", remark="half of it")
    browser, page = handed_in(office, files / "spoilt.xlsx", report)
    assert "AB, half of it" in browser.get(page).text
    assert "corrected to 12" in browser.get(f"{page}/books/1").text
    assert office.delivery(page).reports[0].new == 1
    again, later = handed_in(office, report)  # alone, and for the second time
    assert office.delivery(later).reports[0].new == 0
    assert "New here: 0" in again.get(later).text


def test_an_old_report_takes_nothing_back_that_was_decided_since(office, files, spoilt, tmp_path):
    browser, book = spoilt
    decide(browser, book)
    report = write_report(
        recheck_book(files / "spoilt.xlsx", decisions=office.desk.decisions.now()), tmp_path
    )[0]
    decide(browser, book, choice="not-payable", by="Second", seen="1")
    handed_in(office, report)
    assert "not payable. Second" in browser.get(book).text


def test_a_report_without_decisions_and_a_summary_are_nothing_to_do(office, files, tmp_path):
    report = write_report(recheck_book(files / "spoilt.xlsx"), tmp_path)[0]
    _, page = handed_in(office, report)
    assert [name for name, _ in office.delivery(page).other] == [report.name]


def test_a_database_of_before_is_read_with_the_choices_of_now(tmp_path):
    path = tmp_path / "decisions.db"
    with closing(sqlite3.connect(path)) as database, database:
        database.execute(
            "CREATE TABLE decisions (id INTEGER PRIMARY KEY, book TEXT NOT NULL, finding TEXT NOT NULL,"
            " place TEXT NOT NULL, found TEXT NOT NULL, choice TEXT NOT NULL, by TEXT NOT NULL,"
            " reason TEXT NOT NULL, made TEXT NOT NULL)"
        )
        for number, choice in enumerate(("open", "accepted", "to-correct", "not-paid")):
            place = f"Loads!D{number}" if number else "Loads"
            row = ("B", "dip-rose-during-shot", place, "x", choice, "AB", "why", "2026-05-07T08:15:00+00:00")
            database.execute(f"INSERT INTO decisions VALUES (NULL{', ?' * len(row)})", row)
    for _ in range(2):
        kept = Decisions(path).of_book("B")
        assert {each.cell: each.decision for each in kept.values()} == {
            "": "", "D1": "accepted", "D2": "corrected", "D3": "not-payable",
        }  # fmt: skip
        assert {each.date for each in kept.values()} == {"2026-05-07"}
        assert {each.name for each in kept.values()} == {"stick-reading-rose-during-shot"}
        assert list(kept) == [1, 2, 3, 4]


def test_two_findings_of_one_name_at_one_cell_are_decided_each_for_itself(tmp_path):
    store = Decisions(tmp_path / "decisions.db")
    two = [ONE, replace(ONE, found="three rows", decision="accepted", initials="CD")]
    assert [store.decide("B", each, seen=0) for each in two] == [None, None]
    assert {each.found: each.decision for each in store.of_book("B").values()} == {
        "two rows": "not-payable", "three rows": "accepted",
    }  # fmt: skip
    matched = match(two, reversed(store.of_book("B").values()))
    assert [matched.of[place].decision for place in (0, 1)] == ["not-payable", "accepted"]
    assert store.of_book("another book") == {}


def test_what_was_decided_until_then_stays_as_it_was(tmp_path):
    store = decisions_beside(str(tmp_path / "register.db"), tmp_path)
    assert store.path.name == "register.decisions.db"
    store.decide("B", ONE, seen=0)
    then = store.now()
    store.decide("B", replace(ONE, decision="accepted"), seen=1)
    assert [each.decision for each in then.get("B", ())] == ["not-payable"]
    assert [each.decision for each in store.now().get("B", ())] == ["accepted"]
    assert repr(then) != repr(store.now())  # by which a run knows that its reports are to be made again
    assert then.get("C", (ONE,)) == (ONE,)


def test_a_report_of_before_in_which_findings_had_other_names_is_read(office, files, tmp_path):
    report = write_report(recheck_book(files / "spoilt.xlsx"), tmp_path)[0]
    decide_in_report(report, "ticket-repeated", decision="not-payable", initials="AB")
    workbook = openpyxl.load_workbook(report)
    cells = [cell for row in workbook["Decisions"].iter_rows() for cell in row]
    (named,) = [cell for cell in cells if cell.value == "ticket-repeated"]
    named.value = "dip-outside-chart"
    workbook.save(report)
    (one,) = [each for each in read_decisions(report)[1] if each.said]
    assert (one.name, one.decision) == ("stick-reading-outside-chart", "not-payable")
    browser, page = handed_in(office, report)
    assert "A stick reading outside the tank chart" in browser.get(page).text


def test_a_report_of_before_in_which_the_word_was_another_is_read(files, tmp_path):
    report = write_report(recheck_book(files / "spoilt.xlsx"), tmp_path)[0]
    workbook = openpyxl.load_workbook(report)
    workbook["Decisions"].cell(6, 8).value = "Anulado"  # as the list of Spanish reports had it
    workbook.save(report)
    assert read_decisions(report)[1][0].decision == "not-payable"
