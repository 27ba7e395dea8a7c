"""Work on an order: its mistakes with a copy in which they are marked, or the plan and the field books."""

from __future__ import annotations

import datetime as dt
from contextlib import ExitStack
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

from sheetgen.errors import Mistake, OrderError, ReportInTheWay, SheetgenError
from sheetgen.templates import texts

if TYPE_CHECKING:
    from collections.abc import Sequence

    from sheetgen.order.model import Order
    from sheetgen.plan.model import Plan
    from sheetgen.register.revisions import Revised
    from sheetgen.xlsx.drawing import Entries


@dataclass(frozen=True, slots=True)
class Picture:
    """A picture of a plan, and what it shows in words."""

    path: Path
    words: str


class Issued(NamedTuple):
    """The books of an order, and what the register says of them.

    Attributes:
        order: as the books carry it
        books: their files, by distributor
        told: what a revision changes and what the register does not know, in the order's language
    """

    order: Order
    books: list[Path]
    told: list[str]


@dataclass(frozen=True, slots=True)
class OrderWork:
    """What became of an order.

    Attributes:
        language: the order's, as far as it can be known
        job: number and name
        mistakes: all of them; no book is built while there is one
        marked: the copy of the order with a note at each mistake; None where there is none
        answer: the plan's answer for each distributor: a heading, then lines of names and values
        warnings: what a revision changes, and what the plan warns of
        plan: the whole plan as text
        page: the plan as a workbook, its answer on the first page; None where another file is in its way
        pictures: of the shots along the road, one for each distributor
        books: the field books
        yard: whether it is no order but a yard, of which no book is built
        error: why no book was built though the order has no mistake; empty where they were built
    """

    language: str
    job: tuple[str, str] = ("", "")
    mistakes: tuple[Mistake, ...] = ()
    marked: Path | None = None
    answer: tuple[tuple[str, ...], ...] = ()
    warnings: tuple[str, ...] = ()
    plan: str = ""
    page: Path | None = None
    pictures: tuple[Picture, ...] = ()
    books: tuple[Path, ...] = ()
    yard: bool = False
    error: str = field(default="")


def issue(
    order: Order, out_dir: Path, key: Path | None, register: str | None, returned: Sequence[Path] = ()
) -> Issued:
    """Build the books of an order, and record them in the register where one is named.

    Args:
        returned: books that the order replaces, whose entries go into the new ones

    Raises:
        RevisionError: by the register, another book is out for the same job and distributor; or entries of a returned
            book would not stay what they were.
        SheetgenError: they cannot be built or recorded.
    """
    from sheetgen.api import signer
    from sheetgen.book.build import build_books

    with ExitStack() as stack:
        kept, told = None, []
        if register is not None:  # before a book is written: one that is issued must be known to it
            from sheetgen.register.register import open_register
            from sheetgen.register.revisions import revised

            kept = stack.enter_context(open_register(register))
            made = revised(order, kept)
            order, told = made.order, [*made.notices, *_changes(made)]
        entries: dict[str, Entries] = {}
        if returned:
            from sheetgen.batch.task import IssuedAs
            from sheetgen.filling.carried import carry_over

            carried = carry_over(order, returned, None if register is None else IssuedAs(register))
            order, told = carried.order, [*told, *carried.told]
            entries = {each.distributor: each.entries for each in carried.books}
        books = build_books(order, out_dir, signer(key), entries)
        if kept is not None:
            for machine in order.machines:
                kept.record_issue(order, machine, key)
    return Issued(order, books, told)


def unsigned(key: Path | None, language: str) -> list[str]:
    """Say that books without a key prove nothing of where they come from; nothing where there is one."""
    return [] if key is not None else [texts(language)["office.unsigned"]]


def _changes(made: Revised) -> list[str]:
    """What a revision changes, a line each; nothing for a first issue."""
    from sheetgen.book.revision_sheet import change_lines

    order, before = made.order, made.before
    if before is None:
        return []
    say = texts(order.language, order.units)
    head = say.say("revised.changes", book=before.identity, count=len(order.changed))
    return [head, *change_lines(order.changed, say, order.units)]


def work_on_order(
    path: Path, out_dir: Path, key: Path | None = None, register: str | None = None, pictures: bool = True,
    yard: str = "", second_language: str = "",
) -> OrderWork:  # fmt: skip
    """Check an order, plan it and build its books into a folder.

    Args:
        path: the order; it is only read
        out_dir: made where it is missing; the marked copy, the pictures and the books go there
        key: the office's signing key
        register: a file or the address of a database
        pictures: whether to draw them, where the library that draws is installed
        yard: the yard workbook that an order's copy is compared with; none where it is empty
        second_language: of the books' forms on paper; the order's where it is empty
    """
    from sheetgen.office.yard_since import said_since
    from sheetgen.order.read import read_order
    from sheetgen.plan.workable import warnings_of, workable_plan
    from sheetgen.plan_page.workbook import write_plan

    try:
        order = read_order(path)
        made = workable_plan(order)
    except OrderError as error:
        return _mistaken(path, out_dir, error)
    books: list[Path] = []
    told: list[str] = []
    trouble = in_the_way = ""
    page: Path | None = None
    try:
        page = write_plan(order, made, out_dir / "plan")
    except ReportInTheWay as error:  # a plan that somebody changed keeps no book from being built
        in_the_way = str(error)
    try:
        _, books, told = issue(order.in_language("", second_language), out_dir, key, register)
    except SheetgenError as error:
        trouble = str(error)
    return OrderWork(
        order.language,
        (order.job.number, order.job.name),
        answer=_answer(made, order.language),
        warnings=(
            *told,
            *said_since(path, order, yard),
            *filter(None, [in_the_way]),
            *warnings_of(made, order.language),
            *unsigned(key, order.language),
        ),
        plan=_plan_text(made, order.language),
        page=page,
        pictures=_pictures(made, order.language, out_dir / "plan") if pictures else (),
        books=tuple(books),
        error=trouble,
    )


def work_on_yard(path: Path, out_dir: Path, day: dt.date | None = None) -> OrderWork:
    """Check a yard workbook: its mistakes, with a copy in which they are marked, or what is to be looked at.

    Args:
        path: the yard; it is only read
        out_dir: made where it is missing; the marked copy goes there
        day: on which certificates and calibrations must hold; today where it is not given
    """
    from sheetgen.yard.read import read_yard, yard_warnings

    try:
        yard = read_yard(path)
    except OrderError as error:
        return replace(_mistaken(path, out_dir, error), yard=True)
    say = texts(yard.language, yard.units)
    facts = {"machines": len(yard.machines), "materials": len(yard.materials)}
    told = [each.told(say) for each in yard_warnings(yard, day or dt.date.today())]
    return OrderWork(
        yard.language, (say.say("office.yard_has", **facts), ""), warnings=tuple(told), yard=True
    )


def _mistaken(path: Path, out_dir: Path, error: OrderError) -> OrderWork:
    from sheetgen.office.marked_order import write_marked

    marked = write_marked(path, error, out_dir)
    return OrderWork(error.language, mistakes=error.mistakes, marked=marked)


def _answer(made: Plan, language: str) -> tuple[tuple[str, ...], ...]:
    from sheetgen.plan.answer import answers
    from sheetgen.plan.figures import Figures

    lines = answers(made, Figures(made.units, language))
    return (tuple(lines.heads), *(tuple(row) for row in lines.rows))


def _plan_text(made: Plan, language: str) -> str:
    from sheetgen.plan import plan_text

    return plan_text(made, language)


def _pictures(made: Plan, language: str, folder: Path) -> tuple[Picture, ...]:
    """The shots along the road; none where no picture can be drawn here: the text says the same."""
    from importlib.util import find_spec

    if find_spec("matplotlib") is None:
        return ()
    from sheetgen.plan.figures import Figures
    from sheetgen.plan.pictures import alternative, draw_pictures

    figures = Figures(made.units, language)
    drawn = [path for path in draw_pictures(made, folder, language) if path.name.endswith("_strip.png")]
    return tuple(
        Picture(path, alternative("strip", made, machine, figures))
        for path, machine in zip(drawn, made.machines, strict=True)
    )
