"""A fixed dozen of the honest books that ``python -m tests.audit.honest_books`` makes by the thousand."""

from __future__ import annotations

from collections import Counter

import pytest

from tests.audit.honest_books import CHAINS, FILLINGS, HonestBook, recheck, returned
from tests.audit.honest_orders import order_of
from tests.audit.resaving import PROGRAMS
from tests.selection import exhaustive

# Every program alone and first or second in a chain, every way to fill, both systems and languages.
BOOKS = [HonestBook(number) for number in (0, 2, 5, 9, 33, 36, 38, 47, 72, 84, 91, 106)]
FEW = [
    book for book in BOOKS if book.number in (0, 33, 38, 84, 106)
]  # each program, each filling, each system
OTHERS = [book for book in BOOKS if book not in FEW]


@pytest.fixture(scope="module")
def rechecked(request, tmp_path_factory):
    return {book: recheck(path) for book, path in returned(request.param, tmp_path_factory.mktemp("honest"))}


@pytest.mark.parametrize("books", [BOOKS, FEW], ids=["the dozen", "a few of them"])
def test_the_dozen_is_as_varied_as_its_note_says(books):
    assert {program for book in books for program in book.chain} == set(PROGRAMS)
    assert {book.filling for book in books} == set(FILLINGS)
    assert {(book.order.units, book.order.language) for book in books} >= {("us", "en"), ("si", "es")}
    assert Counter(len(book.chain) for book in books).keys() == {0, 1, 2}


@pytest.mark.parametrize("rechecked", [FEW, exhaustive(OTHERS)], indirect=True, ids=["a few", "the others"])
def test_nothing_is_wrong_in_honest_books_and_hardly_anything_doubtful(rechecked):
    doubts = []
    for book, result in rechecked.items():
        assert result.origin == "issued", book
        assert [each for each in result.findings if each.severity == "error"] == [], (book, book.chain)
        doubts += [each.name for each in result.findings if each.severity == "query"]
        assert result.totals.overall["payable"]
    assert len(doubts) <= 2, doubts


def test_an_honest_book_is_made_again_alike_by_its_number():
    assert HonestBook(33).log() == HonestBook(33).log()
    assert order_of(4).canonical() == order_of(4).canonical()
    assert len(CHAINS) > len(set(CHAINS)) == 1 + len(PROGRAMS) + len(PROGRAMS) * (len(PROGRAMS) - 1)
