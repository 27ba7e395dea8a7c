"""Where a returned book comes from, and what its record and signature prove: every case at its name."""

from __future__ import annotations

import base64
import zlib
from functools import cache

import pytest
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey

from sheetgen.audit.proof.origin import origin_of
from sheetgen.book.layout import lay_out
from sheetgen.book.record import MARK, identity, signed_message
from sheetgen.book.version import TEMPLATE_VERSION
from sheetgen.errors import UnusableBook
from sheetgen.signing import public_text, sign
from sheetgen.templates import texts
from sheetgen.xlsx.returned import ReturnedCell
from tests.audit.orders import changed, small
from tests.audit.report_case import as_returned

ORDER = small()
MACHINE = ORDER.machines[0]
# Keys of no office: the seeds are counted, so that every run has the same.
OFFICE, STRANGER = (Ed25519PrivateKey.from_private_bytes(bytes([number] * 32)) for number in (1, 2))
SAY = texts("en")


def signed_by(key):
    return lambda message: (public_text(key), sign(key, message))


@cache
def issued(key=None):
    return lay_out(ORDER, MACHINE, sign=None if key is None else signed_by(key))


def record_of(returned):
    return next(
        sheet for sheet in returned.sheets if sheet.cells.get((0, 0), ReturnedCell(None)).value == MARK
    )


def returned(key=None, **lines):
    """The book as it came back, some lines of its record changed; ``None`` takes the line out."""
    book = as_returned(issued(key))
    cells = record_of(book).cells
    for name, value in lines.items():
        rows = [
            row for (row, col), cell in cells.items() if col == 0 and cell.value == name.replace("_", "-")
        ]
        assert rows, name
        for row in rows:
            if value is None:
                del cells[row, 0], cells[row, 1]
            else:
                cells[row, 1] = cells[row, 1]._replace(value=value)
    return book


def without_record():
    book = as_returned(issued())
    book.sheets.remove(record_of(book))
    return book


def told(origin):
    return origin.status, [each.name for each in origin.findings]


# What is proven


@pytest.mark.parametrize(
    ("key", "counts", "proven"),
    [
        (None, None, ("unsigned", [])),
        (None, OFFICE, ("unsigned", ["book-not-signed"])),
        (OFFICE, None, ("signed", [])),
        (OFFICE, OFFICE, ("issued", [])),
        (STRANGER, OFFICE, ("altered", ["signed-by-another-key"])),
    ],
)
def test_what_a_signature_proves_depends_on_whose_key_counts(key, counts, proven):
    origin = origin_of(returned(key), public_key=None if counts is None else public_text(counts))
    assert told(origin) == proven
    assert (origin.order, origin.machine) == (ORDER, MACHINE)
    assert origin.record.identity == issued(key).identity


def test_the_offices_key_counts_in_capitals_as_well():
    assert origin_of(returned(OFFICE), public_key=public_text(OFFICE).upper()).status == "issued"


def test_a_key_that_is_not_the_offices_is_shown_beside_the_offices():
    (found,) = origin_of(returned(STRANGER), public_key=public_text(OFFICE)).findings
    assert (found.found, found.expected) == (public_text(STRANGER), public_text(OFFICE))
    assert (found.sheet, found.severity) == (issued().sheet("record").name, "error")


def test_a_missing_signature_is_told_in_the_words_of_the_book():
    (found,) = origin_of(returned(), public_key=public_text(OFFICE)).findings
    assert (found.found, found.expected) == ("no signature", "a signature by the office's key")
    assert found.sheet == issued().sheet("record").name


@pytest.mark.parametrize("counts", [None, public_text(OFFICE)], ids=["any key", "the office's key"])
@pytest.mark.parametrize(
    "lines",
    [
        {"signature": "0" * 128},
        {"signature": "not hexadecimal"},
        {"public_key": public_text(STRANGER)},
        {"public_key": None},
        {"machine": "Distributor Z"},  # the order has one distributor: the book is compared with that one's
    ],
    ids=str,
)
def test_a_record_that_its_signature_does_not_fit_is_altered(lines, counts):
    origin = origin_of(returned(OFFICE, **lines), public_key=counts)
    assert told(origin) == ("altered", ["carried-order-altered"])
    (found,) = origin.findings
    assert (found.found, found.expected) == (issued(OFFICE).identity, "the order as it was signed")
    assert found.sheet == issued().sheet("record").name
    assert origin.machine == MACHINE


def test_an_order_changed_under_an_old_signature_is_altered():
    more = changed(ORDER, pay__excess_limit=0.9)
    packed = base64.b64encode(zlib.compress(more.canonical().encode())).decode()
    origin = origin_of(with_order(packed, OFFICE))
    assert told(origin) == ("altered", ["carried-order-altered"])
    assert origin.order == more  # what it is recomputed by; the finding says that it is not what was signed


# The office's own order


def test_the_offices_own_order_counts_and_an_equal_one_carried_is_no_finding():
    origin = origin_of(returned(OFFICE), ORDER, public_text(OFFICE))
    assert (told(origin), origin.order) == (("issued", []), ORDER)


def test_another_order_than_the_carried_one_is_a_finding_and_counts():
    own = changed(ORDER, pay__excess_limit=0.01)
    origin = origin_of(returned(OFFICE), own, public_text(OFFICE))
    assert told(origin) == ("issued", ["carried-order-differs"])
    assert (origin.order, origin.machine) == (own, own.machines[0])
    (found,) = origin.findings
    assert (found.sheet, found.cell) == (issued().sheet("record").name, "B2")
    job, identity = ORDER.job.number, issued(OFFICE).identity
    assert found.found == f"the order of job {job}, for distributor {MACHINE.name} (book {identity})"
    assert found.expected == f"the office's own order, of job {job}"


def test_a_book_of_another_job_is_not_held_against_the_order():
    with pytest.raises(UnusableBook) as caught:
        origin_of(returned(OFFICE), changed(ORDER, job__number="INV-2"), public_text(OFFICE))
    error = caught.value
    assert error.found == f"a book of job {ORDER.job.number}, for distributor {MACHINE.name}"
    assert error.expected == "a book of job INV-2, whose order was given"
    assert "its own job's order, or without --order" in error.remedy


def test_that_finding_stands_behind_what_the_signature_says():
    own = changed(ORDER, pay__excess_limit=0.01)
    assert told(origin_of(returned(), own, public_text(OFFICE))) == (
        "unsigned", ["book-not-signed", "carried-order-differs"]
    )  # fmt: skip


# Versions


def of_another_version(key=None):
    """The book with the record that another version of the program gave it."""
    version = "0.12345678"
    lines = {"template": f"v{version}", "identity": identity(ORDER, MACHINE, version)}
    if key is not None:
        lines["signature"] = sign(key, signed_message(ORDER.canonical(), MACHINE.name, version))
    return returned(key, **lines)


def test_a_book_of_other_templates_is_named_by_both_versions():
    origin = origin_of(of_another_version(OFFICE), public_key=public_text(OFFICE))
    assert told(origin) == ("unknown-version", ["unknown-template-version"])
    assert not origin.known
    (found,) = origin.findings
    assert (found.found, found.expected) == ("0.12345678", TEMPLATE_VERSION)
    assert (found.sheet, found.cell) == (issued().sheet("record").name, "B3")


@pytest.mark.parametrize(
    ("key", "counts", "proven"),
    [
        (None, None, ("unknown-version", ["unknown-template-version"])),
        (None, OFFICE, ("unknown-version", ["book-not-signed", "unknown-template-version"])),
        (OFFICE, None, ("unknown-version", ["unknown-template-version"])),
        (STRANGER, OFFICE, ("altered", ["signed-by-another-key", "unknown-template-version"])),
    ],
)
def test_the_signature_is_judged_whatever_the_version(key, counts, proven):
    assert told(origin_of(of_another_version(key), public_key=counts and public_text(counts))) == proven


def test_a_signature_that_does_not_fit_is_said_beside_the_version():
    book = of_another_version(OFFICE)
    more = changed(ORDER, pay__excess_limit=0.9)
    spoilt = returned(
        OFFICE, template="v0.12345678", identity=identity(more, MACHINE, "0.1"), signature="0" * 128
    )
    assert told(origin_of(spoilt)) == ("altered", ["carried-order-altered", "unknown-template-version"])
    assert told(origin_of(book, any_version=True)) == ("signed", [])


@pytest.mark.parametrize("key", [None, OFFICE], ids=["unsigned", "signed"])
def test_a_changed_line_of_the_version_does_not_make_the_book_one_of_another_version(key):
    origin = origin_of(returned(key, template="v0.12345678"))
    assert origin.known
    assert told(origin) == (("unsigned", []) if key is None else ("altered", ["carried-order-altered"]))


def test_a_signed_book_is_known_again_though_version_and_identity_were_changed():
    spoilt = returned(OFFICE, template="v0.12345678", identity="0000-0000-0000")
    origin = origin_of(spoilt, public_key=public_text(OFFICE))
    assert (origin.known, told(origin)) == (True, ("altered", ["carried-order-altered"]))


# Records that cannot be read


def with_order(packed, key=None):
    """The book with another text in its lines of the order: all of it in the first, the others taken out."""
    book = as_returned(issued(key))
    cells = record_of(book).cells
    first, *others = [row for (row, col), cell in cells.items() if col == 0 and cell.value == "order"]
    cells[first, 1] = cells[first, 1]._replace(value=f"B{packed}")
    for row in others:
        del cells[row, 0], cells[row, 1]
    return book


def packed(text):
    return base64.b64encode(zlib.compress(text.encode())).decode()


UNREADABLE = {
    "no identity": (lambda: returned(identity=None), "no line 'identity'"),
    "no version": (lambda: returned(template=None), "no line 'template'"),
    "no distributor": (lambda: returned(machine=None), "no line 'machine'"),
    "no order": (lambda: returned(order=None), "no line 'order'"),
    "an order of other letters": (lambda: with_order("????"), "the lines 'order' are damaged"),
    "an order that was not packed": (lambda: with_order("QUJDRA=="), "the lines 'order' are damaged"),
    "an order cut short": (
        lambda: with_order(base64.b64encode(zlib.compress(ORDER.canonical().encode())[:-9]).decode()),
        "the lines 'order' are cut short or too long",
    ),
    "an order without end": (
        lambda: with_order(packed(" " * 4_000_001)), "the lines 'order' are cut short or too long"
    ),
    "no text": (
        lambda: with_order(base64.b64encode(zlib.compress(b"\xff\xfe")).decode()),
        "the lines 'order' are damaged",
    ),
    "no order in it": (
        lambda: with_order(packed('{"job": 1}')), "the carried order is not one that this version understands"
    ),
}  # fmt: skip


@pytest.mark.parametrize(("make", "why"), UNREADABLE.values(), ids=UNREADABLE)
def test_a_record_that_cannot_be_read_is_said_with_its_reason(make, why):
    book = make()
    with pytest.raises(UnusableBook) as caught:
        origin_of(book)
    assert str(caught.value) == (
        f"{book.path}: found a workbook whose record cannot be read ({why}); expected a field book made by this "
        "program, with its record sheet. Ask for the file as the crew saved it. A recheck can take the office's "
        "own order: --order."
    )


@pytest.mark.parametrize(("make", "why"), UNREADABLE.values(), ids=UNREADABLE)
def test_with_the_offices_own_order_it_is_a_finding_and_the_book_is_rechecked(make, why):
    origin = origin_of(make(), ORDER, public_text(OFFICE))
    assert told(origin) == ("altered", ["record-unreadable"])
    assert (origin.order, origin.machine, origin.record) == (ORDER, MACHINE, None)
    (found,) = origin.findings
    assert (found.found, found.expected, found.severity) == (why, SAY["origin.record"], "error")


def test_the_reason_is_told_in_the_language_of_the_offices_order():
    (found,) = origin_of(returned(template=None), changed(ORDER, language="es"), None).findings
    assert (found.name, found.found) == ("record-unreadable", "falta la línea 'template'")


def test_a_workbook_without_record_is_no_field_book():
    with pytest.raises(UnusableBook, match="found a workbook that carries no order; expected a field book"):
        origin_of(without_record())


@pytest.mark.parametrize("lang", ["en", "es"])
def test_with_the_offices_own_order_a_missing_record_is_a_finding_in_its_language(lang):
    own = small(lang=lang)
    origin = origin_of(without_record(), own)
    assert told(origin) == ("altered", ["record-unreadable"])
    (found,) = origin.findings
    assert (found.found, found.expected) == (texts(lang)["origin.no_record"], texts(lang)["origin.record"])
    assert (found.sheet, found.cell) == ("", "")


def test_what_a_person_wrote_beside_the_record_is_not_read_as_a_part_of_it():
    book = returned(OFFICE)
    cells = record_of(book).cells
    last = max(row for row, _col in cells)
    cells[last + 1, 0] = ReturnedCell("identity")  # a word without a value
    cells[last + 2, 1] = ReturnedCell("a value without a word")
    cells[last + 3, 0], cells[last + 3, 1] = ReturnedCell(7.0), ReturnedCell("a number for a word")
    cells[last + 4, 5] = ReturnedCell("a note in another column")
    assert told(origin_of(book, public_key=public_text(OFFICE))) == ("issued", [])


def test_a_sheet_of_the_crews_own_before_the_record_is_passed_over():
    book = returned(OFFICE)
    notes = as_returned(issued()).sheets[0]
    notes.cells = {(0, 0): ReturnedCell("field book record"), (1, 0): ReturnedCell("identity")}
    book.sheets.insert(0, notes)
    assert told(origin_of(book, public_key=public_text(OFFICE))) == ("issued", [])


# Distributors


def two_machines():
    data = ORDER.model_dump(mode="json")
    second = data["machines"][0] | {"name": "Distributor Z"}
    return changed(ORDER, machines=[*data["machines"], second])


@pytest.mark.parametrize("number", [0, 1])
def test_of_several_distributors_the_one_that_the_book_names_counts(number):
    order = two_machines()
    book = as_returned(lay_out(order, order.machines[number]))
    assert origin_of(book).machine == order.machines[number]
    assert origin_of(book, order).machine == order.machines[number]


def test_a_distributor_that_is_not_in_the_offices_order_cannot_be_told_from_several():
    own = changed(two_machines(), machines=[
        each | {"name": name}
        for each, name in zip(two_machines().model_dump(mode="json")["machines"], ("X", "Y"), strict=True)
    ])  # fmt: skip
    with pytest.raises(UnusableBook) as caught:
        origin_of(returned(), own)
    assert f"found a book for distributor {MACHINE.name!r}; expected one of X, Y." in str(caught.value)
    assert "Give the order that this book was made from." in str(caught.value)
    with pytest.raises(UnusableBook, match="found a book for distributor ''"):
        origin_of(without_record(), own)


def test_the_one_distributor_of_the_offices_order_is_taken_whatever_the_book_says():
    assert origin_of(returned(machine="Distributor Z"), ORDER).machine == MACHINE
