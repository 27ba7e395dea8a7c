"""An order written to a workbook and read back is the same order."""

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from sheetgen.order.demo import demo_order
from sheetgen.order.read import read_order
from sheetgen.order.write import lay_out_order, write_order
from tests.order.order_grids import grids, inputs, mistakes, put, read
from tests.strategies import orders

UNTIMED = {
    "deadline": None,
    "suppress_health_check": [HealthCheck.too_slow, HealthCheck.data_too_large, HealthCheck.filter_too_much],
}


@settings(max_examples=20, **UNTIMED)
@given(order=orders())
def test_an_order_read_back_from_its_cells_is_the_same_order(order):
    book = lay_out_order("us", "en", order)
    assert read(grids(book, order.units, order.language)) == order


@settings(max_examples=4, **UNTIMED)
@given(order=orders())
def test_an_order_read_back_from_its_file_is_the_same_order(order, tmp_path_factory):
    path = write_order(tmp_path_factory.mktemp("orders") / "order.xlsx", order=order)
    assert read_order(path) == order


@pytest.mark.parametrize("lang", ["en", "es"])
@pytest.mark.parametrize("units", ["us", "si"])
def test_the_demo_order_read_back_is_the_demo_order(units, lang, tmp_path):
    order = demo_order(units, lang)
    assert read_order(write_order(tmp_path / "order.xlsx", order=order)) == order


@pytest.mark.usefixtures("made_anew")
def test_the_same_order_makes_the_same_bytes(tmp_path):
    order = demo_order()
    first = write_order(tmp_path / "one.xlsx", order=order).read_bytes()
    assert write_order(tmp_path / "two.xlsx", order=order).read_bytes() == first


DEMO = lay_out_order("us", "en", demo_order())
CELLS = inputs(DEMO)
THINGS = st.one_of(
    st.none(),
    st.text(max_size=20),
    st.floats(allow_nan=False),
    st.integers(-(10**6), 10**6),
    st.booleans(),
    st.dates(),
    st.times(),
    st.sampled_from(
        ["8; 12", "EB; EB", "118+50", "1,200", "57 %", "#REF!", "no", "sí", "residual", "2026-02-30"]
    ),
)


@settings(max_examples=40, **UNTIMED)
@given(typed=st.lists(st.tuples(st.sampled_from(CELLS), THINGS, st.booleans()), min_size=1, max_size=12))
def test_whatever_is_typed_gives_an_order_or_its_mistakes_by_cell(typed):
    file = grids(DEMO, "us", "en")
    for (key, at), thing, percent in typed:
        put(file, key, at, thing, percent)
    tabs = {sheet.name for sheet in DEMO.sheets}
    for mistake in mistakes(file):
        assert mistake.sheet in tabs
        assert mistake.cell
        assert mistake.found
        assert mistake.expected
        assert mistake.remedy
