"""Where a returned book comes from: the order it carries, and what its signature proves.

What can be proven, from strongest to weakest:

    issued           the signature is the office's own and fits what the book carries
    signed           a signature fits the carried order, but it was not said whose key counts
    unsigned         there is no signature: the book is compared with the order it carries, or with the office's own
    altered          there is a signature and it does not fit what the book carries
    unknown-version  the book was made by templates that this version of the program does not know; a signature in
                     it fits, and is the office's where a key was given
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from sheetgen.audit.findings import finding
from sheetgen.audit.model import Finding
from sheetgen.book.record import MARK, Record, RecordError, known_version, read
from sheetgen.book.version import TEMPLATE_VERSION
from sheetgen.errors import UnusableBook
from sheetgen.order.model import Machine, Order
from sheetgen.templates import texts
from sheetgen.xlsx.returned import ReturnedBook, ReturnedSheet
from sheetgen.xlsx.unusable import unusable


@dataclass(frozen=True, slots=True)
class Origin:
    """The order and distributor that a returned book is to be compared with, and what is proven of them.

    Attributes:
        status: one of the five above
        known: whether the book can be laid out again as it was issued
        order, machine: what to rebuild the book from
        record: what the book carries, None where it cannot be read and the office's own order was given
        findings: what the record itself gives to act on
    """

    status: str
    order: Order
    machine: Machine
    record: Record | None
    findings: tuple[Finding, ...]
    known: bool = True


def origin_of(
    returned: ReturnedBook,
    order: Order | None = None,
    public_key: str | None = None,
    any_version: bool = False,
    language: str = "",
) -> Origin:
    """Find the carried order and judge it.

    Args:
        returned: the book as it came back
        order: the office's own copy of the order, which then counts instead of the carried one
        public_key: the office's public key, hexadecimal; None where any key's signature is to be shown
        any_version: whether a book of other templates counts, because what was issued is known otherwise
        language: of the findings; the order's where it is empty

    Raises:
        UnusableBook: there is no record and no order was given, the order given is of another job, or the
            distributor cannot be told.
    """
    sheet = next((sheet for sheet in returned.sheets if _marked(sheet)), None)
    if sheet is None:
        return _without_record(returned, order, language)
    try:
        record = read(list(_rows(sheet)))
    except RecordError as error:
        return _without_record(returned, order, language, error)
    if order is not None and record.order.job.number != order.job.number:
        raise _of_another_job(returned, record, order)
    known = any_version or known_version(record)
    status, found = _status(record, sheet, public_key, known, language)
    counted = record.order if order is None else _as_issued(order, record.order)
    if order is not None and counted.canonical() != record.canonical:
        say = texts(language or order.language, order.units)
        found.append(
            finding(
                "carried-order-differs",
                sheet=sheet.name,
                cell="B2",
                found=say.say(
                    "origin.carried_order",
                    job=record.order.job.number,
                    distributor=record.machine,
                    identity=record.identity,
                ),
                expected=say.say("origin.own_order", job=order.job.number),
            )
        )
    return Origin(status, counted, _machine(returned, counted, record.machine), record, tuple(found), known)


def _as_issued(order: Order, carried: Order) -> Order:
    """The office's own order as a book was issued from it: in another language maybe, its changes marked."""
    return order.in_language(carried.language, carried.second_language).model_copy(
        update={"changed": carried.changed}
    )


def _of_another_job(returned: ReturnedBook, record: Record, order: Order) -> UnusableBook:
    """Held against an order of another job, every cell of a sound book would be wrong."""
    facts = {"job": record.order.job.number, "distributor": record.machine, "own": order.job.number}
    return unusable(returned.path, "another-job", "job", **facts)


def _marked(sheet: ReturnedSheet) -> bool:
    cell = sheet.cells.get((0, 0))
    return cell is not None and cell.value == MARK


def _rows(sheet: ReturnedSheet) -> Iterator[tuple[str, str]]:
    last = max((row for row, _col in sheet.cells), default=0)
    for row in range(1, last + 1):
        key, value = sheet.cells.get((row, 0)), sheet.cells.get((row, 1))
        if key is not None and value is not None and isinstance(key.value, str):
            yield key.value, str(value.value)


def _status(
    record: Record, sheet: ReturnedSheet, public_key: str | None, known: bool, language: str
) -> tuple[str, list[Finding]]:
    """What is proven. The signature comes first: it is verified whatever else the record says or lacks."""
    status, found = _signed(record, sheet, public_key, language or record.order.language)
    if not known:
        version = {"found": record.template, "expected": TEMPLATE_VERSION}
        found.append(finding("unknown-template-version", sheet=sheet.name, cell="B3", **version))
        status = status if status == "altered" else "unknown-version"
    return status, found


def _signed(
    record: Record, sheet: ReturnedSheet, public_key: str | None, language: str
) -> tuple[str, list[Finding]]:
    say = texts(language, record.order.units)
    if not record.signature:
        if public_key is None:
            return "unsigned", []
        return "unsigned", [finding("book-not-signed", sheet=sheet.name, found=say["origin.no_signature"],
                                    expected=say["origin.office_signature"])]  # fmt: skip
    from sheetgen.signing import verify

    if not verify(record.public_key, record.message, record.signature):
        return "altered", [finding("carried-order-altered", sheet=sheet.name, found=record.identity,
                                   expected=say["origin.as_signed"])]  # fmt: skip
    if public_key is None:
        return "signed", []
    if record.public_key.lower() != public_key.lower():
        return "altered", [finding("signed-by-another-key", sheet=sheet.name, found=record.public_key,
                                   expected=public_key)]  # fmt: skip
    return "issued", []


def _without_record(
    returned: ReturnedBook, order: Order | None, language: str, error: RecordError | None = None
) -> Origin:
    if order is None and error is None:
        raise unusable(returned.path, "no-order", "record")
    if order is None:
        raise unusable(returned.path, "record", "record", reason=error)
    language = language or order.language
    say = texts(language, order.units)
    missing = finding(
        "record-unreadable",
        found=error.told(language) if error else say["origin.no_record"],
        expected=say["origin.record"],
    )
    return Origin("altered", order, _machine(returned, order, ""), None, (missing,))


def _machine(returned: ReturnedBook, order: Order, name: str) -> Machine:
    by_name = {machine.name: machine for machine in order.machines}
    if name in by_name:
        return by_name[name]
    if len(by_name) == 1:
        return order.machines[0]
    raise unusable(returned.path, "distributor", "distributors", name=name, known=", ".join(by_name))
