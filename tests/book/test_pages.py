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
from sheetgen.book.tabs import groups
from sheetgen.order.demo import demo_order
from sheetgen.order.model import Order
from sheetgen.xlsx.page import PAPERS as PAPERS_BY_NAME
from sheetgen.xlsx.page import column_inches, pages_of
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
    "key", ["start", "job", "card", "day_lists", "ordered", "tank", "checks", "totals", "cautions"]
)
def test_a_sheet_of_the_demonstration_is_one_page(variant, key):
    tab = templates.texts(variant[1])[f"sheet.{key}.tab"]
    footers = [
        re.split(r" {2,}|\n", "\n".join(page.rstrip().split("\n")[-3:])) for page in _printed(*variant)
    ]
    assert sum(tab in footer for footer in footers) == 1


@pytest.mark.parametrize("variant", PAPERS, ids="-".join)
def test_a_log_prints_its_form_and_no_empty_boxes_of_results(variant):
    say = templates.texts(variant[1])
    signed = f"{say['book.written']} _"  # no tab is named in the footer of a log
    logs = [page for page in _printed(*variant) if signed in page]
    assert len(logs) == len(LOGS) + 2  # the shot log has three pages
    for key in LOGS:
        assert sum(say[f"sheet.{key}.title"] in page for page in logs) == (3 if key == "shots" else 1), key
    assert [
        page[:300] for page in logs if any(say[f"sheet.{key}.title_results"] in page for key in LOGS)
    ] == []


@pytest.mark.parametrize("variant", PAPERS, ids="-".join)
def test_the_pack_is_one_block_of_tabs_and_as_many_pages_as_the_first_page_says(variant):
    order, say = order_on(*variant), templates.texts(variant[1])
    book = lay_out(order, order.machines[0])
    (pack,) = [group for group in groups() if group.pack]
    tabs = [sheet.key for sheet in book.sheets]
    keys = [key for key in pack.sheets if key in tabs]
    assert tabs[1 : 1 + len(keys)] == keys
    first = say[f"sheet.{keys[0]}.title"]
    after = say[f"sheet.{tabs[1 + len(keys)]}.title"]
    pages = _printed(*variant)
    numbers = [next(at for at, page in enumerate(pages[1:], 1) if title in page) for title in (first, after)]
    counted = numbers[1] - numbers[0]
    assert say.say("start.pack_title", pages=counted) in pages[0]
    assert counted == sum(pages_of(book.sheet(key)) for key in keys)
    assert all(len(page.split()) > 40 for page in pages[numbers[0] : numbers[1]])  # none is empty


@pytest.mark.parametrize("variant", PAPERS, ids="-".join)
def test_what_is_out_of_sight_does_not_print(variant):
    say = templates.texts(variant[1])
    hidden = [key for group in groups() if group.hidden for key in group.sheets]
    footers = [page.rstrip().split("\n")[-3:] for page in _printed(*variant)]
    for key in hidden:
        assert not any(
            say[f"sheet.{key}.tab"] in re.split(r" {2,}", line) for lines in footers for line in lines
        )


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
    (job,) = [page for page in pages if templates.texts("en")["sheet.job.title"] in page]
    assert {*_source("pay"), *_source("range")} <= set(job.split())


def test_a_log_opens_at_its_first_entry_and_the_book_at_its_first_sheet(tmp_path):
    order = demo_order()
    book = lay_out(order, order.machines[0])
    workbook = openpyxl.load_workbook(write_book(book, tmp_path / "book.xlsx"))
    assert workbook.active.title == templates.texts("en")["sheet.start.tab"]
    for key in LOGS:
        sheet = book.sheet(key)
        view = workbook[sheet.name].sheet_view
        (first,) = {selection.activeCell for selection in view.selection if selection.pane == "bottomRight"}
        cell = workbook[sheet.name][first]
        assert cell.row == FIRST_ROW + 1
        assert not cell.protection.locked
        if key == "shots":  # what follows from above stands left of where typing begins
            assert cell.column == book.tables["shots"].columns["start"] + 1
        else:
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
