"""Several orders and folders in one command: each is done, one mistake stops none, and the end says what was done."""

from __future__ import annotations

import json

import pytest

from sheetgen.commands.build import build_command
from sheetgen.commands.plan import plan_command
from sheetgen.commands.several_orders import orders_in
from sheetgen.errors import OrderError, SheetgenError
from sheetgen.order.demo import demo_order
from sheetgen.order.write import write_order
from sheetgen.templates import texts


@pytest.fixture(scope="module")
def office(tmp_path_factory):
    """A folder with two orders, a blank one, a workbook of another kind and a note, one of them in a folder below."""
    folder = tmp_path_factory.mktemp("orders")
    demo = demo_order("us", "en")
    for number in (1, 2):
        job = demo.job.model_copy(update={"number": f"J-{number}"})
        below = folder / "week" if number == 2 else folder
        below.mkdir(exist_ok=True)
        write_order(below / f"{number}.xlsx", order=demo.model_copy(update={"job": job}))
    write_order(folder / "blank.xlsx")
    (folder / "note.txt").write_text("call the plant")
    (folder / "torn.xlsx").write_bytes(b"PK\x03\x04 torn")
    return folder


def test_a_folder_gives_its_orders_once_and_counts_what_is_none(office):
    found = orders_in([office, office / "1.xlsx"])
    assert [path.name for path in found.orders] == ["1.xlsx", "blank.xlsx", "2.xlsx"]
    assert found.passed_over == 1


def test_every_order_is_built_though_one_has_mistakes(office, tmp_path, capsys):
    assert build_command([office], tmp_path / "books", None, None, ("", ""), []) == 2
    said = capsys.readouterr()
    built = sorted(path.name for path in (tmp_path / "books").iterdir())
    assert built == ["J-1_Distributor-A.xlsx", "J-2_Distributor-A.xlsx"]
    assert said.out.split() == [str(tmp_path / "books" / name) for name in built]
    assert "Job!C10" in said.err
    assert texts("en").say("command.orders.done", count=3, done=2, passed_over=1) in said.err
    assert texts("en").say("command.orders.not_done", path=office / "blank.xlsx") in said.err


def test_built_again_they_are_the_same_and_the_status_is_clean(office, tmp_path, capsys):
    named = [office / "1.xlsx", office / "week"]
    for _ in range(2):
        assert build_command(named, tmp_path, None, None, ("", ""), []) == 0
    assert texts("en").say("command.orders.done", count=2, done=2, passed_over=0) in capsys.readouterr().err


def test_two_orders_of_one_job_and_distributor_do_not_replace_each_others_books(office, tmp_path, capsys):
    demo = demo_order("us", "en")
    other = demo.model_copy(
        update={"job": demo.job.model_copy(update={"number": "J-1", "place": "elsewhere"})}
    )
    path = write_order(tmp_path / "other.xlsx", order=other)
    assert build_command([office / "1.xlsx", path], tmp_path / "books", None, None, ("", ""), []) == 2
    assert texts("en").say("command.orders.not_done", path=path) in capsys.readouterr().err


def test_one_order_named_alone_says_its_mistakes_as_before(office, tmp_path):
    with pytest.raises(OrderError):
        build_command([office / "blank.xlsx"], tmp_path, None, None, ("", ""), [])


def test_a_folder_without_orders_is_said(office, tmp_path, capsys):
    (tmp_path / "empty").mkdir()
    with pytest.raises(SheetgenError, match="found no order in this folder"):
        build_command([tmp_path / "empty"], tmp_path / "books", None, None, ("", ""), [])
    both = [tmp_path / "empty", office / "blank.xlsx"]
    assert build_command(both, tmp_path / "books", None, None, ("", ""), []) == 2
    assert "found no order in this folder" in capsys.readouterr().err


def test_returned_books_are_taken_over_into_one_order_alone(office, tmp_path):
    with pytest.raises(SheetgenError, match="expected one order"):
        build_command([office], tmp_path, None, None, ("", ""), [tmp_path / "book.xlsx"])


def test_plans_of_several_orders_are_one_list(office, capsys):
    assert plan_command([office], everything=False, json=True, pictures=None) == 2
    documents = json.loads(capsys.readouterr().out)
    assert [document["job"] for document in documents] == ["J-1", "J-2"]
    assert plan_command([office / "1.xlsx"], everything=False, json=True, pictures=None) == 0
    assert json.loads(capsys.readouterr().out)["job"] == "J-1"
    assert (
        plan_command([office / "1.xlsx", office / "week"], everything=False, json=False, pictures=None) == 0
    )
    assert capsys.readouterr().out.count("YES, 4 of 4") == 2
