"""The largest book that an order may ask for comes back and is rechecked: no limit of the reader stands in its way."""

from __future__ import annotations

from sheetgen.audit.run import recheck_book
from sheetgen.book.layout import lay_out
from sheetgen.order.demo import demo_order
from sheetgen.order.model import BookSize
from sheetgen.xlsx.package import MAX_FORMULAS
from sheetgen.xlsx.write import write_book
from tests.audit.orders import changed


def most() -> dict[str, int]:
    """The most rows of each log."""
    return {
        name: next(each.le for each in field.metadata if hasattr(each, "le"))
        for name, field in BookSize.model_fields.items()
    }


def test_the_largest_book_is_rechecked_and_stays_below_the_limit_of_formulas(tmp_path):
    order = changed(demo_order("us", "en"), size=most(), machines__monitor=True)
    book = lay_out(order, order.machines[0])
    formulas = sum(len(cell.formula or "") for sheet in book.sheets for cell in sheet.cells.values())
    assert formulas < MAX_FORMULAS / 1.5
    found = recheck_book(write_book(book, tmp_path / "book.xlsx")).findings
    assert [each.name for each in found] == ["no-shots-logged"]
