"""The checks that a sheet makes of entries (data validation, ECMA-376 part 1, 18.3.1.32), cell by cell.

A program that cuts a cell takes its check along to where it is pasted. A blank cell without its check, or a cell with
the check of another column, is that: one note for a sheet. No check on a whole column, or on a cell that holds an
entry, is not.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass

from sheetgen.audit.findings import finding
from sheetgen.audit.model import Finding
from sheetgen.audit.proof.adjust import Places, adjusted, settled
from sheetgen.audit.proof.meaning import same_formula
from sheetgen.audit.proof.pairing import Pair
from sheetgen.templates import Texts
from sheetgen.xlsx.address import a1, a1_area, areas
from sheetgen.xlsx.model import Validation
from sheetgen.xlsx.references import moved

_ROW = re.compile(r"(?<![\w$])[A-Z]{1,3}(\d+)\b")  # of a reference that moves
_MOST_AREAS = 5_000  # a book pasted into for years has some hundred
_TWO_LIMITS = ("between", "notBetween")
_COMPARED = ("whole", "decimal", "date", "time", "textLength")  # kinds that have an operator
_OPERATORS = {
    "==": "equal",
    "!=": "notEqual",
    ">": "greaterThan",
    "<": "lessThan",
    ">=": "greaterThanOrEqual",
    "<=": "lessThanOrEqual",
    "not between": "notBetween",
}


@dataclass(frozen=True, slots=True)
class Rule:
    """One validation as returned, with the cell that its relative references are written for."""

    kind: str
    operator: str
    formula1: str
    formula2: str
    style: str  # stop, warning, information, or off
    row: int
    column: int


def validation_findings(pair: Pair, places: Places, say: Texts) -> list[Finding]:
    """A finding for each issued validation that is gone or another for some of its cells."""
    if not pair.issued.validations:
        return []
    rules = [_rule(validation) for validation in pair.returned.validations]
    spots = [areas(validation.get("sqref", ""), _MOST_AREAS) for validation in pair.returned.validations]
    if sum(map(len, spots)) > _MOST_AREAS:
        count = say.say("proof.too-many-validations", count=sum(map(len, spots)))
        return [
            finding(
                "validation-changed", sheet=pair.returned.name, found=count, expected=say["proof.as-issued"]
            )
        ]
    painted, found, cut = _Painted(spots), list[Finding](), list[tuple[int, int]]()
    for issued in pair.issued.validations:
        gone, other, kept = _differing(issued, pair, places, rules, painted)
        along = [
            cell
            for index, cells in other.items()
            for cell in cells
            if _to_the_letter(issued, rules[index])
            or _of_another_column(rules[index], pair, places, *cell)
            or _shifted(issued, rules[index], pair.returned.name)
        ]
        alone = (issued.first_row, issued.first_col) == (issued.last_row, issued.last_col)
        if kept or along or alone:
            along += [cell for cell in gone if _blank(pair, *cell)]
        cut += along
        by_hand = {
            rules[index]: [each for each in cells if each not in along] for index, cells in other.items()
        }
        found += _findings(issued, pair, [each for each in gone if each not in along], by_hand, say)
    if cut:
        text = say.say("proof.checks-moved", count=len(cut), cell=a1(*min(cut)))
        place = {"sheet": pair.returned.name, "cell": a1(*min(cut))}
        found.append(finding("entries-cut-and-pasted", **place, found=text, expected=say["proof.as-issued"]))
    return found


def _blank(pair: Pair, row: int, column: int) -> bool:
    cell = pair.returned.cells.get((row, column))
    return cell is None or (cell.value in (None, "") and cell.formula is None)


def _to_the_letter(issued: Validation, rule: Rule) -> bool:
    """Whether a rule reads as issued; one that looks at its own cell means another where its first cell was cut out."""
    as_issued = ("custom", issued.formula1.removeprefix("="), issued.stop)
    return issued.kind == "custom" and (rule.kind, rule.formula1, rule.style == "stop") == as_issued


def _shifted(issued: Validation, rule: Rule, sheet: str) -> bool:
    """Whether a rule looks so many lines beside the cell that it stands on.

    LibreOffice moves such rules on other sheets too when cells are cut there; they refuse and let in what they did.
    """
    if (issued.kind, rule.kind, rule.style == "stop") != ("custom", "custom", issued.stop):
        return False
    one, other = (_ROW.search(formula) for formula in (issued.formula1, rule.formula1))
    if one is None or other is None:
        return False
    proper = moved(issued.formula1.removeprefix("="), int(other[1]) - int(one[1]), 0)
    return same_formula(f"={proper}", f"={rule.formula1}", sheet)


def _of_another_column(rule: Rule, pair: Pair, places: Places, row: int, column: int) -> bool:
    return any(_same_rule(issued, rule, pair, places, row, column) for issued in pair.issued.validations)


class _Painted:
    """Which validation stands on a cell: the first in the file that covers it."""

    def __init__(self, spots: list[list[tuple[int, int, int, int]]]) -> None:
        self._spots = [(area, index) for index, found in enumerate(spots) for area in found]
        self._columns: dict[tuple[int, int, int], list[int | None]] = {}

    def column(self, column: int, first: int, last: int) -> list[int | None]:
        """The validations on the rows ``first`` to ``last`` of a column, by their place in the file."""
        key = (column, first, last)
        if key not in self._columns:
            cells: list[int | None] = [None] * (last - first + 1)
            for (top, left, bottom, right), index in reversed(self._spots):
                if left <= column <= right and top <= last and bottom >= first:
                    begin, end = max(top, first) - first, min(bottom, last) - first
                    cells[begin : end + 1] = [index] * (end - begin + 1)
            self._columns[key] = cells
        return self._columns[key]


def _rule(validation: dict[str, str]) -> Rule:
    found = areas(validation.get("sqref", ""), 1)
    row, column = found[0][:2] if found else (0, 0)
    shown = validation.get("showErrorMessage") in ("1", "true")
    return Rule(
        validation.get("type", "none"),
        validation.get("operator", "between"),
        validation.get("formula1", ""),
        validation.get("formula2", ""),
        validation.get("errorStyle", "stop") if shown else "off",
        row,
        column,
    )


def _differing(
    issued: Validation, pair: Pair, places: Places, rules: list[Rule], painted: _Painted
) -> tuple[list[tuple[int, int]], dict[int, list[tuple[int, int]]], int]:
    """The cells without their validation, those with another by its place in the file, and how many have their own."""
    kept = 0
    gone: list[tuple[int, int]] = []
    other: dict[int, list[tuple[int, int]]] = {}
    everywhere: dict[int, bool | None] = {}
    rows, columns = pair.place.rows, pair.place.columns
    first, last = rows.start(issued.first_row), rows.end(issued.last_row)
    for column in range(columns.start(issued.first_col), columns.end(issued.last_col) + 1):
        for row, index in enumerate(painted.column(column, first, last), first):
            if pair.then(row, column) is None:
                continue
            if index is None:
                gone.append((row, column))
                continue
            if index not in everywhere:
                everywhere[index] = _same_everywhere(issued, rules[index], pair, places)
            same = everywhere[index]
            if same is None:
                same = _same_rule(issued, rules[index], pair, places, row, column)
            if same:
                kept += 1
            else:
                other.setdefault(index, []).append((row, column))
    return gone, other, kept


def _same_everywhere(issued: Validation, rule: Rule, pair: Pair, places: Places) -> bool | None:
    """Whether a rule is the issued one; None where relative references can make it so in some cells only."""
    first = (pair.place.rows.start(issued.first_row), pair.place.columns.start(issued.first_col))
    same = _same_rule(issued, rule, pair, places, *first)
    formulas = f"{issued.formula1}{issued.formula2}{rule.formula1}{rule.formula2}"
    if moved(formulas, 1, 1) == formulas:
        return same
    to_the_letter = rule.formula1 == issued.formula1.removeprefix("=") and (
        not issued.formula2 or rule.formula2 == issued.formula2.removeprefix("=")
    )
    here = settled(places) and (rule.row, rule.column) == first
    return True if same and to_the_letter and here else None


def _same_rule(issued: Validation, rule: Rule, pair: Pair, places: Places, row: int, column: int) -> bool:
    operator = _OPERATORS.get(issued.operator, issued.operator)
    compared = issued.kind in _COMPARED
    if rule.kind != issued.kind or (compared and rule.operator != operator):
        return False
    # Some programs know only checks that refuse: that is stricter than a warning, and no harm.
    if rule.style != "stop" and (issued.stop or rule.style != "warning"):
        return False
    pairs = [(issued.formula1, rule.formula1)]
    if compared and operator in _TWO_LIMITS:
        pairs.append((issued.formula2, rule.formula2))
    down, right = (
        row - pair.place.rows.start(issued.first_row),
        column - pair.place.columns.start(issued.first_col),
    )
    for then, now in pairs:
        proper = moved(adjusted(then.removeprefix("="), pair.issued.name, places), down, right)
        actual = moved(now.removeprefix("="), row - rule.row, column - rule.column)
        if not same_formula(f"={proper}", f"={actual}", pair.returned.name, row, column):
            return False
    return True


def _findings(
    issued: Validation,
    pair: Pair,
    gone: list[tuple[int, int]],
    other: dict[Rule, list[tuple[int, int]]],
    say: Texts,
) -> list[Finding]:
    style = "stop" if issued.stop else "warning"
    then = _words(issued.kind, issued.operator, issued.formula1, issued.formula2, style, say)
    sheet = pair.returned.name
    found = []
    if gone:
        text = say.say("proof.no-validation", area=_area(gone))
        found.append(
            finding("validation-removed", sheet=sheet, cell=a1(*min(gone)), found=text, expected=then)
        )
    for rule, cells in other.items():
        if not cells:
            continue
        text = _words(rule.kind, rule.operator, rule.formula1, rule.formula2, rule.style, say)
        found.append(
            finding("validation-changed", sheet=sheet, cell=a1(*min(cells)), found=text, expected=then)
        )
    return found


def _words(kind: str, operator: str, formula1: str, formula2: str, style: str, say: Texts) -> str:
    shown = say[f"proof.{style}"] if style in ("stop", "warning", "off") else style
    operator = _OPERATORS.get(operator, operator) if kind in _COMPARED else ""
    text = say.say(
        "proof.validation", kind=kind, operator=operator, formula1=formula1, formula2=formula2, style=shown
    )
    return " ".join(text.split())


def _area(cells: Iterable[tuple[int, int]]) -> str:
    rows, columns = zip(*cells, strict=True)
    return a1_area((min(rows), min(columns), max(rows), max(columns)))
