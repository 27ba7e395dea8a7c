"""Batches over a cluster of separate worker processes, with a worker killed in the middle; register on PostgreSQL."""

import functools
import logging
import os
import signal
import socket
import sys
import time
from collections import Counter
from pathlib import Path

import pytest

from sheetgen.batch import cluster as batch_cluster
from sheetgen.batch import recheck_many
from sheetgen.errors import SheetgenError
from sheetgen.register.register import open_register
from tests.batch import fakes, storage
from tests.command_line import run_text
from tests.register.books import emptied_server

pytestmark = pytest.mark.skipif(os.name != "posix", reason="workers are killed by signals here")

WORDS = ["honest", "slow", "query", "slow"] * 6


@pytest.fixture(scope="module")
def cluster():
    with storage.local_cluster() as made:
        yield made


@pytest.fixture
def returned(tmp_path):
    return fakes.make_returns(tmp_path / "returned", WORDS)


def run(named, out, scheduler, **facts):
    given = {"recheck_one": fakes.recheck, "write_report": fakes.report} | facts
    return recheck_many([named], out_dir=out, scheduler=scheduler, **given)


def said(results):
    return [(result.path.name, result.conclusion, result.sha256, result.findings) for result in results]


def reports(folder: Path) -> dict[str, int]:
    """Report files by name with their size, each of them whole."""
    found = sorted(folder.glob("*.txt"))
    assert all(fakes.whole(path) for path in found)
    assert list(folder.rglob("*.unfinished")) == []
    return [path.name for path in found]


@pytest.mark.parametrize("by_workers", [False, True], ids=["written here", "written by workers"])
def test_a_worker_killed_in_the_middle_loses_nothing_and_doubles_nothing(
    cluster, returned, tmp_path, by_workers
):
    plain = list(recheck_many([tmp_path / "returned"], out_dir=tmp_path / "plain",
                              recheck_one=fakes.recheck, write_report=fakes.report))  # fmt: skip
    place, out = emptied_server(), tmp_path / "out"
    named = [f"file://{tmp_path}/returned", f"file://{out}"] if by_workers else [tmp_path / "returned", out]
    noted = functools.partial(fakes.recheck_noted, made=str(tmp_path / "made"))
    facts = {"recheck_one": noted, "register": place}
    results, killed = [], []
    for result in run(*named, cluster.scheduler_address, **facts):
        results.append(result)
        if len(results) in (4, 13):
            killed.append(storage.worker_processes(cluster)[0])
            os.kill(killed[-1], signal.SIGKILL)
    assert len(set(killed)) == 2
    assert said(results) == said(plain)
    assert reports(out) == reports(tmp_path / "plain")
    assert [result.outcome.kind for result in results] == ["new"] * len(WORDS)
    with open_register(place) as register:
        for number in range(len(WORDS)):
            (kept,) = register.history(f"book {number}").returns
            assert len(kept.rechecks) == len(kept.paths) == 1
    made = Counter((tmp_path / "made").read_text().splitlines())
    assert made.keys() == {path.name for path in returned}
    # Reports that are written here are lost with the worker that still holds them, at most all that was handed out;
    # a report that a worker wrote is done, so that only the book it died at is rechecked again.
    again_each = 1 if by_workers else 2 * batch_cluster._AHEAD
    assert sum(made.values()) <= len(WORDS) + again_each * len(killed)
    before = sum(made.values())
    again = list(run(*named, cluster.scheduler_address, **facts))
    assert said(again) == said(plain)
    assert all(result.kept and result.outcome.kind == "same-again" for result in again)
    assert len((tmp_path / "made").read_text().splitlines()) == before


def test_books_and_reports_in_a_storage_that_only_the_network_reaches(cluster, tmp_path):
    (tmp_path / "store").mkdir()
    fakes.make_returns(tmp_path / "store" / "returned", WORDS[:6])
    with storage.ftp_server(tmp_path / "store") as url:
        for kept in (False, True):
            results = list(run(f"{url}/returned", f"{url}/rechecked", cluster.scheduler_address))
            assert [result.kept for result in results] == [kept] * 6
        assert len(reports(tmp_path / "store" / "rechecked")) == 12
        local = list(run(f"{url}/returned", tmp_path / "here", cluster.scheduler_address))
        assert reports(tmp_path / "here") == reports(tmp_path / "store" / "rechecked")
        assert [result.conclusion for result in local] == [result.conclusion for result in results]


def test_files_that_cannot_be_used_stop_no_other(cluster, tmp_path):
    words = ["honest", "unusable", "defect", "honest"]
    files = fakes.make_returns(tmp_path / "returned", words)
    (tmp_path / "returned" / "a folder.xlsx").mkdir()
    results = list(
        recheck_many(
            [*files, tmp_path / "none.xlsx"], out_dir=tmp_path / "out", scheduler=cluster.scheduler_address,
            recheck_one=fakes.recheck, write_report=fakes.report,
        )
    )  # fmt: skip
    assert [result.conclusion for result in results] == ["clean", "unusable", "unusable", "clean", "unusable"]
    errors = [str(result.error) for result in results]
    assert errors[1].startswith(str(files[1]))
    assert "ZeroDivisionError" in results[2].detail
    assert "no file of that name" in errors[4]


def test_a_run_that_is_left_early_is_continued(cluster, returned, tmp_path):
    results = run(tmp_path / "returned", tmp_path / "out", cluster.scheduler_address)
    first = [next(results) for _ in range(5)]
    results.close()
    again = list(run(tmp_path / "returned", tmp_path / "out", cluster.scheduler_address))
    assert said(again[:5]) == said(first)
    assert [result.kept for result in again[:5]] == [True] * 5
    assert len(reports(tmp_path / "out")) == 2 * len(WORDS)


@pytest.mark.slow
def test_a_book_that_kills_its_worker_is_lost_alone(tmp_path):
    words = ["honest", "die", "honest"]
    fakes.make_returns(tmp_path / "returned", words)
    with storage.local_cluster(workers=1, deaths=0) as made:
        results = list(run(tmp_path / "returned", tmp_path / "out", made.scheduler_address))
    assert [result.conclusion for result in results] == [
        "unusable" if word == "die" else "clean" for word in words
    ]
    assert "stopped by the system" in str(results[1].error)


# What cannot work


def test_nobody_at_the_address_is_said_in_time(returned, tmp_path, monkeypatch):
    monkeypatch.setattr(batch_cluster, "PATIENCE", 1.0)
    with socket.socket() as silent:
        silent.bind(("127.0.0.1", 0))
        silent.listen()  # takes the call, and says nothing
        begun = time.monotonic()
        with pytest.raises(SheetgenError, match="no Dask scheduler that answers"):
            list(run(tmp_path / "returned", tmp_path / "out", f"tcp://127.0.0.1:{silent.getsockname()[1]}"))
        assert time.monotonic() - begun < 30


@pytest.mark.parametrize("address", ["tcp://127.0.0.1:1", "nonsense://x", "127.0.0.1", "tls://127.0.0.1:1"])
def test_an_address_that_is_none_is_said(returned, tmp_path, monkeypatch, address):
    monkeypatch.setattr(batch_cluster, "PATIENCE", 1.0)
    with pytest.raises(SheetgenError, match="no Dask scheduler that answers"):
        list(run(tmp_path / "returned", tmp_path / "out", address))


def test_a_scheduler_without_workers_is_said(returned, tmp_path, monkeypatch):
    monkeypatch.setattr(batch_cluster, "FIRST_WORKER", 1.0)
    with (
        storage.local_cluster(workers=0) as made,
        pytest.raises(SheetgenError, match="a scheduler without workers"),
    ):
        list(run(tmp_path / "returned", tmp_path / "out", made.scheduler_address))


def test_a_worker_with_another_version_of_the_program_is_said(cluster, returned, tmp_path, monkeypatch):
    monkeypatch.setattr("sheetgen.version.VERSION", "9.9.9")
    with pytest.raises(SheetgenError, match=r"expected 9\.9\.9"):
        list(run(tmp_path / "returned", tmp_path / "out", cluster.scheduler_address))


def test_a_scheduler_that_goes_away_ends_the_run_and_leaves_what_is_done(returned, tmp_path, monkeypatch):
    dask = pytest.importorskip("dask")
    logging.getLogger("distributed").setLevel(logging.CRITICAL)
    with (
        dask.config.set({"distributed.comm.timeouts.connect": "5s"}),
        storage.local_cluster(workers=1) as made,
    ):
        results = run(tmp_path / "returned", tmp_path / "out", made.scheduler_address)
        done = [next(results), next(results)]
        monkeypatch.setattr(batch_cluster, "PATIENCE", 5.0)
        made.close()
        with pytest.raises(SheetgenError, match=r"the cluster no longer answers|without workers"):
            done.extend(results)
    again = list(recheck_many([tmp_path / "returned"], out_dir=tmp_path / "out",
                              recheck_one=fakes.recheck, write_report=fakes.report))  # fmt: skip
    assert [result.kept for result in again[: len(done)]] == [True] * len(done)


def test_without_the_extra_a_scheduler_says_what_to_install(returned, tmp_path, monkeypatch):
    monkeypatch.setitem(sys.modules, "distributed", None)
    with pytest.raises(SheetgenError, match=r'pipx install --force "\.\[cluster\]"'):
        list(run(tmp_path / "returned", tmp_path / "out", "tcp://127.0.0.1:1"))


@pytest.mark.parametrize(
    ("more", "says"),
    [
        (["--register", "register.db"], "found a register in a file"),
        (["--jobs", "2"], "found together with --scheduler"),
        (["--scheduler", "nonsense://x"], "no Dask scheduler that answers there within 30 seconds"),
        (["--out", "nowhere://x"], "a storage that cannot be used"),
    ],
)
def test_the_command_says_what_cannot_work_and_ends_with_status_2(returned, tmp_path, more, says):
    done = run_text("recheck", tmp_path / "returned", "--scheduler", "tcp://127.0.0.1", *more, cwd=tmp_path)
    assert (done.returncode, done.stdout) == (2, "")
    assert says in done.stderr
    assert "Traceback" not in done.stderr
    assert len(done.stderr.strip().splitlines()) == 1
