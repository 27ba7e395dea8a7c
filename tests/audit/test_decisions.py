"""What an auditor decides on findings: typed into a report, carried over to the next, and what it does to the money."""

from __future__ import annotations

import datetime as dt
import json
import shutil

import openpyxl
import pytest

from sheetgen.audit.decisions import match, merged
from sheetgen.audit.findings import finding
from sheetgen.audit.model import Decision
from sheetgen.audit.report import write_report
from sheetgen.audit.report.contents import contents
from sheetgen.audit.report.decisions_sheet import decisions_in, read_decisions
from sheetgen.audit.run import recheck_book
from sheetgen.batch import returned_files
from sheetgen.book.build import write_filled
from sheetgen.commands.recheck import UNUSABLE, recheck_command
from sheetgen.errors import ReportInTheWay, UnusableBook
from sheetgen.templates import LANGUAGES, texts
from tests.audit.orders import day, small
from tests.audit.report_case import changed, report_case

ORDER = small(size={"shots": 20, "loads": 4, "days": 1})
OPTIONS = {
    "order": None, "public_key": None, "claim": None, "register": None, "copy": False, "csv": False, "as_json": False,
    "jobs": 1,
}  # fmt: skip


def book(path, order=ORDER, **changes):
    """A returned book with other entries, given as ``table_row_column``."""
    log = day(order)
    for place, value in changes.items():
        table, row, column = place.split("_", 2)
        log[table, int(row), column] = value
    return write_filled(order, order.machines[0], log, path)


@pytest.fixture(scope="module")
def fell():
    """An entry by which the level fell between two shots, and its cell."""
    return {"shots_3_dip_before": day(ORDER)["shots", 3, "dip_before"] - 2}


def decide(report, name, language="en", **typed):
    """Type a decision on the first finding of a name, as a person does, and save the report."""
    workbook = openpyxl.load_workbook(report)
    sheet = workbook[texts(language)["report.sheet.decisions"]]
    heads = {cell.value: cell.column for cell in sheet[5]}
    say = texts(language)
    row = next(row for row in range(6, sheet.max_row + 1) if sheet.cell(row, 13).value == name)
    for key, value in typed.items():
        head = next(text for text in heads if text == say.say(f"report.decisions.{key}", unit="gal"))
        cell = sheet.cell(row, heads[head])
        assert cell.protection.locked is False
        cell.value = value
    workbook.save(report)


def data(folder, name):
    return json.loads((folder / f"{name}.recheck.json").read_text(encoding="utf-8"))


def line(said, name):
    return next(one for one in said["decisions"] if one["name"] == name)


def volumes(said):
    return [
        said["payable"][key]["volume"] for key in ("recomputed", "undisputed", "in_question", "not_payable")
    ]


# What a decision does to the money


@pytest.fixture(scope="module")
def case():
    """A recheck with one finding on 88.8 gal of one shot."""
    whole = report_case()
    at = next(one for one in whole.entries if (one.table, one.row, one.column) == ("shots", 1, "dip_after"))
    one = finding(
        "level-fell-between-readings", sheet=at.sheet, cell=at.cell, row=1, stake=20.0, shots=(1,), found="20"
    )
    return changed(whole, findings=[one, finding("sheet-added", sheet="x", cell="B2", found="x")])


def decision(case, word, value=None):
    one = case.findings[0]
    return Decision(
        one.name, one.sheet, one.cell, one.found, word, value, "AB", "2026-05-07", "seen on paper"
    )


@pytest.mark.parametrize(
    ("word", "value", "undisputed", "question", "struck", "decided"),
    [
        ("", None, -20, 20, 0, 0),
        ("accepted", None, 0, 0, 0, 1),
        ("not-payable", None, -20, 0, 20, 1),
        ("corrected", 15.0, -5, 0, 5, 1),
        ("corrected", 25.0, 0, 0, 0, 1),  # more than is at stake: nothing is taken away, nothing is added
        ("corrected", None, -20, 20, 0, 0),  # to what, nobody knows
        ("perhaps", None, -20, 20, 0, 0),
    ],
)
def test_what_is_decided_moves_the_money(case, word, value, undisputed, question, struck, decided):
    said = contents(changed(case, decisions=(decision(case, word, value),)))
    own = said.payable.recomputed.volume
    assert said.payable.undisputed.volume == own + undisputed
    assert said.payable.in_question.volume == question
    assert said.payable.not_payable.volume == struck
    assert (said.conclusion.decided, said.conclusion.open) == (decided, 2 - decided)
    assert [each.name for each in said.payable.reasons] == ([case.findings[0].name] if question else [])


def test_what_is_struck_on_one_finding_is_not_in_question_by_another(case):
    one = case.findings[0]
    other = finding(
        "stick-and-meter-differ", sheet=one.sheet, cell=one.cell, stake=50.0, shots=(1,), found="50"
    )
    said = contents(changed(case, findings=[one, other], decisions=(decision(case, "not-payable"),)))
    assert (said.payable.not_payable.volume, said.payable.in_question.volume) == (20, 30)
    assert said.payable.undisputed.volume == said.payable.recomputed.volume - 50


# Which finding a decision belongs to


def test_a_finding_that_says_something_else_is_open_again_and_its_decision_a_remark(case):
    before = Decision(
        case.findings[0].name, case.findings[0].sheet, case.findings[0].cell, "5", "accepted", None, "AB"
    )
    [kept] = match(case.findings, [before]).of.values()
    assert kept.decision == ""
    assert all(part in kept.remark for part in ("accepted", "AB", "5"))
    said = contents(changed(case, decisions=(before,)))
    assert said.payable.in_question.volume == 20
    assert said.conclusion.decided == 0


def test_a_decision_on_a_finding_that_is_gone_is_kept(case):
    gone = Decision(
        "gap-in-lane", "Shots", "G9", "a gap", "not-payable", None, "AB", "2026-05-07", "sprayed later"
    )
    said = contents(changed(case, decisions=(gone,)))
    [kept] = [one for one in said.decisions if one.number is None]
    assert kept[1:] == (
        "gap-in-lane",
        "Shots",
        "G9",
        "a gap",
        "not-payable",
        None,
        "AB",
        "2026-05-07",
        "sprayed later",
    )
    assert said.conclusion.decided == 0


def test_two_findings_of_one_name_at_one_cell_keep_their_own_decisions():
    two = [finding("shots-overlap-in-lane", sheet="Shots", cell="G9", found=text) for text in ("a", "b")]
    typed = [
        Decision("shots-overlap-in-lane", "Shots", "G9", text, word)
        for text, word in (("b", "not-payable"), ("a", "accepted"))
    ]
    assert {place: each.decision for place, each in match(two, typed).of.items()} == {
        0: "accepted",
        1: "not-payable",
    }


def test_of_two_reports_the_later_counts_row_by_row():
    first = [
        Decision("a", "S", "A1", decision="not-payable"),
        Decision("b", "S", "B1", decision="not-payable"),
    ]
    later = [Decision("a", "S", "A1", decision="accepted"), Decision("c", "S", "C1", decision="not-payable")]
    assert [(each.name, each.decision) for each in merged(first, later)] == [
        ("a", "accepted"),
        ("b", "not-payable"),
        ("c", "not-payable"),
    ]
    taken_back = [Decision("b", "S", "B1")]
    assert [each.name for each in merged(first, taken_back)] == ["a"]


# Typed, saved, carried over


@pytest.mark.parametrize("language", LANGUAGES)
def test_what_is_typed_is_read_again_in_each_language(language, tmp_path):
    order = small("us", language, size={"shots": 20, "loads": 4, "days": 1})
    recheck = recheck_book(book(tmp_path / "b.xlsx", order, loads_1_ticket=day(order)["loads", 0, "ticket"]))
    report = write_report(recheck, tmp_path / "out")[0]
    word = texts(language)["report.decided.corrected"]
    decide(report, "ticket-repeated", language, decision=word.upper(), value=12.5, initials="AB",
           date=dt.datetime(2026, 5, 7), remark="=two tickets")  # fmt: skip
    identity, rows = read_decisions(report)
    assert identity == recheck.identity
    [typed] = [each for each in rows if each.said]
    assert (typed.name, typed.decision, typed.value) == ("ticket-repeated", "corrected", 12.5)
    assert (typed.initials, typed.date) == ("AB", "2026-05-07")


def test_a_value_that_is_no_volume_is_kept_in_the_remark(tmp_path):
    recheck = recheck_book(book(tmp_path / "b.xlsx", loads_1_ticket=day(ORDER)["loads", 0, "ticket"]))
    report = write_report(recheck, tmp_path / "out")[0]
    decide(report, "ticket-repeated", value="all of it", remark="seen")
    [typed] = [each for each in read_decisions(report)[1] if each.said]
    assert (typed.value, typed.remark) == (None, "seen [all of it]")


def test_the_report_is_written_again_with_its_decisions_and_what_was_saved_is_kept(tmp_path, fell):
    path, out = book(tmp_path / "b.xlsx", **fell), tmp_path / "out"
    report = write_report(recheck_book(path), out)[0]
    before = volumes(data(out, "b"))
    decide(report, "level-fell-between-readings", decision="not-payable", initials="AB", remark="spilt")
    saved = report.read_bytes()
    for _ in range(2):  # the second time from a report that took them over
        write_report(recheck_book(path), out)
        said = data(out, "b")
        assert line(said, "level-fell-between-readings")["decision"] == "not-payable"
        assert line(said, "level-fell-between-readings")["remark"] == "spilt"
        payable, undisputed, question, struck = volumes(said)
        assert (payable, undisputed, question + struck) == (before[0], before[1], before[2])
        assert struck > question  # what is left is the rate of that shot, which another finding asks about
    kept = [each for each in out.glob("*.xlsx") if "decided" in each.name]
    assert [each.read_bytes() for each in kept] == [saved]
    assert returned_files([out]) == [out], "neither is a returned book"


def test_a_changed_report_on_another_book_is_left_alone(tmp_path, fell):
    first, out = book(tmp_path / "b.xlsx", **fell), tmp_path / "out"
    report = write_report(recheck_book(first), out)[0]
    decide(report, "level-fell-between-readings", decision="not-payable")
    saved = report.read_bytes()
    other = small(size={"shots": 21, "loads": 4, "days": 1}, job__number="OTHER-2")
    (tmp_path / "other").mkdir()
    second = book(tmp_path / "other" / "b.xlsx", other)
    with pytest.raises(ReportInTheWay):
        write_report(recheck_book(second), out)
    assert report.read_bytes() == saved


def test_the_next_return_of_a_book_takes_the_decisions_over(tmp_path, fell, capsys):
    path, out = book(tmp_path / "monday.xlsx", **fell), tmp_path / "out"
    recheck_command([str(path)], **OPTIONS, out=str(out))
    decide(out / "monday.recheck.xlsx", "level-fell-between-readings", decision="accepted", initials="AB")
    later = book(tmp_path / "friday.xlsx", **fell, shots_0_remarks="looked at")
    capsys.readouterr()
    recheck_command([str(later)], **OPTIONS, out=str(out))
    said, printed = data(out, "friday"), capsys.readouterr().out
    assert line(said, "level-fell-between-readings")["decision"] == "accepted"
    assert "level-fell-between-readings" not in {each["name"] for each in said["payable"]["reasons"]}
    assert f"findings decided 1, open {said['conclusion']['open']}" in printed
    elsewhere = tmp_path / "elsewhere"
    recheck_command([str(later)], **OPTIONS, out=str(elsewhere), decisions=out / "monday.recheck.xlsx")
    assert line(data(elsewhere, "friday"), "level-fell-between-readings")["initials"] == "AB"


def test_a_run_again_over_a_folder_makes_the_decided_report_anew_and_sums_up_what_is_struck(tmp_path, fell):
    returned, out = tmp_path / "returned", tmp_path / "out"
    returned.mkdir()
    book(returned / "a.xlsx", **fell)
    book(returned / "b.xlsx", small(size={"shots": 21, "loads": 4, "days": 1}, job__number="OTHER-2"))
    recheck_command([str(returned)], **OPTIONS, out=str(out))
    decide(out / "a.recheck.xlsx", "level-fell-between-readings", decision="not-payable")
    recheck_command([str(returned)], **OPTIONS, out=str(out))
    summary = json.loads((out / "summary.json").read_text(encoding="utf-8"))
    struck = data(out, "a")["payable"]["not_payable"]["volume"]
    assert struck > 0
    assert [each["not_payable"] for each in summary["totals"]] == [struck]
    assert [each["decided"] for each in summary["books"]] == [1, 0]
    for each in summary["totals"]:
        assert each["undisputed"] + each["in_question"] + each["not_payable"] == pytest.approx(
            each["payable"]
        )


def test_an_earlier_report_that_is_none_is_an_error_in_words(tmp_path, fell):
    path = book(tmp_path / "b.xlsx", **fell)
    with pytest.raises(UnusableBook, match="without the sheet Decisions"):
        recheck_command([str(path)], **OPTIONS, out=str(tmp_path / "out"), decisions=path)
    assert UNUSABLE == 2
    assert decisions_in(tmp_path) == {}


def test_decisions_stay_through_a_copy_of_the_report_in_another_folder(tmp_path, fell):
    path, out = book(tmp_path / "b.xlsx", **fell), tmp_path / "out"
    report = write_report(recheck_book(path), out)[0]
    decide(report, "level-fell-between-readings", decision="not-payable")
    elsewhere = tmp_path / "archive"
    elsewhere.mkdir()
    shutil.copy(report, elsewhere / "renamed.recheck.xlsx")
    [(identity, [typed])] = decisions_in(elsewhere).items()
    assert identity == recheck_book(path).identity
    assert typed.decision == "not-payable"
