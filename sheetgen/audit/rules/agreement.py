"""The book's own results against the recomputation."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace

from sheetgen.audit.compute.book import Computation, compute
from sheetgen.audit.compute.factors import Factors
from sheetgen.audit.compute.shots import ShotRow
from sheetgen.audit.entries.as_typed import not_as_read, views
from sheetgen.audit.entries.book_values import BookValue, BookValues, same
from sheetgen.audit.findings import catalogue
from sheetgen.audit.model import Entry, Finding
from sheetgen.audit.rules.case import Case
from sheetgen.audit.rules.entries import more_entries
from sheetgen.columns import Column, compared, entry_columns
from sheetgen.templates import texts
from sheetgen.trade.rounding import round_half_away
from sheetgen.xlsx.address import area, cell_list
from sheetgen.xlsx.returned import Value

_Place = tuple[str, int, str]
Results = dict[_Place, Value]
# Entries that decide where a row is counted: what they change shows in days, sections and totals.
_SORTING = frozenset({"date", "section", "kind", "returned"})
_SEVERAL = 3  # rows of one column in which a result differs, from which on that is one finding
_TABLE_IN_FORMULA = re.compile(r"\[@?(\w+)\.")


@dataclass(frozen=True)
class AsTyped:
    """What an untouched book shows where its formulas cannot use some entries as they were typed.

    Attributes:
        entries: those entries, each with how the formulas take it
        results: what is computed from the entries as the formulas take them
        explained: places of results that differ from the recheck for that reason alone
    """

    entries: tuple[tuple[Entry, Entry], ...] = ()
    results: Mapping[_Place, Value] = field(default_factory=dict)
    explained: set[_Place] = field(default_factory=set)

    def explains(self, place: _Place, theirs: BookValue | None, own: Value) -> bool:
        """Whether a result differs from the recheck, and is exactly what the entries as typed give; noted if so."""
        if theirs is None or place not in self.results or same(theirs.value, own):
            return False
        if not same(theirs.value, self.results[place]):
            return False
        self.explained.add(place)
        return True

    def unlike(self, book: BookValues) -> int:
        """How many results of the book it does not give."""
        return sum(
            place in self.results and not same(theirs.value, self.results[place])
            for place, theirs in book.items()
        )


def check(case: Case, book: BookValues) -> Iterator[Finding]:
    """Every result of the book that differs from the recomputed one by more than 1e-9 of it.

    A file has results, or it has none: some programs write formulas without them. In a file that has, a
    formula cell with nothing in it is one whose result is an empty text. What differs because the book's
    formulas could not use an entry as it was typed is a finding on that entry.
    """
    if not book:
        return
    if all(each.value is None for each in book.values()):
        first = next(iter(book.values()))
        yield case.voice.whole("results-not-in-file", first.sheet, first.cell, count=len(book))
        return
    own = results_of(case, case.computation)
    comparison = _Comparison(case, book, own, _as_typed(case, book, own))
    found = [
        (table, row, one)
        for table, rows in case.computation.results.items()
        for row in rows
        for one in comparison.row(table, row)
    ]
    yield from _together(case, found)
    yield from _unused_entries(case, comparison.typed, _payable(case, book))


def _together(case: Case, found: list[tuple[str, int, Finding]]) -> Iterator[Finding]:
    """Results of one column that differ in the same way in several rows have one cause: one finding with its rows."""
    alike: dict[tuple[str, ...], list[tuple[int, Finding]]] = {}
    for table, row, one in found:
        column = one.cell.rstrip("0123456789")
        alike.setdefault((one.name, one.sheet, column, table), []).append((row, one))
    for (_, _, _, table), rows in alike.items():
        if len(rows) < _SEVERAL:
            yield from (one for _, one in rows)
            continue
        first = rows[0][1]
        places = [each[:2] for _, one in rows[1:] if (each := area(one.cell))]
        more = case.voice.say.say("said.typed.more", count=len(rows) - 1, cells=cell_list(places))
        shots = tuple(row for row, _ in rows) if table == "shots" else ()
        yield replace(first, found=first.found + more, shots=shots)


def results_of(case: Case, computation: Computation) -> Results:
    """The recomputed results that are compared, as a book shows them, by (table, row from 0, column)."""
    return {
        (table, row, column.key): _shown_as(case, column, values[column.key])
        for table, rows in computation.results.items()
        for row, values in rows.items()
        for column in compared(table)
        if column.key in values
    }


def _shown_as(case: Case, column: Column, value: Value) -> Value:
    """A value as the book shows it: a code as the word that stands for it."""
    say = texts(case.order.language, case.order.units)
    return say[f"{column.words}.{value}"] if column.words and value is not None else value


def _as_typed(case: Case, book: BookValues, own: Results) -> AsTyped:
    """What the book's formulas make of the entries as typed, in the way that leaves least to explain."""
    entries = list(case.logs.entries.values())
    if all(same(theirs.value, own[key]) for key, theirs in book.items() if key in own):
        return AsTyped()
    ways = [
        AsTyped(
            tuple(not_as_read(entries, taken)), results_of(case, compute(taken, case.order, case.machine))
        )
        for taken in views(entries, case.order)
    ]
    return min(ways, key=lambda way: way.unlike(book), default=AsTyped())


def _payable(case: Case, book: BookValues) -> tuple[str, str]:
    """The payable quantity as the book and as the recheck has it."""
    (column,) = (each for each in compared("overall") if each.key == "payable")
    theirs = book.get(("overall", 0, "payable"))
    own = case.computation.totals.overall["payable"]
    return _amount(case, theirs.value if theirs else None, column), _amount(case, own, column)


class _Comparison:
    """One book's results against the recomputed ones, row by row, with what is already named."""

    def __init__(self, case: Case, book: BookValues, own: Results, typed: AsTyped) -> None:
        self._case, self._book, self._own, self.typed = case, book, own, typed
        self._named: set[tuple[str, int]] = set()  # rows with a finding

    def row(self, table: str, row: int) -> Iterator[Finding]:
        """The first result of a row that differs, from which the others follow; of single cells every one."""
        for column in compared(table):
            place = (table, row, column.key)
            if place not in self._own or place not in self._book:
                continue
            theirs, own = self._book[place], self._own[place]
            if self.typed.explains(place, theirs, own) or same(theirs.value, own):
                continue
            if not self._follows(column, row):
                yield self._finding(column, row, theirs, own)
            if not column.name:
                self._named.add((table, row))
                break

    def _follows(self, column: Column, row: int) -> bool:
        """Whether a difference that is already named explains this one.

        A running total follows from the rows above, a copy from the row it repeats. Of the cells that only raise a
        query, those follow that are calculated from a table with a difference; an error is always named.
        """
        tables = {table for table, _ in self._named}
        if column.running and column.table in tables:
            return True
        if column.copied_from and (column.copied_from, row) in self._named:
            return True
        query = catalogue()[column.differs].severity != "error"
        return bool(column.name) and query and bool(tables & set(_TABLE_IN_FORMULA.findall(column.formula)))

    def _finding(self, column: Column, row: int, theirs: BookValue, own: Value) -> Finding:
        case = self._case
        amounts = [_amount(case, value, column) for value in (theirs.value, own)]
        difference = "-"
        if isinstance(theirs.value, int | float) and isinstance(own, int | float):
            difference = _amount(case, theirs.value - own, column)
        facts = {"theirs": amounts[0], "own": amounts[1], "difference": difference}
        plain = case.voice.whole(column.differs, theirs.sheet, theirs.cell, **facts)
        return _named(case, column, row, theirs, plain) if column.table == "shots" else plain


def _amount(case: Case, value: Value, column: Column) -> str:
    """A value to as many digits as it has, with its unit."""
    if value is None or value == "":
        return case.voice.say["said.nothing"]
    if isinstance(value, str | bool):
        return str(value)
    if "percent" in column.format:
        return f"{100 * value:.10g} %"
    if not column.unit:
        return f"{value:.10g}"
    return f"{value:.10g} {case.voice.unit(column.unit)}"


def _named(case: Case, column: Column, place: int, theirs: BookValue, plain: Finding) -> Finding:
    """The finding under the name of the mistake that gives exactly the book's value, where there is one."""
    if not isinstance(theirs.value, int | float):
        return plain
    row = next(each for each in case.computation.shot_rows if each.row == place)
    name = _mistake(case, row, column.key, float(theirs.value))
    if not name:
        return plain
    voice = case.voice
    words = voice.words(
        name,
        {
            "theirs": _amount(case, theirs.value, column),
            "own": _amount(case, getattr(row, column.key), column),
            "hot": voice.volume(row.net or 0.0), "factor": f"{row.factor or 0:g}",
            "residue": voice.percent(case.order.material.residue),
        },
    )  # fmt: skip
    return voice.whole_of(name, plain, row.row, words)


def _mistake(case: Case, row: ShotRow, column: str, theirs: float) -> str:
    decimals = case.order.rounding.volume
    if column == "base" and same(theirs, row.net):
        return "hot-volume-as-corrected"
    if column in ("factor", "base"):
        shot = next(each for each in case.logs.all_shots if each.row == row.row)
        for kind in ("asphalt-a", "asphalt-b", "emulsion"):
            factor = Factors.of(case.order, kind).at(shot.temperature)
            if factor is None or kind == case.computation.factors.kind:
                continue
            if same(
                theirs, factor if column == "factor" else round_half_away((row.net or 0.0) * factor, decimals)
            ):
                return "factor-of-other-column"
    if column == "mix_rate" and same(theirs, row.residual_rate):
        return "residual-rate-as-bar-rate"
    if column == "residual_rate" and same(theirs, row.mix_rate):
        return "bar-rate-as-residual-rate"
    return ""


def _unused_entries(case: Case, typed: AsTyped, payable: tuple[str, str]) -> Iterator[Finding]:
    """One finding for each column with entries that the book's formulas could not use, at the first of them.

    Args:
        payable: the payable quantity in the book's words and in the recheck's
    """
    rows = {(table, row) for table, row, _ in typed.explained}
    sums = any(not entry_columns(table) for table, _, _ in typed.explained) or any(
        table == "days" for table, _, _ in typed.explained
    )
    grouped: dict[tuple[str, str], list[tuple[Entry, Entry]]] = {}
    for entry, taken in typed.entries:
        counted_by = not entry.table or entry.column in _SORTING
        if (entry.table, entry.row) in rows or (sums and counted_by):
            grouped.setdefault((entry.table, entry.column), []).append((entry, taken))
    for pairs in grouped.values():
        yield _unused(case, pairs, len(typed.explained), payable)


def _unused(case: Case, pairs: list[tuple[Entry, Entry]], count: int, payable: tuple[str, str]) -> Finding:
    entry, taken = pairs[0]
    more = more_entries(case, [each for each, _ in pairs])
    return case.voice.at(
        "book-could-not-use-entry",
        entry.table,
        entry.row,
        entry.column,
        raw=_entered(case, entry.raw, entry),
        more=more,
        taken=_entered(case, taken.value, entry),
        read=_entered(case, entry.value, entry),
        count=count,
        theirs=payable[0],
        own=payable[1],
    )


def _entered(case: Case, value: Value, entry: Entry) -> str:
    say = case.voice.say
    if value is None or value == "":
        return say["said.nothing"]
    if value in entry_columns(entry.table)[entry.column].choices:
        return say[f"words.{value}"]
    if isinstance(value, float) and entry.column == "date" and 0 < value < 1e5:
        return case.voice.date(value)
    return f"{value:.10g}" if isinstance(value, float) else str(value).strip()
