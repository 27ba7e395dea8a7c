"""No file holds up a run: time and memory of each are limited, and what went beyond is named."""

from __future__ import annotations

import os
import signal
import threading

import pytest

from sheetgen.batch import recheck_many
from sheetgen.batch.file_limits import TimeUp, time_limited
from tests.audit.test_shown_values import forged
from tests.batch import fakes
from tests.bench.books import returned_book
from tests.bench.rounds import cost
from tests.edges import spinning

pytestmark = pytest.mark.skipif(not hasattr(signal, "setitimer"), reason="the system has no such clock")

RECHECK = """
import sys
from pathlib import Path
from sheetgen.audit.report import write_report
from sheetgen.audit.run import recheck_book
write_report(recheck_book(sys.argv[1]), Path(sys.argv[2]), copy=True, csv=True)
"""


def run(folder, words, jobs):
    fakes.make_returns(folder, words)
    return list(recheck_many([folder], recheck_one=spinning.recheck, jobs=jobs, seconds=2.0))


@pytest.mark.parametrize(("jobs", "word"), [(1, "spin"), (2, "spin"), (2, "deaf")])
def test_a_file_that_takes_too_long_is_named_and_the_others_are_done(tmp_path, jobs, word):
    results = run(tmp_path / "returned", ["honest", word, "honest", "honest"], jobs)
    assert [result.conclusion for result in results] == ["clean", "unusable", "clean", "clean"]
    assert "took more than 2 seconds of processor time" in str(results[1].error)


def test_a_file_that_takes_all_memory_is_named_and_the_others_are_done(tmp_path):
    results = run(tmp_path / "returned", ["honest", "hoard", "honest"], 2)
    assert [result.conclusion for result in results] == ["clean", "unusable", "clean"]
    assert "needs more memory" in str(results[1].error)


def test_a_process_that_is_killed_is_said_as_before(tmp_path):
    results = run(tmp_path / "returned", ["honest", "die", "honest"], 2)
    assert [result.conclusion for result in results] == ["clean", "unusable", "clean"]
    assert "stopped by the system" in str(results[1].error)


def _spin():
    with time_limited(0.05):
        while True:
            pass


def test_the_clock_is_stopped_and_given_back():
    seen = []
    before = signal.signal(signal.SIGPROF, lambda *_: seen.append(1))
    try:
        with pytest.raises(TimeUp):
            _spin()
        with time_limited(0.05):
            pass
        os.kill(os.getpid(), signal.SIGPROF)
        assert seen == [1]
        assert signal.getitimer(signal.ITIMER_PROF)[0] == 0
    finally:
        signal.signal(signal.SIGPROF, before)


def test_a_thread_that_cannot_be_told_works_without_a_limit():
    done = []

    def work():
        with time_limited(0.01):
            sum(range(10**6))
        done.append(True)

    thread = threading.Thread(target=work)
    thread.start()
    thread.join()
    assert done == [True]


@pytest.mark.exhaustive
def test_the_largest_book_that_is_calculated_again_takes_less_than_300_megabytes(tmp_path):
    book = forged(returned_book(tmp_path, 500), tmp_path / "forged.xlsx", "Card", "K8", "12345")
    out = tmp_path / "out"
    _seconds, megabytes = cost(RECHECK, str(book), str(out))
    assert "shown-value-altered" in (out / "forged.recheck.json").read_text(encoding="utf-8")
    assert megabytes < 300
