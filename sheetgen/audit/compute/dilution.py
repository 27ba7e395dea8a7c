"""The dilution of what each shot sprayed: the emulsion's part of what was in the tank.

A load is mixed evenly with what was on board. At the first shot after it the tank holds what its stick reading before
the shot says, at base temperature, and the load's part of that is at most all of it. Where no reading tells, the load
counts as alone in the tank. What was on board before the first load counts as ordered.

A load is in the tank from the first shot that names it, or one that came later, or from the first that began when it
had come, whichever is earlier in the log: a load number left blank changes nothing.

Source: conservation of volume; mixing by volume and no change of volume by mixing are common practice, no source.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import accumulate, pairwise
from math import fsum

from sheetgen.audit.compute.loads import LoadRow
from sheetgen.audit.entries.logs import Load, Shot
from sheetgen.trade.rounding import round_half_away

_MINUTES = 1440  # in a day


def tank_dilutions(
    shots: Sequence[Shot],
    counted: Sequence[bool],
    on_board: Sequence[float | None],
    loads: Sequence[Load],
    rows: Sequence[LoadRow],
    ordered: float,
) -> list[float]:
    """Give the dilution in the tank at each row of the shot log, as a part of one.

    Args:
        shots: the rows of the shot log
        counted: which of them count; a struck row brings no load into the tank
        on_board: [volume] at base temperature before each of them, None where no reading tells
        loads: the rows of the load log that brought material
        rows: the same, computed
        ordered: the dilution of the order
    """
    listed = sorted(load.row + 1 for load in loads)
    came = [_came(load) for load in loads]
    shown = (_last(shot, listed, came) if yes else 0 for shot, yes in zip(shots, counted, strict=True))
    upto = accumulate(shown, max)
    dilutions, now = [], ordered
    for (before, last), volume in zip(pairwise((0, *upto)), on_board, strict=True):
        now = _mixed(now, volume, [row for row in rows if before < row.row + 1 <= last])
        dilutions.append(now)
    return dilutions


def _came(load: Load) -> float | None:
    """The minute at which a load was on board; without a time the end of its day."""
    if load.date is None:
        return None
    return round_half_away((load.date + (1.0 if load.time is None else load.time)) * _MINUTES, 0)


def _last(shot: Shot, listed: list[int], came: list[float | None]) -> int:
    """The printed number of the last load that a shot shows to be in the tank; 0 for none.

    Where as many loads had come as it began, they are taken to be the first ones of the log.
    """
    named = int(shot.load) if shot.load is not None and shot.load in listed else 0
    if shot.date is None or shot.start is None:
        return named
    began = round_half_away((shot.date + shot.start) * _MINUTES, 0)
    count = sum(minute is not None and minute <= began for minute in came)
    return max(named, listed[count - 1] if count else 0)


def _mixed(dilution: float, on_board: float | None, fresh: list[LoadRow]) -> float:
    """The dilution in the tank after loads were taken; ``on_board`` is the [volume] with them."""
    known = [(row.mix, row.dilution) for row in fresh if row.mix is not None and row.dilution is not None]
    mix = fsum(volume for volume, _ in known)
    if mix <= 0:
        return dilution
    share = 1.0 if on_board is None or on_board <= 0 else min(1.0, mix / on_board)
    return dilution + share * (fsum(volume * part for volume, part in known) / mix - dilution)
