"""Rows or columns of a sheet, before and after lines were inserted or deleted. Lines count from 0."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

Signature = Mapping[int, object]  # what stands in a line, by the number of the crossing line

FARTHEST = 200  # lines inserted or deleted at one place
_ATTEMPTS = 20  # places where a shift is looked for in vain before giving up
_WITNESSES = 3  # lines that must agree with a shift


@dataclass(frozen=True, slots=True)
class Shift:
    """``count`` lines inserted before the issued line ``at``, or, where negative, deleted from it on."""

    at: int
    count: int


@dataclass(frozen=True, slots=True)
class Lines:
    """Where the issued lines are in the returned sheet; ``shifts`` go from the first line to the last."""

    shifts: tuple[Shift, ...] = ()

    def returned(self, line: int) -> int | None:
        """Where an issued line is now; None where it was deleted."""
        place, deleted = self._place(line)
        return None if deleted else place

    def start(self, line: int) -> int:
        """Where a range that began at an issued line begins now."""
        return self._place(line)[0]

    def end(self, line: int) -> int:
        """Where a range that ended at an issued line ends now."""
        place, deleted = self._place(line)
        return place - 1 if deleted else place

    def _place(self, line: int) -> tuple[int, bool]:
        offset = 0
        for shift in self.shifts:
            if line < shift.at:
                break
            if shift.count < 0 and line < shift.at - shift.count:
                return shift.at + offset, True
            offset += shift.count
        return line + offset, False

    def issued(self, line: int) -> int | None:
        """Which issued line a returned one is; None where it was inserted."""
        offset = 0
        for shift in self.shifts:
            if line < shift.at + offset:
                break
            if shift.count > 0 and line < shift.at + offset + shift.count:
                return None
            offset += shift.count
        return line - offset


def find_shifts(issued: Sequence[Signature], returned: Sequence[Signature]) -> tuple[Shift, ...]:
    """Where lines were inserted or deleted, by what stands in them.

    Lines with nothing in them say nothing. A shift is believed where several lines agree with it that would
    not agree without it; a single changed value is never taken for one.
    """
    shifts: list[Shift] = []
    line = offset = attempts = 0
    while line < len(issued) and attempts < _ATTEMPTS:
        if not issued[line] or _alike(issued, returned, line, offset):
            line += 1
            continue
        shift = _nearest_shift(issued, returned, line, offset)
        if shift is None:
            attempts += 1
            line += 1
            continue
        shifts.append(shift)
        offset += shift.count
        line += max(0, -shift.count)
    return tuple(shifts)


def _alike(issued: Sequence[Signature], returned: Sequence[Signature], line: int, offset: int) -> bool:
    """Whether more than half of what an issued line has stands in the returned line at that offset."""
    place = line + offset
    if not 0 <= place < len(returned):
        return False
    now = returned[place]
    agree = sum(now.get(cross) == token for cross, token in issued[line].items())
    return 2 * agree > len(issued[line])


def _nearest_shift(
    issued: Sequence[Signature], returned: Sequence[Signature], line: int, offset: int
) -> Shift | None:
    for count in range(1, FARTHEST + 1):
        for shift in (Shift(line, count), Shift(line, -count)):
            if _witnessed(issued, returned, shift, offset):
                return shift
    return None


def _witnessed(issued: Sequence[Signature], returned: Sequence[Signature], shift: Shift, offset: int) -> bool:
    first = shift.at + max(0, -shift.count)
    witnesses = [line for line in range(first, min(first + 60, len(issued))) if issued[line]][:_WITNESSES]
    if len(witnesses) < 2:
        return False
    if not all(_alike(issued, returned, line, offset + shift.count) for line in witnesses):
        return False
    return sum(not _alike(issued, returned, line, offset) for line in witnesses) >= 2
