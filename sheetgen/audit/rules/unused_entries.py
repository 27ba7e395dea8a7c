"""Entries that the book's formulas could not use as they were typed, and the results that this explains."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

from sheetgen.audit.entries.book_values import BookValue, BookValues, same
from sheetgen.audit.model import Entry, Finding
from sheetgen.audit.rules.case import Case
from sheetgen.xlsx.returned import Value

_Place = tuple[str, int, str]
Results = dict[_Place, Value]
# Entries that decide where a row is counted: what they change shows in days, sections and totals.
_SORTING = frozenset({"date", "section", "hand", "returned"})


@dataclass(frozen=True)
class Excuse:
    """What an untouched book shows where some entries are no use to its formulas.

    Attributes:
        entries: those entries, each with how the formulas take it
        results: what is computed from the entries as the formulas take them
        covered: places of results that differ from the recheck and are explained by it
    """

    entries: tuple[tuple[Entry, Entry], ...] = ()
    results: Mapping[_Place, Value] = field(default_factory=dict)
    covered: set[_Place] = field(default_factory=set)

    def covers(self, place: _Place, theirs: BookValue | None, own: Value) -> bool:
        """Whether a result that differs from the recheck is just what the entries as typed give; noted if so."""
        if theirs is None or place not in self.results or same(theirs.value, own):
            return False
        if not same(theirs.value, self.results[place]):
            return False
        self.covered.add(place)
        return True

    def unlike(self, book: BookValues) -> int:
        """How many results of the book it does not give."""
        return sum(
            place in self.results and not same(theirs.value, self.results[place])
            for place, theirs in book.items()
        )


def unused_entries(case: Case, excuse: Excuse, payable: tuple[str, str]) -> Iterator[Finding]:
    """One finding for each column in which such entries stand, at the first of them.

    Args:
        payable: the payable quantity in the book's words and in the recheck's
    """
    rows = {(table, row) for table, row, _ in excuse.covered if table in ("shots", "loads", "days")}
    sums = any(table in ("days", "sections", "overall") for table, _, _ in excuse.covered)
    grouped: dict[tuple[str, str], list[tuple[Entry, Entry]]] = {}
    for entry, taken in excuse.entries:
        if (entry.table, entry.row) in rows or (sums and entry.column in _SORTING):
            grouped.setdefault((entry.table, entry.column), []).append((entry, taken))
    for pairs in grouped.values():
        yield _finding(case, pairs, len(excuse.covered), payable)


def _finding(case: Case, pairs: list[tuple[Entry, Entry]], count: int, payable: tuple[str, str]) -> Finding:
    say, (entry, taken) = case.voice.say, pairs[0]
    more = say.say("said.typed.more", count=len(pairs) - 1) if len(pairs) > 1 else ""
    return case.voice.at(
        "book-could-not-use-entry",
        entry.table,
        entry.row,
        entry.column,
        raw=_shown(case, entry.raw, entry),
        more=more,
        taken=_shown(case, taken.value, entry),
        read=_shown(case, entry.value, entry),
        count=count,
        theirs=payable[0],
        own=payable[1],
    )


def _shown(case: Case, value: Value, entry: Entry) -> str:
    say = case.voice.say
    if value is None or value == "":
        return say["said.nothing"]
    if isinstance(value, bool):
        return say["words.yes" if value else "words.no"]
    if isinstance(value, float) and entry.column == "date" and 0 < value < 1e5:
        return case.voice.date(value)
    return f"{value:.10g}" if isinstance(value, float) else str(value).strip()
