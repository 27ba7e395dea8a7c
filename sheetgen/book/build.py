"""From an order to the files of its field books."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path
from types import MappingProxyType

from sheetgen.book.layout import lay_out
from sheetgen.declarations import check_declarations
from sheetgen.errors import BookInTheWay
from sheetgen.file_names import file_stems
from sheetgen.order.model import Machine, Order
from sheetgen.plan.workable import workable_plan
from sheetgen.templates import texts
from sheetgen.whole_file import holds, remove_forgotten, write_new
from sheetgen.xlsx.drawing import Entries
from sheetgen.xlsx.write import book_bytes, write_book


def build_books(
    order: Order,
    out_dir: Path,
    sign: Callable[[bytes], tuple[str, str]] | None = None,
    entries: Mapping[str, Entries] = MappingProxyType({}),
) -> list[Path]:
    """Write one field book for each distributor of an order into a folder.

    A file that lies in the way is left alone: a crew may have typed into it. Where it is the same to the last byte
    there is nothing to write; otherwise no book is written at all.

    Args:
        sign: gives (public key, signature) for a message; None for unsigned books
        entries: what stands in the books from the beginning, by distributor: of the books that a revision replaces

    Raises:
        BookInTheWay: files of those names lie there with other contents; all of them are named.
        OrderError: a distributor cannot do any of the work; nothing is written.
        OSError: the folder cannot be made or written into.
        TemplateError: a template declares what cannot be; nothing is written
    """
    check_declarations()
    workable_plan(order)
    out_dir.mkdir(parents=True, exist_ok=True)
    remove_forgotten(out_dir)
    paths = [out_dir / name for name in book_names(order).values()]
    books = [
        book_bytes(lay_out(order, machine, entries.get(machine.name), sign)) for machine in order.machines
    ]
    missing = [(path, book) for path, book in zip(paths, books, strict=True) if not path.exists()]
    _refuse([path for path, book in zip(paths, books, strict=True) if not _is(path, book)], order)
    for path, book in missing:
        try:
            write_new(path, book)
        except FileExistsError:  # since it was looked for: by another run, of this order or of another one
            _refuse([] if _is(path, book) else [path], order)
    return paths


def write_filled(
    order: Order, machine: Machine, entries: Entries, path: Path,
    sign: Callable[[bytes], tuple[str, str]] | None = None,
) -> Path:  # fmt: skip
    """Write a book with entries in its input cells and every result as an engine would give it."""
    return write_book(lay_out(order, machine, entries, sign), path)


def book_names(order: Order) -> dict[str, str]:
    """The file names of an order's books by distributor: job number, distributor, revision; no two alike."""
    names = [machine.name for machine in order.machines]
    stems = file_stems(order.job.number, names)
    ending = f"_rev-{order.job.revision}.xlsx" if order.job.revision else ".xlsx"
    return {name: f"{stem}{ending}" for name, stem in zip(names, stems, strict=True)}


def book_name(order: Order, machine: Machine) -> str:
    """The file name of one distributor's book; see :func:`book_names`."""
    return book_names(order)[machine.name]


def _is(path: Path, book: bytes) -> bool:
    """Whether nothing lies at a path, or these bytes."""
    return not path.exists() or holds(path, book)


def _refuse(paths: list[Path], order: Order) -> None:
    if not paths:
        return
    say = texts(order.language, order.units)
    raise BookInTheWay("\n".join(say.say("files.book_in_the_way", path=path) for path in paths))
