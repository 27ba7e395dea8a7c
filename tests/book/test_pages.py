"""The printed pages of a book, as LibreOffice prints them: full pages, footers that name the book, readable codes."""

from __future__ import annotations

import re
import subprocess

import openpyxl
import pytest
import zxingcpp
from PIL import Image

from sheetgen import templates
from sheetgen.book.layout import lay_out
from sheetgen.book.log_sheet import FIRST_ROW
from sheetgen.order.demo import demo_order
from sheetgen.order.model import Order
from sheetgen.xlsx.page import PAPERS as PAPERS_BY_NAME
from sheetgen.xlsx.page import column_inches
from sheetgen.xlsx.write import write_book
from tests.book.printed import order_on, printed, texts_of
from tests.engines import office
from tests.selection import exhaustive

LOGS = ("days", "loads", "shots", "gauges", "changes", "pages")
PAPERS = [("us", "en", "letter"), ("si", "es", "a4")]
PAPERS += [exhaustive((other,)) for other in (("si", "es", "letter"), ("us", "en", "a4"))]
LONG = "12 & 34: Quarry & Mill Road, second phase, north & south, X-12"[:60]


def _long_names() -> Order:
    order = demo_order()
    data = order.model_dump()
    data["job"]["number"] = data["job"]["name"] = data["machines"][0]["name"] = LONG
    data["pay"]["source"], data["material"]["spray_source"] = (
        " ".join(_source(of)) for of in ("pay", "range")
    )
    section = data["sections"][0] | {"road": LONG, "id": "NORTH-LOOP-1", "lanes": ("OUTER-EAST-1",)}
    data["sections"] = (section, *data["sections"][1:])
    return Order.model_validate(data)


def _source(of: str) -> list[str]:
    """The words of the longest source that an order takes: 200 characters."""
    return [f"{of}{number:0{9 - len(of)}}" for number in range(20)]


def _printed(*variant: str) -> tuple[str, ...]:
    """The text of each page."""
    return texts_of(printed(*variant))


def _row_numbers(page: str) -> list[int]:
    return [int(number) for number in re.findall(r"^ *(\d+) *$", page, flags=re.MULTILINE)]


@pytest.mark.parametrize("variant", PAPERS, ids="-".join)
def test_a_page_of_the_shot_log_holds_the_same_rows_on_any_paper(variant):
    # 48 rows, 16 on a page: the control totals count by these pages
    title = templates.texts(variant[1])["sheet.shots.caution"][:25]
    pages = [_row_numbers(page) for page in _printed(*variant) if title in page]
    assert pages == [list(range(first, first + 16)) for first in (1, 17, 33)]


@pytest.mark.parametrize("variant", PAPERS, ids="-".join)
@pytest.mark.parametrize(
    "key", ["job", "card", "day_lists", "ordered", "tank", "checks", "totals", "cautions"]
)
def test_a_sheet_of_the_demonstration_is_one_page(variant, key):
    tab = templates.texts(variant[1])[f"sheet.{key}.tab"]
    footers = [
        re.split(r" {2,}|\n", "\n".join(page.rstrip().split("\n")[-3:])) for page in _printed(*variant)
    ]
    assert sum(tab in footer for footer in footers) == 1


@pytest.mark.parametrize("variant", PAPERS, ids="-".join)
def test_every_page_of_a_log_says_what_it_is(variant):
    say = templates.texts(variant[1])
    titles = [say[f"sheet.{key}.{title}"] for key in LOGS for title in ("title", "title_results")]
    signed = say["book.log_footer"].split("&8")[1].split("_")[0]  # no tab is named in the footer of a log
    logs = [page for page in _printed(*variant) if signed in page]
    assert len(logs) >= 2 * len(LOGS)
    assert [page[:300] for page in logs if not any(title in page for title in titles)] == []
    went_on = say.say("book.continued", title=say["sheet.shots.title_results"])
    assert sum(went_on in page for page in logs) == 3  # as many as the form has


@pytest.mark.parametrize("variant", PAPERS, ids="-".join)
def test_every_page_names_its_book_and_no_figure_is_too_wide_for_its_cell(variant):
    order = order_on(*variant)
    identity = lay_out(order, order.machines[0]).identity
    for number, page in enumerate(_printed(*variant), start=1):
        assert identity in page, number
        assert "###" not in page, number


def test_every_page_of_a_form_carries_the_code_of_the_book(tmp_path):
    variant = ("si", "es", "a4")
    order, file = order_on(*variant), tmp_path / "book.pdf"
    file.write_bytes(printed(*variant))
    identity = lay_out(order, order.machines[0]).identity
    caution = templates.texts("es")["sheet.shots.caution"][:25]
    forms = [number for number, page in enumerate(_printed(*variant), start=1) if caution in page]
    assert len(forms) == 3
    for number in forms:
        page = ["-f", str(number), "-l", str(number)]
        picture = tmp_path / f"page{number}"
        command = ["pdftoppm", "-r", "200", *page, "-png", "-singlefile", str(file), str(picture)]
        subprocess.run(command, check=True)
        (code,) = zxingcpp.read_barcodes(Image.open(picture.with_suffix(".png")))
        assert code.text == identity


def test_footers_hold_names_of_any_length_with_their_ampersands(tmp_path):
    # ECMA-376 part 1, 18.3.1.46: "&&" prints one ampersand; programs keep 255 characters of a footer.
    order = _long_names()
    book = lay_out(order, order.machines[0])
    pages = texts_of(office(write_book(book, tmp_path / "book.xlsx"), tmp_path, "pdf").read_bytes())
    text = " ".join(pages)
    for sheet in book.sheets:
        footer = sheet.page["footer"]
        assert len(footer) <= 255
        assert re.search(r"&(?![&LCRAPN8])", footer.replace("&&", "")) is None
        assert not re.search(r"&8\d", footer)  # a number after the size would be read as part of it
    assert "12 & 34: Quarry & Mill Road" in text
    assert book.identity in text
    assert {*_source("pay"), *_source("range")} <= set(pages[0].split())


def test_a_log_opens_at_its_first_entry_and_the_book_at_its_first_sheet(tmp_path):
    order = demo_order()
    book = lay_out(order, order.machines[0])
    workbook = openpyxl.load_workbook(write_book(book, tmp_path / "book.xlsx"))
    assert workbook.active.title == templates.texts("en")["sheet.job.tab"]
    for key in LOGS:
        sheet = book.sheet(key)
        view = workbook[sheet.name].sheet_view
        (first,) = {selection.activeCell for selection in view.selection if selection.pane == "bottomRight"}
        cell = workbook[sheet.name][first]
        assert cell.row == FIRST_ROW + 1
        assert not cell.protection.locked
        assert workbook[sheet.name].cell(cell.row, cell.column - 1).protection.locked


@pytest.mark.parametrize("language", templates.LANGUAGES)
@pytest.mark.parametrize("burners", [True, False])
def test_the_day_lists_speak_of_burners_only_to_those_who_have_them(language, burners):
    order = demo_order("us", language)
    machine = order.machines[0].model_copy(update={"burners": burners})
    shown = {cell.value for cell in lay_out(order, machine).sheet("day_lists").cells.values()}
    say, lists = templates.texts(language), templates.table("day_lists")
    other = "without" if burners else "with"
    for line in lists:
        assert (say[f"day_list.{line['key']}"] in shown) == (line["burners"] != other), line["key"]
    word = {"en": "burner", "es": "quemador"}[language]
    assert any(word in str(text).casefold() for text in shown) == burners


@pytest.mark.parametrize("paper", ["letter", "a4"])
def test_a_gloved_hand_hits_the_boxes_of_the_day_lists(paper):
    # common practice, no source: a box of 10 by 15 mm takes a mark made with a glove
    order = order_on("us", "en", paper)
    sheet = lay_out(order, order.machines[0]).sheet("day_lists")
    boxes = [place for place, cell in sheet.cells.items() if cell.style == "tick"]
    wide = sum(map(column_inches, sheet.column_widths.values()))
    high = sum(sheet.row_heights.get(row, 15) for row in range(max(row for row, _ in boxes) + 1)) / 72
    across, down = PAPERS_BY_NAME[paper].printable("portrait")
    scale = min(1, across / wide, down / high)
    assert min(sheet.row_heights[row] for row, _ in boxes) / 72 * 25.4 * scale >= 10
    assert min(column_inches(sheet.column_widths[col]) for _, col in boxes) * 25.4 * scale >= 15
