"""Changes on the road: from which shot to which each holds, and the rate and tolerance that it orders."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from sheetgen.audit.entries.logs import Change, Shot
from sheetgen.order.model import Order, Section
from sheetgen.trade import tolerance
from sheetgen.trade.basis import mix_rate
from sheetgen.trade.rounding import round_half_away

_MINUTES = 1440  # in a day


class ChangeRow(NamedTuple):
    """One change computed again.

    ``first`` is the printed number of the first shot of the section that it holds for, ``rate_until`` and
    ``width_until`` those of the last ones; None where it changes no rate or width. ``mix`` is the bar rate that the
    new rate orders, ``allowed`` its tolerance as a part of it. ``in_turn`` is False for a change that begins before
    one written above it: it holds for no shot.
    """

    row: int
    section: str | None
    first: float | None
    in_turn: bool
    rate_until: float | None
    mix: float | None
    allowed: float | None
    width: float | None
    width_until: float | None

    def changes_rate(self, section: str | None, number: int) -> bool:
        """Whether a shot, by its section and printed number, is sprayed at its rate."""
        return _holds(self, section, number, self.rate_until)

    def changes_width(self, section: str | None, number: int) -> bool:
        """Whether a shot, by its section and printed number, is sprayed at its width."""
        return _holds(self, section, number, self.width_until)


def compute_changes(changes: Sequence[Change], shots: Sequence[Shot], order: Order) -> tuple[ChangeRow, ...]:
    """Compute every used row of the log of changes."""
    sections = {section.id: section for section in order.sections}
    rows: list[ChangeRow] = []
    for change in changes:
        section = sections.get(change.section or "")
        first = None if section is None else _first(change, shots, order)
        in_turn = first is not None and not any(
            row.section == change.section and (row.first or 0) > first for row in rows
        )
        rows.append(_row(change, section, first, in_turn, order))
    return tuple(_with_ends(rows, order.size.shots))


def _row(
    change: Change, section: Section | None, first: float | None, in_turn: bool, order: Order
) -> ChangeRow:
    mix = allowed = None
    if section is not None and in_turn and change.new_rate and change.new_rate > 0:
        mix = mix_rate(change.new_rate, section.basis, order.material.residue, order.material.dilution)
        absolute = section.tolerance_kind == "absolute"
        allowed = tolerance.allowed_deviation(section.tolerance, change.new_rate, absolute)
    width = change.new_width if in_turn and change.new_width and change.new_width > 0 else None
    name = None if section is None else section.id
    return ChangeRow(change.row, name, first, in_turn, None, mix, allowed, width, None)


def _first(change: Change, shots: Sequence[Shot], order: Order) -> float | None:
    """The shot that is named, or the first one that did not begin before the time; one past the log for none."""
    if change.from_shot is not None:
        return change.from_shot
    if change.date is None or change.time is None:
        return None
    moment = round_half_away((change.date + change.time) * _MINUTES, 0)
    begun = [
        (round_half_away((shot.date + shot.start) * _MINUTES, 0), shot.row + 1)
        for shot in shots
        if shot.date is not None and shot.start is not None
    ]
    before = sum(minute < moment for minute, _ in begun)
    return float(begun[before][1] if before < len(begun) else order.size.shots + 1)


def _with_ends(rows: list[ChangeRow], shots: int) -> list[ChangeRow]:
    """Each with the last shot that it holds for: the one before the next change of the same kind and section."""
    ended = []
    for place, row in enumerate(rows):
        later = [each for each in rows[place + 1 :] if each.section == row.section and each.in_turn]
        until = {
            kind: next((each.first - 1 for each in later if _has(each, kind) and each.first), float(shots))
            for kind in ("mix", "width")
            if _has(row, kind)
        }
        ended.append(row._replace(rate_until=until.get("mix"), width_until=until.get("width")))
    return ended


def _has(row: ChangeRow, kind: str) -> bool:
    return getattr(row, kind) is not None


def _holds(row: ChangeRow, section: str | None, number: int, until: float | None) -> bool:
    return (
        row.section == section
        and row.first is not None
        and until is not None
        and row.first <= number <= until
    )
