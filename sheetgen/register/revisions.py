"""An order and the books that were issued for the same job and distributors: is it a revision, and of what?

Two books of one job and distributor that differ are two logs of one work: one shot could be written, and paid, in
both. So a changed order is issued only where it names what it replaces.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from sheetgen.book.changed_order import changes_between, without_changes
from sheetgen.errors import RevisionError
from sheetgen.order.model import Order
from sheetgen.register.register import Register
from sheetgen.register.trail import IssuedBook
from sheetgen.templates import texts


class Revised(NamedTuple):
    """An order as it is issued.

    Attributes:
        order: with the list of what it changes
        before: the book whose order it is compared with; None for a first issue
        notices: what else the register knows, in the order's language
    """

    order: Order
    before: IssuedBook | None = None
    notices: tuple[str, ...] = ()


class _Known(NamedTuple):
    """A book that was issued, and its order; None where this program cannot read it."""

    book: IssuedBook
    order: Order | None

    @property
    def revision(self) -> int:
        return self.order.job.revision if self.order else 0

    @property
    def replaces(self) -> tuple[str, ...]:
        return self.order.job.replaces if self.order else ()


def revised(order: Order, register: Register) -> Revised:
    """Hold an order against the books of its job, and give it with the list of what it changes.

    The very order that was issued before is no revision: it is given as it was issued.

    Raises:
        RevisionError: another book is out for the same job and distributor, and the order does not replace it.
    """
    known = [_Known(book, Order.readable(book.canonical)) for book in register.issued_for(order.job.number)]
    again = next((each for each in known if each.order and without_changes(each.order) == order), None)
    if again and again.order:
        return Revised(again.order, notices=_out_of_use(order, again, known))
    _refuse(order, known)
    replaced = [each for each in known if each.book.identity in order.job.replaces]
    unknown = set(order.job.replaces) - {each.book.identity for each in replaced}
    say = texts(order.language)
    notices = tuple(say.say("revised.unknown", book=code, job=order.job.number, register=register.name)
                    for code in order.job.replaces if code in unknown)  # fmt: skip
    before = max((each for each in replaced if each.order), key=lambda each: each.revision, default=None)
    if before is None or before.order is None:
        return Revised(order, notices=notices)
    changed = changes_between(before.order, order)
    return Revised(order.model_copy(update={"changed": changed}), before.book, notices)


def _refuse(order: Order, known: Sequence[_Known]) -> None:
    lines = [line for machine in order.machines
             if (line := _trouble(order, machine.name, _of(machine.name, known), known))]  # fmt: skip
    if lines:
        raise RevisionError("\n".join(lines))


def _of(machine: str, known: Sequence[_Known]) -> list[_Known]:
    return [each for each in known if each.book.machine.casefold() == machine.casefold()]


def _trouble(order: Order, machine: str, own: Sequence[_Known], known: Sequence[_Known]) -> str:
    """Why no book can be issued for a distributor; empty where one can."""
    gone = {code for each in known for code in each.replaces}
    out = [each for each in own if each.book.identity not in gone]
    # The same order issued again by a newer program is one book under two codes: either code names it.
    missing = [each for each in out if not any(_alike(each, other) and other.book.identity in order.job.replaces
                                               for other in own)]  # fmt: skip
    last = max((each.revision for each in own), default=-1)
    if not missing and (not own or order.job.revision > last):
        return ""
    say = texts(order.language)
    valid = [code for code in order.job.replaces if code not in gone]
    codes = dict.fromkeys([*valid, *(each.book.identity for each in missing or out)])
    latest = (missing or out or own)[-1]
    typed = say.say("revised.later" if order.job.revision else "revised.first",
                    found=order.job.revision, replaces="; ".join(order.job.replaces))  # fmt: skip
    return say.say(
        "revised.not_one", distributor=machine, job=order.job.number, book=latest.book.identity,
        issued=latest.book.issued.replace("T", " ").replace("Z", " UTC"), typed=typed, next=last + 1,
        codes="; ".join(codes),
    )  # fmt: skip


def _alike(one: _Known, other: _Known) -> bool:
    if one.order is None or other.order is None:
        return one.book.identity == other.book.identity
    return without_changes(one.order) == without_changes(other.order)


def _out_of_use(order: Order, again: _Known, known: Sequence[_Known]) -> tuple[str, ...]:
    """That an order is built again which a later one has replaced."""
    alike = {each.book.identity for each in known if _alike(each, again)}
    later = next((each for each in known if alike & set(each.replaces)), None)
    if later is None:
        return ()
    say = texts(order.language)
    facts = {"book": again.book.identity, "number": later.revision, "later": later.book.identity}
    return (say.say("revised.out_of_use", **facts),)
