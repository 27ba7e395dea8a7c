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
from sheetgen.order.pay_terms import paid_kind
from sheetgen.shot_kinds import shot_kinds
from sheetgen.xlsx.returned import Value, is_number

VERDICTS = ("in", "high", "low", "incomplete", *shot_kinds())
_NONE = BookValue(None, "", "")
_Values = Mapping[tuple[str, int, str], BookValue]


def shot_lines(recheck: Recheck) -> list[ShotLine]:
    """Every shot of the log."""
    book = _stored_values(recheck)
    return [_shot(recheck, book, row) for row in recheck.shot_rows]


def numbered_lines(recheck: Recheck, table: str, rows: Iterable[Mapping[str, Any]]) -> list[Line]:
    """Every row of a log whose rows are named by their printed numbers."""
    book = _stored_values(recheck)
    return [
        Line(row["row"], str(row["row"] + 1), _results(recheck, book, table, row["row"], row)) for row in rows
    ]


def day_lines(recheck: Recheck) -> list[Line]:
    """Every day of the log, named by its date."""
    known: Mapping[int, float] = recheck.uncertainty.totals.by_day if recheck.uncertainty else {}
    book, lines = _stored_values(recheck), []
    for row in recheck.day_rows:
        label = day_text(row["date"]) or str(row["row"] + 1)
        reach = {"unexplained": known[row["row"]]} if row["row"] in known else {}
        results = _results(recheck, book, "days", row["row"], row, reach)
        lines.append(Line(row=row["row"], label=label, results=results))
    return lines


def section_lines(recheck: Recheck) -> list[Line]:
    """Every section of the order, in its order."""
    known: Mapping[str, float] = recheck.uncertainty.totals.by_section if recheck.uncertainty else {}
    book, lines = _stored_values(recheck), []
    for number, row in enumerate(recheck.section_rows):
        reach = {"payable": known[row["id"]]} if row["id"] in known else {}
        results = _results(recheck, book, "sections", number, row, reach)
        lines.append(Line(row=number, label=row["id"], results=results))
    return lines


def paid_lines(recheck: Recheck) -> list[Line]:
    """Every section in the unit of pay; none where that is a volume."""
    book, table = _stored_values(recheck), f"pay_{paid_kind(recheck.order)}"
    return [
        Line(row=number, label=row["id"], results=_results(recheck, book, table, number, row))
        for number, row in enumerate(recheck.paid_rows)
    ]


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
