"""Every pair of errors that can be planted together in one honest log: neither hides the other.

``python -m tests.audit.planted_pairs [SEEDS] [FIRST]`` runs all pairs in both unit systems, says how many there are,
and fails where an error is not reported under its own name at its own cell without a reason in ``hidden_by.toml``.
The tests run a fixed sample of them.
"""

from __future__ import annotations

import sys
import tomllib
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from itertools import combinations
from pathlib import Path

from sheetgen.demo.day import Log
from sheetgen.demo.planted import Planted, planted
from sheetgen.demo.planted_errors import PLANTS
from sheetgen.order.model import Order
from tests.audit.orders import day, findings_of, small

ORDERS = {"us": small("us"), "si": small("si", "es")}


@dataclass(frozen=True, slots=True)
class Pair:
    """Two errors, the one that fits fewer rows first so that it has its choice of them."""

    units: str
    seed: int
    names: tuple[str, str]

    def plant(self) -> tuple[Log, list[Planted]]:
        """The honest log of that seed with both errors in it."""
        order = ORDERS[self.units]
        return planted(_log(self.units, self.seed), order, order.machines[0], self.names)


@cache
def _log(units: str, seed: int) -> Log:
    return day(ORDERS[units], seed)


@cache
def hidden_by() -> dict[tuple[str, str], bool]:
    """What one error rightly does to another, by (hidden, by): whether it is only moved to another cell."""
    data = tomllib.loads((Path(__file__).parent / "hidden_by.toml").read_text(encoding="utf-8"))
    return {(each["hidden"], by): each.get("moved", False) for each in data["pair"] for by in each["by"]}


def pairs(units: str, seed: int) -> Iterator[Pair]:
    """Every pair of kinds."""
    log = _log(units, seed)
    for names in combinations(sorted(PLANTS), 2):
        first, second = sorted(names, key=lambda name: len(PLANTS[name].row(log)))
        yield Pair(units, seed, (first, second))


def can_stand_together(made: list[Planted]) -> bool:
    """Whether the two errors leave each other's cells alone."""
    one, other = made
    return not one.changed & other.changed


@cache
def is_an_error_there(units: str, seed: int, name: str) -> bool:
    """Whether the error alone is one in that log: a rise in warmth, for one, can be what the burners may give."""
    log, _ = planted(_log(units, seed), ORDERS[units], ORDERS[units].machines[0], [name])
    return name in {each.name for each in findings_of(log, ORDERS[units])}


def unreported(pair: Pair) -> list[str] | None:
    """Errors of a pair that are not at their own cell and have no reason; None where the two are no pair."""
    log, made = pair.plant()
    if not can_stand_together(made):
        return None
    order: Order = ORDERS[pair.units]
    places = {(each.name, each.cell) for each in findings_of(log, order)}
    names = {name for name, _ in places}
    lost = []
    for error, other in (made, made[::-1]):
        if (error.finding, f"{error.column} {error.row + 1}") in places:
            continue
        if not is_an_error_there(pair.units, pair.seed, error.finding):
            continue
        moved = hidden_by().get((error.finding, other.finding))
        if moved is None or (moved and error.finding not in names):
            lost.append(f"{error.finding} beside {other.finding}")
    return lost


def main(seeds: int, first: int) -> int:
    """Run all pairs of so many logs from a seed on; the number of errors that were missed."""
    count: Counter[str] = Counter()
    for units in ORDERS:
        for seed in range(first, first + seeds):
            for pair in pairs(units, seed):
                lost = unreported(pair)
                count["pairs" if lost is not None else "in one cell"] += 1
                for text in lost or []:
                    count["missed"] += 1
                    print(f"MISSED {units} seed {seed}: {text}", flush=True)
        idle = [name for seed in range(first, first + seeds) for name in PLANTS
                if not is_an_error_there(units, seed, name)]  # fmt: skip
        print(f"{units}: {len(idle)} times an error alone was none in that log: {sorted(set(idle))}")
    print(f"{count['pairs']} pairs run, {count['in one cell']} in one cell, {count['missed']} errors missed")
    return count["missed"]


if __name__ == "__main__":
    arguments = [int(each) for each in sys.argv[1:]]
    sys.exit(min(main(*(arguments + [1, 5][len(arguments) :])), 1))
