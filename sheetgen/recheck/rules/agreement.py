"""The book's own results against the recomputation."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import isclose

from sheetgen.recheck.book_values import BookValue, BookValues
from sheetgen.recheck.compute_days import DayRow
from sheetgen.recheck.compute_loads import LoadRow
from sheetgen.recheck.compute_pay import SectionRow
from sheetgen.recheck.compute_shots import ShotRow
from sheetgen.recheck.factors import Factors
from sheetgen.recheck.model import Finding, Value
from sheetgen.recheck.rounding import half_away
from sheetgen.recheck.rules.case import Case

# In the order in which one follows from another: the first that differs explains the rest of its row.
_SHOT = (
    "from", "to", "length", "area", "before", "after", "hot", "net", "factor", "base", "wasted",
    "ordered_mix", "mix_rate", "residual_rate", "deviation", "verdict", "running",
)  # fmt: skip
_LOAD = ("gravity", "factor", "base", "mix", "running")
_DAY = ("area", "start", "loaded", "sprayed", "wasted", "end", "unexplained", "share")
_SECTION = ("shots", "area", "undiluted", "ordered", "cap", "hand", "payable", "deducted")
_RELATIVE, _DUST = 1e-9, 1e-9
_KINDS = {
    "area": "area", "length": "distance", "from": "distance", "to": "distance",
    "ordered_mix": "rate", "mix_rate": "rate", "residual_rate": "rate",
}  # fmt: skip
_NO_UNIT = frozenset({"factor", "gravity", "shots", "deviation", "share", "verdict"})


def check(case: Case, book: BookValues) -> Iterator[Finding]:
    """Every result of the book that differs from the recomputed one by more than 1e-9 of it.

    A file has results, or it has none: some programs write formulas without them. In a file that has, a
    formula cell with nothing in it is one whose result is an empty text.
    """
    if not book:
        return
    if all(each.value is None for each in book.values()):
        first = next(iter(book.values()))
        yield case.voice.whole("results-not-in-file", first.sheet, first.cell, count=len(book))
        return
    computation = case.computation
    for table, rows, columns, name in (
        ("shots", computation.shot_rows, _SHOT, "value-differs-from-recheck"),
        ("loads", computation.load_rows, _LOAD, "value-differs-from-recheck"),
        ("days", computation.day_rows, _DAY, "total-differs-from-recheck"),
        ("sections", computation.section_rows, _SECTION, "total-differs-from-recheck"),
    ):
        yield from _table(case, book, table, rows, columns, name)
    for key, own in computation.totals.overall.items():
        yield from _one(case, book.get(("overall", 0, key)), key, own, "total-differs-from-recheck")


def _table(
    case: Case,
    book: BookValues,
    table: str,
    rows: Sequence[ShotRow | LoadRow | DayRow | SectionRow],
    columns: tuple[str, ...],
    name: str,
) -> Iterator[Finding]:
    """The first result that differs in each row; a running total only where nothing above explains it."""
    explained = False
    for index, row in enumerate(rows):
        place = row.row if not isinstance(row, SectionRow) else index
        for column in columns:
            theirs = book.get((table, place, column))
            found = list(_one(case, theirs, column, _own(case, row, column), name))
            if found and not (column == "running" and explained):
                yield _explained(case, row, column, theirs, found[0])
            if found:
                explained = True
                break


def _own(case: Case, row: ShotRow | LoadRow | DayRow | SectionRow, column: str) -> Value:
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


def same(theirs: Value, own: Value) -> bool:
    """Whether a cached result and a recomputed value are the same; a blank text is no value."""
    if theirs == "" or own is None:
        return theirs in ("", None) and own is None
    if isinstance(theirs, bool) or isinstance(own, bool):
        return theirs == own
    if isinstance(theirs, int | float) and isinstance(own, int | float):
        return isclose(theirs, own, rel_tol=_RELATIVE, abs_tol=_DUST)
    return theirs == own


def _shown(case: Case, value: Value, column: str) -> str:
    """A value to as many digits as it has, with its unit."""
    if value is None or value == "":
        return case.voice.say["said.nothing"]
    if isinstance(value, str) or column in _NO_UNIT:
        return f"{value:.10g}" if isinstance(value, float) else str(value)
    return f"{value:.10g} {case.voice.unit(_KINDS.get(column, 'volume'))}"


def _explained(
    case: Case,
    row: ShotRow | LoadRow | DayRow | SectionRow,
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
