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


def speed_marks(block: Block, head_row: int, shown: str, per: str = "1") -> list[Rule]:
    """Rules for a block of speeds, below a row of bar widths.

    Args:
        block: first row, first column, last row, last column
        head_row: where each column's bar width stands
        shown: number format of the speeds
        per: speed units in one unit of the figure
    """
    here = address(block[0], block[1])
    speed = f"OR({here}*{per}<speed_min,{here}*{per}>speed_max)"
    return _rules(
        block, {"s": speed, "n": nozzle_outside(head_row, block[1]), "p": _pump("discharge_used")}, shown
    )


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


def rate_marks(block: Block, head_row: int, shown: str) -> list[Rule]:
    """Rules for a block of rates at the discharge used, below a row of bar widths."""
    return _rules(block, {"n": nozzle_outside(head_row, block[1]), "p": _pump("discharge_used")}, shown)


def discharge_marks(block: Block, head_row: int, shown: str) -> list[Rule]:
    """Rules for a block of discharges, below a row of bar widths."""
    here = address(block[0], block[1])
    return _rules(block, {"n": nozzle_outside(head_row, block[1], here), "p": _pump(here)}, shown)


def flow_marks(block: Block, shown: str) -> list[Rule]:
    """Rules for a block of flows per nozzle."""
    here = address(block[0], block[1])
    return _rules(block, {"n": f"OR({here}<nozzle_flow_min,{here}>nozzle_flow_max)"}, shown)


def nozzle_outside(head_row: int, col: int, discharge: str = "discharge_used") -> str:
    """Whether the flow per nozzle is outside its limits, with the nozzles that a bar width opens."""
    letters = address(head_row, col).rstrip("0123456789")
    flow = f"{discharge}/ROUND({letters}${head_row + 1}*spacing_per_width/nozzle_spacing,0)"
    return f"OR({flow}<nozzle_flow_min,{flow}>nozzle_flow_max)"


def _pump(discharge: str) -> str:
    return f"OR({discharge}<discharge_min,{discharge}>discharge_max)"


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
