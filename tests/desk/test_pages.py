"""What the pages show and keep: orders, books, decisions, the register, both languages, a restart."""

from __future__ import annotations

import io
import threading

import openpyxl
import pytest

from sheetgen.desk.running import running_address, said_to_run
from sheetgen.desk.serve import serve
from sheetgen.office.settings import Settings
from sheetgen.order.read import read_order
from sheetgen.signing import load_key, new_key, public_text
from tests.desk.conftest import Office
from tests.office.conftest import SLIPS


@pytest.fixture(scope="module")
def handed(tmp_path_factory, files):
    """An office, a browser, and the page of an order, one with mistakes, two books and one that cannot be read."""
    names = ("order.xlsx", "mistaken.xlsx", "clean.xlsx", "spoilt.xlsx", "note.xlsx")
    with Office(tmp_path_factory.mktemp("desk"), Settings()).open() as office:
        browser = office.browser()
        page = browser.hand_in(*[files / name for name in names])
        browser.done(page)
        yield office, browser, page


@pytest.fixture
def spoilt(office, files):
    """A browser, and the page of a book with findings."""
    browser = office.browser()
    page = browser.hand_in(files / "spoilt.xlsx")
    browser.done(page)
    return browser, f"{page}/books/1"


def decide(browser, page, **fields):
    """Type a decision on the first finding of a book."""
    form = {
        "finding": "1",
        "seen": "0",
        "choice": "accepted",
        "by": "R. Inspector",
        "reason": "paper log seen",
    }
    content = "&".join(f"{name}={value}" for name, value in (form | fields).items())
    return browser.post(f"{page}/decisions", content=content, follow_redirects=False)


def test_an_order_gives_its_plan_its_picture_and_its_books(handed):
    office, browser, page = handed
    html = browser.get(page).text
    order = office.delivery(page).orders[0]
    assert "Sections it can spray" in html
    assert "Strip chart of the shots of Distributor A" in html
    picture = browser.get(f"{page}/made/{order.pictures[0].file}")
    assert picture.content.startswith(b"\x89PNG")
    book = browser.get(f"{page}/made/{order.books[0]}")
    assert 'attachment; filename="DEMO-0001_Distributor-A.xlsx"' in book.headers["content-disposition"]
    assert "Record" in openpyxl.load_workbook(io.BytesIO(book.content)).sheetnames


def test_a_mistaken_order_gives_its_cells_and_a_marked_copy(handed):
    office, browser, page = handed
    html = browser.get(page).text
    for (sheet, cell), typed in SLIPS.items():
        assert f"{sheet} {cell}" in html
        assert typed in html
    marked = browser.get(f"{page}/made/{office.delivery(page).orders[1].marked}")
    workbook = openpyxl.load_workbook(io.BytesIO(marked.content))
    assert all(workbook[sheet][cell].comment for sheet, cell in SLIPS)


def test_the_table_has_a_line_for_each_book_and_reports_to_fetch(handed):
    office, browser, page = handed
    html = browser.get(page).text
    clean, spoilt, note = office.delivery(page).books
    assert (clean.severity, spoilt.severity, note.severity) == ("clean", "error", "unusable")
    assert "Could not be rechecked" in html
    assert "ORIGIN NOT CHECKED" in html  # no objection is not said of a book that nobody proved
    for book in (clean, spoilt):
        report = browser.get(f"{page}/made/{book.report}")
        assert openpyxl.load_workbook(io.BytesIO(report.content)).sheetnames
    assert spoilt.in_question is not None
    assert spoilt.payable == pytest.approx(clean.payable, abs=500)
    assert browser.get(f"{page}/books/3").status_code == 404
    findings = browser.get(f"{page}/books/2").text
    assert "Loads!D" in findings
    assert "What to do" in findings
    assert "INVENTED DATA" in findings


def test_the_register_shows_what_was_issued_and_what_came_back(handed):
    _, browser, _ = handed
    html = browser.get("/register").text
    assert html.count("DEMO-0001") >= 2
    assert "not signed" in html
    assert "spoilt.xlsx" in html


def test_looking_at_the_register_of_an_office_without_one_makes_none(office):
    browser = office.browser()
    assert "None yet." in browser.get("/register").text
    assert browser.get("/season.xlsx").status_code == 200
    assert not list(office.folder.glob("register*"))


def test_the_register_shows_the_season_and_gives_its_workbook(handed):
    _, browser, _ = handed
    html = browser.get("/register").text
    assert "Books returned and counted" in html
    assert "Nothing is unusual." in html
    assert '<svg xmlns="http://www.w3.org/2000/svg"' in html
    answer = browser.get("/season.xlsx")
    assert 'filename="season.xlsx"' in answer.headers["content-disposition"]
    assert openpyxl.load_workbook(io.BytesIO(answer.content)).sheetnames[0] == "Season"


def test_a_decision_needs_a_name_and_an_acceptance_a_reason(spoilt):
    browser, book = spoilt
    wrong = (
        ({"by": " "}, "Type your name"),
        ({"reason": ""}, "Type the reason"),
        ({"finding": "99"}, "not in this report"),
        ({"choice": "paid"}, "not in this report"),
        ({"choice": "corrected"}, "Type what is payable"),
        ({"choice": "corrected", "value": "-1"}, "Type what is payable"),
        ({"choice": "corrected", "value": "nan"}, "Type what is payable"),
    )
    for fields, said in wrong:
        answer = decide(browser, book, **fields)
        assert (answer.status_code, said in answer.text) == (409, True)
    assert 'class="decision"' not in browser.get(book).text


def test_a_decision_is_kept_and_a_later_one_in_between_is_not_lost(office, spoilt):
    one, book = spoilt
    other = office.browser()
    assert decide(one, book).status_code == 303
    late = decide(other, book, choice="not-payable", by="Second", reason="<b>mine</b>")
    assert late.status_code == 409
    assert "R. Inspector decided this finding in between" in late.text
    assert "&lt;b&gt;mine&lt;/b&gt;" in late.text  # what was typed stands there still
    assert "accepted. R. Inspector" in one.get(book).text
    again = decide(other, book, choice="not-payable", by="Second", reason="counted again", seen="1")
    assert again.status_code == 303
    assert "not payable. Second" in one.get(book).text


def test_decisions_and_pages_stay_after_a_restart(make_office, files):
    with make_office().open() as office:
        browser = office.browser()
        page = browser.hand_in(files / "spoilt.xlsx")
        browser.done(page)
        assert decide(browser, f"{page}/books/1").status_code == 303
    with make_office().open() as again:
        assert browser.get("/").status_code == 200  # of the desk that ended
        html = again.browser().get(f"{page}/books/1").text
        assert "accepted. R. Inspector" in html
        page = again.browser().hand_in(files / "spoilt.xlsx")  # the same book handed in again
        again.browser().done(page)
        assert "accepted. R. Inspector" in again.browser().get(f"{page}/books/1").text


def test_a_decision_on_another_value_does_not_hold(office, spoilt):
    browser, book = spoilt
    decide(browser, book)
    delivery = office.delivery(book.removesuffix("/books/1"))
    (decision,) = office.desk.decisions.of_book(delivery.books[0].identity).values()
    document = office.folder / delivery.id / delivery.books[0].document
    text = document.read_text(encoding="utf-8")
    assert decision.found in text
    document.write_text(text.replace(decision.found, "another value"), encoding="utf-8")
    html = browser.get(book).text
    assert "The finding is open" in html
    assert f"[accepted; R. Inspector; {decision.date}; {decision.found}; paper log seen]" in html


def test_what_was_under_way_goes_on_after_a_restart(make_office, files):
    with make_office().open() as office:
        browser = office.browser()
        page = browser.hand_in(files / "clean.xlsx", files / "spoilt.xlsx")
        browser.done(page)
        delivery = office.delivery(page)
    delivery.state = "working"
    office.desk.deliveries.keep(delivery)  # as it stands where the desk was killed
    (office.folder / delivery.id / delivery.books[1].report).unlink()
    with make_office().open() as again:
        html = again.browser().done(page)
        assert html.count('class="job"') == 2
        assert (again.folder / delivery.id / delivery.books[1].report).is_file()


def test_a_claim_sheet_is_compared_with_the_books_that_came_with_it(office, files):
    browser = office.browser()
    page = browser.hand_in(files / "clean.xlsx", files / "claim.csv")
    browser.done(page)
    assert "1,100" in browser.get(f"{page}/books/1").text
    alone = browser.hand_in(files / "claim.csv")
    assert "Nothing to do for these files" in browser.done(alone)


def test_the_office_key_signs_and_proves(make_office, files, tmp_path):
    new_key(tmp_path / "office.key")
    public = public_text(load_key(tmp_path / "office.key"))
    settings = Settings(key=str(tmp_path / "office.key"), public_key=public, language="es")
    with make_office("signed", settings).open() as office:
        browser = office.browser()
        page = browser.hand_in(files / "order.xlsx")
        browser.done(page)
        built = browser.get(f"{page}/made/{office.delivery(page).orders[0].books[0]}").content
        back = browser.hand_in(("back.xlsx", built))
        browser.done(back)
        assert "emitido por esta oficina" in browser.get(f"{back}/books/1").text
        assert "no ha definido una clave" not in browser.get("/").text


def test_both_languages_say_every_page(handed):
    office, _, page = handed
    browser = office.browser()
    decide(browser, f"{page}/books/2")
    browser.post("/language", content="language=es&back=/")
    for path in ("/", page, f"{page}/books/1", f"{page}/books/2", "/register", "/nothing"):
        html = browser.get(path).text
        assert '<html lang="es">' in html
        for english in ("Hand in", "Payable", "Decide<", "Returned books", "End the desk"):
            assert english not in html, (path, english)


def test_each_browser_is_refused_in_its_own_language(office):
    (office.folder / "office.key").write_text("another's")
    english, spanish = office.browser(), office.browser()
    spanish.post("/language", content="language=es&back=/")
    assert "found a file of that name" in english.post("/key").text
    assert "se encontró un archivo con ese nombre" in spanish.post("/key").text
    torn = ("torn.xlsx", b"PK\x03\x04")
    assert "Found: " in english.done(english.hand_in(torn))
    answer = spanish.done(spanish.hand_in(torn))
    assert "Se encontró: " in answer
    assert "Expected" not in answer


def test_a_blank_order_of_each_kind_is_one_address_away(office, tmp_path):
    browser = office.browser()
    browser.post("/language", content="language=es&back=/")
    for units, system in (("us", "us"), ("si", "si")):
        data = browser.get(f"/order.xlsx?units={units}").content
        mark = openpyxl.load_workbook(io.BytesIO(data)).worksheets[1]["A1"].value
        assert mark.endswith(f"{system}|es")


def test_the_end_button_says_so_and_ends(office):
    ended = []
    office.desk.end = lambda: ended.append(1)
    answer = office.browser().post("/end")
    assert "The desk has ended" in answer.text
    assert ended == [1]


def test_a_second_start_is_let_in_and_a_desk_that_was_killed_is_not_waited_for(tmp_path, monkeypatch):
    monkeypatch.setenv("HOME", str(tmp_path))
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path))
    folder, shown, places = tmp_path / "desk", threading.Event(), []

    def say(place):
        places.append(place)
        shown.set()

    desk = threading.Thread(target=serve, args=(folder, Settings(), False, say, 1.0), daemon=True)
    monkeypatch.setattr("sheetgen.desk.serve._ENDING", ())  # signals are for the main thread
    desk.start()
    assert shown.wait(60)
    assert serve(folder, Settings(), False, places.append) is False
    first, second = places
    assert first != second
    assert first.partition("token=")[0] == second.partition("token=")[0]
    desk.join(60)  # an idle second ends it
    assert not desk.is_alive()
    assert running_address(folder) is None
    with said_to_run(folder, 9, "left by a desk that was killed"):
        assert running_address(folder) is None


def test_orders_handed_in_are_never_changed(handed, files):
    office, _, page = handed
    received = office.folder / page.rpartition("/")[2] / "received"
    for name in ("order.xlsx", "spoilt.xlsx"):
        assert (received / name).read_bytes() == (files / name).read_bytes()
    assert read_order(received / "order.xlsx").job.number == "DEMO-0001"
