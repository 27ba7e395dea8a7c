"""An order that changes an earlier one says so, and its books say it on their pages and in their file names."""

from __future__ import annotations

import pytest

from sheetgen.book.build import book_names
from sheetgen.book.layout import lay_out
from sheetgen.order.demo import demo_order
from sheetgen.order.model import Order
from sheetgen.order.write import lay_out_order
from tests.order.order_grids import grids, mistakes, put, read

CODES = ("6517-2B9A-0C41", "1234-5678-9ABC")


def with_job(revision: object, replaces: object):
    """The demonstration order's sheets with the two entries typed."""
    book = lay_out_order("us", "en", demo_order())
    rows = {cell.value: row for (row, col), cell in book.sheet("job").cells.items() if col == 0}
    file = grids(book, "us", "en")
    put(file, "job", (rows["job.revision"], 2), revision)
    put(file, "job", (rows["job.replaces"], 2), replaces)
    return file


def revised(number: int, *replaces: str) -> Order:
    """The demonstration order as a revision."""
    made = demo_order().model_dump()
    made["job"] |= {"revision": number, "replaces": replaces}
    return Order.model_validate(made)


@pytest.mark.parametrize("typed", ["6517-2B9A-0C41; 1234-5678-9ABC", " 6517-2b9a-0c41 ;1234-5678-9abc;"])
def test_revision_and_codes_are_read(typed):
    job = read(with_job(2, typed)).job
    assert (job.revision, job.replaces) == (2, CODES)


@pytest.mark.parametrize("blank", [None, 0])
def test_blank_and_0_are_a_first_issue(blank):
    order = read(with_job(blank, None))
    assert order == demo_order()
    assert "rev" not in "".join(book_names(order).values())


@pytest.mark.parametrize(
    ("revision", "replaces", "expected"),
    [
        (1, None, "the code of each book that this revision replaces"),
        (None, CODES[0], "a revision from 1"),
        (1, "the book of May", "codes of books such as"),
        (1, "6517-2B9A-0C4", "codes of books such as"),
        (1.5, CODES[0], "a whole number"),
        (100, CODES[0], "at most 99"),
        (-1, CODES[0], "at least 0"),
    ],
)
def test_what_cannot_be_is_named_at_its_cell(revision, replaces, expected):
    file = with_job(revision, replaces)
    (found,) = mistakes(file)
    assert expected in found.expected
    assert (found.sheet, found.cell[0]) == ("Job", "C")
    assert found.remedy


@pytest.mark.parametrize(("language", "said"), [("en", "replaces"), ("es", "reemplaza")])
def test_file_name_card_job_and_record_say_it(language, said):
    made = demo_order("us", language).model_dump()
    made["job"] |= {"revision": 2, "replaces": CODES}
    order = Order.model_validate(made)
    (name,) = book_names(order).values()
    assert name.endswith("_rev-2.xlsx")
    book = lay_out(order, order.machines[0])

    def texts(key: str) -> list[object]:
        return [cell.value for cell in book.sheet(key).cells.values()]

    assert any(isinstance(text, str) and said in text and CODES[0] in text for text in texts("card"))
    assert "; ".join(CODES) in texts("job")
    assert {"revision", "2", "replaces", "; ".join(CODES)} <= set(texts("record"))


def test_books_of_two_revisions_lie_in_one_folder():
    names = {name for order in (demo_order(), revised(1, CODES[0]), revised(2, CODES[1]))
             for name in book_names(order).values()}  # fmt: skip
    assert len(names) == 3
