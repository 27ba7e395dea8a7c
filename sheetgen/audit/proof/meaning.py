"""Do two formulas mean the same? Programs rewrite a formula's text on every save; only its meaning is proof.

Taken as the same: redundant parentheses, spaces, letter case of functions, references and names, ``FALSE``
and ``FALSE()``, ``4.4988e-8`` and ``0.000000044988``, ``10%`` and ``0.1``, the prefix ``_xlfn.``, quotes
around a sheet's name, the name of a formula's own sheet, ``$`` anchors (they steer copying, not the value),
the two names of some functions (``STDEV`` and ``STDEV.S``), a plus sign before an operand, the order of a range's
corners, a range of one cell and that cell, parentheses after ``+``, ``*`` or ``&`` that only group like operations.
A text is never taken for a number. A formula that cannot be parsed is compared as text.
"""

from __future__ import annotations

import math
import re
from functools import lru_cache
from typing import Any

import formualizer

from sheetgen.xlsx.address import MAX_COLUMNS, MAX_ROWS, column_number
from sheetgen.xlsx.references import LONGEST, moved

NUMBERS_AGREE = 1e-12  # relative: a program may write the last digit of a double differently

Tree = tuple[Any, ...]
BROKEN_REFERENCE: Tree = ("text", "#REF!")

# a + (b - c) is (a + b) - c. A minus or a division before the parentheses is another matter: a / (b / 0) is an error.
_REGROUPED = {"+": ("+", "-"), "*": ("*", "/"), "&": ("&",)}
_HOME_ROW, _HOME_COLUMN = MAX_ROWS // 2, MAX_COLUMNS // 2
_PREFIXES = ("_XLFN.", "_XLWS.", "_XLFN.")  # some functions have both of the first two
# Functions that got a second name with the same meaning; programs write either.
_SECOND_NAMES = {
    "STDEV.S": "STDEV", "STDEV.P": "STDEVP", "VAR.S": "VAR", "VAR.P": "VARP", "RANK.EQ": "RANK", "MODE.SNGL": "MODE",
    "PERCENTILE.INC": "PERCENTILE", "QUARTILE.INC": "QUARTILE",
}  # fmt: skip
_CORNERS = re.compile(r"(\$?)([A-Za-z]{1,3})(\$?)([0-9]{1,7})\Z")
_LETTERS = re.compile(r"(\$?)([A-Za-z]{1,3})\Z")
_DIGITS = re.compile(r"(\$?)([0-9]{1,7})\Z")
_TEXT_OR_ERROR = re.compile(r"\"[^\"]*(?:\"|\Z)|'[^']*(?:'|\Z)|(#[A-Za-z0-9/]+[!?]?)")


def same_formula(issued: str, returned: str, sheet: str = "", row: int = 0, column: int = 0) -> bool:
    """Whether two formulas of one cell mean the same.

    Args:
        issued, returned: with or without their leading "="
        sheet: name of the sheet they stand on, so that a reference may name its own sheet or not
        row, column: the cell, so that copies of one formula down a column are compared once
    """
    if issued == returned:
        return True
    if len(returned) > min(3 * len(issued) + 200, LONGEST):
        return False  # programs add parentheses and prefixes, but not that many
    down, right = _HOME_ROW - row, _HOME_COLUMN - column
    if _same_at_home(moved(issued, down, right), moved(returned, down, right), sheet):
        return True
    first, second = canonical(issued, sheet), canonical(returned, sheet)
    return first is not None and second is not None and _same(first, second)


@lru_cache(maxsize=1024)
def _same_at_home(issued: str, returned: str, sheet: str) -> bool:
    """The same, anchors and all, and so the same wherever both are copied to."""
    first, second = canonical(issued, sheet, anchors=True), canonical(returned, sheet, anchors=True)
    return first is not None and second is not None and _same(first, second)


@lru_cache(maxsize=4096)  # where a whole sheet was moved, each is asked for several times
def canonical(formula: str, sheet: str = "", anchors: bool = False) -> Tree | None:
    """The formula as nested tuples, the same for all ways to write it; None where it cannot be parsed."""
    try:
        parsed = formualizer.parse(formula if formula.startswith("=") else f"={formula}").to_dict()
        # The parser gives the error value #REF! and the text "#REF!" alike: only the formula's text tells.
        errors = {match[1].upper() for match in _TEXT_OR_ERROR.finditer(formula) if match[1]}
        return _Canonical(sheet, anchors).tree(parsed), tuple(sorted(errors))
    except (formualizer.ParserError, formualizer.TokenizerError, ValueError, RecursionError, KeyError):
        return None


class _Canonical:
    """Makes the one way to write a parsed formula."""

    def __init__(self, sheet: str, anchors: bool) -> None:
        self._sheet = sheet.casefold()
        self._anchors = anchors

    def tree(self, node: dict[str, Any]) -> Tree:
        kind = node["node_type"]
        if kind == "Literal":
            return _literal(node["value"])
        if kind == "Reference":
            return self._reference(node["reference"])
        if kind == "BinaryOp":
            return self._binary(node["operator"], self.tree(node["left"]), self.tree(node["right"]))
        if kind == "UnaryOp":
            return _unary(node["operator"], self.tree(node["operand"]))
        if kind == "Function":
            return self._function(node["name"].upper(), node["args"])
        if kind == "Array":
            return ("array", *(tuple(self.tree(item) for item in row) for row in node["rows"]))
        if kind == "Call":
            return ("call", self.tree(node["callee"]), *(self.tree(item) for item in node["args"]))
        return (kind, *(self.tree(item) for item in node.get("args", ())))

    def _function(self, name: str, arguments: list[dict[str, Any]]) -> Tree:
        for prefix in _PREFIXES:
            name = name.removeprefix(prefix)
        if name in ("TRUE", "FALSE") and not arguments:
            return ("bool", name == "TRUE")
        return ("call", _SECOND_NAMES.get(name, name), *(self.tree(item) for item in arguments))

    def _binary(self, operator: str, left: Tree, right: Tree) -> Tree:
        if operator == ":" and BROKEN_REFERENCE in (left, right):
            return BROKEN_REFERENCE
        if len(right) == 3 and right[0] in _REGROUPED.get(operator, ()):
            return self._binary(right[0], self._binary(operator, left, right[1]), right[2])
        return (operator, left, right)

    def _reference(self, text: str) -> Tree:
        if text.upper().endswith("#REF!"):  # with or without the sheet that it was on
            return BROKEN_REFERENCE
        sheet, _, address = text.rpartition("!")
        if sheet.startswith("'") and sheet.endswith("'"):
            sheet = sheet[1:-1].replace("''", "'")
        sheet = sheet.casefold()
        return ("ref", "" if sheet == self._sheet else sheet, _address(address, self._anchors))


@lru_cache(maxsize=4096)
def _address(text: str, anchors: bool) -> Any:
    """The corners of a range, upper left first; a name or table reference in capitals."""
    first, colon, last = text.partition(":")
    for pattern in (_CORNERS, _LETTERS, _DIGITS):
        start, end = pattern.match(first), pattern.match(last or first)
        if start and end and _on_sheet(start) and _on_sheet(end):
            corners = [_parts(match.groups(), anchors) for match in (start, end)]
            area = bool(colon) and not (pattern is _CORNERS and corners[0] == corners[1])
            if anchors:
                return (*corners, area)
            return tuple(tuple(sorted(pair)) for pair in zip(*corners, strict=True)), area
    return text.upper()


def _parts(groups: tuple[str, ...], anchors: bool) -> tuple[Any, ...]:
    """Columns and rows as numbers, with their anchors where those count."""
    parts = [
        (column_number(place) if place.isalpha() else int(place) - 1, anchor)
        for anchor, place in zip(groups[::2], groups[1::2], strict=True)
    ]
    return tuple(part if anchors else part[0] for part in parts)


def _on_sheet(match: re.Match[str]) -> bool:
    return all(
        column_number(part) >= 0 if part.isalpha() else 0 < int(part) <= MAX_ROWS
        for part in match.groups()
        if part not in ("", "$")
    )


def _literal(value: Any) -> Tree:
    if isinstance(value, bool):
        return ("bool", value)
    if isinstance(value, (int, float)):
        if not math.isfinite(value):
            raise ValueError("a number beyond what a cell can hold")
        return ("number", float(value))
    return ("text", value)


def _unary(operator: str, operand: Tree) -> Tree:
    if operator == "+":
        return operand
    if operand[0] == "number" and operator in ("-", "%"):
        return ("number", -operand[1] if operator == "-" else operand[1] / 100)
    if operator == "%":
        return ("/", operand, ("number", 100.0))
    return ("unary", operator, operand)


def _same(first: Any, second: Any) -> bool:
    if isinstance(first, tuple) and isinstance(second, tuple):
        return len(first) == len(second) and all(map(_same, first, second))
    if isinstance(first, float) and isinstance(second, float):
        return same_number(first, second)
    return type(first) is type(second) and bool(first == second)


def same_number(first: float, second: float) -> bool:
    """Whether two numbers agree to 1 part in 10¹²."""
    return first == second or abs(first - second) <= NUMBERS_AGREE * max(abs(first), abs(second))
