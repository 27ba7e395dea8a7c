"""What a book's formulas come to, and the bytes of its file, kept for one run: asked again, by whatever process,
a book is not calculated and written again.

Both follow from the book's own data alone, which is the key. A test of the calculating or the writing itself takes the
fixture ``made_anew``; a command in a process of its own always makes its books.
"""

from __future__ import annotations

import os
import pickle
from collections.abc import Callable
from contextlib import suppress
from functools import wraps
from hashlib import blake2b
from io import BytesIO
from pathlib import Path
from typing import Any

from sheetgen.xlsx import results, write
from sheetgen.xlsx.model import Book
from sheetgen.xlsx.results import Results

FOLDER = "SHEETGEN_TEST_BOOKS"  # the variable that tells all processes of a run where


def keep_books() -> None:
    """From now on, what is calculated and written is kept wherever the variable leads to."""
    results.results = _kept(results.results)
    write.book_bytes = _kept(write.book_bytes)


def _kept(make: Callable[..., Any]) -> Callable[..., Any]:
    @wraps(make)
    def found(book: Book, values: Results | None = None) -> Any:
        folder = os.environ.get(FOLDER)
        if folder is None:
            return make(book, values)
        content = book.sheets, book.names, book.properties, book.styles, values
        file = Path(folder) / f"{make.__name__}-{_digest(content)}"
        with suppress(OSError):
            return pickle.loads(file.read_bytes())
        made = make(book, values)
        with suppress(OSError):  # a test may be one of a disk that takes nothing
            _write(file, made)
        return made

    return found


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
