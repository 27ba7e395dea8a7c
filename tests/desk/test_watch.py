"""A watched folder: what is taken and what waits, where results go, restarts, a drive that is away."""

from __future__ import annotations

import json
import os
import shutil
import time
from datetime import datetime, timedelta
from pathlib import Path

import openpyxl
import pytest

from sheetgen.commands.desk import desk_command
from sheetgen.desk import watch as module
from sheetgen.desk.results import put_results
from sheetgen.errors import SheetgenError
from sheetgen.office.settings import Settings
from tests.desk.conftest import PATIENCE
from tests.desk.served import served
from tests.office.conftest import SLIPS


@pytest.fixture
def inbox(tmp_path):
    """An empty folder to watch."""
    folder = tmp_path / "inbox"
    folder.mkdir()
    return folder


@pytest.fixture
def watching(make_office, inbox):
    """A desk that watches it."""
    with make_office(watch=inbox).open() as office:
        yield office


def look(office, times=2):
    """Look so often, and give the delivery that the last look handed in."""
    before = [*office.desk.deliveries.all()]
    for _ in range(times):
        office.desk.watch.look()
    new = [each for each in office.desk.deliveries.all() if each.id not in {old.id for old in before}]
    assert len(new) < 2
    return new[0] if new else None


def worked(office, delivery):
    """Wait until a delivery is done and have its results put out."""
    office.browser().done(f"/deliveries/{delivery.id}")
    office.desk.watch.look()
    return office.desk.deliveries.get(delivery.id)


def waiting(office):
    return office.desk.watch.state().waiting


def names(folder):
    return {path.relative_to(folder).as_posix() for path in folder.rglob("*") if path.is_file()}


def test_orders_become_books_returned_books_reports_and_a_mistake_a_marked_copy(watching, inbox, files):
    put = ("order.xlsx", "mistaken.xlsx", "spoilt.xlsx")
    (inbox / "week 23").mkdir()
    for name in put:
        shutil.copy(files / name, inbox / ("week 23" if name == "spoilt.xlsx" else ".") / name)
    before = {path: (path.read_bytes(), path.stat().st_mtime_ns) for path in inbox.rglob("*.xlsx")}
    assert look(watching, 1) is None
    assert waiting(watching) == {"mistaken.xlsx": "new", "order.xlsx": "new", "week 23/spoilt.xlsx": "new"}
    delivery = look(watching, 1)
    assert sorted(delivery.received) == sorted(put)
    worked(watching, delivery)
    made = names(inbox / "results")
    assert {
        "order/DEMO-0001_Distributor-A.xlsx", "order/The plan.txt", "mistaken/mistaken - to correct.xlsx",
        "spoilt/spoilt.recheck.xlsx", "spoilt/spoilt.recheck.copy.xlsx",
    } <= made  # fmt: skip
    assert not any("unfinished" in name for name in made)
    workbook = openpyxl.load_workbook(inbox / "results" / "mistaken" / "mistaken - to correct.xlsx")
    assert all(workbook[sheet][cell].comment for sheet, cell in SLIPS)
    assert "Material C10" in (inbox / "results/mistaken/why there is no result.txt").read_text("utf-8-sig")
    assert {path: (path.read_bytes(), path.stat().st_mtime_ns) for path in before} == before
    assert look(watching, 4) is None  # neither the same again nor its own results
    page = watching.browser().get("/").text
    assert "from the watched folder" in page
    assert "Not taken yet" not in page
    assert (
        f"came from the watched folder {inbox}" in watching.browser().get(f"/deliveries/{delivery.id}").text
    )


def test_a_file_that_is_still_written_is_waited_for(watching, inbox, files):
    data = (files / "clean.xlsx").read_bytes()
    path = inbox / "back.xlsx"
    for part in (len(data) // 3, len(data) // 2):
        path.write_bytes(data[:part])
        look(watching, 1)
        assert waiting(watching) == {"back.xlsx": "new"}
    assert look(watching, 5) is None  # a copy that has stopped for a while
    assert waiting(watching) == {"back.xlsx": "not_whole"}
    assert [*watching.desk.deliveries.all()] == []
    path.write_bytes(data)
    assert look(watching, 1) is None
    assert look(watching, 1).received == ["back.xlsx"]


def test_a_file_that_never_becomes_whole_is_taken_as_it_is_and_told_in_words(
    watching, inbox, files, monkeypatch
):
    monkeypatch.setattr(module, "_PATIENT", 4)
    (inbox / "note.xlsx").write_text("not a workbook")
    assert look(watching, 3) is None
    delivery = worked(watching, look(watching, 1))
    assert delivery.books[0].severity == "unusable"
    told = (inbox / "results" / "note" / "why there is no result.txt").read_text("utf-8-sig")
    assert told.startswith("Found: ")
    assert "Expected: " in told


@pytest.mark.parametrize(
    "name",
    ["~$back.xlsx", ".~lock.back.xlsx#", ".back.xlsx", "~back.xlsx", "back.tmp", "back.xlsx.part", "back.txt",
     ".sync/back.xlsx", "results/back.xlsx", "resultados/back.xlsx"],
)  # fmt: skip
def test_what_programs_leave_is_passed_over(watching, inbox, files, name):
    (inbox / name).parent.mkdir(exist_ok=True)
    shutil.copy(files / "clean.xlsx", inbox / name)
    assert look(watching, 3) is None
    assert waiting(watching) == {}


@pytest.mark.parametrize("lock", ["~$back.xlsx", ".~lock.back.xlsx#"])
def test_a_file_that_a_program_has_open_waits_until_it_is_closed(watching, inbox, files, lock):
    shutil.copy(files / "clean.xlsx", inbox / "back.xlsx")
    (inbox / lock).write_text("somebody")
    assert look(watching, 3) is None
    assert waiting(watching) == {"back.xlsx": "open"}
    assert "it is open in a program" in watching.browser().get("/").text
    (inbox / lock).unlink()
    assert look(watching, 1).received == ["back.xlsx"]


def test_the_same_content_is_done_once_under_whatever_name_and_another_under_the_same(watching, inbox, files):
    for name in ("one.xlsx", "two.xlsx"):
        shutil.copy(files / "clean.xlsx", inbox / name)
    first = worked(watching, look(watching))
    assert first.received == ["one.xlsx"]
    os.utime(inbox / "one.xlsx", (1, 1))
    (inbox / "one.xlsx").rename(inbox / "three.xlsx")
    assert look(watching, 3) is None
    shutil.copy(files / "spoilt.xlsx", inbox / "one.xlsx")
    second = worked(watching, look(watching))
    assert [*first.results.values(), *second.results.values()] == ["one", "one (2)"]
    assert (inbox / "results" / "one (2)" / "one.recheck.xlsx").is_file()


def test_a_restart_goes_on_where_it_was(make_office, inbox, files, monkeypatch):
    shutil.copy(files / "clean.xlsx", inbox / "done.xlsx")
    with make_office(watch=inbox).open() as office:
        worked(office, look(office))
        shutil.copy(files / "spoilt.xlsx", inbox / "under way.xlsx")
        monkeypatch.setattr(office.desk.work, "take", lambda delivery: office.desk.deliveries.keep(delivery))
        cut_off = look(office)  # killed between copying and the work
        assert cut_off.state == "receiving"
    before = names(inbox)
    with make_office(watch=inbox).open() as again:
        assert (
            again.desk.deliveries.get(cut_off.id) is None
        )  # half of a delivery: its file is still in the folder
        assert look(again, 1) is None
        delivery = look(again, 1)
        assert delivery.received == ["under way.xlsx"]
        again.browser().done(f"/deliveries/{delivery.id}")  # ended before its results were put out
        assert names(inbox) == before
    with make_office(watch=inbox).open() as last:
        assert look(last, 3) is None
        made = names(inbox) - before
    assert "results/under way/under way.recheck.xlsx" in made
    assert not any("(2)" in name for name in made)


def test_results_that_were_cut_off_are_put_into_the_same_folder(watching, inbox, files, monkeypatch):
    shutil.copy(files / "clean.xlsx", inbox / "back.xlsx")
    delivery = look(watching)
    watching.browser().done(f"/deliveries/{delivery.id}")
    delivery = watching.desk.deliveries.get(delivery.id)
    with monkeypatch.context() as patched:
        patched.setattr(
            shutil, "copyfile", lambda *_: (_ for _ in ()).throw(OSError(28, "No space left on device"))
        )
        watching.desk.watch.look()
    assert watching.desk.watch.state().away == "No space left on device"
    assert not delivery.put_out
    watching.desk.watch.look()
    assert watching.desk.watch.state().away == ""
    assert sorted(path.name for path in (inbox / "results").iterdir()) == ["back"]
    put_results(watching.desk.deliveries, watching.desk.deliveries.get(delivery.id), inbox / "results", "en")
    assert sorted(path.name for path in (inbox / "results").iterdir()) == ["back"]


def test_a_drive_that_is_away_is_said_and_taken_up_again(watching, inbox, files, caplog):
    look(watching, 1)
    shutil.copy(files / "clean.xlsx", inbox / "back.xlsx")
    away = inbox.with_name("unplugged")
    for left in (False, True):  # nothing is left in its place, or an empty folder
        inbox.rename(away)
        if left:
            inbox.mkdir()
        caplog.clear()
        for _ in range(3):
            watching.desk.watch.look()
        assert [("away" in record.message) for record in caplog.records] == [True]
        page = watching.browser().get("/").text
        assert "The folder cannot be used since" in page
        assert ("make that folder again" in page) == left
        if left:
            inbox.rmdir()
        away.rename(inbox)
        caplog.clear()
        assert look(watching, 1) is None  # unchanged for two looks from now on
        assert [("back" in record.message) for record in caplog.records] == [True]
        assert "cannot be used since" not in watching.browser().get("/").text
    assert look(watching, 1).received == ["back.xlsx"]


def test_an_empty_folder_where_a_drive_was_is_not_written_into_after_a_restart(make_office, inbox, files):
    shutil.copy(files / "clean.xlsx", inbox / "back.xlsx")
    with make_office(watch=inbox).open() as office:
        worked(office, look(office))
    inbox.rename(inbox.with_name("unplugged"))
    inbox.mkdir()
    with make_office(watch=inbox).open() as again:
        assert look(again) is None
        assert "make that folder again" in again.desk.watch.state().away
        assert [*inbox.iterdir()] == []
        (inbox / "results").mkdir()
        assert look(again) is None
        assert again.desk.watch.state().away == ""


def test_a_drive_that_does_not_answer_is_said(watching):
    watch = watching.desk.watch
    watch.look()
    assert watch.state().away == ""
    watch._now = lambda: datetime.now() + timedelta(minutes=2)  # a look that began two minutes ago goes on
    assert "the drive does not answer" in watching.browser().get("/").text


def test_a_file_that_is_too_large_or_cannot_be_read_holds_nothing_up(watching, inbox, files, monkeypatch):
    monkeypatch.setattr(module, "MOST_BYTES", 400_000)
    (inbox / "large.xlsx").write_bytes(bytes(400_001))
    os.mkfifo(inbox / "pipe.xlsx")
    (inbox / "dangling.xlsx").symlink_to(inbox / "nowhere")
    (inbox / "order.xlsx").write_bytes((files / "order.xlsx").read_bytes())
    assert look(watching).received == ["order.xlsx"]
    assert waiting(watching) == {"large.xlsx": "large"}


CLAIM = "book,payable\nearlier,900\nback,1200\nlater,1300\nnever,5\n"


def claimed(office, delivery, name):
    """What is claimed for a returned book, by its report."""
    (book,) = [each for each in delivery.books if each.file == name]
    path = office.desk.deliveries.path(delivery, *book.document.split("/"))
    claim = json.loads(path.read_text(encoding="utf-8"))["claim"]
    return claim and claim["claimed"]


def test_a_claim_sheet_counts_for_books_that_come_before_with_and_after_it(make_office, inbox, files):
    with make_office(watch=inbox).open() as office:
        shutil.copy(files / "clean.xlsx", inbox / "earlier.xlsx")
        first = worked(office, look(office))
        (inbox / "claims.csv").write_text(CLAIM)
        (inbox / "notes.csv").write_text("day,rain\nMonday,none\n")
        shutil.copy(files / "spoilt.xlsx", inbox / "back.xlsx")
        second = worked(office, look(office))
        assert sorted(second.received) == ["back.xlsx", "claims.csv", "earlier.xlsx"]
        assert [(each.compared, each.absent) for each in second.claims] == [
            (["back.xlsx", "earlier.xlsx"], ["later", "never"])
        ]
    with make_office(watch=inbox).open() as again:  # after a restart
        data = (files / "clean.xlsx").read_bytes()
        (inbox / "later.xlsx").write_bytes(data[:-2] + (1).to_bytes(2, "little") + b"1")
        third = worked(again, look(again))
        assert look(again, 3) is None
        assert waiting(again) == {}
        found = [claimed(again, first, "earlier.xlsx"), claimed(again, second, "earlier.xlsx")]
        assert found == [None, 900]
        assert (claimed(again, second, "back.xlsx"), claimed(again, third, "later.xlsx")) == (1200, 1300)
    told = (inbox / "results" / "claims" / "Claim sheets.txt").read_text("utf-8-sig")
    assert told == "Compared with: back.xlsx, earlier.xlsx\nNo returned book is here for: later, never\n"
    assert {"earlier/earlier.recheck.xlsx", "earlier (2)/earlier.recheck.xlsx"} <= names(inbox / "results")
    assert not (inbox / "results" / "notes").exists()


def test_a_claim_sheet_that_cannot_be_read_is_told_and_a_corrected_one_counts(watching, inbox, files):
    (inbox / "claims.csv").write_text("book,payable\nback,much\n")
    shutil.copy(files / "spoilt.xlsx", inbox / "back.xlsx")
    delivery = worked(watching, look(watching))
    assert "much" in delivery.trouble
    assert "much" in (inbox / "results/back/why there is no result.txt").read_text("utf-8-sig")
    (inbox / "claims.csv").write_text("book;payable\nback;1200\n")
    (inbox / "more.csv").write_text("book;payable\nback;1300\n")
    assert "with different quantities" in worked(watching, look(watching)).trouble
    (inbox / "more.csv").write_text("book;payable\nback;1200\nother;1\n")
    last = worked(watching, look(watching))
    assert claimed(watching, last, "back.xlsx") == 1200


def test_reports_made_again_are_put_out_again(watching, inbox, files):
    shutil.copy(files / "spoilt.xlsx", inbox / "back.xlsx")
    delivery = worked(watching, look(watching))
    watching.browser().post(f"/deliveries/{delivery.id}/again")
    worked(watching, delivery)
    assert {"back/back.recheck.xlsx", "back (2)/back.recheck.xlsx"} <= names(inbox / "results")


def test_results_have_the_names_of_the_office_language(make_office, inbox, files):
    shutil.copy(files / "mistaken.xlsx", inbox / "pedido.xlsx")
    with make_office(settings=Settings(language="es"), watch=inbox).open() as office:
        worked(office, look(office))
    assert "resultados/pedido/por qué no hay resultado.txt" in names(inbox)


@pytest.mark.parametrize("inside", ["office", "office/in", "."])
def test_the_desks_own_folder_and_one_around_it_are_not_watched(tmp_path, inside):
    (tmp_path / inside).mkdir(parents=True, exist_ok=True)
    with pytest.raises(SheetgenError, match="Watch another folder"):
        desk_command(tmp_path / "office", browser=False, watch=tmp_path / inside)


def test_a_desk_in_its_own_process_takes_what_is_put_into_its_folder(tmp_path, inbox, files):
    made = inbox / "results" / "order" / "DEMO-0001_Distributor-A.xlsx"
    with served(tmp_path / "desk", watch=inbox):
        shutil.copy(files / "order.xlsx", inbox / "order.xlsx")
        ends = time.monotonic() + PATIENCE
        while not made.is_file():
            assert time.monotonic() < ends, names(Path(tmp_path))
            time.sleep(0.2)
    assert "Record" in openpyxl.load_workbook(made).sheetnames
    assert "taken from" in (tmp_path / "desk" / "desk.log").read_text()
