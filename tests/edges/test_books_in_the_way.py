"""A book is never lost: two distributors never share a file, and no file that lies in the way is replaced."""

from __future__ import annotations

import sys
import unicodedata

import pytest

import sheetgen
from sheetgen.book.build import book_names, build_books
from sheetgen.order.write import write_order
from tests.audit.orders import small
from tests.command_line import run_text

ORDER = small()
ALIKE = [
    ("Truck 1", "Truck #1"),
    ("Camión", "Camion"),
    ("A/B", "A-B"),
    ("Truck (old)", "Truck old"),
    ("Машина", "Насос"),
    ("Бой", "Бои"),
    ("車", "人"),
    ("#", "?"),
    ("Truck", "Truck-2", "Truck!", "Truck?"),
    ("x" * 59 + "a", "x" * 59 + "b"),
    ("車" * 59 + "a", "車" * 59 + "b"),
]


def order_for(*names, number="DEMO-0001"):
    """The demonstration's order for distributors of these names."""
    machine = ORDER.machines[0]
    made = ORDER.model_dump() | {"machines": [machine.model_dump() | {"name": name} for name in names]}
    made["job"]["number"] = number
    return type(ORDER).model_validate(made)


def as_a_careless_system_sees(name):
    """A file name without capitals and accents."""
    return "".join(c for c in unicodedata.normalize("NFKD", name) if not unicodedata.combining(c)).casefold()


@pytest.mark.parametrize("names", ALIKE, ids=lambda names: " and ".join(names)[:40])
def test_two_distributors_never_share_a_file_name(names):
    files = list(book_names(order_for(*names)).values())
    assert len({as_a_careless_system_sees(file) for file in files}) == len(names)
    assert all(len(file.encode()) < 200 for file in files)


@pytest.mark.parametrize("number", ["A/B", "Дорога 7", "道" * 60, "..", "C:\\jobs\\7", "con"])
def test_a_job_number_is_no_path(number, tmp_path):
    (file,) = book_names(order_for("Truck", number=number)).values()
    assert (tmp_path / file).resolve().parent == tmp_path.resolve()
    assert not set('<>:"/\\|?*') & set(file)


def test_letters_of_other_alphabets_stay_in_the_name():
    assert list(book_names(order_for("Машина", "Насос")).values()) == [
        "DEMO-0001_Машина.xlsx",
        "DEMO-0001_Насос.xlsx",
    ]


def test_where_the_system_has_no_such_letters_the_files_are_numbered(monkeypatch):
    monkeypatch.setattr(sys, "getfilesystemencoding", lambda: "cp1252")
    assert list(book_names(order_for("Машина", "Насос")).values()) == [
        "DEMO-0001_book.xlsx",
        "DEMO-0001_book-2.xlsx",
    ]


def test_building_for_two_distributors_of_like_names_gives_two_books(tmp_path):
    paths = build_books(order_for("Truck 1", "Truck #1"), tmp_path)
    assert [path.name for path in paths] == ["DEMO-0001_Truck-1.xlsx", "DEMO-0001_Truck-1-2.xlsx"]
    assert sorted(path.name for path in tmp_path.iterdir()) == sorted(path.name for path in paths)
    assert [sheetgen.recheck(path).machine.name for path in paths] == ["Truck 1", "Truck #1"]


def test_pictures_of_distributors_of_like_names_are_all_there(tmp_path):
    pytest.importorskip("matplotlib")
    from sheetgen.plan import plan
    from sheetgen.plan.pictures import draw_pictures

    made = draw_pictures(plan(order_for("Насос 1", "Насос #1")), tmp_path)
    assert len(made) == 8
    assert len(list(tmp_path.iterdir())) == 8


def build(order_file, out, *more):
    """Run the command; its exit status, output and errors."""
    done = run_text("build", order_file, "--out", out, *more)
    return done.returncode, done.stdout, done.stderr


def test_a_book_with_a_crews_entries_is_left_alone(tmp_path):
    order = write_order(tmp_path / "order.xlsx", order=ORDER)
    books = tmp_path / "books"
    assert build(order, books)[0] == 0
    (book,) = books.iterdir()
    typed = book.read_bytes() + b"typed by the crew"
    book.write_bytes(typed)
    status, out, error = build(order, books)
    assert (status, out) == (2, "")
    assert str(book) in error
    assert "--out" in error
    assert "Traceback" not in error
    assert book.read_bytes() == typed
    assert [path.name for path in books.iterdir()] == [book.name]


def test_the_same_book_again_is_no_trouble(tmp_path):
    first = build_books(ORDER, tmp_path)
    before = [(path.read_bytes(), path.stat().st_mtime_ns) for path in first]
    again = build_books(ORDER, tmp_path)
    assert again == first
    assert [(path.read_bytes(), path.stat().st_mtime_ns) for path in again] == before


def test_a_changed_order_never_replaces_the_book_that_is_out(tmp_path):
    (out,) = build_books(ORDER, tmp_path)
    issued = out.read_bytes()
    changed = ORDER.model_copy(update={"job": ORDER.job.model_copy(update={"place": "another place"})})
    with pytest.raises(sheetgen.BookInTheWay, match=out.name):
        build_books(changed, tmp_path)
    assert out.read_bytes() == issued


def test_where_one_of_two_books_lies_in_the_way_neither_is_written(tmp_path):
    two = order_for("North", "South")
    (tmp_path / book_names(two)["South"]).write_bytes(b"something else")
    with pytest.raises(sheetgen.BookInTheWay, match="South"):
        build_books(two, tmp_path)
    assert [path.read_bytes() for path in tmp_path.iterdir()] == [b"something else"]


def test_a_book_that_came_in_between_is_not_replaced(tmp_path, monkeypatch):
    from sheetgen.book import build as building

    (name,) = book_names(ORDER).values()
    as_it_is = building.write_new

    def late(path, data):
        path.write_bytes(b"another run's")
        as_it_is(path, data)

    monkeypatch.setattr(building, "write_new", late)
    with pytest.raises(sheetgen.BookInTheWay, match=name):
        build_books(ORDER, tmp_path)
    assert [path.read_bytes() for path in tmp_path.iterdir()] == [b"another run's"]


def test_a_folder_of_the_books_name_is_left_alone(tmp_path):
    (name,) = book_names(ORDER).values()
    (tmp_path / name).mkdir()
    with pytest.raises(sheetgen.BookInTheWay, match=name):
        build_books(ORDER, tmp_path)
    assert (tmp_path / name).is_dir()
