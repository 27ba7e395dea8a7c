"""A fresh copy of one book for each day: copies without a day in common are added, and that is said."""

from __future__ import annotations

import json

import openpyxl
import pytest

from sheetgen.batch.book_line import days_apart
from sheetgen.batch.summary_document import summary_of
from sheetgen.book.build import write_filled
from sheetgen.commands.recheck import recheck_command
from sheetgen.templates import LANGUAGES, texts
from tests.audit.orders import day, small
from tests.audit.test_decisions import OPTIONS
from tests.batch.test_summary_of_a_run import lines

__all__ = ["lines"]  # the fixture


@pytest.mark.parametrize(
    ("days", "apart"),
    [
        ([["2026-05-04"], ["2026-05-05"]], True),
        ([["2026-05-04", "2026-05-05"], ["2026-05-05"]], False),
        ([["2026-05-04"], ["2026-05-05"], ["2026-05-04"]], False),
        ([["2026-05-04"]], False),
        ([["2026-05-04"], []], False),
        ([["", "2026-05-04"], ["2026-05-05"]], False),  # a row without a date may be of any day
    ],
)
def test_days_are_apart_where_all_are_known_and_none_is_in_two(lines, days, apart):
    copies = [lines[1].model_copy(update={"days": each}) for each in days]
    assert days_apart(copies) is apart


@pytest.mark.parametrize("alike", [False, True])
def test_copies_for_different_days_are_added_also_where_they_come_to_the_same(lines, alike):
    first = lines[1].model_copy(update={"days": ["2026-05-04"]})
    second = first.model_copy(update={"days": ["2026-05-05"], "file": "tuesday.xlsx"})
    if not alike:
        second = second.model_copy(
            update={"payable": first.payable + 40, "undisputed": first.undisputed + 40}
        )
    [total] = summary_of([first, second], []).totals
    assert (total.books, total.together, total.undecided) == (1, 2, 0)
    assert total.payable == first.payable + second.payable
    assert total.undisputed == first.undisputed + second.undisputed


def test_a_claim_for_a_book_is_held_against_all_of_its_copies_once(lines):
    claim = 2 * lines[1].payable + 10
    copies = [
        lines[1].model_copy(update={"days": [f"2026-05-0{day}"], "claim": claim, "file": f"{day}.xlsx"})
        for day in (4, 5)
    ]
    [total] = summary_of(copies, []).totals
    assert total.difference == pytest.approx(10)
    assert total.money == pytest.approx(10 * lines[1].unit_price)


@pytest.mark.parametrize("language", LANGUAGES)
def test_a_run_over_a_copy_a_day_adds_them_and_says_so(tmp_path, language, capsys):
    order = small("us", language, size={"shots": 20, "loads": 6, "days": 3})
    returned, out = tmp_path / "returned", tmp_path / "out"
    returned.mkdir()
    first = day(order)
    later = {at: value + 1 if at[2] == "date" else value for at, value in first.items()}
    write_filled(order, order.machines[0], first, returned / "monday.xlsx")
    write_filled(order, order.machines[0], later, returned / "tuesday.xlsx")
    recheck_command([str(returned)], **OPTIONS, out=str(out))
    printed = capsys.readouterr().out
    assert "(return-of-other-days)" in printed
    assert "(return-changes-earlier)" not in printed
    summary = json.loads((out / "summary.json").read_text(encoding="utf-8"))
    assert [one["name"] for one in summary["across"]] == ["return-of-other-days"]
    [total] = summary["totals"]
    assert (total["together"], total["undecided"]) == (2, 0)
    assert total["payable"] == sum(line["payable"] for line in summary["books"]) > 0
    shown = [cell.value for row in openpyxl.load_workbook(out / "summary.xlsx").worksheets[0] for cell in row]
    assert texts(language).say("report.summary.together", count=2) in shown
