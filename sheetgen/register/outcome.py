"""What the register says of a return when it is recorded: new, known, or in the place of an earlier one."""

from __future__ import annotations

import json
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

import sqlalchemy as sa

from sheetgen.register.packed_entries import Change, changes
from sheetgen.register.returns import Keeping, Kept
from sheetgen.register.summary import Summary


@dataclass(frozen=True, slots=True)
class Figure:
    """A recomputed total that differs between two returns, in the order's units."""

    name: str
    before: float | None
    after: float | None


@dataclass(frozen=True, slots=True)
class Outcome:
    """What the register says of a return.

    Attributes:
        kind: "new": the first return of its book; "same-again": its file, or all of its entries, came back before;
            "supersedes": it has other entries than the earlier return, which it takes the place of
        return_id: of the return in the register
        number: of the return among those of its book, from 1
        earlier: number of the return that it repeats or supersedes, None where it is the first
        same_file: whether the very file was known
        superseded: whether a later return has taken its place already
        changes: the entries that differ from the earlier return, none for "new" and "same-again"
        figures: the totals that differ from the earlier return
    """

    kind: Literal["new", "same-again", "supersedes"]
    return_id: int
    number: int
    earlier: int | None = None
    same_file: bool = False
    superseded: bool = False
    changes: tuple[Change, ...] = ()
    figures: tuple[Figure, ...] = ()


def record(connection: sa.Connection, summaries: Iterable[Summary]) -> list[Outcome]:
    """Keep rechecks in their order, and say of each what became of it."""
    keeping = Keeping(connection)
    outcomes = [_outcome(keeping.keep(summary), summary) for summary in summaries]
    keeping.finish()
    return outcomes


def _outcome(kept: Kept, summary: Summary) -> Outcome:
    if not kept.new:
        return Outcome(
            "same-again", kept.id, kept.number, kept.number, same_file=True, superseded=kept.superseded
        )
    before = kept.before
    if before is None:
        return Outcome("new", kept.id, kept.number)
    changed = changes(before.entries, summary.entries)
    differ = _figures(json.loads(before.totals)["overall"], summary.overall)
    return Outcome(
        "supersedes" if changed else "same-again",
        kept.id,
        kept.number,
        before.number,
        changes=changed,
        figures=differ,
    )


def _figures(before: dict[str, float | None], after: dict[str, float | None]) -> tuple[Figure, ...]:
    names = sorted(before.keys() | after.keys())
    return tuple(
        Figure(name, before.get(name), after.get(name))
        for name in names
        if before.get(name) != after.get(name)
    )
