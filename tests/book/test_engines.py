"""Real engines recalculate filled and blank books and must agree with every result written into the file."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import pytest

from sheetgen.book.layout import lay_out
from sheetgen.demo.day import honest_day
from sheetgen.order.demo import demo_order
from sheetgen.order.model import Order
from sheetgen.xlsx.drawing import Entries
from sheetgen.xlsx.model import Book
from sheetgen.xlsx.results import ERRORS, Results
from sheetgen.xlsx.write import write_book
from tests import one_engine
from tests.audit.orders import changed
from tests.book.entries import awkward_entries
from tests.engines import differences, offices, values_by_gnumeric, values_by_ironcalc, values_in
from tests.kept_books import results_anew
from tests.selection import exhaustive

VARIANTS = [("us", "en"), ("us", "es"), ("si", "en"), ("si", "es")]
USUAL = [("us", "en", "blank"), ("us", "en", "awkward"), ("si", "es", "honest")]
OTHERS = [
    case for variant in VARIANTS for kind in ("blank", "awkward", "honest")
    if (case := (*variant, kind)) not in USUAL
]  # fmt: skip
BATCHES = [USUAL, OTHERS[:3], OTHERS[3:6], OTHERS[6:]]  # of one call of LibreOffice each
CASES = [case if case in USUAL else exhaustive((case,)) for batch in BATCHES for case in batch]


def _entries(kind: str, order: Order) -> Entries:
    if kind == "blank":
        return {}
    return awkward_entries(order) if kind == "awkward" else honest_day(order, order.machines[0], seed=11)


class Written:
    """Books written, and calculated again by LibreOffice, each once."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.book = cache(self._book)
        self.batch = cache(self._batch)

    def _book(self, case: tuple[str, str, str]) -> tuple[Path, Book, Results]:
        units, language, kind = case
        order = changed(demo_order(units, language), machines__monitor=True)
        book = lay_out(order, order.machines[0], _entries(kind, order))
        values = results_anew(book)
        return write_book(book, self.folder / f"{'-'.join(case)}.xlsx", values), book, values

    def _batch(self, number: int) -> list[Path]:
        return offices([self.book(case)[0] for case in BATCHES[number]], self.folder / f"office{number}")

    def by_libreoffice(self, case: tuple[str, str, str]) -> Path:
        """The book as LibreOffice calculated it."""
        number = next(number for number, batch in enumerate(BATCHES) if case in batch)
        return self.batch(number)[BATCHES[number].index(case)]


@pytest.fixture(scope="module")
def written(tmp_path_factory: pytest.TempPathFactory) -> Written:
    return Written(tmp_path_factory.mktemp("engines"))


@pytest.mark.parametrize("case", CASES, ids="-".join)
def test_libreoffice_gives_every_formula_the_result_that_the_file_carries(written, case):
    _path, book, values = written.book(case)
    assert differences(values, values_in(written.by_libreoffice(case), book), book) == []


@pytest.mark.parametrize("case", CASES, ids="-".join)
def test_ironcalc_gives_every_formula_the_result_that_the_file_carries(written, case):
    path, book, values = written.book(case)
    assert differences(values, values_by_ironcalc(path, book), book) == []


@pytest.mark.parametrize("case", CASES, ids="-".join)
def test_gnumeric_gives_every_formula_the_result_that_the_file_carries(written, case):
    path, book, values = written.book(case)
    assert differences(values, values_by_gnumeric(path, book, written.folder / "gnumeric"), book) == []


@pytest.mark.parametrize("case", CASES, ids="-".join)
def test_no_formula_shows_an_error(written, case):
    _path, _book, values = written.book(case)
    assert [at for at, value in values.items() if value in ERRORS.values()] == []


@pytest.mark.parametrize("units", ["us", exhaustive("si")])
def test_an_engine_kept_for_books_of_one_order_gives_the_results_of_a_new_one(units):
    order = changed(demo_order(units, "en"), size={"shots": 20, "loads": 6, "days": 3})
    for entries in (*(_entries(kind, order) for kind in ("honest", "awkward", "blank", "honest")), {}):
        book = lay_out(order, order.machines[0], entries)
        assert one_engine.results(book) == results_anew(book)
