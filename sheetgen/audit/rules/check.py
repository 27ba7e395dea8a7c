"""All rules over one book: what :func:`check_all` gives is every finding on its entries and results."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator

from sheetgen.audit.compute.book import Computation
from sheetgen.audit.compute.uncertainty import Uncertainty, uncertainty
from sheetgen.audit.entries.book_values import BookValues
from sheetgen.audit.model import Entry, Finding
from sheetgen.audit.rules import (
    agreement,
    bar,
    changes,
    claims,
    confirmed,
    coverage,
    gauges,
    kinds,
    lanes,
    levels,
    loads,
    meter,
    monitor,
    pace,
    pages,
    rates,
    readings,
    reconciliation,
    times,
)
from sheetgen.audit.rules import entries as entry_rules
from sheetgen.audit.rules import made_up_logs as invention
from sheetgen.audit.rules import temperature as warmth
from sheetgen.audit.rules.case import Case
from sheetgen.order.model import Machine, Order

_RULES: tuple[Callable[[Case], Iterator[Finding]], ...] = (
    entry_rules.check,
    readings.check,
    bar.check,
    lanes.check,
    coverage.check,
    times.check,
    pace.check,
    loads.check,
    levels.check,
    warmth.check,
    rates.check,
    kinds.check,
    confirmed.check,
    reconciliation.check,
    meter.check,
    pages.check,
    changes.check,
    monitor.check,
    gauges.check,
    invention.check,
)


def check_all(
    computation: Computation,
    entries: Iterable[Entry],
    order: Order,
    machine: Machine,
    book_values: BookValues | None = None,
    claim: float | None = None,
    known: Uncertainty | None = None,
    saved: str = "",
    language: str = "",
) -> list[Finding]:
    """Every finding on the entries of a book, and on its own results where they are given.

    Args:
        computation: of those entries, from :func:`sheetgen.audit.compute.book.compute`
        entries: from :func:`sheetgen.audit.entries.read.read_entries`; the computation holds them as well
        order, machine: what the book was issued for
        book_values: the book's own results, from :func:`sheetgen.audit.entries.book_values.read_book_values`
        claim: a claimed payable quantity, in the order's unit of volume
        known: the uncertainty of the computation, where it is worked out already
        saved: when the file says it was last saved, ISO 8601; empty where it says nothing
        language: of the findings; the order's where it is empty
    """
    del entries
    case = Case(
        computation, known or uncertainty(computation, order, machine), order, machine, saved, language
    )
    found = [finding for check in _RULES for finding in check(case)]
    findings = list(confirmed.acknowledged(case, found))
    findings += agreement.check(case, book_values or {})
    if claim is not None:
        findings += claims.check(case, claim)
    return findings
