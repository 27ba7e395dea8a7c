"""The calibration sheet's own results against the recomputed ones."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from sheetgen.audit.compute.calibration import compute_calibration
from sheetgen.audit.entries.book_values import BookValues, same
from sheetgen.audit.model import Finding
from sheetgen.audit.rules.case import Case
from sheetgen.xlsx.returned import Value

_SHARES = ("greatest", "spread")


def check(case: Case, book: BookValues) -> Iterator[Finding]:
    """The first result of each pad, nozzle and total that differs; nothing where the sheet was left blank.

    What rests on another one that differs is not told again: the totals only where every row agrees.
    """
    if all(theirs.value is None for theirs in book.values()):
        return
    own = compute_calibration(case.logs, case.order)
    rows = [("pads", row, "rate", value, "rate") for row, value in own.rates.items()]
    rows += [("catch", row, "flow", value, "flow") for row, value in own.flows.items()]
    found = list(_differing(case, book, rows))
    totals = [
        ("calibration", 0, key, value, "rate" if key.startswith("pads") else "flow")
        for key, value in own.results.items()
    ]
    yield from found or _differing(case, book, totals)


def _differing(
    case: Case, book: BookValues, results: Sequence[tuple[str, int, str, float | None, str]]
) -> Iterator[Finding]:
    for table, row, column, own, kind in results:
        theirs = book.get((table, row, column))
        if theirs is None or same(theirs.value, own):
            continue
        share = any(word in column for word in _SHARES)
        yield case.voice.whole(
            "calibration-differs-from-recheck",
            theirs.sheet,
            theirs.cell,
            theirs=_shown(case, theirs.value, "" if share else kind),
            own=_shown(case, own, "" if share else kind),
        )


def _shown(case: Case, value: Value, kind: str) -> str:
    if value is None or value == "":
        return case.voice.say["said.nothing"]
    if not isinstance(value, int | float):
        return str(value)
    return case.voice.plain(value, kind) if kind else case.voice.percent(value)
