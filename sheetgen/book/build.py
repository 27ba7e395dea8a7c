"""From an order to the files of its field books."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Callable
from pathlib import Path

from sheetgen.book.canvas import Entries
from sheetgen.book.layout import lay_out
from sheetgen.order.model import Machine, Order
from sheetgen.xlsx.write import write_book


def build_books(
    order: Order, out_dir: Path, sign: Callable[[bytes], tuple[str, str]] | None = None
) -> list[Path]:
    """Write one field book for each distributor of an order into a folder."""
    out_dir.mkdir(parents=True, exist_ok=True)
    return [
        write_book(lay_out(order, machine, sign=sign), out_dir / book_name(order, machine))
        for machine in order.machines
    ]


def write_filled(
    order: Order, machine: Machine, entries: Entries, path: Path,
    sign: Callable[[bytes], tuple[str, str]] | None = None,
) -> Path:  # fmt: skip
    """Write a book with entries in its input cells and every result as an engine would give it."""
    return write_book(lay_out(order, machine, entries, sign), path)


def book_name(order: Order, machine: Machine) -> str:
    """The file name of a distributor's book: job number and distributor, in letters that every system takes."""
    bare = (_unaccented(part) for part in (order.job.number, machine.name))
    parts = (re.sub(r"[^A-Za-z0-9._-]+", "-", part).strip("-.") for part in bare)
    return "_".join(part or "book" for part in parts) + ".xlsx"


def _unaccented(text: str) -> str:
    """A text with the letters beneath its accents: "Camión" is "Camion", as people without the key write it."""
    return "".join(
        letter for letter in unicodedata.normalize("NFKD", text) if not unicodedata.combining(letter)
    )
