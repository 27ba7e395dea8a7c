"""What a book's formulas come to, and the bytes of its file, kept for one run: asked again, by whatever process,
a book is not calculated and written again. Each process also keeps the books that it laid out last.

The first two follow from the book's own data alone, which is the key; what is laid out follows from the order and the
templates. A test of the calculating, the writing or the laying out itself, or of other templates, takes the fixture
``made_anew``; a command in a process of its own always makes its books.
"""

from __future__ import annotations

import os
import pickle
from collections import OrderedDict
from collections.abc import Callable
from contextlib import suppress
from functools import wraps
from hashlib import blake2b
from io import BytesIO
from pathlib import Path
from typing import Any

from sheetgen.book import layout
from sheetgen.book.record import signed_message
from sheetgen.order.model import Machine, Order
from sheetgen.xlsx import results, write
from sheetgen.xlsx.drawing import Entries
from sheetgen.xlsx.model import Book
from sheetgen.xlsx.results import Results
from tests import one_engine

FOLDER = "SHEETGEN_TEST_BOOKS"  # the variable that tells all processes of a run where
lay_out_anew = layout.lay_out
results_anew = results.results  # by an engine of the book's own
_LAID_OUT: OrderedDict[bytes, bytes] = OrderedDict()
_MOST = 24  # of two to four megabytes each
_written: tuple[Book, str] | None = None  # the book that is being written, and its digest


def keep_books() -> None:
    """From now on, what is calculated and written is kept wherever the variable leads to."""
    results.results = _kept(one_engine.results, results_anew)
    write.book_bytes = _kept(write.book_bytes)
    layout.lay_out = _laid_out(lay_out_anew)


def forget_books() -> None:
    """Nothing that a process laid out is known any more."""
    _LAID_OUT.clear()


def _laid_out(make: Callable[..., Book]) -> Callable[..., Book]:
    @wraps(make)
    def found(
        order: Order,
        machine: Machine,
        entries: Entries | None = None,
        sign: Callable[[bytes], tuple[str, str]] | None = None,
    ) -> Book:
        if FOLDER not in os.environ:
            return make(order, machine, entries, sign)
        message = signed_message(order.canonical(), machine.name, layout.TEMPLATE)
        proof = sign(message) if sign else ("", "")
        key = pickle.dumps((message, order.model_dump(), machine.model_dump(), proof, entries))
        if key in _LAID_OUT:
            _LAID_OUT.move_to_end(key)
            return pickle.loads(_LAID_OUT[key])  # type: ignore[no-any-return]
        made = make(order, machine, entries, sign)
        _LAID_OUT[key] = pickle.dumps(made, pickle.HIGHEST_PROTOCOL)
        if len(_LAID_OUT) > _MOST:
            _LAID_OUT.popitem(last=False)
        return made

    return found


def _kept(make: Callable[..., Any], anew: Callable[..., Any] | None = None) -> Callable[..., Any]:
    @wraps(make)
    def found(book: Book, values: Results | None = None) -> Any:
        global _written
        folder = os.environ.get(FOLDER)
        if folder is None:
            return (anew or make)(book, values)
        digest = _digest_of(book, values)
        file = Path(folder) / f"{make.__name__}-{digest}"
        with suppress(OSError):
            return pickle.loads(file.read_bytes())
        _written = (book, digest) if values is None else None
        try:
            made = make(book, values)
        finally:
            _written = None
        with suppress(OSError):  # a test may be one of a disk that takes nothing
            _write(file, made)
        return made

    return found


def _digest_of(book: Book, values: Results | None) -> str:
    """The digest of a book; the one that is being written is calculated on the way, as it was a moment before."""
    if values is None and _written is not None and _written[0] is book:
        return _written[1]
    return _digest((book.sheets, book.names, book.properties, book.styles, values))


def _digest(content: object) -> str:
    packed = BytesIO()
    pickler = pickle.Pickler(packed, pickle.HIGHEST_PROTOCOL)
    pickler.fast = True  # equal parts are written alike, whether they are one object or two
    pickler.dump(content)
    return blake2b(packed.getbuffer(), digest_size=16).hexdigest()


def _write(file: Path, made: object) -> None:
    beside = f"{file}.{os.getpid()}"
    with open(beside, "wb") as opened:  # noqa: PTH123 - tests put others in place of the methods of Path
        pickle.dump(made, opened, pickle.HIGHEST_PROTOCOL)
    os.rename(beside, file)  # noqa: PTH104
