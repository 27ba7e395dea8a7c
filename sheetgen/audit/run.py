"""One returned book from file to findings: read, compare with what was issued, recompute, check."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any

from sheetgen.audit.garbage_collection import collection_paused
from sheetgen.xlsx.unusable import unusable

if TYPE_CHECKING:
    from sheetgen.audit.compute.book import Computation
    from sheetgen.audit.decisions import Decided
    from sheetgen.audit.entries.book_values import BookValues
    from sheetgen.audit.material import Material
    from sheetgen.audit.model import Finding, Recheck
    from sheetgen.audit.proof.origin import Origin
    from sheetgen.audit.proof.pairing import Pairing
    from sheetgen.book.record import Record
    from sheetgen.order.model import Machine, Order
    from sheetgen.xlsx.model import Book
    from sheetgen.xlsx.returned import ReturnedBook

_LOGS = {"days", "loads", "shots"}  # the sheets without which nothing can be told of a day


@collection_paused()
def recheck_book(
    path: str | Path,
    order: Order | None = None,
    claim: float | Mapping[str, float] | None = None,
    public_key: str | None = None,
    issued_as: Callable[[str], Book | None] | None = None,
    decisions: Decided | None = None,
    material: Material | None = None,
    language: str = "",
) -> Recheck:
    """Recheck one returned field book.

    Args:
        path: the file; it is only read
        order: the office's own copy of the order; without it the carried one is taken
        claim: a claimed payable quantity, in the order's unit of pay, or a claim sheet's quantities by book
        public_key: the office's public key, hexadecimal, to prove origin
        issued_as: gives a book of an identity as it was issued, where a register knows it; asked for books whose
            templates this version of the program does not have
        decisions: what was decided before
        material: below which amount findings are listed apart
        language: of findings and report; where it is empty that of the office's own order, else the book's

    Raises:
        UnusableBook: the file cannot be read as a field book.
    """
    from sheetgen.audit.compute.book import compute
    from sheetgen.audit.compute.uncertainty import uncertainty
    from sheetgen.audit.entries.read import read_entries
    from sheetgen.audit.model import Recheck
    from sheetgen.audit.proof.filled_blanks import without_filled_blanks
    from sheetgen.audit.proof.realign import as_issued
    from sheetgen.audit.rules.check import check_all
    from sheetgen.xlsx.read import read_book

    order_given, returned = order is not None, read_book(path)
    language = language or (order.language if order else "")
    origin, issued = _as_it_was_issued(returned, order, public_key, issued_as, language)
    order, machine, record = origin.order, origin.machine, origin.record
    language = language or order.language
    returned, filled = without_filled_blanks(returned, issued, language)
    pairing = _paired(returned, issued, origin)
    placed = as_issued(returned, issued, pairing)  # rows put in or taken out do not shift what is read
    entries = read_entries(placed, issued, order, machine, language)
    computation = compute(entries, order, machine)
    known = uncertainty(computation, order, machine)
    book_values = {} if filled else _book_values(placed, issued, origin)
    identity = record.identity if record else ""
    claimed = _claimed(claim, str(path), identity, order, machine)
    proof, results = _proof(returned, placed, issued, pairing, origin, book_values, language)
    rules = check_all(computation, entries, order, machine, results, claimed, known, returned.saved, language)
    return Recheck(
        path=str(path),
        identity=identity,
        origin=origin.status,
        order=order,
        machine=machine,
        findings=[*origin.findings, *filled, *proof, *rules],
        entries=entries,
        totals=computation.totals,
        book_values=book_values,
        sha256=returned.sha256,
        program=returned.program,
        office_key=public_key or "",
        order_given=order_given,
        claim=claimed,
        uncertainty=known,
        saved=returned.saved,
        decisions=decisions.get(identity or returned.sha256, ()) if decisions else (),
        language=language,
        material=material and material.volume(computation.totals.overall["payable"] or 0.0, order),
        **_named(record),
        **_rows(computation),
    )


def _claimed(
    claim: float | Mapping[str, float] | None, path: str, identity: str, order: Order, machine: Machine
) -> float | None:
    """What is claimed for the book, in the order's unit of pay."""
    from sheetgen.audit.claim_sheet import claimed_for
    from sheetgen.order.pay_terms import unit_kind

    return claimed_for(claim, path, identity, order.job.number, machine.name, order.units, unit_kind(order))


def _book_values(placed: ReturnedBook, issued: Book, origin: Origin) -> BookValues:
    """What the book itself computed.

    A book of another version cannot be laid out again: that is a finding, what differs from this version is not.
    Its values follow from its entries all the same, and are compared where its headings are those of this version.
    """
    from sheetgen.audit.entries.book_values import read_book_values

    return read_book_values(placed, issued, alike_only=not origin.known)


def _paired(returned: ReturnedBook, issued: Book, origin: Origin) -> Pairing:
    """Which sheet is which; a file without a record and without logs is no field book."""
    from sheetgen.audit.proof.pairing import pair_sheets

    pairing = pair_sheets(returned, issued, same_version=origin.known)
    if origin.record is None and {sheet.key for sheet in pairing.missing} >= _LOGS:
        raise unusable(returned.path, "no-logs", "any-field-book")
    return pairing


def _as_it_was_issued(
    returned: ReturnedBook,
    order: Order | None,
    public_key: str | None,
    issued_as: Callable[[str], Book | None] | None,
    language: str,
) -> tuple[Origin, Book]:
    """Where a book comes from, and the book as it was issued: laid out again, or as a register keeps it."""
    from sheetgen.audit.proof.origin import origin_of
    from sheetgen.book.layout import lay_out

    origin = origin_of(returned, order, public_key, language=language)
    if not origin.known and issued_as is not None and origin.record is not None:
        kept = issued_as(origin.record.identity)
        if kept is not None:
            return origin_of(returned, order, public_key, any_version=True, language=language), kept
    record = origin.record
    proof = (record.public_key, record.signature) if record else ("", "")
    return origin, lay_out(origin.order, origin.machine, sign=lambda _message: proof)


def _proof(
    returned: ReturnedBook,
    placed: ReturnedBook,
    issued: Book,
    pairing: Pairing,
    origin: Origin,
    book_values: BookValues,
    language: str,
) -> tuple[list[Finding], BookValues]:
    """What was changed in the locked part or does not follow from it, and the results to compare with the recheck."""
    from sheetgen.audit.proof.compare import compare
    from sheetgen.audit.proof.shown_values import can_be_compared, proven_shown

    if not origin.known:
        return [], book_values
    changes = compare(returned, issued, language, pairing)
    if not can_be_compared(changes, book_values):
        return changes, book_values
    shown, results = proven_shown(placed, issued, changes, book_values, language)
    return changes + shown, results


def _named(record: Record | None) -> dict[str, Any]:
    """The template and the key that a book names."""
    return {"template": record.template, "public_key": record.public_key} if record else {}


def _rows(computation: Computation) -> dict[str, Any]:
    """The recomputed rows of each log, by the names that a recheck has for them."""
    from sheetgen.audit.compute.book import as_dict

    logs = ("shot", "load", "day", "section", "monitor", "change", "gauge", "paid")
    return {f"{log}_rows": [as_dict(row) for row in getattr(computation, f"{log}_rows")] for log in logs}
