"""The book's own results against the recomputation."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from sheetgen.audit.compute.book import Computation, compute
from sheetgen.audit.compute.days import DayRow
from sheetgen.audit.compute.factors import Factors
from sheetgen.audit.compute.loads import LoadRow
from sheetgen.audit.compute.pay import SectionRow
from sheetgen.audit.compute.rounding import half_away
from sheetgen.audit.compute.shots import ShotRow
from sheetgen.audit.entries.as_typed import not_as_read, views
from sheetgen.audit.entries.book_values import BookValue, BookValues, same
from sheetgen.audit.model import Finding
from sheetgen.audit.rules.case import Case
from sheetgen.audit.rules.unused_entries import Excuse, Results, unused_entries
from sheetgen.xlsx.returned import Value

_Row = ShotRow | LoadRow | DayRow | SectionRow
# In the order in which one follows from another: the first that differs explains the rest of its row.
_SHOT = (
    "from", "to", "length", "area", "before", "after", "hot", "net", "factor", "base", "wasted",
    "ordered_mix", "mix_rate", "residual_rate", "deviation", "verdict", "running",
)  # fmt: skip
_LOAD = ("gravity", "factor", "base", "mix", "running")
_DAY = ("area", "start", "loaded", "sprayed", "wasted", "end", "unexplained", "share")
_SECTION = ("shots", "area", "undiluted", "ordered", "cap", "hand", "payable", "deducted")
_KINDS = {
    "area": "area", "length": "distance", "from": "distance", "to": "distance",
    "ordered_mix": "rate", "mix_rate": "rate", "residual_rate": "rate",
}  # fmt: skip
_PARTS = frozenset({"deviation", "share"})  # parts of one, said as percentages
_NO_UNIT = frozenset({"factor", "gravity", "shots", "verdict"})


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
    excuse = _excuse(case, book, own)
    for table, rows, columns in _tables(case.computation):
        yield from _table(case, book, excuse, table, rows, columns)
    for key, value in case.computation.totals.overall.items():
        theirs = book.get(("overall", 0, key))
        if not excuse.covers(("overall", 0, key), theirs, value):
            yield from _one(case, theirs, key, value, "total-differs-from-recheck")
    yield from unused_entries(case, excuse, _totals(case, book))


def _tables(computation: Computation) -> tuple[tuple[str, Sequence[_Row], tuple[str, ...]], ...]:
    """The tables whose rows are compared, each with the columns of them."""
    return (
        ("shots", computation.shot_rows, _SHOT),
        ("loads", computation.load_rows, _LOAD),
        ("days", computation.day_rows, _DAY),
        ("sections", computation.section_rows, _SECTION),
    )


def results_of(case: Case, computation: Computation) -> Results:
    """The recomputed results that are compared, as a book shows them, by (table, row from 0, column)."""
    results: Results = {}
    for table, rows, columns in _tables(computation):
        for index, row in enumerate(rows):
            place = index if isinstance(row, SectionRow) else row.row
            results |= {(table, place, column): _own(case, row, column) for column in columns}
    return results | {("overall", 0, key): value for key, value in computation.totals.overall.items()}


def _excuse(case: Case, book: BookValues, own: Results) -> Excuse:
    """What the book's formulas make of the entries as typed, in the way that leaves least to explain."""
    entries = list(case.logs.entries.values())
    if all(same(theirs.value, own[key]) for key, theirs in book.items() if key in own):
        return Excuse()
    excuses = [
        Excuse(tuple(not_as_read(entries, taken)), results_of(case, compute(taken, case.order, case.machine)))
        for taken in views(entries, case.order)
    ]
    return min(excuses, key=lambda excuse: excuse.unlike(book), default=Excuse())


def _totals(case: Case, book: BookValues) -> tuple[str, str]:
    """The payable quantity as the book and as the recheck has it."""
    theirs = book.get(("overall", 0, "payable"))
    own = case.computation.totals.overall["payable"]
    return _shown(case, theirs.value if theirs else None, "payable"), _shown(case, own, "payable")


def _table(
    case: Case,
    book: BookValues,
    excuse: Excuse,
    table: str,
    rows: Sequence[_Row],
    columns: tuple[str, ...],
) -> Iterator[Finding]:
    """The first result that differs in each row; a running total only where nothing above explains it."""
    name = "value-differs-from-recheck" if table in ("shots", "loads") else "total-differs-from-recheck"
    explained = False
    for index, row in enumerate(rows):
        place = row.row if not isinstance(row, SectionRow) else index
        for column in columns:
            theirs, own = book.get((table, place, column)), _own(case, row, column)
            if excuse.covers((table, place, column), theirs, own):
                continue
            found = list(_one(case, theirs, column, own, name))
            if found and not (column == "running" and explained):
                yield _explained(case, row, column, theirs, found[0])
            if found:
                explained = True
                break


def _own(case: Case, row: _Row, column: str) -> Value:
    value: Value = getattr(row, "from_" if column == "from" else column)
    return case.voice.say[f"words.{value}"] if column == "verdict" else value


def _one(case: Case, theirs: BookValue | None, column: str, own: Value, name: str) -> Iterator[Finding]:
    if theirs is None or same(theirs.value, own):
        return
    voice = case.voice
    amounts = [_shown(case, value, column) for value in (theirs.value, own)]
    difference = ""
    if isinstance(theirs.value, int | float) and isinstance(own, int | float):
        difference = _shown(case, theirs.value - own, column)
    facts = {"theirs": amounts[0], "own": amounts[1], "difference": difference or "-"}
    yield voice.whole(name, theirs.sheet, theirs.cell, **facts)


def _shown(case: Case, value: Value, column: str) -> str:
    """A value to as many digits as it has, with its unit."""
    if value is None or value == "":
        return case.voice.say["said.nothing"]
    if column in _PARTS and isinstance(value, int | float):
        return f"{100 * value:.10g} %"
    if isinstance(value, str) or column in _NO_UNIT:
        return f"{value:.10g}" if isinstance(value, float) else str(value)
    return f"{value:.10g} {case.voice.unit(_KINDS.get(column, 'volume'))}"


def _explained(
    case: Case,
    row: _Row,
    column: str,
    theirs: BookValue | None,
    plain: Finding,
) -> Finding:
    """The finding under the name of the mistake that gives just the book's value, where there is one."""
    if not isinstance(row, ShotRow) or theirs is None or not isinstance(theirs.value, int | float):
        return plain
    name = _mistake(case, row, column, float(theirs.value))
    if not name:
        return plain
    voice = case.voice
    words = voice.words(
        name,
        {
            "theirs": _shown(case, theirs.value, column),
            "own": _shown(case, _own(case, row, column), column),
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
        shot = next(each for each in case.logs.shots if each.row == row.row)
        for kind in ("asphalt-a", "asphalt-b", "emulsion"):
            factor = Factors.of(case.order, kind).at(shot.temperature)
            if factor is None or kind == case.computation.factors.kind:
                continue
            if same(theirs, factor if column == "factor" else half_away((row.net or 0.0) * factor, decimals)):
                return "factor-of-other-column"
    if column == "mix_rate" and same(theirs, row.residual_rate):
        return "residual-rate-as-mix-rate"
    if column == "residual_rate" and same(theirs, row.mix_rate):
        return "mix-rate-as-residual-rate"
    return ""
