"""A book of each unit of pay: its formulas in four engines, beside the recheck, on the sheet of totals."""

from __future__ import annotations

import pytest

from sheetgen.audit.run import recheck_book
from sheetgen.book.layout import lay_out
from sheetgen.xlsx.results import ERRORS, results
from sheetgen.xlsx.write import write_book
from tests.audit.orders import day, small
from tests.engines import differences, values_by_gnumeric, values_by_ironcalc, values_by_libreoffice
from tests.selection import exhaustive

CONTRACT = {"pay__unit_price": 2.345, "pay__overrun_limit": 0.15, "pay__underrun_limit": 0.15}
BOOKS = {
    "by tickets, short": ("us", {"unit": "mass-by-ticket", "estimate": 9.0, "underrun_share": 0.1}),
    "by area, beyond": (
        "si",
        {"unit": "area", "estimate": 900.0, "overrun_price": 2.0, "underrun_price": 3.0},
    ),
    "by weight, short": ("si", {"unit": "mass", "estimate": 9.0, "underrun_price": 3.0}),
    "by volume, beyond": ("us", {"unit": "volume", "estimate": 500.0, "overrun_price": 2.0}),
}


@pytest.mark.parametrize("name", [name if "tickets" in name else exhaustive(name) for name in BOOKS])
def test_engines_and_recheck_agree_on_what_is_paid(name, tmp_path):
    system, terms = BOOKS[name]
    order = small(
        system, "es" if system == "si" else "en", **CONTRACT, **{f"pay__{k}": v for k, v in terms.items()}
    )
    order = order.model_copy(update={"machines": order.machines[:1]})
    book = lay_out(order, order.machines[0], day(order, 3))
    values = results(book)
    path = write_book(book, tmp_path / "book.xlsx", values)
    assert [at for at, value in values.items() if value in ERRORS.values()] == []
    assert differences(values, values_by_ironcalc(path, book), book) == []
    assert differences(values, values_by_libreoffice(path, book, tmp_path / "office"), book) == []
    assert differences(values, values_by_gnumeric(path, book, tmp_path / "gnumeric"), book) == []
    recheck = recheck_book(path)
    assert [one for one in recheck.findings if one.severity != "note"] == []
    overall, kind = (
        recheck.totals.overall,
        "volume" if terms["unit"] == "volume" else terms["unit"].split("-")[0],
    )
    paid = "payable" if kind == "volume" else f"paid_{kind}"
    for key in (paid, f"beyond_{kind}", f"short_{kind}", "amount"):
        shown = recheck.book_values["overall", 0, key]
        assert shown.value == pytest.approx(overall[key], abs=1e-9), key
    assert (overall[f"beyond_{kind}"] > 0) == name.endswith("beyond")
    assert (overall[f"short_{kind}"] > 0) == name.endswith("short")


def test_a_changed_amount_is_found(tmp_path):
    order = small("us", pay__unit_price=2.345)
    book = lay_out(order, order.machines[0], day(order, 3))
    values = results(book)
    at = book.fields["total_amount"]
    values[at] = values[at] + 100
    found = recheck_book(write_book(book, tmp_path / "book.xlsx", values)).findings
    assert "total-differs-from-recheck" in {one.name for one in found}
