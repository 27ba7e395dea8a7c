"""A formula that a book of ours holds, as a tree: what is copied down a column has one tree for all its rows.

Only what our own formulas are written in is known here: texts, numbers, cells and ranges, functions, the operators.
Anything else raises :class:`NotFollowed`, so that whoever asks takes another way.
"""

from __future__ import annotations

import re
from typing import Any, NamedTuple

from sheetgen.xlsx.address import column_number


class NotFollowed(Exception):
    """A formula, or a value in it, that is not calculated here."""


class Corner(NamedTuple):
    """One cell of a reference, counted from 0; a row or column that moves with the formula as its distance."""

    row: int
    moves_down: bool
    column: int
    moves_right: bool


class Constant(NamedTuple):
    """A text, a number or a truth that stands in a formula."""

    value: float | str | bool
    kind: str  # to Python TRUE is 1, and a formula with the one is not the other


class Reference(NamedTuple):
    """A cell, or a range where ``last`` is given."""

    sheet: str
    first: Corner
    last: Corner | None


class Operation(NamedTuple):
    """Two operands and the sign between them."""

    sign: str
    left: Any
    right: Any


class Call(NamedTuple):
    """A function and its arguments."""

    name: str
    arguments: tuple[Any, ...]


Tree = Constant | Reference | Operation | Call
Token = str | Constant | Reference

_TOKEN = re.compile(
    r"""
    (?P<text>"(?:[^"]|"")*")
    | (?P<number>\d+(?:\.\d*)?(?:[eE][-+]?\d+)?)(?![\w.:!])
    | (?:(?:'(?P<quoted>(?:[^']|'')+)'|(?P<sheet>[A-Za-z_]\w*))!)?
      (?P<cell>\$?[A-Z]{1,3}\$?\d+)(?::(?P<to>\$?[A-Z]{1,3}\$?\d+))?(?![\w(.!])
    | (?P<truth>TRUE|FALSE)(?![\w(.!])
    | (?P<function>[A-Z]+(?=\())
    | (?P<sign><=|>=|<>|[-+*/^&=<>(),%])
    | (?P<space>\s+)
    """,
    re.VERBOSE,
)
_CORNER = re.compile(r"(\$?)([A-Z]+)(\$?)(\d+)")
_LEVELS = (
    ("=", "<>", "<", ">", "<=", ">="),
    ("&",),
    ("+", "-"),
    ("*", "/"),
    ("^",),
)  # what binds least comes first


def tokens(formula: str, sheet: str, row: int, column: int) -> tuple[Token, ...]:
    """Take a formula apart; equal for all cells that one formula was copied to.

    Args:
        formula: with its leading "="
        sheet: the name of the sheet that it stands on
        row, column: its cell, counted from 0

    Raises:
        NotFollowed: it holds a sign or a name that is not known
    """
    found: list[Token] = []
    end = 1
    while end < len(formula):
        match = _TOKEN.match(formula, end)
        if match is None:
            raise NotFollowed(formula[end:])
        end = match.end()
        kind, text = match.lastgroup, match[0]
        if kind in ("cell", "to"):
            name = match["sheet"] or (match["quoted"] or "").replace("''", "'") or sheet
            last = _corner(match["to"], row, column) if match["to"] else None
            found.append(Reference(name, _corner(match["cell"], row, column), last))
        elif kind in ("sign", "function"):
            found.append(text)
        elif kind != "space":
            found.append(_constant(kind, text))
    return tuple(found)


def _constant(kind: str | None, text: str) -> Constant:
    if kind == "text":
        return Constant(text[1:-1].replace('""', '"'), "text")
    return Constant(text == "TRUE", "truth") if kind == "truth" else _number(float(text))


def _number(value: float) -> Constant:
    return Constant(value, "number")


def _corner(text: str, row: int, column: int) -> Corner:
    fixed_column, letters, fixed_row, digits = _CORNER.fullmatch(text).groups()  # type: ignore[union-attr]
    at = column_number(letters), int(digits) - 1
    return Corner(
        at[1] if fixed_row else at[1] - row,
        not fixed_row,
        at[0] if fixed_column else at[0] - column,
        not fixed_column,
    )


def tree(parts: tuple[Token, ...]) -> Tree:
    """Put the parts of a formula together by what binds first (ECMA-376 part 1, 18.17.2).

    Raises:
        NotFollowed: they are no formula
    """
    reader = _Reader(parts)
    made = reader.level(0)
    if reader.next is not None:
        raise NotFollowed(str(reader.next))
    return made


class _Reader:
    def __init__(self, parts: tuple[Token, ...]) -> None:
        self._parts, self._at = parts, 0

    @property
    def next(self) -> Token | None:
        return self._parts[self._at] if self._at < len(self._parts) else None

    def take(self, wanted: str = "") -> Token:
        token = self.next
        if token is None or (wanted and token != wanted):
            raise NotFollowed(f"{token} in place of {wanted}")
        self._at += 1
        return token

    def level(self, depth: int) -> Tree:
        if depth == len(_LEVELS):
            return self.signed()
        left = self.level(depth + 1)
        while isinstance(self.next, str) and self.next in _LEVELS[depth]:
            left = Operation(str(self.take()), left, self.level(depth + 1))
        return left

    def signed(self) -> Tree:
        """An operand with the signs before and behind it; a minus before it binds more than a power."""
        if self.next == "-":
            self.take()
            return Operation("-", _number(0.0), self.signed())
        made = self.operand()
        while self.next == "%":
            self.take()
            made = Operation("/", made, _number(100.0))
        return made

    def operand(self) -> Tree:
        token = self.take()
        if not isinstance(token, str):
            return token
        if token == "(":
            made = self.level(0)
            self.take(")")
            return made
        if not token.isalpha():
            raise NotFollowed(token)
        self.take("(")
        arguments = []
        while self.next != ")":
            arguments.append(self.level(0))
            if self.next != ")":
                self.take(",")
        self.take(")")
        return Call(token, tuple(arguments))
