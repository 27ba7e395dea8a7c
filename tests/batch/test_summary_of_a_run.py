"""The summary of many returned books: one line for each, totals by unit, the findings by kind, what was unusable."""

from __future__ import annotations

import csv
import io
import json

import openpyxl
import pytest

from sheetgen.audit.findings import finding
from sheetgen.audit.report import report_names
from sheetgen.audit.report.returned_file import told_apart
from sheetgen.batch.book_line import line_of
from sheetgen.batch.summary import write_summary
from sheetgen.batch.summary_document import FindingOf, SummaryDocument, summary_of
from sheetgen.errors import UnusableBook
from sheetgen.register.wording import AcrossFinding
from sheetgen.templates import LANGUAGES, texts
from tests.audit.report_case import PATH, changed, report_case

UNUSABLE = UnusableBook("returns/empty.xlsx", "an empty file", "a field book", "Ask for it again.")
ACROSS = AcrossFinding(
    path="in/second.xlsx", identity="B", return_id=2, other_path="in/first.xlsx", other_identity="A",
    finding=finding("ticket-in-two-books", sheet="Loads", cell="D6", found="T-1", expected="each ticket once"),
)  # fmt: skip


@pytest.fixture(scope="module")
def lines():
    case, metric = report_case(), report_case("si", "es")
    return [
        line_of(case, f"reports/{report_names(PATH)[0]}"),
        line_of(changed(case, claim=None, findings=[], path="second.xlsx", identity="another book")),
        line_of(metric),
        line_of(changed(metric, claim=None, identity="a fourth", order=metric.order.model_copy(
            update={"pay": metric.order.pay.model_copy(update={"unit_price": None})}))),
    ]  # fmt: skip


def test_a_line_has_the_verdict_the_counts_and_the_difference(lines):
    case = report_case()
    own = case.totals.overall["payable"]
    assert (lines[0].conclusion, lines[0].payable, lines[0].claim) == ("error", own, case.claim)
    assert lines[0].difference == case.claim - own
    assert lines[0].money == pytest.approx((case.claim - own) * case.order.pay.unit_price)
    assert sum(lines[0].kinds.values()) == len(case.findings)
    assert lines[1].conclusion == "clean"
    assert lines[1].difference == pytest.approx(12), "without a claim, the book's own figure"
    assert lines[3].money is None, "no unit price, no money"


def test_totals_add_up_by_unit(lines):
    totals = {total.unit: total for total in summary_of(lines, []).totals}
    assert set(totals) == {"gal", "L"}
    for unit, total in totals.items():
        mine = [line for line in lines if line.unit == unit]
        assert total.books == len(mine) == 2
        assert total.payable == pytest.approx(sum(line.payable for line in mine))
        assert total.difference == pytest.approx(sum(line.difference for line in mine))
        assert total.undisputed + total.in_question == pytest.approx(total.payable)
        assert total.in_question == pytest.approx(sum(line.in_question for line in mine)) != 0


def test_findings_by_kind_count_findings_and_books(lines):
    kinds = {kind.name: kind for kind in summary_of(lines, []).kinds}
    for name, kind in kinds.items():
        assert kind.count == sum(line.kinds.get(name, 0) for line in lines)
        assert kind.books == sum(name in line.kinds for line in lines)
    ranks = [("error", "query", "note").index(kind.severity) for kind in kinds.values()]
    assert ranks == sorted(ranks)


@pytest.mark.parametrize("language", LANGUAGES)
def test_the_workbook_shows_every_line_and_leads_to_its_report(lines, language, tmp_path):
    say = texts(language)
    claims = {"day 9": 1015.25, "day 10": 980.0}
    path, data, _csv = write_summary(lines, [UNUSABLE], tmp_path, language, "a4", [ACROSS], claims)
    told = SummaryDocument.model_validate_json(data.read_text(encoding="utf-8"), strict=True)
    own = summary_of(lines, [UNUSABLE], [ACROSS], claims).model_copy(deep=True)
    for line in own.books:  # rows count from 1 in the file
        line.shots[:] = [shot.model_copy(update={"row": shot.row + 1}) for shot in line.shots]
    assert told == own
    workbook = openpyxl.load_workbook(path)
    assert workbook.sheetnames == [
        say[f"report.summary.sheet.{key}"]
        for key in ("books", "kinds", "findings", "across", "unsupported", "unusable")
    ]
    books, kinds, _findings, across, unsupported, unusable = workbook.worksheets
    listed = [row for row in books.iter_rows() if row[2].value in {line.identity for line in lines}]
    assert [row[1].value for row in listed] == [line.file for line in summary_of(lines, [UNUSABLE]).books]
    assert [row[10].value for row in listed] == [line.payable for line in lines]
    assert [row[11].value for row in listed] == [line.undisputed for line in lines]
    assert [row[12].value for row in listed] == [line.in_question for line in lines]
    assert [row[15].value for row in listed] == [pytest.approx(line.difference) for line in lines]
    assert [bool(row[1].hyperlink) for row in listed] == [True, False, False, False]
    assert listed[0][1].hyperlink.target.replace("\\", "/").startswith("reports/")
    assert {row[4].value for row in kinds.iter_rows(min_row=4)} == {
        *(name for line in lines for name in line.kinds),
        "ticket-in-two-books",
    }
    assert [cell.value for cell in across[4]][2:7] == [
        "in/second.xlsx",  # not of this batch: as the register knows it
        "in/first.xlsx",
        "Loads D6",
        "T-1",
        "each ticket once",
    ]
    assert [[cell.value for cell in unsupported[row]][:2] for row in (4, 5)] == [
        ["day 10", 980],
        ["day 9", 1015.25],
    ]
    assert f"{say['report.summary.tally.unsupported']}: 2" in books["A4"].value
    assert [cell.value for cell in unusable[4]] == [
        "empty.xlsx",
        UNUSABLE.found,
        UNUSABLE.expected,
        UNUSABLE.remedy,
    ]
    assert all(
        cell.data_type != "f" for sheet in workbook.worksheets for row in sheet.iter_rows() for cell in row
    )


@pytest.mark.usefixtures("made_anew")
def test_the_same_books_give_the_same_bytes(lines, tmp_path):
    first = [path.read_bytes() for path in write_summary(lines, [UNUSABLE], tmp_path)]
    assert first == [path.read_bytes() for path in write_summary(lines, [UNUSABLE], tmp_path)]


def test_a_batch_without_a_single_book_has_a_summary_too(tmp_path):
    path, data, _csv = write_summary([], [UNUSABLE], tmp_path)
    assert json.loads(data.read_text(encoding="utf-8"))["books"] == []
    assert openpyxl.load_workbook(path).worksheets[1]["A4"].value == texts("en")["report.summary.nothing"]


@pytest.mark.parametrize(
    ("paths", "names"),
    [
        (["in/a.xlsx", "in/b.xlsx"], ["a.xlsx", "b.xlsx"]),
        (["in/x/a.xlsx", "in/y/a.xlsx"], ["x/a.xlsx", "y/a.xlsx"]),
        (["/r/x/a.xlsx", "/r/a.xlsx"], ["x/a.xlsx", "a.xlsx"]),
        (["x/a.xlsx", "/r/a.xlsx"], ["x/a.xlsx", "/r/a.xlsx"]),
        ([], []),
    ],
)
def test_files_of_one_name_are_told_apart_by_their_folders(paths, names):
    assert list(told_apart(paths).values()) == names


def test_a_book_that_came_back_twice_is_not_paid_twice(lines):
    first = lines[1]
    same = first.model_copy(update={"file": "the same book, sent again.xlsx"})
    [total] = summary_of([first, same], []).totals
    assert (total.books, total.undecided, total.payable) == (1, 0, first.payable)
    other = same.model_copy(update={"payable": first.payable + 40})
    alone = lines[0]
    [total] = summary_of([first, other, alone], []).totals
    assert (total.books, total.undecided) == (1, 2), (
        "which of the two returns counts is for a person to decide"
    )
    assert total.payable == alone.payable


@pytest.mark.parametrize("language", LANGUAGES)
def test_the_summary_says_which_returns_are_not_in_its_total(lines, language, tmp_path):
    other = lines[1].model_copy(update={"file": "changed.xlsx", "payable": lines[1].payable + 40})
    workbook, *_others = write_summary([lines[1], other], [], tmp_path, language)
    said = texts(language).say("report.summary.undecided", count=2)
    shown = [cell.value for row in openpyxl.load_workbook(workbook).worksheets[0] for cell in row]
    assert said in shown


def clash(name, **facts):
    return AcrossFinding("second.xlsx", "B", 2, PATH, "A", finding(name, sheet="Shots", cell="G6", **facts))


def test_what_books_say_against_each_other_counts_in_both_and_takes_money_from_the_later(lines):
    first, second = lines[:2]
    [part] = [shot for shot in second.shots if shot.row == 0]
    half = clash("stretch-in-two-books", row=0, stake=part.paid / 2, shots=(0,))
    document = summary_of([first, second], [], [half])
    one, other = document.books
    assert (one.counts.error, other.counts.error) == (first.counts.error + 1, 1)
    assert other.conclusion == "error"
    assert one.in_question == first.in_question
    assert other.in_question == pytest.approx(part.paid / 2, abs=0.51)
    assert other.in_question + other.undisputed == pytest.approx(second.payable)
    [total] = document.totals
    assert total.in_question == pytest.approx(first.in_question + other.in_question)
    [kind] = [kind for kind in document.kinds if kind.name == "stretch-in-two-books"]
    assert (kind.count, kind.books) == (1, 2)


def test_material_that_two_findings_across_books_ask_about_is_in_question_once(lines):
    [part] = [shot for shot in lines[1].shots if shot.row == 0]
    twice = [
        clash("stretch-in-two-books", row=0, stake=part.paid, shots=(0,)),
        clash("distributor-in-two-places", row=0, shots=(0,)),
    ]
    document = summary_of(lines[:2], [], twice)
    assert document.books[1].in_question == pytest.approx(part.paid, abs=0.51)
    assert (document.books[1].counts.error, document.books[1].counts.query) == (1, 1)


@pytest.mark.parametrize("language", LANGUAGES)
def test_all_findings_of_all_books_are_one_sheet_and_one_csv_table(lines, language, tmp_path):
    across = clash("ticket-in-two-books", found="=1+1", row=0, stake=10.0)
    path, _data, table = write_summary(lines, [], tmp_path, language, across=[across])
    say = texts(language)
    sheet = openpyxl.load_workbook(path)[say["report.summary.sheet.findings"]]
    shown = [[cell.value for cell in row] for row in sheet.iter_rows(min_row=4)]
    rows = list(csv.DictReader(io.StringIO(table.read_text(encoding="utf-8-sig"))))
    assert sorted(rows[0]) == sorted(FindingOf.model_fields)
    expected = sum(len(line.findings) for line in lines) + 1
    assert len(shown) == len(rows) == expected
    [told] = [row for row in rows if row["name"] == "ticket-in-two-books"]
    assert (told["number"], told["at_stake"], told["found"]) == ("", "10", "'=1+1")
    assert [row[9] for row in shown] == [row["name"] for row in rows]
    assert {row["file"] for row in rows} <= {line.file for line in summary_of(lines, []).books}


@pytest.mark.parametrize("language", LANGUAGES)
def test_a_summary_of_invented_books_says_so_on_its_first_page_and_at_every_foot(lines, language, tmp_path):
    path, *_others = write_summary(lines, [], tmp_path, language)
    workbook, say = openpyxl.load_workbook(path), texts(language)
    assert workbook.worksheets[0]["A3"].value == say.say("report.summary.invented", count=4, books=4)
    feet = [sheet.oddFooter.left.text for sheet in workbook.worksheets]
    assert all(say["book.invented_short"] in foot for foot in feet)
    real = [line.model_copy(update={"invented": False}) for line in lines]
    path, *_others = write_summary(real, [], tmp_path, language)
    feet = [sheet.oddFooter.left.text for sheet in openpyxl.load_workbook(path).worksheets]
    assert not any(say["book.invented_short"] in foot for foot in feet)
