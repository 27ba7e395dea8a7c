"""A formula that a book of ours holds, as a tree: what is copied down a column has one tree for all its rows.

Only what our own formulas are written in is known here: texts, numbers, cells and ranges, functions, the operators.
Anything else raises :class:`NotFollowed`, so that whoever asks takes another way.
"""

from __future__ import annotations

import re
from functools import lru_cache
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


class Moves(NamedTuple):
    """Whether what a part of a formula reads moves with the formula."""

    down: bool = False
    right: bool = False


class Constant(NamedTuple):
    """A text, a number or a truth that stands in a formula."""

    value: float | str | bool
    kind: str  # to Python TRUE is 1, and a formula with the one is not the other
    moves: Moves = Moves()


class Reference(NamedTuple):
    """A cell, or a range where ``last`` is given."""

    sheet: str
    first: Corner
    last: Corner | None

    @property
    def moves(self) -> Moves:
        """Whether one of its corners moves with the formula."""
        _row, down, _column, right = self.first
        _row, last_down, _column, last_right = self.last or self.first
        return Moves(down or last_down, right or last_right)


class Operation(NamedTuple):
    """Two operands and the sign between them."""

    sign: str
    left: Any
    right: Any
    moves: Moves


class Call(NamedTuple):
    """A function and its arguments."""

    name: str
    arguments: tuple[Any, ...]
    moves: Moves


Tree = Constant | Reference | Operation | Call
Token = str | Constant | Reference

_TOKEN = re.compile(
    r"""
    "(?:[^"]|"")*"
    | (?:'(?:[^']|'')+'!|[A-Za-z_]\w*!)?\$?[A-Z]{1,3}\$?\d+(?::\$?[A-Z]{1,3}\$?\d+)?(?![\w(.!])
    | \d+(?:\.\d*)?(?:[eE][-+]?\d+)?(?![\w.:!])
    | (?:TRUE|FALSE)(?![\w(.!])
    | [A-Z]+(?=\()
    | <=|>=|<>|[-+*/^&=<>(),%]
    | \s+
    """,
    re.VERBOSE,
)
_REFERENCE = re.compile(r"(?:'((?:[^']|'')+)'!|(\w+)!)?(\$?[A-Z]+\$?\d+)(?::(.+))?")
_CORNER = re.compile(r"(\$?)([A-Z]+)(\$?)(\d+)")
_SIGNS = (("=", "<>", "<", ">", "<=", ">="), ("&",), ("+", "-"), ("*", "/"), ("^",))  # what binds least first
_BINDS = {sign: number for number, signs in enumerate(_SIGNS, start=1) for sign in signs}
_END = ""


def tokens(formula: str, sheet: str, row: int, column: int) -> tuple[Token, ...]:
    """Take a formula apart; equal for all cells that one formula was copied to.

    Args:
        formula: with its leading "="
        sheet: the name of the sheet that it stands on
        row, column: its cell, counted from 0

    Raises:
        NotFollowed: it holds a sign or a name that is not known
    """
    texts = _TOKEN.findall(formula, 1)
    if sum(map(len, texts)) != len(formula) - 1:
        raise NotFollowed(formula)
    found = [_token(text, sheet) for text in texts if not text.isspace()]
    return tuple([each if each.__class__ is not _Moving else each.seen_from(row, column) for each in found])


class _Moving(NamedTuple):
    """A reference that moves with its formula, as it is written."""

    reference: Reference

    def seen_from(self, row: int, column: int) -> Reference:
        """The same with distances in place of addresses."""
        sheet, first, last = self.reference
        return Reference(sheet, _distant(first, row, column), last and _distant(last, row, column))


def _distant(corner: Corner, row: int, column: int) -> Corner:
    down, right = corner.moves_down, corner.moves_right
    return Corner(
        corner.row - row if down else corner.row,
        down,
        corner.column - column if right else corner.column,
        right,
    )


@lru_cache(maxsize=16384)
def _token(text: str, sheet: str) -> Any:
    if text[0] == '"':
        return Constant(text[1:-1].replace('""', '"'), "text")
    if text[0].isdigit():
        return _number(float(text))
    if text in ("TRUE", "FALSE"):
        return Constant(text == "TRUE", "truth")
    match = _REFERENCE.fullmatch(text)
    if match is None:
        return text
    quoted, plain, first, last = match.groups()
    name = plain or (quoted or "").replace("''", "'") or sheet
    made = Reference(name, _corner(first), _corner(last) if last else None)
    moves = any(corner.moves_down or corner.moves_right for corner in (made.first, made.last or made.first))
    return _Moving(made) if moves else made


def _number(value: float) -> Constant:
    return Constant(value, "number")


def _corner(text: str) -> Corner:
    fixed_column, letters, fixed_row, digits = _CORNER.fullmatch(text).groups()  # type: ignore[union-attr]
    return Corner(int(digits) - 1, not fixed_row, column_number(letters), not fixed_column)


_MOST = 100_000
_known: dict[
    tuple[Any, ...], Any
] = {}  # every part of a formula, by its sign and its parts, which it keeps alive


def _one(node: Tree, parts: tuple[Tree, ...] = ()) -> Any:
    """The one object for all equal parts of formulas, so that what many formulas hold is known again."""
    if len(_known) > _MOST:
        _known.clear()
    return _known.setdefault((node[0], *map(id, parts)) if parts else node, node)


def _operation(sign: str, left: Tree, right: Tree) -> Tree:
    return _one(Operation(sign, left, right, _together(left, right)), (left, right))  # type: ignore[no-any-return]


def _together(*parts: Tree) -> Moves:
    return Moves(any(each.moves.down for each in parts), any(each.moves.right for each in parts))


def tree(parts: tuple[Token, ...]) -> Tree:
    """Put the parts of a formula together by what binds first (ECMA-376 part 1, 18.17.2).

    Raises:
        NotFollowed: they are no formula
    """
    reader = _Reader(parts)
    made = reader.operation(0)
    reader.take(_END)
    return made


class _Reader:
    def __init__(self, parts: tuple[Token, ...]) -> None:
        self._parts, self._at = (*parts, _END), 0
        self.next: Token = self._parts[0]

    def take(self, wanted: str | None = None) -> Token:
        token = self.next
        if wanted is not None and token != wanted:
            raise NotFollowed(f"{token} in place of {wanted}")
        self._at += 1
        self.next = self._parts[self._at] if token != _END else _END
        return token

    def operation(self, above: int) -> Tree:
        """An operand, and what follows it that binds more than what stands before it."""
        left = self.signed()
        while self.next.__class__ is str and _BINDS.get(str(self.next), 0) > above:
            sign = str(self.take())
            left = _operation(sign, left, self.operation(_BINDS[sign]))
        return left

    def signed(self) -> Tree:
        """An operand with the signs before and behind it; a minus before it binds more than a power."""
        if self.next == "-":
            self.take()
            return _operation("-", _one(_number(0.0)), self.signed())
        made = self.operand()
        while self.next == "%":
            self.take()
            made = _operation("/", made, _one(_number(100.0)))
        return made

    def operand(self) -> Tree:
        token = self.take()
        if not isinstance(token, str):
            return _one(token)  # type: ignore[no-any-return]
        if token == "(":
            made = self.operation(0)
            self.take(")")
            return made
        if not token.isalpha():
            raise NotFollowed(token)
        self.take("(")
        arguments = []
        while self.next != ")":
            arguments.append(self.operation(0))
            if self.next != ")":
                self.take(",")
        self.take(")")
        return _one(Call(token, tuple(arguments), _together(*arguments)), tuple(arguments))  # type: ignore[no-any-return]
