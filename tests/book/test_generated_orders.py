"""Generated orders: machine, material, units, language and number of rows; three computations stay equal.

The book's formulas as evaluated for the file, an independent engine (IronCalc; LibreOffice and Gnumeric on a smaller
sample), and the recheck's own arithmetic on the entries.
"""

from __future__ import annotations

import random

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from sheetgen.audit.findings import catalogue
from sheetgen.audit.run import recheck_book
from sheetgen.book.layout import lay_out
from sheetgen.demo.day import honest_day
from sheetgen.order.model import BookSize
from sheetgen.xlsx.results import ERRORS, results
from sheetgen.xlsx.write import write_book
from tests.audit.crew_rows import bar_shots, untidy
from tests.engines import differences, values_by_gnumeric, values_by_ironcalc, values_by_libreoffice
from tests.strategies import orders

DISAGREE = {"value-differs-from-recheck", "total-differs-from-recheck", "results-not-in-file"}
FILE = {name for name, kind in catalogue().items() if kind.group == "file"}
_QUIET = [HealthCheck.too_slow, HealthCheck.function_scoped_fixture, HealthCheck.data_too_large]
_sizes = st.builds(BookSize, shots=st.integers(1, 500), loads=st.integers(1, 60), days=st.integers(1, 12))


def _filled(order, seed):
    machine = random.Random(seed).choice(order.machines)
    log = honest_day(order, machine, seed=seed)
    return lay_out(order, machine, untidy(log, order) if bar_shots(log) else log), machine


@given(order=orders(), size=_sizes, seed=st.integers(0, 10**6))
@settings(max_examples=5, deadline=None, suppress_health_check=_QUIET)
def test_formulas_engine_and_recheck_agree(tmp_path, order, size, seed):
    order = order.model_copy(update={"size": size})
    book, _machine = _filled(order, seed)
    values = results(book)
    path = write_book(book, tmp_path / "book.xlsx", values)
    assert differences(values, values_by_ironcalc(path, book), book) == []
    errors = [at for at, value in values.items() if value in ERRORS.values()]
    assert errors == []
    found = recheck_book(path).findings
    assert [one for one in found if one.name in DISAGREE or one.name in FILE] == []


@given(order=orders(), seed=st.integers(0, 10**6))
@settings(max_examples=1, deadline=None, suppress_health_check=_QUIET)
def test_libreoffice_and_gnumeric_agree_as_well(tmp_path, order, seed):
    order = order.model_copy(update={"size": BookSize(shots=40, loads=10, days=3)})
    book, _machine = _filled(order, seed)
    values = results(book)
    path = write_book(book, tmp_path / "book.xlsx", values)
    assert differences(values, values_by_libreoffice(path, book, tmp_path / "office"), book) == []
    assert differences(values, values_by_gnumeric(path, book, tmp_path / "gnumeric"), book) == []
