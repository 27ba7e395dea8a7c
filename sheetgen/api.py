"""The public functions. Each imports what it needs when it is called, so that ``import sheetgen`` stays quick."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from sheetgen.audit.model import Recheck
    from sheetgen.order.model import Order

__all__ = ["build", "fill", "read_order", "recheck", "write_report"]


def read_order(path: str | Path) -> Order:
    """Read an order workbook.

    Raises:
        OrderError: with every mistake in it at once, each with sheet, cell, what was found and what to do.
    """
    from sheetgen.order.read import read_order as read

    return read(path)


def build(
    order: Order,
    out_dir: str | Path,
    key: str | Path | None = None,
    language: str = "",
    returned: Sequence[str | Path] = (),
    second_language: str = "",
) -> list[Path]:
    """Write one field book for each distributor of an order.

    Args:
        order: the order
        out_dir: the folder, made where it is missing; a file that lies in the way is never replaced
        key: the office's signing key file; None for books that are not signed
        language: of the books; the order's where it is empty
        returned: books that the order, a revision, replaces: their entries go into the new ones
        second_language: that headings, prompts, cautions and lists of the forms on paper are in as well

    Returns:
        The paths of the books, in the order's order of distributors. The same order, key and version of the
        program give the same bytes.

    Raises:
        OrderError: a distributor cannot do any of the work, or no plan can be made; nothing is written.
        BookInTheWay: a file of a book's name lies there with other contents; nothing is written.
        KeyFileError: the key cannot be used.
        RevisionError: the order does not replace a returned book, or an entry would not stay what it was.
        UnusableBook: a returned book cannot be read.
    """
    from sheetgen.book.build import build_books

    order = order.in_language(language, second_language)
    if not returned:
        return build_books(order, Path(out_dir), signer(key))
    from sheetgen.filling.carried import carry_over

    carried = carry_over(order, returned)
    entries = {each.distributor: each.entries for each in carried.books}
    return build_books(carried.order, Path(out_dir), signer(key), entries)


def fill(
    book: str | Path,
    entries: str | Path | Sequence[str | Path] | Mapping[str, Any],
    out: str | Path | None = None,
    *,
    replace: bool = False,
) -> Path:
    """Type entries of another program into a copy of a field book, as a person would.

    Values go into entry cells only; every other part of the file stays as it is. What the formulas had given before
    is left out, and the file asks for a calculation when it is opened.

    Args:
        book: the field book, blank or with entries; it is only read
        entries: a CSV file or workbook, or several; or rows in memory by log, such as ``{"shots": [{"date": ...}]}``,
            where the rows are mappings by column key or a pandas table. A table's log is known by its name, a column
            ``log``, or its headings: column keys, or what the book prints. Rows go behind the last used one, or where a
            column ``no`` says; single cells are lines of ``field`` and ``value``. Numbers are in the book's units
        out: the new file; beside the book, with ``_filled`` behind its name, where it is None
        replace: whether to type over entries that differ

    Returns:
        The path of the new file.

    Raises:
        EntriesError: with every mistake of the tables, each with line and column; nothing is written.
        UnusableBook: the book or a table cannot be read; nothing is written.
        SheetgenError: another file lies at ``out``, or it is the book itself.
    """
    from sheetgen.filling.run import fill_book

    return fill_book(book, entries, out, replace).path


def recheck(
    path: str | Path,
    order: Order | None = None,
    claim: float | None = None,
    decisions: str | Path | None = None,
    language: str = "",
) -> Recheck:
    """Recheck one returned field book; the file is only read.

    Args:
        path: the returned .xlsx file
        order: the office's own copy of the order; without it the order that the book carries is taken
        claim: a claimed payable quantity in the order's unit of pay, to be compared
        decisions: an earlier report, or a folder of them, whose decisions on the book's findings are taken over
        language: of findings and report; where it is empty that of the office's own order, else the book's

    Raises:
        UnusableBook: the file cannot be read as a field book.
    """
    from sheetgen.audit.run import recheck_book

    known = None
    if decisions is not None:
        from sheetgen.audit.report.decisions_sheet import decisions_in

        known = decisions_in(Path(decisions))
    return recheck_book(path, order=order, claim=claim, decisions=known, language=language)


def write_report(
    result: Recheck, out_dir: str | Path, *, copy: bool = False, csv: bool = False
) -> list[Path]:
    """Write the recheck workbook and its JSON into a folder, and say where they are.

    Args:
        result: of :func:`recheck`
        out_dir: the folder, made where it is missing
        copy: also write a copy of the returned file with a note at the cell of each finding
        csv: also write the report's tables as CSV files

    Raises:
        UnusableBook: a copy is asked for, and the returned file is gone or was changed since.
    """
    from sheetgen.audit.report import write_report as write

    return write(result, Path(out_dir), copy=copy, csv=csv)


def signer(key: str | Path | None) -> Callable[[bytes], tuple[str, str]] | None:
    """Give what signs with a key file; None where there is no key."""
    if key is None:
        return None
    from sheetgen.signing import load_key, public_text, sign

    private = load_key(Path(key))
    return lambda message: (public_text(private), sign(private, message))
