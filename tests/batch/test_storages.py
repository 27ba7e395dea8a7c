"""Books and reports in storages named by a URL, as fsspec has them."""

import functools
import importlib.util
import socket
import sys
import uuid

import pytest

from sheetgen.audit.report import write_report
from sheetgen.batch import Tally, places, recheck_many, returned_files
from sheetgen.book.build import write_filled
from sheetgen.demo.day import honest_day
from sheetgen.errors import SheetgenError
from sheetgen.register.register import open_register
from tests.audit.orders import small
from tests.batch import fakes, storage
from tests.engines import absent


@pytest.fixture(autouse=True)
def _extra():
    if importlib.util.find_spec("upath") is None:
        absent("universal-pathlib")


@pytest.fixture(params=["memory", "file", "ftp"])
def store(request, tmp_path):
    """A folder in a storage, with the URL that a person would give."""
    if request.param == "memory":
        yield f"memory://{uuid.uuid4().hex}"
    elif request.param == "file":
        yield f"file://{tmp_path}/store"
    else:
        (tmp_path / "store").mkdir()
        with storage.ftp_server(tmp_path / "store") as url:
            yield url


def put(url, files):
    """Copy files into a folder of a storage."""
    folder = places.place(url)
    folder.mkdir(parents=True, exist_ok=True)
    for file in files:
        (folder / file.name).write_bytes(file.read_bytes())
    return folder


def run(named, out, **facts):
    given = {"recheck_one": fakes.recheck, "write_report": fakes.report} | facts
    return list(recheck_many([named], out_dir=out, **given))


def test_a_batch_in_a_storage_gives_what_it_gives_in_a_folder(store, tmp_path):
    files = fakes.make_returns(tmp_path / "plain", ["honest", "query", "unusable", "honest"])
    put(f"{store}/returned", files)
    plain = run(tmp_path / "plain", tmp_path / "out")
    there = run(f"{store}/returned", f"{store}/rechecked")
    assert [result.conclusion for result in there] == [result.conclusion for result in plain]
    assert [result.path.name for result in there] == [file.name for file in files]
    assert [result.sha256 for result in there] == [result.sha256 for result in plain]
    assert [[report.name for report in result.reports] for result in there] == [
        [report.name for report in result.reports] for result in plain
    ]
    for result in there:
        for report in result.reports:
            assert report.read_text().endswith("whole\n")
    assert str(there[2].error).startswith(str(there[2].path))
    names = {path.name for path in places.place(f"{store}/rechecked").iterdir()}
    assert names == {report.name for result in there for report in result.reports} | {".done"}
    again = run(f"{store}/returned", f"{store}/rechecked")
    assert [result.kept for result in again] == [True, True, False, True]
    assert [result.findings for result in again] == [result.findings for result in there]


def test_a_changed_book_and_a_lost_report_are_made_again(store, tmp_path):
    files = fakes.make_returns(tmp_path / "plain", ["honest", "honest", "honest"])
    folder = put(f"{store}/returned", files)
    first = run(f"{store}/returned", f"{store}/rechecked")
    (folder / files[0].name).write_text("query 0")
    first[1].reports[1].unlink()
    again = run(f"{store}/returned", f"{store}/rechecked")
    assert [result.kept for result in again] == [False, False, True]
    assert [result.conclusion for result in again] == ["query", "clean", "clean"]


def test_books_in_a_storage_are_found_as_in_a_folder(store, tmp_path):
    for name in ("b.xlsx", "a.XLSX", "~$b.xlsx", ".hidden.xlsx", "notes.txt"):
        (tmp_path / name).write_text("x")
    fakes.report_of_this_program(tmp_path / "b.recheck.xlsx")
    put(f"{store}/deep", [tmp_path / "b.xlsx"])
    put(store, [path for path in tmp_path.iterdir() if path.is_file()])
    found = [
        path.path.rpartition("deep/")[2] if "deep" in path.path else path.name
        for path in returned_files([store])
    ]
    assert found == ["a.XLSX", "b.xlsx", "b.xlsx"]
    assert len(returned_files([store, f"{store}/b.xlsx", f"{store}/b.xlsx"])) == 3


def test_the_summary_is_written_there_too(store, tmp_path):
    put(f"{store}/returned", fakes.make_returns(tmp_path / "plain", ["honest", "unusable"]))
    tally = Tally()
    with open_register() as register:
        for result in recheck_many(
            [f"{store}/returned"], out_dir=f"{store}/rechecked", register=register,
            recheck_one=fakes.recheck, write_report=fakes.report,
        ):  # fmt: skip
            tally.add(result)
        written = tally.write(f"{store}/rechecked", register=register)
    assert [path.name for path in written] == ["summary.xlsx", "summary.json", "summary.findings.csv"]
    assert all(path.read_bytes() for path in written)


def test_a_password_in_an_address_is_shown_nowhere(tmp_path):
    (tmp_path / "store").mkdir()
    with storage.ftp_server(tmp_path / "store") as url:
        assert "river" in url
        put(f"{url}/returned", fakes.make_returns(tmp_path / "plain", ["honest", "unusable", "defect"]))
        for result in run(f"{url}/returned", f"{url}/rechecked"):
            assert "river" not in f"{result!r} {result.detail} {result.error} {result.path}"
    notes = (tmp_path / "store").rglob("*")
    assert not any(b"river" in note.read_bytes() for note in notes if note.is_file())


@pytest.mark.parametrize("store", ["file", "memory"], indirect=True)
def test_a_real_book_gives_the_same_report_to_the_byte(store, tmp_path):
    """Links from the report to the book lead from the one to the other in both places."""
    order = small()
    (tmp_path / "store" / "returned").mkdir(parents=True)
    book = write_filled(order, order.machines[0], honest_day(order, order.machines[0], seed=1),
                        tmp_path / "store" / "returned" / "a.xlsx")  # fmt: skip
    if store.startswith("memory"):
        put(f"{store}/returned", [book])
    report = functools.partial(write_report, copy=True, csv=True)
    plain = list(recheck_many([book.parent], out_dir=tmp_path / "store" / "plain", write_report=report))
    there = list(recheck_many([f"{store}/returned"], out_dir=f"{store}/rechecked", write_report=report))
    assert len(plain[0].reports) > 3
    for ours, theirs in zip(plain[0].reports, there[0].reports, strict=True):
        assert ours.read_bytes() == theirs.read_bytes(), ours.name
    assert there[0].findings == plain[0].findings
    assert there[0].line.file == str(there[0].path)


def test_a_book_that_is_too_large_is_not_fetched(tmp_path, monkeypatch):
    monkeypatch.setattr(sys.modules["sheetgen.xlsx.package"], "MAX_FILE", 3)
    put("memory://large", fakes.make_returns(tmp_path / "plain", ["honest"]))
    monkeypatch.setattr(places, "read_whole", lambda where: pytest.fail("fetched"))
    (result,) = run("memory://large", None)
    assert "MB" in str(result.error)


@pytest.mark.parametrize(
    ("url", "says"),
    [
        ("nowhere://bucket/returned", "a storage that cannot be used"),
        ("ftp://127.0.0.1:9/returned", "a storage that cannot be used"),
        ("s3://bucket/returned", "install the package that this kind of storage needs"),
    ],
)
def test_an_address_that_leads_nowhere_is_said(url, says, tmp_path):
    with pytest.raises(SheetgenError, match=says):
        run(url, tmp_path / "out")
    with pytest.raises(SheetgenError, match=says):
        run(tmp_path, url)


def test_a_storage_that_does_not_answer_is_given_up(tmp_path, monkeypatch):
    monkeypatch.setattr(places, "PATIENCE", 0.5)
    with socket.socket() as silent:
        silent.bind(("127.0.0.1", 0))
        silent.listen()
        with pytest.raises(SheetgenError, match="did not answer within"):
            run(f"ftp://127.0.0.1:{silent.getsockname()[1]}/returned", tmp_path / "out")


def test_without_the_extra_a_url_says_what_to_install(tmp_path, monkeypatch):
    monkeypatch.setitem(sys.modules, "upath", None)
    with pytest.raises(SheetgenError, match=r'pipx install --force "\.\[cluster\]"'):
        run("memory://x", tmp_path / "out")
