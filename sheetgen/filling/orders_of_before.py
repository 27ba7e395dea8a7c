"""What was ordered for shots sprayed before a revision, as rows of the sheet of changes on the road.

Where the revision has another rate or width for a section that was begun, two rows go in: from the first shot what the
earlier order said, and from the next free shot what the revision says. Book and recheck then hold each shot against
what was ordered when it was sprayed. What the crew wrote on that sheet stays between them.
"""

from __future__ import annotations

from collections.abc import Iterator

from sheetgen.audit.compute.book import Computation
from sheetgen.audit.compute.changes import ChangeRow
from sheetgen.filling.cells import Place
from sheetgen.order.model import Order, Section
from sheetgen.templates import texts
from sheetgen.trade.basis import mix_rate
from sheetgen.xlsx.returned import Value

_TABLE = "changes"

Row = dict[str, Value]


def with_orders_of_before(
    raw: dict[Place, Value], old: Computation, before: Order, after: Order, book: str
) -> tuple[dict[Place, Value], int]:
    """Give entries with the rows of changes that keep their shots what they were, and how many rows those are.

    Args:
        raw: the entries of the earlier book
        old: what they come to by the earlier order
        before, after: the earlier order and the revision
        book: code of the earlier book
    """
    last = max((row.row + 1 for row in old.shot_rows), default=0)
    first_rows, next_rows = [], []
    sprayed = {row.section for row in old.shot_rows}
    sections = {section.id: section for section in before.sections}
    for section in after.sections:
        earlier = sections.get(section.id)
        if earlier is None or section.id not in sprayed:
            continue
        begun = _differing(earlier, section, before, after)
        if not begun:
            continue
        first_rows += _row(_open(begun, section, old), section, 1, before, book)
        if last < after.size.shots:
            again = {key: getattr(section, key.removeprefix("new_")) for key in begun}
            next_rows += _row(again, section, last + 1, after, book)
    if not first_rows and not next_rows:
        return dict(raw), 0
    crew = _crew_rows(raw, old, last)
    rows = [*first_rows, *crew[0], *next_rows, *crew[1]]
    others = {place: value for place, value in raw.items() if place[0] != _TABLE}
    placed = {(_TABLE, index, key): value for index, row in enumerate(rows) for key, value in row.items()}
    return others | placed, len(first_rows) + len(next_rows)


def _differing(earlier: Section, section: Section, before: Order, after: Order) -> dict[str, float]:
    """The earlier rate and width of a section, each where the revision has another one."""
    was, now = (mix_rate(each.rate, each.basis, order.material.residue, order.material.dilution)
                for each, order in ((earlier, before), (section, after)))  # fmt: skip
    found = {}
    if was != now:
        # on the basis that the revision gives the section's rate in
        found["new_rate"] = earlier.rate if earlier.basis == section.basis else section.rate * was / now
    if earlier.width != section.width:
        found["new_width"] = earlier.width
    return found


def _open(begun: dict[str, float], section: Section, old: Computation) -> dict[str, float]:
    """Of what the earlier order said, that which no change of the crew's replaces from the first shot on."""
    kinds = {"new_rate": "mix", "new_width": "width"}
    return {key: value for key, value in begun.items()
            if not any(_from_the_first(change, section, kinds[key]) for change in old.change_rows)}  # fmt: skip


def _from_the_first(change: ChangeRow, section: Section, kind: str) -> bool:
    return change.section == section.id and change.first == 1 and getattr(change, kind) is not None


def _row(values: dict[str, float], section: Section, first: int, order: Order, book: str) -> list[Row]:
    if not values:
        return []
    say = texts(order.language)
    number = order.job.revision
    by = say.say("carry.order_revision", number=number) if number else say["carry.first_order"]
    return [{"from_shot": float(first), "section": section.id, **values, "ordered_by": by,
             "remarks": say.say("carry.remark", book=book)}]  # fmt: skip


def _crew_rows(raw: dict[Place, Value], old: Computation, last: int) -> tuple[list[Row], list[Row]]:
    """The crew's own rows: those that hold for a shot that was sprayed, and behind them those that do not yet."""
    rows: dict[int, Row] = {}
    for (table, row, key), value in raw.items():
        if table == _TABLE:
            rows.setdefault(row, {})[key] = value
    first = {change.row: change.first for change in old.change_rows}
    numbers = sorted(rows)
    done = len(numbers)
    while done and (first.get(numbers[done - 1]) or 0) > last:
        done -= 1
    return list(_of(rows, numbers[:done])), list(_of(rows, numbers[done:]))


def _of(rows: dict[int, Row], numbers: list[int]) -> Iterator[Row]:
    return (rows[number] for number in numbers)
