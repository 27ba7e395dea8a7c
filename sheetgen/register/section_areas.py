"""The area of each section in all books of one order together: what several distributors sprayed is paid once.

Stretches of a lane that lie over each other in two books are found by :mod:`sheetgen.register.clashes`, by their
stations; their areas are left out of the sum here, so that a book that came twice is asked about once. What has no
stations, such as hand spray, shows in the sum of the areas alone.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Mapping
from itertools import groupby
from typing import Any, NamedTuple

import sqlalchemy as sa

from sheetgen.order.model import Order, Section
from sheetgen.plausibility import plausibility
from sheetgen.register.clashes import Clash
from sheetgen.register.summary import Stretch
from sheetgen.register.tables import known_orders, returned_books
from sheetgen.units import constants


class Beyond(NamedTuple):
    """A section of which the books of one order hold more area than was ordered, and more than any of them alone.

    Attributes:
        later: the row of ``returned_books`` that brings the sum beyond it, with the columns of the table
        others: the rows of the other books with an area in the section
        section: as ordered
        area, ordered: [area] of all books together, and as ordered
        excess: [area] that the later one holds of what is beyond
        stake: [volume] of its payable quantity on that; 0 where stretches of lanes show it
    """

    later: sa.Row[Any]
    others: tuple[sa.Row[Any], ...]
    section: Section
    area: float
    ordered: float
    excess: float
    stake: float


Named = Mapping[tuple[int, str], float]  # areas by return and section


def areas_in_two_books(clashes: Iterable[Clash[Stretch]]) -> Named:
    """Add up the areas of the later shots that lie over those of another book, by return and section."""
    named: dict[tuple[int, str], float] = {}
    for clash in clashes:
        source, row = clash.later.source, clash.later.row
        area = clash.common * row.width / constants(source.units)["area_divisor"]
        place = source.return_id, row.section
        named[place] = named.get(place, 0.0) + area
    return named


def sections_beyond_order(
    connection: sa.Connection, among: frozenset[int] | None, named: Named
) -> Iterator[Beyond]:
    """Find them in the current returns of orders that several books came back of, for the returns ``among`` them.

    Areas that are ``named`` already, because they lie over those of another book, are not in the sum.
    """
    books, orders = returned_books.c, known_orders.c
    current = books.superseded_by.is_(None)
    several = (
        sa.select(books.order).where(current).group_by(books.order)
        .having(sa.func.count(sa.distinct(books.book)) > 1)
    )  # fmt: skip
    query = (
        sa.select(returned_books, orders.canonical)
        .join(known_orders, orders.digest == books.order)
        .where(current, books.order.in_(several))
        .order_by(books.order, books.id)
    )
    rows = connection.execute(query, execution_options={"yield_per": 100})
    for _, group in groupby(rows, key=lambda row: row.order):
        returns = list(group)
        if among is None or any(row.id in among for row in returns):
            yield from _of_order(returns, named)


def _of_order(returns: list[sa.Row[Any]], named: Named) -> Iterator[Beyond]:
    from sheetgen.audit.compute.pay import ordered_area  # takes the arithmetic with it

    order = Order.readable(returns[0].canonical)
    if order is None:
        return  # of another version: nothing is known of its sections
    totals = [(row, json.loads(row.totals)["sections"]) for row in returns]
    most = 1 + plausibility()["section_area_share"]
    for section in order.sections:
        known = [(row, found[section.id]) for row, found in totals if section.id in found]
        held = [(row, found) for row, found in known if (found.get("area") or 0.0) > 0]
        ordered = ordered_area(section, order)
        area = sum(found["area"] - named.get((row.id, section.id), 0.0) for row, found in held)
        alone = max((found["area"] for _, found in held), default=0.0)
        if area > most * ordered and area > alone:
            later, mine = held[-1]
            excess = min(mine["area"], area - max(ordered, alone))
            stake = (mine.get("payable") or 0.0) * excess / mine["area"] if section.hand_spray else 0.0
            others = tuple(row for row, _ in held[:-1])
            yield Beyond(later, others, section, area, ordered, excess, stake)
