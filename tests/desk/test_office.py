"""The office sets on the desk what it would otherwise type in a terminal: its key, language and paper, its yard."""

from __future__ import annotations

import io
import stat

import openpyxl
import pytest

from sheetgen.audit.run import recheck_book
from sheetgen.errors import SettingsError
from sheetgen.office.settings import VARIABLE, Settings, change_settings, defaults, read_settings
from sheetgen.signing import load_key, public_text
from sheetgen.yard.write import write_yard
from tests.desk.conftest import HOST
from tests.yard.yards import yard


@pytest.fixture(autouse=True)
def kept(tmp_path, monkeypatch):
    """A file of settings of this test's own."""
    file = tmp_path / "settings.toml"
    file.write_text("")
    monkeypatch.setenv(VARIABLE, str(file))
    return file


def test_a_key_is_made_once_set_for_every_command_and_signs_the_next_books(office, files):
    browser = office.browser()
    assert "has set no signing key" in browser.get("/").text
    assert browser.post("/key").status_code == 200
    key = office.folder / "office.key"
    public = public_text(load_key(key))
    assert stat.S_IMODE(key.stat().st_mode) == 0o600
    assert read_settings() == Settings(key=str(key), public_key=public)
    home = browser.get("/").text
    assert public in home
    assert "has set no signing key" not in home
    assert 'action="/key"' not in home
    made = key.read_bytes()
    browser.post("/key")
    assert key.read_bytes() == made
    page = browser.hand_in(files / "order.xlsx")
    browser.done(page)
    book = browser.get(f"{page}/made/{office.delivery(page).orders[0].books[0]}").content
    back = browser.hand_in(("back.xlsx", book))
    browser.done(back)
    assert "issued by this office" in browser.get(f"{back}/books/1").text


def test_a_key_that_lies_there_already_is_kept_and_told(office):
    key = office.folder / "office.key"
    key.write_text("somebody's own")
    answer = office.browser().post("/key")
    assert (answer.status_code, "office.key" in answer.text) == (409, True)
    assert key.read_text() == "somebody's own"


def test_language_and_paper_are_chosen_and_other_words_refused(office):
    browser = office.browser()
    assert browser.post("/settings", content="language=es&paper=a4").status_code == 200
    assert (read_settings().language, read_settings().paper) == ("es", "a4")
    assert "Entregar archivos" in browser.get("/").text
    sheet = openpyxl.load_workbook(io.BytesIO(browser.get("/order.xlsx?units=si").content)).worksheets[0]
    assert sheet.page_setup.paperSize == 9  # A4: ECMA-376 part 1, 18.3.1.63
    refused = browser.post("/settings", content="language=es&paper=a0")
    assert (refused.status_code, "a0" in refused.text) == (409, True)
    browser.post("/settings", content="language=&paper=&key=/etc/passwd")
    assert read_settings() == Settings()


def test_a_second_language_is_chosen_for_the_forms_of_the_books_that_are_built(office, files, tmp_path):
    browser = office.browser()
    assert 'name="second_language"' in browser.get("/").text
    assert browser.post("/settings", content="second_language=es").status_code == 200
    page = browser.hand_in(files / "order.xlsx")
    browser.done(page)
    (tmp_path / "book.xlsx").write_bytes(
        browser.get(f"{page}/made/{office.delivery(page).orders[0].books[0]}").content
    )
    assert recheck_book(tmp_path / "book.xlsx").order.second_language == "es"
    assert defaults(read_settings())["build"]["second_lang"] == "es"


def test_a_sound_yard_becomes_the_office_s_own_and_a_mistaken_one_does_not(office, files, tmp_path):
    browser = office.browser()
    page = browser.hand_in(write_yard(tmp_path / "ours.xlsx", yard=yard()), files / "mistaken.xlsx")
    assert f'action="{page}/orders/1/yard"' in browser.done(page)
    assert browser.post(f"{page}/orders/2/yard").status_code == 404
    assert browser.post(f"{page}/orders/3/yard").status_code == 404
    assert read_settings().yard == ""
    assert "order.xlsx?from=yard" in browser.post(f"{page}/orders/1/yard").text
    taken = office.folder / "yard.xlsx"
    assert read_settings().yard == str(taken)
    assert taken.read_bytes() == (tmp_path / "ours.xlsx").read_bytes()
    order = browser.get("/order.xlsx?from=yard").content
    assert "Yard distributors" in openpyxl.load_workbook(io.BytesIO(order)).sheetnames


@pytest.mark.parametrize("path", ["/key", "/settings", "/deliveries/x/orders/1/yard"])
def test_no_foreign_page_and_no_get_sets_anything(office, path):
    browser = office.browser()
    foreign = browser.client.post(path, headers={"origin": "http://evil.example"})
    assert foreign.status_code == 403
    assert browser.get(path).status_code in (404, 405)
    assert browser.client.post(path, headers={"origin": f"http://{HOST}", "host": "evil.example"}).status_code in (
        400, 403, 421,
    )  # fmt: skip
    assert read_settings() == Settings()


def test_a_device_of_the_system_is_not_replaced_by_settings(monkeypatch):
    monkeypatch.setenv(VARIABLE, "/dev/null")
    with pytest.raises(SettingsError, match="cannot be read"):
        change_settings({"paper": "a4"})
