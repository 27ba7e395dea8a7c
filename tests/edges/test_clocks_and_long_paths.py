"""A clock that goes backwards, paths longer than the system takes, names as another system writes them."""

from __future__ import annotations

import pytest

from sheetgen.audit.claim_sheet import read_claim
from sheetgen.batch import recheck_many
from sheetgen.book.build import write_filled
from sheetgen.errors import UnusableBook
from sheetgen.order.write import write_order
from sheetgen.register import returns
from sheetgen.register.register import open_register
from tests.audit.orders import small
from tests.command_line import run_text
from tests.register.recording import a_return

ORDER = small()
TIMES = ["2026-05-04T10:00:00Z", "2020-01-01T00:00:00Z", "1969-12-31T23:59:59Z", "2026-05-05T10:00:00Z"]


def test_a_clock_set_back_does_not_change_the_order_of_returns(tmp_path, monkeypatch):
    with open_register(tmp_path / "r.db") as register:
        outcomes = []
        for number, time in enumerate(TIMES):
            monkeypatch.setattr(returns, "now", lambda time=time: time)
            outcomes.append(register.record_return(a_return(f"file{number}", "A")))
    assert [outcome.number for outcome in outcomes] == [1, 2, 3, 4]


def test_a_report_made_while_the_clock_stood_otherwise_is_taken_over(tmp_path, monkeypatch):
    write_filled(ORDER, ORDER.machines[0], {}, tmp_path / "a.xlsx")
    (first,) = recheck_many([tmp_path / "a.xlsx"], out_dir=tmp_path / "out")
    monkeypatch.setattr("time.time", lambda: 0.0)
    (again,) = recheck_many([tmp_path / "a.xlsx"], out_dir=tmp_path / "out")
    assert (first.kept, again.kept) == (False, True)


@pytest.mark.parametrize(("command", "option"), [("order", None), ("build", "--out"), ("recheck", "--out")])
@pytest.mark.parametrize(
    "long", ["n" * 300 + ".xlsx", "/".join(["d" * 200] * 25) + "/x.xlsx"], ids=["name", "path"]
)
def test_a_path_that_is_too_long_is_one_sentence(tmp_path, command, option, long):
    order = write_order(tmp_path / "o.xlsx", order=ORDER)
    book = write_filled(ORDER, ORDER.machines[0], {}, tmp_path / "b.xlsx")
    given = {"order": [], "build": [order], "recheck": [book]}[command]
    args = [command, *given, *([option] if option else []), tmp_path / long]
    done = run_text(*args)
    assert done.returncode == 2, done.stdout
    assert "Traceback" not in done.stderr
    assert "too long" in done.stderr
    assert len(done.stderr.splitlines()) <= 2


@pytest.mark.parametrize("quantity", ["1e300", "-1e300", "inf", "nan", "9" * 400])
def test_a_claim_beyond_all_bounds_is_no_quantity(tmp_path, quantity):
    (tmp_path / "claim.csv").write_text(f"book,payable\na,{quantity}\n")
    with pytest.raises(UnusableBook, match="row 2"):
        read_claim(str(tmp_path / "claim.csv"))
    with pytest.raises(UnusableBook):
        read_claim(quantity)


@pytest.mark.parametrize("end", ["\n", "\r\n"])
@pytest.mark.parametrize(
    "name", [r"C:\returned\A.xlsx", r"\\server\jobs\A.xlsx", "A.XLSX", "returned/A.xlsx"]
)
def test_a_claim_sheet_of_another_system_names_the_same_book(tmp_path, end, name):
    (tmp_path / "claim.csv").write_bytes(end.join(["book,payable", f"{name},12.5", ""]).encode("cp1252"))
    assert read_claim(str(tmp_path / "claim.csv")) == {"a": 12.5}
