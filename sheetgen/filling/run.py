"""Typing tables of entries into a field book: everything is checked first, then one new file is written."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import NamedTuple

from sheetgen.audit.model import Entry
from sheetgen.audit.proof.filled_blanks import without_filled_blanks
from sheetgen.audit.proof.origin import origin_of
from sheetgen.book.layout import lay_out
from sheetgen.columns import entry_columns
from sheetgen.errors import SheetgenError
from sheetgen.filling.cells import Place, Row, Targets, places, rows_of
from sheetgen.filling.tables import Files, Given, Mistakes, Tables, read_tables
from sheetgen.filling.values import Typed, meant, refuse, same, shown
from sheetgen.output import printable
from sheetgen.templates import Texts, texts
from sheetgen.whole_file import write_unless_there
from sheetgen.xlsx.address import a1
from sheetgen.xlsx.package import open_package
from sheetgen.xlsx.read import read_book
from sheetgen.xlsx.type_in import with_typed


class Filled(NamedTuple):
    """What was typed.

    Attributes:
        path: of the new file
        language: of the book
        typed: how many entries were typed, by tab
        there: how many stood in the book already
    """

    path: Path
    language: str
    typed: dict[str, int]
    there: int


def fill_book(
    book: str | Path, entries: Files | Tables, out: str | Path | None = None, replace: bool = False
) -> Filled:
    """Type tables of entries into a copy of a book.

    Args:
        book: the field book, blank or with entries; it is only read
        entries: see :func:`sheetgen.filling.tables.read_tables`
        out: the new file; beside the book, with ``_filled`` behind its name, where it is None
        replace: whether to type over entries that differ

    Raises:
        EntriesError: with every mistake of the tables; nothing is written.
        UnusableBook: the book, or a table, cannot be read; nothing is written.
        SheetgenError: another file lies at ``out``, or it is the book itself.
    """
    returned = read_book(book)
    origin = origin_of(returned)
    order, machine = origin.order, origin.machine
    say = texts(order.language, order.units)
    path = _out(Path(book), out, order.language)
    issued = lay_out(order, machine)
    returned, _ = without_filled_blanks(returned, issued, order.language)
    targets = Targets(returned, issued, order, machine)
    mistakes = Mistakes(str(book), say)
    rows = rows_of(read_tables(entries, order.language), targets, mistakes)
    mistakes.stop()
    given = places(rows)
    read, typed = meant(given, order, machine, targets, mistakes)
    refuse(typed, given, targets, mistakes)
    _refuse_repeated(rows, read, targets, mistakes)
    new = _to_type(read, given, targets, replace, mistakes)
    if not typed and not mistakes.found:
        mistakes.add("nothing", _named(entries, say))
    mistakes.stop()
    by_tab: dict[str, dict[tuple[int, int], Typed]] = {}
    for place in new:
        target = targets.of(place)
        by_tab.setdefault(target.sheet, {})[target.row, target.column] = typed[place]
    write_unless_there(path, with_typed(open_package(book), by_tab), order.language)
    counts = {tab: len(cells) for tab, cells in by_tab.items()}
    return Filled(path, order.language, counts, len(typed) - len(new))


def _named(entries: Files | Tables, say: Texts) -> str:
    if isinstance(entries, Mapping):
        return say["fill.where.tables"]
    files = [entries] if isinstance(entries, str | Path) else entries
    return ", ".join(printable(Path(each).name) for each in files)


def _out(book: Path, out: str | Path | None, language: str) -> Path:
    path = book.with_name(f"{book.stem}_filled.xlsx") if out is None else Path(out)
    if path.suffix.lower() != ".xlsx":
        raise SheetgenError(texts(language).say("fill.out_name", path=path))
    if path.resolve() == book.resolve() or (path.exists() and path.samefile(book)):
        raise SheetgenError(texts(language).say("fill.out_is_book", path=path))
    return path


def _refuse_repeated(
    rows: Sequence[Row], read: Mapping[Place, Entry], targets: Targets, mistakes: Mistakes
) -> None:
    """Refuse a row that stands in its log already: a table that is given twice must not count twice.

    Only rows that go where one is blank, of logs in which no two rows can be alike.
    """
    known: dict[str, dict[int, dict[str, Entry]]] = {}
    for (log, number, column), entry in targets.entries.items():
        known.setdefault(log, {}).setdefault(number, {})[column] = entry
    for row in rows:
        if row.numbered or not any(column.needed for column in entry_columns(row.log).values()):
            continue
        values = {column: each for column in row.values if (each := read.get((row.log, row.row, column)))}
        there = known.setdefault(row.log, {})
        alike = next((number for number, old in there.items() if _all_in(values, old)), None)
        if values and alike is not None:
            mistakes.add("repeated", row.where, number=alike + 1)
        there[row.row] = values


def _all_in(values: Mapping[str, Entry], old: Mapping[str, Entry]) -> bool:
    return all(column in old and same(each, old[column]) for column, each in values.items())


def _to_type(
    read: Mapping[Place, Entry],
    given: Mapping[Place, Given],
    targets: Targets,
    replace: bool,
    mistakes: Mistakes,
) -> list[Place]:
    """The places whose cells do not hold their value yet; what may not be typed over is a mistake."""
    new = []
    for place, entry in read.items():
        closed, there, target = targets.closed(place), targets.entries.get(place), targets.of(place)
        where, cell = given[place].where, f"{target.sheet}!{a1(target.row, target.column)}"
        if closed:
            mistakes.add(closed, where, cell=cell)
        elif there is None or not same(there, entry):
            new.append(place)
            if there is not None and not replace:
                mistakes.add("differs", where, value=shown(entry.raw), there=shown(there.raw), cell=cell)
    return new
