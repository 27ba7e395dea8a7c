"""What a file is that somebody hands in: told by what is in it, never by its name."""

from __future__ import annotations

from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING

from sheetgen import templates
from sheetgen.errors import UnusableBook

if TYPE_CHECKING:
    from collections.abc import Iterable

TEXTS = frozenset({".csv", ".tsv", ".txt"})


class Kind(StrEnum):
    """What is done with it: orders are built, yards checked, books rechecked, claim sheets compared with books."""

    ORDER = "order"
    YARD = "yard"
    BOOK = "book"
    CLAIM = "claim"
    REPORT = "report"  # of this program, as it wrote it
    OTHER = "other"


def kind_of(path: Path) -> Kind:
    """The kind of a file.

    One that is not there, or a workbook that cannot be read, passes for a returned book: the recheck says what is
    wrong with it, and what to do.
    """
    from sheetgen.audit.claim_sheet import is_claim_sheet
    from sheetgen.audit.report.own_files import is_report
    from sheetgen.order.order_file import is_field_book, is_order, is_yard
    from sheetgen.xlsx.read import read_book

    if not path.exists():
        return Kind.BOOK
    if path.suffix.lower() in TEXTS:
        return Kind.CLAIM if is_claim_sheet(path) else Kind.OTHER
    try:
        book = read_book(path)
    except UnusableBook:
        return Kind.BOOK
    if is_order(book):
        return Kind.ORDER
    if is_yard(book):
        return Kind.YARD
    if is_report(path):
        return Kind.REPORT
    if not is_field_book(book) and is_claim_sheet(path):
        return Kind.CLAIM
    return Kind.BOOK


def files_in(named: Iterable[Path]) -> list[Path]:
    """The files named, and the workbooks and claim sheets in the folders named; each once."""
    from sheetgen.batch import returned_files

    texts: list[Path] = []

    def passed_over(file: object, why: str) -> None:
        if why == "no-workbook" and isinstance(file, Path) and file.suffix.lower() in TEXTS:
            texts.append(file)

    found = [file for file in returned_files(map(str, named), passed_over) if isinstance(file, Path)]
    return [*found, *texts]


def unknown_kind(path: object) -> str:
    """What is said of a file for which there is nothing to do."""
    return templates.spoken_texts().say("office.unknown_kind", path=path)
