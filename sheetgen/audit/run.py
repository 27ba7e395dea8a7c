"""One returned book from file to findings: read, compare with what was issued, recompute, check."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path
from typing import TYPE_CHECKING

from sheetgen.audit.garbage_collection import collection_paused
from sheetgen.xlsx.unusable import unusable

if TYPE_CHECKING:
    from sheetgen.audit.material import Material
    from sheetgen.audit.model import Decision, Recheck
    from sheetgen.order.model import Order
    from sheetgen.xlsx.model import Book

_LOGS = {"days", "loads", "shots"}  # the sheets without which nothing can be told of a day


@collection_paused()
def recheck_book(
    path: str | Path,
    order: Order | None = None,
    claim: float | Mapping[str, float] | None = None,
    public_key: str | None = None,
    issued_as: Callable[[str], Book | None] | None = None,
    decisions: Mapping[str, tuple[Decision, ...]] | None = None,
    material: Material | None = None,
) -> Recheck:
    """Recheck one returned field book.

    Args:
        path: the file; it is only read
        order: the office's own copy of the order; without it the carried one is taken
        claim: a claimed payable quantity, in the order's unit of volume, or a claim sheet's quantities by book
        public_key: the office's public key, hexadecimal, to prove origin
        issued_as: gives a book of an identity as it was issued, where a register knows it; asked for books whose
            templates this version of the program does not have
        decisions: what was decided in earlier reports, by the identity of the book
        material: below which amount findings are listed apart

    Raises:
        UnusableBook: the file cannot be read as a field book.
    """
    from sheetgen.audit.claim_sheet import claimed_for
    from sheetgen.audit.compute.book import as_dict, compute
    from sheetgen.audit.compute.uncertainty import uncertainty
    from sheetgen.audit.entries.book_values import read_book_values
    from sheetgen.audit.entries.read import read_entries
    from sheetgen.audit.model import Recheck
    from sheetgen.audit.proof.compare import compare
    from sheetgen.audit.proof.filled_blanks import without_filled_blanks
    from sheetgen.audit.proof.origin import origin_of
    from sheetgen.audit.proof.pairing import pair_sheets
    from sheetgen.audit.proof.realign import as_issued
    from sheetgen.audit.proof.shown_values import shown_value_findings
    from sheetgen.audit.rules.check import check_all
    from sheetgen.book.layout import lay_out
    from sheetgen.xlsx.read import read_book

    returned = read_book(path)
    order_given = order is not None
    origin = origin_of(returned, order, public_key)
    issued = None
    if not origin.known and issued_as is not None and origin.record is not None:
        issued = issued_as(origin.record.identity)
        if issued is not None:
            origin = origin_of(returned, order, public_key, any_version=True)
    order, machine, record = origin.order, origin.machine, origin.record
    if issued is None:
        proof = (record.public_key, record.signature) if record else ("", "")
        issued = lay_out(order, machine, sign=lambda _message: proof)
    returned, filled = without_filled_blanks(returned, issued, order.language)
    pairing = pair_sheets(returned, issued)
    if record is None and {sheet.key for sheet in pairing.missing} >= _LOGS:
        raise unusable(returned.path, "no-logs", "any-field-book")
    placed = as_issued(returned, issued, pairing)  # rows put in or taken out do not shift what is read
    entries = read_entries(placed, issued, order, machine)
    computation = compute(entries, order, machine)
    # A book of another version cannot be laid out again: that is a finding, what differs from this version is not.
    # Its values follow from its entries all the same, and are compared where its headings are those of this version.
    book_values = {} if filled else read_book_values(placed, issued, alike_only=not origin.known)
    known = uncertainty(computation, order)
    identity = record.identity if record else ""
    claimed = claimed_for(claim, str(path), identity, order.job.number, machine.name, order.units)
    changes = compare(returned, issued, order.language, pairing) if origin.known else []
    # Where formulas were changed, what they show follows from that: the change is what is said.
    whole = origin.known and bool(book_values) and not any(each.severity == "error" for each in changes)
    findings = [
        *origin.findings,
        *filled,
        *changes,
        *(shown_value_findings(placed, issued, book_values, order.language) if whole else []),
        *check_all(computation, entries, order, machine, book_values, claimed, known, returned.saved),
    ]
    return Recheck(
        path=str(path),
        identity=identity,
        origin=origin.status,
        order=order,
        machine=machine,
        findings=findings,
        entries=entries,
        shot_rows=[as_dict(row) for row in computation.shot_rows],
        load_rows=[as_dict(row) for row in computation.load_rows],
        totals=computation.totals,
        book_values=book_values,
        day_rows=[as_dict(row) for row in computation.day_rows],
        section_rows=[as_dict(row) for row in computation.section_rows],
        monitor_rows=[as_dict(row) for row in computation.monitor_rows],
        change_rows=[as_dict(row) for row in computation.change_rows],
        gauge_rows=[as_dict(row) for row in computation.gauge_rows],
        sha256=returned.sha256,
        program=returned.program,
        template=record.template if record else "",
        public_key=record.public_key if record else "",
        office_key=public_key or "",
        order_given=order_given,
        claim=claimed,
        uncertainty=known,
        saved=returned.saved,
        decisions=(decisions or {}).get(identity, ()),
        material=None
        if material is None
        else material.volume(computation.totals.overall["payable"] or 0.0, order),
    )
