"""A crew's book in one language, the office's report in another: alike in all but the words."""

from __future__ import annotations

import json

import openpyxl
import pytest

import sheetgen
from sheetgen import templates
from sheetgen.audit.report import write_report
from sheetgen.audit.run import recheck_book
from sheetgen.book.build import write_filled
from sheetgen.demo.day import honest_day
from sheetgen.demo.planted import planted
from sheetgen.order.demo import demo_order
from sheetgen.order.write import write_order
from sheetgen.register.register import open_register
from sheetgen.templates import texts
from tests.book.test_live_checks import flags
from tests.command_line import run_text

OFFICE = demo_order("us", "en")  # an order in English
CREW = OFFICE.in_language("es")  # its book in Spanish
MACHINE = CREW.machines[0]


@pytest.fixture(scope="module")
def book(tmp_path_factory):
    """A day in Spanish with errors, and words that are read only by somebody who knows the book's language."""
    log, _ = planted(honest_day(CREW, MACHINE, seed=3), CREW, MACHINE)
    log["shots", 12, "kind"], log["loads", 0, "net_mass"] = "riego", f"{log['loads', 0, 'net_mass']} lb"
    return write_filled(CREW, MACHINE, log, tmp_path_factory.mktemp("crew") / "book.xlsx")


@pytest.fixture(scope="module")
def as_built(book):
    return recheck_book(book)


def places(recheck):
    return [(each.name, each.severity, each.sheet, each.cell, each.stake) for each in recheck.findings]


def words(recheck):
    return " ".join(f"{each.found} {each.expected} {each.matters}" for each in recheck.findings)


@pytest.mark.parametrize("order", [None, OFFICE], ids=["carried order", "office's order"])
def test_only_the_words_differ(book, as_built, order):
    told = recheck_book(book, order=order, language="" if order else "en")
    assert told.told.language == "en"
    assert told.order.language == "es"  # what was issued
    assert places(told) == places(as_built)
    assert told.totals == as_built.totals
    assert told.shot_rows == as_built.shot_rows
    spanish = {" el ", " la ", " de ", " y ", "está"}
    assert any(word in words(as_built) for word in spanish)
    assert not [word for word in spanish if word in words(told)]
    reasons = [entry.how for entry in told.entries if entry.how]
    assert reasons
    assert not [reason for reason in reasons if any(word in reason for word in spanish)]


def texts_below(key, language):
    """The texts of a table in the files of a language."""
    tables = templates.toml(f"texts/{language}/report.toml")
    for part in key.split("."):
        tables = tables[part]
    return [text for text in tables.values() if isinstance(text, str)]


def test_the_report_is_in_the_offices_language(book, tmp_path):
    result = recheck_book(book, language="en")
    workbook, text, *_ = write_report(result, tmp_path, csv=True)
    said = {str(cell.value) for sheet in openpyxl.load_workbook(workbook) for row in sheet for cell in row}
    for key in ("report.findings.title", "findings.ticket-repeated.title"):
        assert texts("en")[key] in said
        assert texts("es")[key] not in said
    begun = tuple(f"–  {text.partition('{')[0]}" for text in texts_below("report.origin", "es"))
    assert [one for one in said if one.startswith(begun)] == []
    document = json.loads(text.read_text(encoding="utf-8"))
    assert document["book"]["language"] == "en"
    assert document["book"]["identity"] == recheck_book(book).identity


def test_a_report_compares_results_in_the_words_of_the_book(book):
    names = {each.name for each in recheck_book(book, language="en").findings}
    assert "value-differs-from-recheck" not in names
    assert "results-not-in-file" not in names


def test_a_book_in_another_language_is_ready_to_send_when_its_log_is_honest():
    shown, line = flags(CREW, honest_day(CREW, MACHINE, seed=4))
    assert line == texts("es")["checks.ready"]
    assert not any(shown.values())


def test_the_register_knows_a_book_of_another_language_as_issued(tmp_path):
    with open_register(str(tmp_path / "register.sqlite")) as register:
        register.record_issue(CREW, MACHINE)
        log = honest_day(CREW, MACHINE, seed=4)
        path = write_filled(CREW, MACHINE, log, tmp_path / "back.xlsx")
        register.record_return(recheck_book(path, order=OFFICE))
        assert [each.finding.name for each in register.across()] == []


def test_build_and_recheck_take_a_language(tmp_path):
    write_order(tmp_path / "order.xlsx", order=OFFICE)
    built = run_text("build", "order.xlsx", "--lang", "es", "--register", "r.sqlite", cwd=tmp_path)
    assert built.returncode == 0, built.stderr
    (book,) = sorted((tmp_path / "books").iterdir())
    assert openpyxl.load_workbook(book).sheetnames[0] == texts("es")["sheet.start.tab"]
    checked = run_text("recheck", book, "--lang", "en", "--register", "r.sqlite", cwd=tmp_path)
    title = "findings.no-shots-logged.title"
    assert texts("en")[title] in checked.stdout
    assert texts("es")[title] in run_text("recheck", book, "--out", "other", cwd=tmp_path).stdout
    refused = run_text("build", "order.xlsx", cwd=tmp_path)  # the same name, in the order's language
    assert refused.returncode == 2
    assert book.name in refused.stderr


def test_the_public_functions_take_a_language(tmp_path):
    (path,) = sheetgen.build(OFFICE, tmp_path, language="es")
    assert sheetgen.recheck(path).order.language == "es"
    assert sheetgen.recheck(path, language="en").told.language == "en"
    assert path.read_bytes() == sheetgen.build(CREW, tmp_path / "again")[0].read_bytes()
