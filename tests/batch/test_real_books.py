"""A batch of real field books through the real recheck and its report, in processes of their own."""

import functools
import shutil

import pytest

from sheetgen.audit.run import recheck_book
from sheetgen.batch import IssuedAs, recheck_many
from sheetgen.book.build import write_filled
from sheetgen.demo.day import honest_day
from sheetgen.order.demo import demo_order
from sheetgen.register.register import open_register

ORDER = demo_order()
MACHINE = ORDER.machines[0]


@pytest.mark.slow
def test_real_books_in_two_processes(tmp_path):
    returned, place = tmp_path / "returned", str(tmp_path / "register.db")
    returned.mkdir()
    with open_register(place) as register:
        register.record_issue(ORDER, MACHINE)
    write_filled(ORDER, MACHINE, honest_day(ORDER, MACHINE, seed=1), returned / "a.xlsx")
    write_filled(ORDER, MACHINE, honest_day(ORDER, MACHINE, seed=2), returned / "b.xlsx")
    shutil.copy(returned / "a.xlsx", returned / "c.xlsx")
    (returned / "d.xlsx").write_bytes((returned / "a.xlsx").read_bytes()[:4000])
    recheck = functools.partial(recheck_book, issued_as=IssuedAs(place))
    batch = {"out_dir": tmp_path / "out", "jobs": 2, "register": place, "recheck_one": recheck}
    results = list(recheck_many([returned], **batch))
    assert [result.path.name for result in results] == ["a.xlsx", "b.xlsx", "c.xlsx", "d.xlsx"]
    assert [result.conclusion == "unusable" for result in results] == [False, False, False, True]
    assert [result.outcome and result.outcome.kind for result in results] == [
        "new", "supersedes", "same-again", None
    ]  # fmt: skip
    assert results[0].summary == recheck_summary(returned / "a.xlsx")
    assert sorted(path.name for path in (tmp_path / "out").glob("*.recheck.*")) == [
        f"{name}.recheck.{kind}" for name in "abc" for kind in ("json", "xlsx")
    ]  # fmt: skip
    assert [result.kept for result in recheck_many([returned], **batch)] == [True, True, True, False]


def recheck_summary(path):
    from sheetgen.register.summary import summarize

    return summarize(recheck_book(path))


def test_a_process_asks_the_register_for_a_book_as_it_was_issued(tmp_path):
    with open_register(tmp_path / "register.db") as register:
        identity = register.record_issue(ORDER, MACHINE).identity
    issued_as = IssuedAs(str(tmp_path / "register.db"))
    assert issued_as(identity).identity == identity
    assert issued_as("0000-0000-0000") is None
