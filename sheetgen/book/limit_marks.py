"""Letters behind a figure that the machine cannot do: s truck speed, n flow per nozzle, p pump discharge.

A letter also shows on a black-and-white print. The letters are number formats of conditional rules, so the
figure itself stays a number. The rules use the book's defined names: not every version of a spreadsheet
program takes the address of another sheet in a conditional rule.
"""

from __future__ import annotations

from itertools import combinations
from typing import Any

from sheetgen.xlsx.formulas import address

Block = tuple[int, int, int, int]
Rule = tuple[int, int, int, int, dict[str, Any]]


def pass_marks(block: Block, at: dict[str, str], shown: str) -> list[Rule]:
    """Rules for a planned pass, to six decimals: a figure that lies on its limit keeps it.

    Args:
        block: first row, first column, last row, last column
        at: the cells of the pass's "nozzles", "discharge" and "speed"
        shown: number format of the block
    """
    nozzles, discharge, speed = at["nozzles"], at["discharge"], at["speed"]

    def outside(figure: str, least: str, greatest: str) -> str:
        return f"OR(ROUND({figure},6)<ROUND({least},6),ROUND({figure},6)>ROUND({greatest},6))"

    tests = {
        "s": outside(speed, "speed_min", "speed_max"),
        "n": outside(f"{discharge}/{nozzles}", "nozzle_flow_min", "nozzle_flow_max"),
        "p": outside(discharge, "discharge_min", "discharge_max"),
    }
    return _rules(block, tests, shown)


def _rules(block: Block, tests: dict[str, str], shown: str) -> list[Rule]:
    """One rule for each set of letters, the longest first; a cell without a number gets none."""
    here = address(block[0], block[1])
    rules: list[Rule] = []
    for count in range(len(tests), 0, -1):
        for letters in combinations(tests, count):
            met = ",".join(tests[letter] for letter in letters)
            rule = {
                "type": "formula",
                "criteria": f"=AND(ISNUMBER({here}),{met})",
                "mark": f'{shown}" {"".join(letters)}"',
                "stop_if_true": True,
            }
            rules.append((*block, rule))
    return rules
