"""Books as LibreOffice prints them, each once for all the tests of a process."""

from __future__ import annotations

import subprocess
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory

from sheetgen.book.layout import lay_out
from sheetgen.order.demo import demo_order
from sheetgen.order.model import Order
from sheetgen.xlsx.write import write_book
from tests.engines import office


def order_on(units: str, language: str, paper: str) -> Order:
    """The demonstration's order on either paper."""
    return demo_order(units, language).model_copy(update={"paper": paper})


@cache
def printed(units: str, language: str, paper: str) -> bytes:
    """The PDF of its blank book."""
    order = order_on(units, language, paper)
    with TemporaryDirectory() as folder:
        path = write_book(lay_out(order, order.machines[0]), Path(folder) / "book.xlsx")
        return office(path, Path(folder), "pdf").read_bytes()


@cache
def texts_of(pdf: bytes) -> tuple[str, ...]:
    """The text of each page."""
    command = ["pdftotext", "-layout", "-", "-"]
    text = subprocess.run(command, input=pdf, capture_output=True, check=True).stdout.decode()
    return tuple(text.split("\f")[:-1])
