"""Real spreadsheet engines agree with the results that the order workbook carries, and none of them is an error."""

from __future__ import annotations

import json

import pytest

from sheetgen.order.demo import demo_order
from sheetgen.order.model import Order
from sheetgen.order.read import read_order
from sheetgen.order.write import lay_out_order
from sheetgen.xlsx.write import write_book
from tests.engines import differences, office, values_by_ironcalc, values_by_libreoffice
from tests.kept_books import results_anew
from tests.selection import exhaustive

pytestmark = pytest.mark.slow


def variants() -> dict[str, tuple[str, str, Order | None]]:
    """Blank and filled orders in each unit system and language, one of them with much to look at."""
    odd = json.loads(demo_order("us", "en").canonical())
    odd["material"] |= {"dilution": 0.5, "spray_min": 20, "spray_planned": 25, "residue": 0.5}
    odd["sections"][0] |= {"basis": "undiluted", "rate_temperature": "spraying", "rate": 0.5, "width": 20}
    odd["machines"].append({**odd["machines"][0], "name": "B", "bar_widths": [7.3], "burner_power": 0})
    points = [{"depth": 0, "volume": 0}, {"depth": 40, "volume": 30}]
    odd["machines"].append(
        {**odd["machines"][0], "name": "C", "tank": {"shape": "calibrated", "points": points}}
    )
    return {
        "blank": ("us", "en", None),
        "blank in Spanish, metric": ("si", "es", None),
        "filled": ("us", "en", demo_order("us", "en")),
        "filled in Spanish, metric": ("si", "es", demo_order("si", "es")),
        "much to look at": ("us", "en", Order.model_validate(odd)),
    }


USUAL = ("blank", "filled in Spanish, metric", "much to look at")


@pytest.fixture(params=[name if name in USUAL else exhaustive(name) for name in variants()])
def workbook(request, tmp_path):
    units, lang, order = variants()[request.param]
    book = lay_out_order(units, lang, order)
    carried = results_anew(book)
    return book, carried, write_book(book, tmp_path / "order.xlsx", carried)


def test_no_result_is_an_error(workbook):
    _book, carried, _path = workbook
    assert not [at for at, value in carried.items() if isinstance(value, str) and value.startswith("#")]


def test_libreoffice_gives_the_results_that_the_workbook_carries(workbook, tmp_path):
    book, carried, path = workbook
    assert not differences(carried, values_by_libreoffice(path, book, tmp_path / "out"), book)


def test_ironcalc_gives_the_results_that_the_workbook_carries(workbook):
    book, carried, path = workbook
    assert not differences(carried, values_by_ironcalc(path, book), book)


@pytest.mark.parametrize("lang", [exhaustive("en"), "es"])
def test_an_order_saved_by_libreoffice_is_still_the_same_order(lang, tmp_path):
    order = demo_order("us", lang)
    path = write_book(lay_out_order("us", lang, order), tmp_path / "order.xlsx")
    assert read_order(office(path, tmp_path / "saved")) == order
