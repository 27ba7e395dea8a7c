"""Rows or columns of a sheet, before and after lines were inserted or deleted. Lines count from 0."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

Signature = Mapping[int, object]  # what stands in a line, by the number of the crossing line

FARTHEST = 200  # lines inserted or deleted at one place
_ATTEMPTS = 20  # places where a shift is looked for in vain before giving up
_WITNESSES = 3  # lines that must agree with a shift, where there are so many
_FEWEST = 2
_RARE = 2  # lines with the same token at the same place
_NEAR = 60  # lines in which they are looked for


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

    Lines with nothing in them say nothing, and what stands in every line says little. A shift is believed
    where several lines agree with it that would not without it; one changed value is never taken for one.
    """
    search = _Search(issued, returned)
    shifts: list[Shift] = []
    line = offset = attempts = 0
    while line < len(issued) and attempts < _ATTEMPTS:
        if not issued[line] or search.alike(line, offset):
            line += 1
            continue
        shift = search.nearest(line, offset)
        if shift is None:
            attempts += 1
            line += 1
            continue
        shifts.append(shift)
        offset += shift.count
        line += max(0, -shift.count)
    return tuple(shifts)


class _Search:
    """Compares issued lines with returned ones; a token weighs less the more lines have it at one place."""

    def __init__(self, issued: Sequence[Signature], returned: Sequence[Signature]) -> None:
        self._issued, self._returned = issued, returned
        self._lines = Counter(item for line in issued for item in line.items())
        # Lines with something that hardly another one has: rows of like formulas bear no witness.
        self._telling = [any(self._lines[item] <= _RARE for item in line.items()) for line in issued]

    def alike(self, line: int, offset: int) -> bool:
        """Whether most of what an issued line has stands in the returned line at that offset."""
        place = line + offset
        if not 0 <= place < len(self._returned):
            return False
        now = self._returned[place]
        whole = agree = 0.0
        for item in self._issued[line].items():
            weight = 1 / self._lines[item]
            whole += weight
            if now.get(item[0]) == item[1]:
                agree += weight
        return 2 * agree > whole

    def nearest(self, line: int, offset: int) -> Shift | None:
        """The smallest shift at a line that the lines after it bear witness to."""
        for count in range(1, FARTHEST + 1):
            for shift in (Shift(line, count), Shift(line, -count)):
                if self._witnessed(shift, offset):
                    return shift
        return None

    def _witnessed(self, shift: Shift, offset: int) -> bool:
        first = shift.at + max(0, -shift.count)
        near = range(first, min(first + _NEAR, len(self._issued)))
        witnesses = [line for line in near if self._telling[line]][:_WITNESSES]
        if len(witnesses) < _FEWEST:
            return False
        if not all(self.alike(line, offset + shift.count) for line in witnesses):
            return False
        return sum(not self.alike(line, offset) for line in witnesses) >= _FEWEST
