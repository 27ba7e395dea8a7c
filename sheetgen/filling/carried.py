"""Taking a crew's entries over from the book that a revision replaces, each so that it stays what it was.

Every shot and load is computed before and after, by each of the two orders. What a change of the order would turn into
another quantity, result or finding is not taken over: the earlier book then stays the log of that work.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from math import isclose
from pathlib import Path
from typing import TYPE_CHECKING, Any, NamedTuple

from sheetgen.audit.compute.book import Computation, as_dict, compute
from sheetgen.audit.entries.read import entries_of
from sheetgen.audit.model import Entry, Recheck
from sheetgen.audit.rules.check import check_all
from sheetgen.audit.run import recheck_book
from sheetgen.book.changed_order import changes_between
from sheetgen.book.layout import lay_out
from sheetgen.errors import RevisionError
from sheetgen.filling.cells import Place
from sheetgen.filling.orders_of_before import with_orders_of_before
from sheetgen.order.model import Machine, Order
from sheetgen.output import in_full, printable
from sheetgen.templates import Texts, texts
from sheetgen.xlsx.returned import Value, is_number

if TYPE_CHECKING:
    from sheetgen.xlsx.model import Book

_SHOWN = 20  # lines of what stands in the way
# What a change on the road gives to a shot. What follows from it is compared.
_OF_CHANGES = ("changed_mix", "changed_width", "allowed")
# What the revision orders more of is not sprayed yet: nothing that the crew wrote.
_STILL_OPEN = frozenset({"stretch-not-sprayed"})

Raw = dict[Place, Value]


@dataclass(slots=True)
class Carried:
    """What was taken over from a returned book.

    Attributes:
        distributor: whose book it is
        book: code of the earlier book
        before: the earlier order
        entries: for the new book, by place
        counts: how many by tab of the earlier book
        left: what was not taken over, each with its reason
        ordered: how many rows of changes say what was ordered for the shots taken over
    """

    distributor: str
    book: str
    before: Order
    entries: Raw
    counts: dict[str, int] = field(default_factory=dict)
    left: list[str] = field(default_factory=list)
    ordered: int = 0


class CarriedOver(NamedTuple):
    """A revision with what was taken over into its books.

    Attributes:
        order: with the list of what it changes
        books: what was taken over, a book of a distributor each
        told: the same in words, in the order's language
    """

    order: Order
    books: list[Carried]
    told: list[str]


def carry_over(
    order: Order, returned: Sequence[str | Path], issued_as: Callable[[str], Book | None] | None = None
) -> CarriedOver:
    """Take the entries of returned books over into the books of a revision.

    Args:
        order: the revision
        returned: the books that it replaces, as they came back; they are only read
        issued_as: gives a book of an identity as it was issued, where a register knows it

    Raises:
        RevisionError: the order does not replace a book, or an entry would become something else.
        UnusableBook: a file cannot be read as a field book.
    """
    found: dict[str, Carried] = {}
    for path in returned:
        recheck = recheck_book(path, issued_as=issued_as)
        machine = _machine(order, recheck)
        if machine.name in found:
            raise _refused(order, "twice", path=path, distributor=machine.name)
        found[machine.name] = _carried(order, machine, recheck)
    books = list(found.values())
    latest = max(books, key=lambda each: each.before.job.revision, default=None)
    if latest is not None and not order.changed:  # by the register it is known already
        order = order.model_copy(update={"changed": changes_between(latest.before, order)})
    return CarriedOver(order, books, [line for each in books for line in _told(each, order)])


def _told(carried: Carried, order: Order) -> Iterator[str]:
    say = texts(order.language, order.units)
    tabs = ", ".join(f"{tab} {count}" for tab, count in carried.counts.items())
    yield say.say("carry.taken", distributor=carried.distributor, book=carried.book, tabs=tabs,
                  count=sum(carried.counts.values()))  # fmt: skip
    if carried.ordered:
        yield say.say("carry.ordered", rows=carried.ordered, sheet=say["sheet.changes.tab"])
    yield from carried.left


def _machine(order: Order, recheck: Recheck) -> Machine:
    """The distributor of a returned book in the revision."""
    facts = {"path": recheck.path, "job": recheck.order.job.number, "distributor": recheck.machine.name,
             "book": recheck.identity}  # fmt: skip
    if recheck.origin in ("altered", "unknown-version"):
        raise _refused(order, recheck.origin, **facts)
    if recheck.identity not in order.job.replaces or recheck.order.units != order.units:
        raise _refused(order, "not_replaced", **facts)
    machine = next((each for each in order.machines if each.name == recheck.machine.name), None)
    if machine is None:
        raise _refused(order, "no_distributor", **facts)
    return machine


def _carried(order: Order, machine: Machine, recheck: Recheck) -> Carried:
    say = texts(order.language, order.units)
    given = _prefilled(recheck.order, recheck.machine)
    before = {place: each for each in recheck.entries
              if (place := (each.table, each.row, each.column)) not in given or each.raw != given[place]}  # fmt: skip
    raw = _as_typed(before, recheck.order, recheck.machine)
    carried = Carried(machine.name, recheck.identity, recheck.order, {})
    carried.left = list(_without_place(raw, before, lay_out(order, machine), say))
    carried.counts = dict(Counter(before[place].sheet for place in raw))
    old = compute(entries_of(raw, recheck.order, recheck.machine), recheck.order, recheck.machine)
    carried.entries, carried.ordered = with_orders_of_before(raw, old, recheck.order, order, recheck.identity)
    troubles = list(_Comparison(recheck, order, machine, before, raw, carried.entries, old, say).troubles())
    if troubles:
        shown = [f"  {each}" for each in troubles[:_SHOWN]]
        more = [say.say("carry.more", count=len(troubles) - _SHOWN)] if len(troubles) > _SHOWN else []
        head = say.say("carry.refused", path=in_full(recheck.path), book=recheck.identity)
        raise RevisionError("\n".join([head, *shown, *more, say.say("carry.instead", book=recheck.identity)]))
    return carried


def _refused(order: Order, why: str, **facts: object) -> RevisionError:
    say = texts(order.language, order.units)
    shown = {key: in_full(value) for key, value in facts.items()}
    return RevisionError(say.say(f"carry.{why}", next=max(1, order.job.revision), **shown))


def _prefilled(order: Order, machine: Machine) -> Raw:
    """What stands in the single cells of a book when it is issued: no entry of the crew's."""
    book = lay_out(order, machine)
    cells = {sheet.key: sheet.cells for sheet in book.sheets}
    found = {("", 0, key): cells[sheet].get((row, col)) for key, (sheet, row, col) in book.fields.items()}
    return {place: cell.value for place, cell in found.items() if cell is not None and not cell.locked}


def _as_typed(before: Mapping[Place, Entry], order: Order, machine: Machine) -> Raw:
    """What is typed again: what stood in the cell, or its value where that hung on the file it stood in."""
    raw: Raw = {place: each.raw for place, each in before.items() if each.raw is not None}
    for each in entries_of(raw, order, machine):
        place = (each.table, each.row, each.column)
        if (
            place in raw
            and before[place].value is not None
            and not same_value(each.value, before[place].value)
        ):
            raw[place] = before[place].value
    return raw


def _without_place(raw: Raw, before: Mapping[Place, Entry], book: Book, say: Texts) -> Iterator[str]:
    """Take out of ``raw`` what the new book has no cell for, and say so."""
    for place in list(raw):
        table, _, column = place
        log = book.tables.get(table)
        if column not in (book.fields if not table else log.inputs if log else ()):
            each = before[place]
            yield say.say(
                "carry.no_cell", cell=f"{each.sheet}!{each.cell}", value=printable(str(raw.pop(place)), 60)
            )


def same_value(one: Any, other: Any) -> bool:
    """Whether two values are the same but for the dust of binary fractions."""
    if is_number(one) and is_number(other):
        return isclose(one, other, rel_tol=1e-9, abs_tol=1e-9)
    return bool(one == other)


class _Comparison:
    """A book's entries under the earlier order and under the revision."""

    def __init__(
        self, recheck: Recheck, order: Order, machine: Machine, before: Mapping[Place, Entry], raw: Raw,
        entries: Raw, old: Computation, say: Texts,
    ) -> None:  # fmt: skip
        self._before, self._raw, self._say, self._order = before, raw, say, order
        self._old = old, recheck.order, recheck.machine
        self._read = entries_of(entries, order, machine)
        self._new = compute(self._read, order, machine), order, machine
        self._book = lay_out(order, machine)

    def troubles(self) -> Iterator[str]:
        """What would not stay what it was, a line each; what follows from another of them is left out."""
        yield from (
            list(self._too_few_rows())
            or list(self._misread())
            or [*self._other_results(), *self._new_findings()]
        )

    def _too_few_rows(self) -> Iterator[str]:
        used: dict[str, int] = {}
        for table, row, _ in (each for each in (*self._raw, *self._places()) if each[0]):
            used[table] = max(used.get(table, 0), row + 1)
        for table, rows in used.items():
            place = self._book.tables[table]
            room = place.last_row - place.first_row + 1
            if rows > room:
                key = "carry.full" if table == "changes" else "carry.rows"
                yield self._say.say(key, sheet=place.sheet, rows=rows, room=room)

    def _places(self) -> Iterable[Place]:
        return [(each.table, each.row, each.column) for each in self._read if each.raw is not None]

    def _misread(self) -> Iterator[str]:
        """Entries that the revision reads otherwise, such as the name of a section that it does not have."""
        for each in self._read:
            known = self._before.get((each.table, each.row, each.column))
            if known is None or each.table == "changes":
                continue
            if not same_value(known.value, each.value) or known.trouble != each.trouble:
                yield self._say.say("carry.misread", cell=f"{known.sheet}!{known.cell}",
                                    value=printable(str(known.raw), 60), how=each.how.rstrip("."))  # fmt: skip

    def _other_results(self) -> Iterator[str]:
        for table, rows in (("shots", "shot_rows"), ("loads", "load_rows")):
            old, new = (
                {row.row: as_dict(row) for row in getattr(of[0], rows)} for of in (self._old, self._new)
            )
            for number, row in old.items():
                others = new.get(number, {})
                keys = [
                    key for key in row if key not in _OF_CHANGES and not same_value(row[key], others.get(key))
                ]
                if keys:
                    names = ", ".join(self._named(table, key, row[key], others.get(key)) for key in keys[:3])
                    yield self._say.say("carry.result", sheet=self._tab(table), row=number + 1, results=names)
        was, now = (of[0].totals.overall["payable"] for of in (self._old, self._new))
        if not same_value(was, now):
            yield self._say.say("carry.payable", was=_shown(was), now=_shown(now))

    def _named(self, table: str, key: str, was: Any, now: Any) -> str:
        name = self._say.own(f"{table}.{key}", self._order.units)
        return f"{name} {self._words(was)} → {self._words(now)}"

    def _words(self, value: Any) -> str:
        """A result as the book shows it: a number, or a word in its language."""
        word = f"words.{value}"
        return self._say[word] if isinstance(value, str) and word in self._say else _shown(value)

    def _tab(self, table: str) -> str:
        return self._book.tables[table].sheet

    def _new_findings(self) -> Iterator[str]:
        """Findings on the rows taken over that the earlier order did not give."""
        old, new = (self._findings(*of) for of in (self._old, self._new))
        for (name, table, row), count in (new - old).items():
            del count
            title = self._say[f"findings.{name}.title"]
            yield self._say.say("carry.finding", sheet=self._tab(table), row=row + 1, title=title)

    def _findings(
        self, computation: Computation, order: Order, machine: Machine
    ) -> Counter[tuple[str, str, int]]:
        """Errors and queries at the rows of logs; the rows of changes are new in part, and speak of no quantity."""
        logs = self._book.tables.keys() - {"changes"}
        found = (each for each in check_all(computation, (), order, machine) if each.severity != "note")
        return Counter((each.name, each.sheet, each.row) for each in found if each.row is not None
                       and each.sheet in logs and each.name not in _STILL_OPEN)  # fmt: skip


def _shown(value: Any) -> str:
    return "–" if value is None else f"{value:.6g}" if is_number(value) else str(value)
