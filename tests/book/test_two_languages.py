"""Forms on paper in two languages: what a crew reads in both, what formulas and drop-downs keep in one."""

from functools import cache

import pytest

import sheetgen
from sheetgen.audit.run import recheck_book
from sheetgen.book.build import write_filled
from sheetgen.book.canvas import Canvas
from sheetgen.book.card_passes import LAST_COL
from sheetgen.book.layout import lay_out
from sheetgen.demo.day import honest_day
from sheetgen.order.demo import demo_order
from sheetgen.templates import table, texts
from tests.book.calibrated import Filled

PAIRS = [("us", "en", "es"), ("si", "es", "en")]
LOGS = ("days", "loads", "shots", "changes", "pages")
PROMPT = 255  # characters of a prompt (ECMA-376 part 1, 18.3.1.32)


def order_of(units, language, second):
    return demo_order(units, language).in_language("", second)


@cache
def book(units, language, second):
    order = order_of(units, language, second)
    return lay_out(order, order.machines[0])


@pytest.mark.parametrize("pair", PAIRS)
@pytest.mark.parametrize("log", LOGS)
def test_each_heading_of_a_form_is_in_both_languages_and_its_caution_too(pair, log):
    laid = book(*pair)
    place, sheet = laid.tables[log], laid.sheet(log)
    says = [texts(each, pair[0]) for each in pair[1:]]
    for key in place.inputs:
        wanted = dict.fromkeys(say.own(f"{log}.{key}", pair[0]) for say in says)
        assert str(sheet.cells[place.header_row, place.columns[key]].value).splitlines() == list(wanted)
    shown = " ".join(f"{cell.value or ''}{cell.formula or ''}" for cell in sheet.cells.values())
    for say in says:
        assert say[f"sheet.{log}.title"] in shown
        assert say[f"sheet.{log}.caution"].split("{")[0][:40] in shown


@pytest.mark.parametrize("pair", PAIRS)
@pytest.mark.parametrize(("log", "kinds"), [("shots", "shot_kinds"), ("loads", "load_kinds")])
def test_the_words_of_drop_downs_are_on_paper_in_both_side_by_side(pair, log, kinds):
    laid = book(*pair)
    own, other = (texts(each, pair[0]) for each in pair[1:])
    sheet = laid.sheet(log)
    shown = " ".join(f"{cell.value or ''}{cell.formula or ''}" for cell in sheet.cells.values())
    for row in table(kinds)[1:]:
        word = f"words.{row['kind']}"
        assert f"{other[word]} ({own[word]})" in shown.replace('"&"', "")


@pytest.mark.parametrize("pair", PAIRS)
def test_the_tank_chart_is_labelled_in_both(pair):
    cells = {str(cell.value) for cell in book(*pair).sheet("tank").cells.values()}
    says = [texts(each, pair[0]) for each in pair[1:]]
    assert "\n".join(say["name.capacity"] for say in says) in cells
    assert " · ".join(say["sheet.tank.title"] for say in says) in cells


@pytest.mark.parametrize("pair", PAIRS)
def test_each_line_to_tick_and_each_prompt_is_in_both(pair):
    laid = book(*pair)
    says = [texts(each, pair[0]) for each in pair[1:]]
    lists = {str(cell.value) for cell in laid.sheet("day_lists").cells.values()}
    for row in table("day_lists"):
        if row["burners"] == "":
            assert "\n".join(say[f"day_list.{row['key']}"] for say in says) in lists
    place = laid.tables["shots"]
    prompts = {rule.first_col: rule.prompt for rule in laid.sheet("shots").validations}
    for key in place.inputs - {"remarks"}:
        both = "\n".join(say.own(f"prompt.shots.{key}", pair[0]) for say in says)
        assert prompts[place.columns[key]] == (both if len(both) <= PROMPT else both.splitlines()[0])


@pytest.mark.parametrize("pair", PAIRS)
def test_the_card_has_a_page_in_each_language_with_the_same_figures(pair):
    filled, other = Filled(order_of(*pair)), Filled(demo_order(*pair[:2]).in_language(pair[2]))
    cells = filled.book.sheet("second_card").cells
    for row, col in (at for at in cells if at[0] > 2 and at[1] <= LAST_COL):
        shown = filled.at("second_card", row, col)
        assert shown == other.at("card", row, col)
        if not isinstance(shown, str):
            assert shown == filled.at("card", row, col)
    assert not [at for at, cell in cells.items() if not cell.locked]  # sections are chosen on the first


@pytest.mark.parametrize("pair", PAIRS)
def test_a_section_chosen_on_the_card_is_on_the_second_too(pair):
    filled = Filled(order_of(*pair), {("", 0, "card_section_1"): "S3"})
    assert [filled.at(card, 9, 3) for card in ("card", "second_card")] == [
        demo_order(pair[0]).sections[2].width
    ] * 2


@pytest.mark.parametrize("pair", PAIRS)
def test_who_wrote_and_checked_a_form_is_asked_in_both_and_fits_a_footer(pair):
    footer = book(*pair).sheet("shots").page["footer"]
    for key in ("written", "written_on", "checked"):
        assert " · ".join(texts(each)[f"book.{key}"] for each in pair[1:]) in footer
    name = "A distributor's name of as many letters as an order takes, 60"
    order = order_of(*pair)
    machine = order.machines[0].model_copy(update={"name": name})
    job = order.job.model_copy(update={"number": name})
    canvas = Canvas(order.model_copy(update={"job": job}), machine, "0000-0000-0000")
    assert len(canvas.footer_of("book.log_footer")) <= 255  # ECMA-376 part 1, 18.3.1.46


@pytest.mark.parametrize("pair", PAIRS)
def test_formulas_and_drop_downs_keep_the_language_of_the_book(pair):
    laid, plain = book(*pair), lay_out(*(lambda order: (order, order.machines[0]))(demo_order(*pair[:2])))
    place = laid.tables["shots"]
    for key in set(place.columns) - place.inputs - {"no"}:
        where = place.first_row + 1, place.columns[key]
        assert laid.sheet("shots").cells[where].formula == plain.sheet("shots").cells[where].formula


@pytest.mark.parametrize("pair", PAIRS)
def test_a_book_in_two_languages_is_laid_out_again_and_has_no_finding(pair, tmp_path):
    order = order_of(*pair)
    log = honest_day(order, order.machines[0], seed=3)
    rows = [row for key, row, column in log if key == "shots" and column == "start"]
    sheet, place = book(*pair).sheet("shots"), book(*pair).tables["shots"]
    per_page = sheet.page["row_breaks"][0] - place.first_row
    assert per_page < min(16, len(rows) + 1)  # fewer than in one language, and the page is full
    log |= {("pages", 0, "shots"): sum(row < per_page for row in rows)}
    result = recheck_book(write_filled(order, order.machines[0], log, tmp_path / "book.xlsx"))
    assert (result.findings, result.order.second_language) == ([], pair[2])


def test_the_second_language_is_that_of_a_call_and_none_where_it_is_the_first(tmp_path):
    order = demo_order("us", "en")
    (path, *_) = sheetgen.build(order, tmp_path, second_language="es")
    assert recheck_book(path).order.second_language == "es"
    assert order.in_language("es", "es").second_language is None
    assert order_of("us", "en", "es").in_language("es").second_language is None
