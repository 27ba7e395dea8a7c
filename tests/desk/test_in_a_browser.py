"""The desk in a real browser, as an office and as an auditor use it: dropped files, keys alone, both languages.

Skipped, with the reason, where Debian's chromium, playwright or axe-core is not installed; in CI that is a failure.
"""

from __future__ import annotations

import io
import os
import re
import shutil
from importlib.util import find_spec
from pathlib import Path
from typing import Any

import openpyxl
import pytest

import sheetgen
from tests.desk.served import CHROMIUM, PATIENCE, PHONE, SCREEN, chromium, done, drop, page_at, served
from tests.engines import absent
from tests.office.conftest import SLIPS, files

__all__ = ["files"]

pytestmark = pytest.mark.browser
AXE = Path(os.environ.get("AXE_CORE", ""))


@pytest.fixture(scope="module")
def browser():
    """Chromium, once for all of these tests."""
    if CHROMIUM is None or find_spec("playwright") is None:
        absent("a browser (apt-get install chromium; the extra browser)")
    with chromium() as started:
        yield started


@pytest.fixture(scope="module")
def returned(files, tmp_path_factory) -> Path:
    """A folder of thirty returned files, one of which is no workbook; the others differ in their bytes alone."""
    folder = tmp_path_factory.mktemp("returned") / "week 23"
    (folder / "truck 6").mkdir(parents=True)
    for number in range(29):
        name = "spoilt.xlsx" if number % 10 == 3 else "clean.xlsx"
        data = (files / name).read_bytes()
        note = b"%d" % number  # behind the archive, where a comment of it stands
        copy = data[:-2] + len(note).to_bytes(2, "little") + note
        (folder / ("truck 6" if number % 2 else ".") / f"day {number:02}.xlsx").write_bytes(copy)
    (folder / "bad.xlsx").write_text("cut off on its way")
    (folder / "~$day 01.xlsx").write_text("left by a program")
    return folder


def barriers(page) -> list[str]:
    """What axe-core finds on a page, of whatever impact."""
    if not AXE.is_file():
        absent("axe-core (npm install axe-core; its file in AXE_CORE)")
    page.evaluate(AXE.read_text(encoding="utf-8"))
    found = page.evaluate("async () => (await axe.run()).violations")
    return [f"{each['id']}: {each['help']}: {node['html']}" for each in found for node in each["nodes"]]


def fits(page) -> bool:
    """Whether nothing of a page stands beside the screen."""
    return page.evaluate("document.documentElement.scrollWidth <= window.innerWidth")


def test_an_office_drops_an_order_corrects_it_and_gets_its_books(browser, files, tmp_path):
    with served(tmp_path / "desk") as address, page_at(browser, address) as page:
        assert barriers(page) == []
        drop(page, files / "mistaken.xlsx")
        done(page)
        text = page.inner_text("main")
        assert all(f"{sheet} {cell}" in text and typed in text for (sheet, cell), typed in SLIPS.items())
        assert barriers(page) == []
        with page.expect_download() as download:
            page.get_by_role("link", name="The order with its mistakes marked").click()
        marked = tmp_path / download.value.suggested_filename
        download.value.save_as(marked)
        workbook = openpyxl.load_workbook(marked)
        assert all(workbook[sheet][cell].comment for sheet, cell in SLIPS)
        workbook["Material"]["C10"].value, workbook["Job"]["C15"].value = 60, "2026-05-04"
        workbook.save(marked)
        page.get_by_role("link", name="Hand in files").click()
        page.wait_for_url(re.compile(r"/$"))  # whole, its script too
        page.set_input_files("#files", marked)
        done(page)
        assert page.get_by_role("img").first.evaluate("image => image.naturalWidth") > 300
        assert "Strip chart" in page.get_by_role("img").first.get_attribute("alt")
        assert "To order" in page.inner_text("main")
        assert (barriers(page), fits(page)) == ([], True)
        with page.expect_download() as download:
            page.get_by_role("link", name="DEMO-0001_Distributor-A.xlsx").click()
        book = openpyxl.load_workbook(io.BytesIO(Path(download.value.path()).read_bytes()))
        assert "Record" in book.sheetnames
        page.goto(f"{page.url.partition('/deliveries')[0]}/register")
        assert "Distributor A" in page.inner_text("main")
        assert barriers(page) == []


def test_an_auditor_rechecks_thirty_books_and_a_decision_stays_after_a_restart(
    browser, files, returned, tmp_path
):
    with served(tmp_path / "desk") as address, page_at(browser, address) as page:
        page.set_input_files("#folder", returned)
        page.wait_for_url("**/deliveries/**")
        assert "30 files" in page.inner_text("main")
        done(page)
        rows = page.locator("table.books tbody tr")
        assert rows.count() == 30
        assert page.get_by_text("Could not be rechecked.").count() == 1
        payable = sheetgen.recheck(files / "clean.xlsx").totals.overall["payable"]
        assert f"{payable:,.0f} gal" in rows.filter(has_text="day 00.xlsx").inner_text()
        assert (barriers(page), fits(page)) == ([], True)
        with page.expect_download() as download:
            page.get_by_role("link", name="Summary of all books").click()
        openpyxl.load_workbook(io.BytesIO(Path(download.value.path()).read_bytes()))
        page.get_by_role("link", name="day 03.xlsx", exact=True).click()
        page.wait_for_url("**/books/**")
        assert "What to do" in page.inner_text("main")
        page.get_by_text("Decide", exact=False).first.click()
        assert (barriers(page), fits(page)) == ([], True)
        page.select_option("select[name=choice] >> nth=0", "accepted")
        page.fill("input[name=by] >> nth=0", "R. Inspector")
        page.get_by_role("button", name="Keep the decision").first.click()  # without a reason
        assert "Type the reason" in page.get_by_role("alert").inner_text()
        page.fill("textarea[name=reason] >> nth=0", "ticket seen on paper")
        page.get_by_role("button", name="Keep the decision").first.click()
        page.wait_for_selector(".decision")
        page.wait_for_load_state()  # with its style sheet
        where = page.url.partition("/deliveries")[2].partition("#")[0]
        page.emulate_media(media="print")
        assert not page.locator("header").is_visible()
        assert page.locator(".decision").is_visible()
    with served(tmp_path / "desk") as address, page_at(browser, address, PHONE) as page:
        page.goto(f"{page.url}deliveries{where}")
        assert "accepted. R. Inspector" in page.locator(".decision").inner_text()
        assert (barriers(page), fits(page)) == ([], True)
        page.get_by_role("button", name="Español").click()
        page.wait_for_selector("html[lang='es'] .decision")
        assert "aceptado. R. Inspector" in page.locator(".decision").inner_text()
        page.get_by_role("link", name="Todos los libros entregados juntos").click()
        page.get_by_text("No se pudo revisar.").wait_for()
        assert page.locator("html").get_attribute("lang") == "es"
        assert (barriers(page), fits(page)) == ([], True)


def test_files_chosen_before_the_script_is_there_are_taken(browser, files, tmp_path):
    script = "/assets/desk.js"
    with served(tmp_path / "desk") as address, page_at(browser, address) as page:
        page.route(f"**{script}", lambda route: route.abort())
        page.reload()
        page.set_input_files("#files", files / "mistaken.xlsx")
        page.unroute(f"**{script}")
        page.add_script_tag(url=script)
        done(page)
        assert "mistaken.xlsx" in page.inner_text("main")


def test_all_of_it_is_done_with_keys_alone(browser, files, tmp_path):
    with served(tmp_path / "desk", ends_itself=True) as address, page_at(browser, address, SCREEN) as page:
        choosers: list[Any] = []
        page.on(
            "filechooser", lambda chooser: choosers.append(chooser)
        )  # before the key: the browser is told of it on the way
        page.keyboard.press("Tab")
        assert page.evaluate("document.activeElement.className") == "skip"
        reach(page, "document.activeElement.id === 'files'")
        ring = page.evaluate("getComputedStyle(document.activeElement.parentElement).outlineStyle")
        assert ring == "solid"
        page.keyboard.press("Enter")
        for _ in range(PATIENCE // 50):
            if choosers:
                break
            page.wait_for_timeout(50)
        (chooser,) = choosers
        chooser.set_files(files / "spoilt.xlsx")
        done(page)
        reach(page, "document.activeElement.textContent === 'spoilt.xlsx'")
        page.keyboard.press("Enter")
        page.wait_for_url("**/books/1")
        reach(page, "document.activeElement.tagName === 'SUMMARY'")
        page.keyboard.press("Enter")
        reach(page, "document.activeElement.name === 'choice'")
        page.keyboard.press("ArrowDown")
        reach(page, "document.activeElement.name === 'by'")
        page.keyboard.type("R. Inspector")
        reach(page, "document.activeElement.name === 'reason'")
        page.keyboard.type("ticket seen on paper")
        page.keyboard.press("Tab")
        page.keyboard.press("Enter")
        page.wait_for_selector(".decision")
        assert "accepted. R. Inspector" in page.locator(".decision").inner_text()
        page.goto(page.url.partition("/deliveries")[0])
        reach(page, "document.activeElement.textContent === 'End the desk'")
        page.keyboard.press("Enter")
        page.get_by_text("Everything handed in is kept").wait_for()


def reach(page, there: str) -> None:
    """Press Tab until the focus is where it is to be."""
    for _ in range(60):
        page.keyboard.press("Tab")
        if page.evaluate(there):
            return
    raise AssertionError(f"60 times Tab and never {there}")


def test_a_page_of_another_address_can_neither_end_nor_read_the_desk(browser, tmp_path):
    with served(tmp_path / "desk") as address, page_at(browser, address) as page:
        desk = address.partition("/enter")[0]
        other = tmp_path / "other.html"
        other.write_text(f'<form method="post" action="{desk}/end"><button>press</button></form>')
        page.goto(other.as_uri())
        page.click("button")
        page.get_by_text("only from its own page").wait_for()
        page.goto(other.as_uri())
        seen = page.evaluate(f"fetch('{desk}/').then((answer) => answer.text()).catch(() => 'nothing')")
        assert seen == "nothing"
        page.goto(f"{desk}/")
        assert "Hand in files" in page.inner_text("main")


def test_a_second_tab_of_an_ended_desk_says_so_in_words(browser, files, tmp_path):
    desk = tmp_path / "desk"
    with served(desk, ends_itself=True) as address, page_at(browser, address) as page:
        page.get_by_role("button", name="End the desk").click()
        page.get_by_text("The desk has ended").wait_for()
    shutil.rmtree(tmp_path / "home")
    with served(desk) as address:
        context = browser.new_context()
        page = context.new_page()
        page.goto(address.partition("/enter")[0])
        assert "has not entered the desk" in page.inner_text("body")
        context.close()
