"""Real engines recalculate filled and blank books and must agree with every result written into the file."""

from __future__ import annotations

from pathlib import Path

import pytest

from sheetgen.book.layout import lay_out
from sheetgen.demo.day import honest_day
from sheetgen.order.demo import demo_order
from sheetgen.order.model import Order
from sheetgen.xlsx.drawing import Entries
from sheetgen.xlsx.model import Book
from sheetgen.xlsx.results import ERRORS, Results, results
from sheetgen.xlsx.write import write_book
from tests.book.entries import awkward_entries
from tests.engines import differences, values_by_ironcalc, values_by_libreoffice

VARIANTS = [("us", "en"), ("us", "es"), ("si", "en"), ("si", "es")]


def _entries(kind: str, order: Order) -> Entries:
    if kind == "blank":
        return {}
    return awkward_entries(order) if kind == "awkward" else honest_day(order, order.machines[0], seed=11)


@pytest.fixture(params=[(*variant, kind) for variant in VARIANTS for kind in ("blank", "awkward", "honest")],
                ids="-".join)  # fmt: skip
def written(request: pytest.FixtureRequest, tmp_path: Path) -> tuple[Path, Book, Results]:
    units, language, kind = request.param
    order = demo_order(units, language)
    book = lay_out(order, order.machines[0], _entries(kind, order))
    values = results(book)
    return write_book(book, tmp_path / "book.xlsx", values), book, values


def test_libreoffice_gives_every_formula_the_result_that_the_file_carries(written, tmp_path):
    path, book, values = written
    assert differences(values, values_by_libreoffice(path, book, tmp_path / "office"), book) == []


def test_ironcalc_gives_every_formula_the_result_that_the_file_carries(written):
    path, book, values = written
    assert differences(values, values_by_ironcalc(path, book), book) == []


def test_no_formula_shows_an_error(written):
    _path, _book, values = written
    assert [at for at, value in values.items() if value in ERRORS.values()] == []
