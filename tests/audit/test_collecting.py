"""The collector of cycles rests while books are rechecked, and is afterwards as it was."""

import gc
import threading

import pytest

from sheetgen.audit.garbage_collection import collection_paused
from sheetgen.audit.run import recheck_book
from sheetgen.errors import UnusableBook


@pytest.fixture(params=[True, False], ids=["on", "off"])
def was_on(request):
    """Whether the program that rechecks books has the collector on."""
    (gc.enable if request.param else gc.disable)()
    yield request.param
    gc.enable()


def test_after_a_pause_the_collector_is_as_it_was(was_on):
    with collection_paused():
        assert not gc.isenabled()
    assert gc.isenabled() is was_on


def test_a_pause_within_a_pause_ends_with_the_outer_one(was_on):
    with collection_paused():
        with collection_paused():
            assert not gc.isenabled()
        assert not gc.isenabled()
    assert gc.isenabled() is was_on


def test_the_pause_lasts_until_the_last_of_several_threads_is_done(was_on):
    inside, leave = threading.Event(), threading.Event()

    def other():
        with collection_paused():
            inside.set()
            leave.wait(10)

    thread = threading.Thread(target=other)
    with collection_paused():
        thread.start()
        assert inside.wait(10)
    assert not gc.isenabled()
    leave.set()
    thread.join()
    assert gc.isenabled() is was_on


def test_a_book_that_cannot_be_read_ends_the_pause_as_well(was_on, tmp_path):
    with pytest.raises(UnusableBook):
        recheck_book(tmp_path / "missing.xlsx")
    assert gc.isenabled() is was_on
