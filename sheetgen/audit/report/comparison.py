"""The book's own results beside the recomputed ones: every shot, load, day, section and total."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from functools import cache
from typing import Any

from sheetgen import templates
from sheetgen.audit.compute.uncertainty import COVERAGE, ShotUncertainty
from sheetgen.audit.entries.book_values import BookValue, same
from sheetgen.audit.model import Finding, Recheck
from sheetgen.audit.report.document import FindingLine, Line, Result, ShotLine
from sheetgen.columns import reported
from sheetgen.figures import day_text
from sheetgen.shot_kinds import shot_kinds
from sheetgen.xlsx.returned import Value, is_number

VERDICTS = ("in", "high", "low", "incomplete", *shot_kinds())
_NONE = BookValue(None, "", "")
_Values = Mapping[tuple[str, int, str], BookValue]


def shot_lines(recheck: Recheck) -> list[ShotLine]:
    """Every shot of the log."""
    book = _stored_values(recheck)
    return [_shot(recheck, book, row) for row in recheck.shot_rows]


def lines(recheck: Recheck, table: str, rows: Iterable[Mapping[str, Any]]) -> list[Line]:
    """Every row of a log or of the sections: a section is named by its id, a day by its date, others by number."""
    book, totals = _stored_values(recheck), recheck.uncertainty and recheck.uncertainty.totals
    known = (
        {"days": ("unexplained", totals.by_day), "sections": ("payable", totals.by_section)} if totals else {}
    )
    column, reach = known.get(table, ("", {}))
    found = []
    for place, row in enumerate(rows):
        number = row.get("row", place)
        label = row.get("id") or (day_text(row["date"]) if table == "days" else "") or str(number + 1)
        own = reach.get(row.get("id", number))
        results = _results(recheck, book, table, number, row, {} if own is None else {column: own})
        found.append(Line(number, label, results))
    return found


def total_results(recheck: Recheck) -> dict[str, Result]:
    """The totals of the whole book; of those that only some contracts have, the ones of this order."""
    reach: Mapping[str, float] = recheck.uncertainty.totals.overall if recheck.uncertainty else {}
    results = _results(recheck, _stored_values(recheck), "overall", 0, recheck.totals.overall, reach)
    return {key: each for key, each in results.items() if key in recheck.totals.overall or each.cell}


def stored(findings: Iterable[Finding | FindingLine]) -> bool:
    """Whether the file holds results: some programs write formulas without them."""
    return all(finding.name != "results-not-in-file" for finding in findings)


def _stored_values(recheck: Recheck) -> _Values:
    """The book's own results by their place; none where the file holds none."""
    return recheck.book_values if stored(recheck.findings) else {}


def _shot(recheck: Recheck, book: _Values, row: Mapping[str, Any]) -> ShotLine:
    number = row["row"]
    known = recheck.uncertainty.shot(number) if recheck.uncertainty else ShotUncertainty(number)
    reach = {"base": known.base, "mix_rate": known.rate, "deviation": known.deviation}
    return ShotLine(
        row=number,
        label=str(number + 1),
        results=_results(recheck, book, "shots", number, row, reach),
        judged=known.verdict,
        allowed=row["allowed"],
        budget=known.budget,
    )


def _results(
    recheck: Recheck,
    book: _Values,
    table: str,
    number: int,
    row: Mapping[str, Any],
    reach: Mapping[str, float | None] | None = None,
) -> dict[str, Result]:
    """The results of one row; ``reach`` has standard uncertainties by column."""
    results = {}
    for column in reported(table):
        theirs = book.get((table, number, column.key), _NONE)
        results[column.key] = _result(
            recheck, column.key, row.get(column.key), theirs, (reach or {}).get(column.key)
        )
    return results


def _result(recheck: Recheck, key: str, own: Value, theirs: BookValue, standard: float | None) -> Result:
    book = None if theirs.value == "" else theirs.value
    if key == "verdict":
        book = _verdict(book, recheck)
    alike = not theirs.cell or same(book, own)
    return Result(
        book=book,
        recomputed=own,
        difference=_difference(book, own, alike),
        same=alike,
        uncertainty=None if standard is None else COVERAGE * standard,
        sheet=theirs.sheet,
        cell=theirs.cell,
    )


def _verdict(word: Value, recheck: Recheck) -> Value:
    """The verdict that a word of the book's language stands for; any other word as it is."""
    return _verdicts(recheck.order.language).get(str(word), word)


@cache
def _verdicts(language: str) -> dict[str, str]:
    say = templates.texts(language)
    return {say[f"words.{key}"]: key for key in VERDICTS}


def _difference(book: Value, own: Value, alike: bool) -> float | None:
    if not (is_number(book) and is_number(own)):
        return None
    return 0.0 if alike else float(book) - float(own)
