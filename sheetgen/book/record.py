"""The order that a book carries in its own cells, and the proof that goes with it.

The record survives re-saves because it stands in plain cells: A1 holds :data:`MARK`, then one row a line, the key in
column A and the value in column B. The order is zlib-compressed canonical JSON in base64, cut into lines that begin
with "B" so that no program takes one for a number or a formula.
"""

from __future__ import annotations

import base64
import hashlib
import zlib
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from sheetgen import templates
from sheetgen.book.canvas import Canvas
from sheetgen.book.version import TEMPLATE_VERSION
from sheetgen.order.model import Machine, Order
from sheetgen.xlsx.model import Sheet
from sheetgen.xlsx.page import page

MARK = "field book record 1"
_LINE = 96
_LIMIT = 4_000_000


class RecordError(ValueError):
    """A record that cannot be read, and which part of it; worded by the texts below ``origin.unreadable``."""

    def __init__(self, why: str, **facts: str) -> None:
        super().__init__(why, facts)
        self.why, self.facts = why, facts

    def told(self, language: templates.Language = "en") -> str:
        """The reason in a language."""
        return templates.texts(language).say(f"origin.unreadable.{self.why}", **self.facts)

    def __str__(self) -> str:
        return self.told()


@dataclass(frozen=True, slots=True)
class Record:
    """What a book says of itself.

    Attributes:
        identity: as printed on every page
        template: the version of the templates it was made with
        machine: name of the distributor it is for
        order: the order, read from the canonical text
        canonical: the order's canonical text, as carried
        public_key, signature: hexadecimal, empty where the book is unsigned
    """

    identity: str
    template: str
    machine: str
    order: Order
    canonical: str
    public_key: str
    signature: str

    @property
    def message(self) -> bytes:
        """The bytes that the signature signs."""
        return signed_message(self.canonical, self.machine, self.template)


def signed_message(canonical: str, machine: str, template: str) -> bytes:
    """What is signed, and what the identity is made from: mark, template version, distributor, order."""
    return "\n".join((MARK, template, machine, canonical)).encode()


def identity(order: Order, machine: Machine, template: str = TEMPLATE_VERSION) -> str:
    """The printed identity of a book, twelve hexadecimal digits of the SHA-256 of what is signed."""
    return _printed(signed_message(order.canonical(), machine.name, template))


def _printed(message: bytes) -> str:
    digest = hashlib.sha256(message).hexdigest().upper()
    return f"{digest[:4]}-{digest[4:8]}-{digest[8:12]}"


def known_version(record: Record) -> bool:
    """Whether a book was made by the templates of this program, whatever its line of the version says now.

    A line that was changed is told from a book of another version by what was made with it: the identity, and the
    signature where there is one.
    """
    if record.template == TEMPLATE_VERSION:
        return True
    message = signed_message(record.canonical, record.machine, TEMPLATE_VERSION)
    if record.identity == _printed(message):
        return True
    from sheetgen.signing import verify

    return bool(record.signature) and verify(record.public_key, message, record.signature)


def lines(order: Order, machine: Machine, public_key: str, signature: str) -> list[tuple[str, str]]:
    """The record's rows, key and value."""
    packed = base64.b64encode(zlib.compress(order.canonical().encode(), 9)).decode()
    cut = [packed[start : start + _LINE] for start in range(0, len(packed), _LINE)]
    return [
        ("identity", identity(order, machine)),
        ("template", f"v{TEMPLATE_VERSION}"),
        ("machine", machine.name),
        *_revision(order),
        *(("order", f"B{line}") for line in cut),
        ("public-key", public_key or "none"),
        ("signature", signature or "none"),
    ]


def _revision(order: Order) -> list[tuple[str, str]]:
    """What the carried order says of itself, to be read by a person; nothing for a first issue."""
    if not order.job.revision:
        return []
    return [("revision", f"{order.job.revision}"), ("replaces", "; ".join(order.job.replaces))]


def read(rows: Sequence[tuple[str, str]]) -> Record:
    """The record from its rows.

    Raises:
        RecordError: a part is missing or unreadable; nothing is guessed.
    """
    single = {key: value for key, value in rows if key != "order"}
    for key in ("identity", "template", "machine"):
        if key not in single:
            raise RecordError("no-line", line=key)
    canonical = _unpacked(value for key, value in rows if key == "order")
    try:
        order = Order.from_canonical(canonical)
    except ValueError as error:
        raise RecordError("unknown-order") from error
    proof = {
        key: "" if single.get(key, "none") == "none" else single[key] for key in ("public-key", "signature")
    }
    return Record(
        identity=single["identity"],
        template=single["template"].removeprefix("v"),
        machine=single["machine"],
        order=order,
        canonical=canonical,
        public_key=proof["public-key"],
        signature=proof["signature"],
    )


def _unpacked(parts: Iterable[str]) -> str:
    packed = "".join(part.removeprefix("B") for part in parts)
    if not packed:
        raise RecordError("no-line", line="order")
    unpacker = zlib.decompressobj()
    try:
        text = unpacker.decompress(base64.b64decode(packed, validate=True), _LIMIT).decode()
    except (ValueError, zlib.error) as error:
        raise RecordError("damaged", line="order") from error
    if unpacker.unconsumed_tail or not unpacker.eof:
        raise RecordError("cut-short", line="order")
    return text


def draw_record(canvas: Canvas, public_key: str, signature: str) -> Sheet:
    """The sheet that carries the record."""
    sheet = canvas.sheet("record")
    canvas.put(sheet, 0, 0, MARK, "group")
    canvas.put(sheet, 0, 1, canvas.say["record.note"], "note")
    for index, (key, value) in enumerate(lines(canvas.order, canvas.machine, public_key, signature), start=1):
        canvas.put(sheet, index, 0, key, "code")
        canvas.put(sheet, index, 1, value, "code")
    sheet.column_widths |= {0: 24, 1: 96}
    sheet.row_heights[0] = 44
    page(canvas, sheet, "portrait")
    return sheet
