"""What strangers may hand in: no name leaves the desk's folder, no file takes the desk or another file along."""

from __future__ import annotations

import io
import json
import os
import threading
import zipfile
from pathlib import PurePath

import anyio
import pytest

from sheetgen.batch.workers import Apart
from sheetgen.errors import SheetgenError
from sheetgen.file_names import received_name
from sheetgen.office.kinds import kind_of
from tests.desk.conftest import HOST, OURS

NAMES = [
    "../../evil.xlsx", "..\\..\\evil.xlsx", "C:\\Windows\\evil.xlsx", "/etc/evil.xlsx", "..", ".", "", "/", "CON.xlsx",
    "nul", "a\0b.xlsx", "a\nb.xlsx", "‮xslx.exe", "<script>alert(1)</script>.xlsx", "x" * 5000 + ".xlsx",
    "día 3 (copia).xlsx", "~$book.xlsx", ".hidden", "a:stream.xlsx", "ends. ", "%2e%2e%2fevil.xlsx",
]  # fmt: skip


def bomb(megabytes: int) -> bytes:
    """A workbook whose texts are very long once they are unpacked."""
    data = io.BytesIO()
    with (
        zipfile.ZipFile(data, "w", zipfile.ZIP_DEFLATED) as archive,
        archive.open("xl/sharedStrings.xml", "w") as part,
    ):
        for _ in range(megabytes):
            part.write(b"<" + bytes(2**20 - 1))
    return data.getvalue()


@pytest.mark.parametrize("given", NAMES)
def test_a_kept_name_has_no_folder_and_no_sign_that_acts(given, tmp_path):
    name = received_name(given, [])
    assert name == PurePath(name).name
    assert name not in ("", ".", "..")
    assert name.isprintable()
    assert not set(name) & set('<>:"|?*\\/')
    (tmp_path / name).write_bytes(b"")
    assert [path.name for path in tmp_path.iterdir()] == [name]
    assert received_name(given, [name]) != name


def test_an_ordinary_name_stays_and_a_second_one_of_it_gets_a_number():
    assert received_name("returned/Day 3 (truck 6).XLSX", []) == "Day 3 (truck 6).xlsx"
    assert received_name("día.xlsx", ["DÍA.xlsx"]) == "día (2).xlsx"


def test_paths_in_names_write_nothing_outside_the_delivery(office, tmp_path):
    browser = office.browser()
    page = browser.hand_in(*[(name, b"not a workbook") for name in NAMES])
    html = browser.done(page)
    received = office.folder / page.rpartition("/")[2] / "received"
    assert len([*received.iterdir()]) == len(NAMES)
    assert {path.name for path in tmp_path.iterdir()} == {"office"}
    assert "<script>alert" not in html
    assert len(office.delivery(page).books) == len(NAMES)


@pytest.mark.parametrize(
    "path", ["delivery.json", "received/clean.xlsx", "../other", "..%2f..%2fdesk.log", ""]
)
def test_only_what_was_made_for_a_delivery_can_be_fetched(office, files, path):
    browser = office.browser()
    page = browser.hand_in(files / "note.xlsx")
    browser.done(page)
    assert browser.get(f"{page}/made/{path}").status_code == 404


def test_a_bomb_is_refused_in_words_and_the_next_file_is_done(office, files):
    browser = office.browser()
    page = browser.hand_in(("bomb.xlsx", bomb(300)), files / "clean.xlsx")
    browser.done(page)
    bombed, clean = office.delivery(page).books
    assert (bombed.severity, clean.error) == ("unusable", "")
    assert "Found:" in bombed.error
    assert clean.payable


def test_a_file_or_delivery_that_is_too_large_leaves_nothing_behind(office, files, monkeypatch):
    browser = office.browser()
    monkeypatch.setattr("sheetgen.desk.app.MOST_BYTES", 1000)
    id = browser.post("/deliveries").json()["id"]
    answer = browser.post(f"/deliveries/{id}/files", params={"name": "a.xlsx"}, content=bytes(1001))
    assert (answer.status_code, "larger than" in answer.json()["error"]) == (413, True)
    monkeypatch.setattr("sheetgen.desk.deliveries.MOST_IN_ALL", 1500)
    for name, status in (("a.xlsx", 201), ("b.xlsx", 413)):
        answer = browser.post(f"/deliveries/{id}/files", params={"name": name}, content=bytes(900))
        assert answer.status_code == status
    assert [path.name for path in (office.folder / id / "received").iterdir()] == ["a.xlsx"]
    monkeypatch.setattr("sheetgen.desk.deliveries.MOST_FILES", 1)
    assert browser.post(f"/deliveries/{id}/files", params={"name": "c.xlsx"}, content=b"").status_code == 413
    browser.done(browser.post(f"/deliveries/{id}/begin").json()["page"])
    late = browser.post(f"/deliveries/{id}/files", params={"name": "d.xlsx"}, content=b"")
    assert "complete" in late.json()["error"]


def test_500_files_at_once_are_all_answered(office, files):
    browser = office.browser()
    book = (files / "clean.xlsx").read_bytes()
    page = browser.hand_in(
        *[(f"{number:03}.xlsx", b"junk %d" % number) for number in range(499)], ("last.xlsx", book)
    )
    html = browser.done(page)
    books = office.delivery(page).books
    assert len(books) == 500
    assert [each.file for each in books if not each.error] == ["last.xlsx"]
    assert html.count("Could not be rechecked") == 499


def test_two_browsers_hand_in_at_once_and_each_sees_its_own(office, files):
    pages: dict[str, str] = {}

    def hand_in(name: str) -> None:
        pages[name] = office.browser().hand_in(files / name)

    threads = [threading.Thread(target=hand_in, args=[name]) for name in ("clean.xlsx", "spoilt.xlsx")]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    for name, page in pages.items():
        assert name in office.browser().done(page)
        assert [book.file for book in office.delivery(page).books] == [name]


def test_a_big_form_is_refused(office):
    assert office.browser().post("/language", content=b"a=" + bytes(70_000)).status_code == 413


def _dies(_path):
    os._exit(9)


def _spins():
    while True:
        pass


def _grows():
    held = []
    while True:
        held.append(bytearray(2**24))


@pytest.mark.parametrize("work", [_spins, _grows])
def test_work_that_takes_too_much_is_ended_and_the_next_is_done(work):
    apart = Apart(seconds=1.0, megabytes=400)
    try:
        with pytest.raises(SheetgenError, match="took too much time or memory"):
            apart.run(work)
        assert apart.run(os.path.basename, "a/b") == "b"
    finally:
        apart.end()


def test_a_killed_worker_loses_no_file(office, files, monkeypatch):
    monkeypatch.setattr("sheetgen.desk.work.kind_of", _dies)
    browser = office.browser()
    page = browser.hand_in(files / "clean.xlsx", files / "spoilt.xlsx")
    browser.done(page)
    assert [book.error for book in office.delivery(page).books] == ["", ""]


def test_what_an_order_breaks_stays_with_that_order(office, files, monkeypatch):
    monkeypatch.setattr("sheetgen.desk.work.work_on_order", lambda *_: None)  # cannot go to another process
    browser = office.browser()
    html = browser.done(browser.hand_in(files / "order.xlsx"))
    assert "has a defect" in html
    monkeypatch.undo()
    page = browser.hand_in(files / "order.xlsx")
    assert "DEMO-0001_Distributor-A.xlsx" in browser.done(page)


def test_a_fault_shows_a_sentence_and_a_reference(office, monkeypatch, caplog):
    def broken():
        raise ZeroDivisionError("secret detail")

    browser = office.browser()
    monkeypatch.setattr(office.desk.deliveries, "all", broken)
    answer = browser.get("/")
    monkeypatch.undo()
    assert answer.status_code == 500
    assert "secret detail" not in answer.text
    reference = answer.text.partition("reference ")[2][:8]
    assert reference in caplog.text
    assert "ZeroDivisionError: secret detail" in caplog.text


def test_a_cut_upload_is_no_file(office, caplog):
    browser = office.browser()
    id = browser.post("/deliveries").json()["id"]
    told = [{"type": "http.request", "body": b"half", "more_body": True}, {"type": "http.disconnect"}]
    cookie = "; ".join(f"{name}={value}" for name, value in browser.client.cookies.items())
    headers = {"host": HOST, "cookie": cookie, **OURS}
    scope = {
        "type": "http", "method": "POST", "path": f"/deliveries/{id}/files", "query_string": b"name=a.xlsx",
        "headers": [(name.encode(), value.encode()) for name, value in headers.items()], "root_path": "",
    }  # fmt: skip

    async def receive():
        return told.pop(0)

    async def send(_message):
        pass

    anyio.run(office.door, scope, receive, send)
    assert told == []
    assert office.desk.deliveries.get(id).received == []
    assert [*(office.folder / id / "received").iterdir()] == []
    assert caplog.text == ""


def test_kinds_are_told_in_the_other_process_too(files):
    apart = Apart()
    try:
        assert apart.run(kind_of, files / "order.xlsx") == "order"
    finally:
        apart.end()


def test_a_damaged_record_is_passed_over(office, files):
    browser = office.browser()
    browser.done(browser.hand_in(files / "note.xlsx"))
    (office.folder / "2026-01-01-000000-abcdef").mkdir()
    (office.folder / "2026-01-01-000000-abcdef" / "delivery.json").write_text(json.dumps({"id": "other"}))
    assert browser.get("/").status_code == 200
    assert browser.get("/deliveries/other").status_code == 404
