"""The plan's workbook: its first page is the answer on one sheet of paper, with the numbers of the plan."""

from __future__ import annotations

from functools import cache

import openpyxl
import pytest

from sheetgen.errors import ReportInTheWay
from sheetgen.order.demo import demo_order
from sheetgen.plan import plan
from sheetgen.plan.answer import answers
from sheetgen.plan.figures import Figures
from sheetgen.plan.text_job import price
from sheetgen.plan_page.workbook import write_plan
from sheetgen.templates import texts
from tests.plan.orders import flat_tank, order_of
from tests.plan.test_answer import unable

VARIANTS = [("us", "en"), ("si", "es")]


def texts_of(sheet):
    return [cell.value for row in sheet.iter_rows() for cell in row if cell.value is not None]


@cache
def demo(units="us", lang="en"):
    return demo_order(units, lang), plan(demo_order(units, lang))


@pytest.mark.parametrize(("units", "lang"), VARIANTS, ids="-".join)
def test_the_first_page_says_each_part_of_the_answer_and_each_section(units, lang, tmp_path):
    order, made = demo(units, lang)
    book = openpyxl.load_workbook(write_plan(order, made, tmp_path))
    first, say = book.worksheets[0], texts(lang, units)
    found, figures = texts_of(first), Figures(units, lang)
    for row in answers(made, figures).rows:
        assert set(row) <= set(found), row
    assert say["book.invented"] in found
    assert price(made, figures)
    assert set(price(made, figures)) <= set(found)
    for section, planned in zip(made.sections, made.machines[0].sections, strict=True):
        row = [cell.value for cell in next(row for row in first.iter_rows() if row[0].value == section.id)]
        assert row[4] == pytest.approx(section.covered_width)
        assert row[5] == pytest.approx(section.mix_hot)
        if planned.setting is None:
            assert row[6] == say["answer.cell.hand"]
        else:
            assert row[6].endswith(figures.full(planned.setting.sprayed_at, "speed"))


def test_the_first_page_is_one_sheet_of_paper_with_the_shots_along_the_road(tmp_path):
    order, made = demo()
    book = openpyxl.load_workbook(write_plan(order, made, tmp_path))
    first = book.worksheets[0]
    assert first.sheet_properties.pageSetUpPr.fitToPage  # on one page across and down, where neither is given
    assert {first.page_setup.fitToWidth, first.page_setup.fitToHeight} <= {None, 1}
    assert len(first._charts) == 1
    assert first.print_area  # the rows that the picture is drawn from stand outside of it
    assert [sheet.title for sheet in book.worksheets[1:]] == [
        "1 Distributor A",
        "Cautions and published rates",
    ]
    cautions = texts_of(book.worksheets[-1])
    assert all(f"– {texts('en').own(f'caution.{key}', 'us')}" in cautions for key in made.cautions)


def test_each_distributor_has_a_column_and_a_sheet_and_a_section_it_cannot_spray_is_a_no(tmp_path):
    order = unable(bar_widths=(8.0,), nozzle_flow_min=4.2, nozzle_flow_max=4.6)
    book = openpyxl.load_workbook(write_plan(order, plan(order), tmp_path))
    first = book.worksheets[0]
    answered = {row[0].value: [cell.value for cell in row[6:8]] for row in first.iter_rows() if row[0].value}
    assert answered["S3"] == ["yes: 1 × 10.0 ft, 882 ft/min", "NO"]
    assert answered["Can it be done"] == ["YES, 4 of 4 sections", "IN PART, 3 of 4 sections"]
    assert answered["Why not"][1].startswith("Section S3: no setting works.")
    assert [sheet.title[:2] for sheet in book.worksheets[1:-1]] == ["1 ", "2 "]


def test_of_many_sections_those_that_cannot_be_sprayed_are_on_the_page(tmp_path):
    one = {"road": "Road", "lanes": ["L1"], "from_station": 0, "to_station": 1000, "width": 12, "basis": "as-diluted",
           "rate": 0.3, "tolerance": 0.1}  # fmt: skip
    sections = [one | {"id": f"S{number}"} for number in range(40)]
    sections[35] |= {"rate": 8}  # a load reaches a station step in passes of half a foot alone
    order = order_of(machine={"tank": flat_tank(50)}, sections=sections)
    first = openpyxl.load_workbook(write_plan(order, plan(order), tmp_path)).worksheets[0]
    ids = [row[0].value for row in first.iter_rows() if str(row[0].value).startswith("S") and row[6].value]
    assert "S35" in ids
    assert len([each for each in ids if each[1:].isdigit()]) == 20
    assert texts("en").say("answer.more_sections", count=20) in texts_of(first)


def test_a_plan_is_written_again_but_never_over_a_file_that_somebody_changed(tmp_path):
    order, made = demo()
    path = write_plan(order, made, tmp_path)
    before = path.read_bytes()
    assert write_plan(order, made, tmp_path).read_bytes() == before
    book = openpyxl.load_workbook(path)
    book.worksheets[0]["A1"] = "My own words"
    book.save(path)
    with pytest.raises(ReportInTheWay):
        write_plan(order, made, tmp_path)
    assert openpyxl.load_workbook(path).worksheets[0]["A1"].value == "My own words"


def test_names_that_no_tab_may_have_are_written_as_tabs(tmp_path):
    order = demo_order()
    machine = order.machines[0].model_copy(update={"name": "Old [red] truck: 3/4 of a very long name"})
    order = order.model_copy(update={"machines": (machine,)})
    book = openpyxl.load_workbook(write_plan(order, plan(order), tmp_path))
    assert book.worksheets[1].title == "1 Old  red  truck  3 4 of a ver"
    assert "Old [red] truck: 3/4 of a very long name" in texts_of(book.worksheets[0])
