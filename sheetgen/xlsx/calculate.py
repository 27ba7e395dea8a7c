"""What one formula gives where the cells that it reads show what they show.

Formulas are compiled once for all cells that they were copied to, into functions of the values of a workbook and the
cell. Nothing is put in an order: a cell counts with the value that it shows. This is for proving that a book shows what
its formulas give, quickly; :mod:`sheetgen.xlsx.results` calculates books.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Callable, Mapping, Sequence
from functools import lru_cache
from math import fsum
from operator import mul
from typing import Any

from sheetgen.xlsx.formula_tree import (
    Call,
    Constant,
    Corner,
    NotFollowed,
    Operation,
    Reference,
    Token,
    Tree,
    tokens,
    tree,
)  # fmt: skip
from sheetgen.xlsx.functions import (
    FUNCTIONS,
    NUMBERS,
    OF_LISTS,
    OPERATORS,
    RISING,
    TESTS,
    Failed,
    as_number,
    as_truth,
    criterion,
    key,
    numbers,
    passing,
)  # fmt: skip
from sheetgen.xlsx.model import Value

Area = tuple[str, int, int, int, int]  # sheet, first row and column, last row and column


class Values:
    """What the cells of a workbook show, by the name of the sheet and the cell; None, or nothing, for a blank."""

    def __init__(self, sheets: Mapping[str, Mapping[tuple[int, int], Value]]) -> None:
        self.sheets = sheets
        self.known: dict[Any, Any] = {}  # what is the same for every formula that asks
        self._heights = {
            name: max((row for row, _ in cells), default=0) + 1 for name, cells in sheets.items()
        }

    def once(self, asked: Any, make: Callable[[], Any]) -> Any:
        """What was asked before, or now."""
        if asked not in self.known:
            self.known[asked] = make()
        return self.known[asked]

    def listed(self, area: Area) -> list[Value]:
        """The values of a range, line by line."""
        sheet, top, left, bottom, right = area
        if left == right:
            column = self.once((sheet, left), lambda: self._column(sheet, left))
            return column[top : bottom + 1] + [None] * (bottom + 1 - max(top, len(column)))  # type: ignore[no-any-return]
        cells = self.sheets[sheet]
        return [
            cells.get((row, column)) for row in range(top, bottom + 1) for column in range(left, right + 1)
        ]

    def list_of(self, area: Area) -> list[Value]:
        """The same, of a range that many formulas read."""
        return self.once(("listed", area), lambda: self.listed(area))  # type: ignore[no-any-return]

    def rising(self, area: Area, rows: Sequence[int]) -> tuple[list[float], list[int]]:
        """The numbers that stand in some rows of a range, from the least on, and their rows."""
        values = self.list_of(area)
        pairs = sorted((values[row], row) for row in rows if values[row].__class__ in NUMBERS)
        return [value for value, _ in pairs], [row for _, row in pairs]  # type: ignore[misc]

    def _column(self, sheet: str, column: int) -> list[Value]:
        cells = self.sheets[sheet]
        return [cells.get((row, column)) for row in range(self._heights[sheet])]

    def places(self, area: Area) -> dict[object, list[int]]:
        """Where in a range each value stands."""
        found: dict[object, list[int]] = {}
        for at, value in enumerate(self.listed(area)):
            found.setdefault(key(value), []).append(at)
        return found

    def equal(self, wanted: tuple[tuple[Area, object], ...]) -> list[int]:
        """The places that have a value in each of several ranges."""
        area, value = wanted[-1]
        at = self.once(("places", area), lambda: self.places(area))
        here = at.get(value, [])
        if value == "":
            here = sorted(here + at.get(None, []))
        if len(wanted) == 1:
            return list(here)
        before = set(self.once(wanted[:-1], lambda: self.equal(wanted[:-1])))
        return [each for each in here if each in before]


Formula = Callable[[Values, int, int], Value]


@lru_cache(maxsize=8192)
def compiled(formula: str, sheet: str, row: int, column: int) -> Formula:
    """Compile a formula of a cell, for this and for every cell that it was copied to.

    Args:
        formula: with its leading "="
        sheet: the name of the sheet that it stands on
        row, column: the cell, counted from 0

    Raises:
        NotFollowed: it is written in what is not known here
    """
    return _of_tokens(tokens(formula, sheet, row, column))


@lru_cache(maxsize=8192)
def _of_tokens(parts: tuple[Token, ...]) -> Formula:
    return _value(tree(parts))


def _at(corner: Corner) -> Callable[[int, int], tuple[int, int]]:
    row, down, column, right = corner
    if not (down or right):
        return lambda _r, _c: (row, column)
    if not right:
        return lambda r, _c: (r + row, column)
    return lambda r, c: (r + row if down else row, c + column)


def _area(node: Tree) -> Callable[[int, int], Area]:
    """Where a range lies, for the cell that asks."""
    if not isinstance(node, Reference):
        raise NotFollowed("a list that is no range")
    first, last, sheet = _at(node.first), _at(node.last or node.first), node.sheet
    if _fixed(node):
        always = (sheet, *first(0, 0), *last(0, 0))
        return lambda _r, _c: always
    return lambda r, c: (sheet, *first(r, c), *last(r, c))


def _fixed(node: Tree) -> bool:
    """Whether it gives the same in every cell."""
    if isinstance(node, Reference):
        return not any(
            corner.moves_down or corner.moves_right for corner in (node.first, node.last or node.first)
        )
    if isinstance(node, Operation):
        return _fixed(node.left) and _fixed(node.right)
    return not isinstance(node, Call) or all(map(_fixed, node.arguments))


def _value(node: Tree) -> Formula:
    if isinstance(node, Constant):
        value = node.value
        return lambda _b, _r, _c: value
    if isinstance(node, Reference):
        return _cell(node)
    if isinstance(node, Operation):
        return _operation(node)
    if node.name in _LAZY:
        return _LAZY[node.name](*node.arguments)
    if node.name in FUNCTIONS:
        return _plain(FUNCTIONS[node.name], [_value(each) for each in node.arguments])
    made = _of_ranges(node)
    return _always(made) if _fixed(node) else made


def _always(formula: Formula) -> Formula:
    return lambda b, _r, _c: b.once(formula, lambda: formula(b, 0, 0))


def _cell(node: Reference) -> Formula:
    if node.last is not None:
        raise NotFollowed("a range in the place of a value")
    sheet, (row, down, column, right) = node.sheet, node.first
    if right:
        at = _at(node.first)
        return lambda b, r, c: b.sheets[sheet].get(at(r, c))
    if down:
        return lambda b, r, _c: b.sheets[sheet].get((r + row, column))
    place = (row, column)
    return lambda b, _r, _c: b.sheets[sheet].get(place)


def _operation(node: Operation) -> Formula:
    calculate, left, right = OPERATORS[node.sign], _value(node.left), _value(node.right)
    if node.sign in ("=", "<>") and isinstance(node.right, Constant) and node.right.value == "":
        equal = node.sign == "="
        return lambda b, r, c: (left(b, r, c) in ("", None)) is equal
    return lambda b, r, c: calculate(left(b, r, c), right(b, r, c))


def _plain(function: Callable[..., Value], arguments: Sequence[Formula]) -> Formula:
    if len(arguments) == 1:
        (only,) = arguments
        return lambda b, r, c: function(only(b, r, c))
    if len(arguments) == 2:
        first, second = arguments
        return lambda b, r, c: function(first(b, r, c), second(b, r, c))
    return lambda b, r, c: function(*[each(b, r, c) for each in arguments])


def _of_ranges(node: Call) -> Formula:
    if node.name in OF_LISTS:
        function, lists = OF_LISTS[node.name], [_list(each) for each in node.arguments]
        return lambda b, r, c: function(numbers([value for each in lists for value in each(b, r, c)]))
    if node.name not in _RANGES:
        raise NotFollowed(node.name)
    return _RANGES[node.name](*node.arguments)


def _refers(node: Tree) -> bool:
    return isinstance(node, Reference) or (isinstance(node, Call) and node.name == "INDEX")


def _list(node: Tree) -> Callable[[Values, int, int], list[Value]]:
    """The values of an argument of a function of lists; a text that is calculated, and no cell's, is no number."""
    if isinstance(node, Reference) and node.last is not None:
        area = _area(node)
        return lambda b, r, c: b.listed(area(r, c))
    value = _value(node)
    if _refers(node):
        return lambda b, r, c: [value(b, r, c)]
    return lambda b, r, c: [as_number(value(b, r, c)) * 1]


_FALSE = Constant(False, "truth")


def _if(condition: Tree, then: Tree, otherwise: Tree = _FALSE) -> Formula:
    test = _value(condition)
    ways: dict[bool, Formula] = {}  # compiled when they are first taken: of many formulas most never are

    def chosen(b: Values, r: int, c: int) -> Value:
        way = as_truth(test(b, r, c))
        if way not in ways:
            ways[way] = _value(then if way else otherwise)
        return ways[way](b, r, c)

    return chosen


def _and(*conditions: Tree) -> Formula:
    tests = [_value(each) for each in conditions]
    return lambda b, r, c: not [1 for each in tests if not as_truth(each(b, r, c))]


def _or(*conditions: Tree) -> Formula:
    tests = [_value(each) for each in conditions]
    return lambda b, r, c: bool([1 for each in tests if as_truth(each(b, r, c))])


def _iferror(node: Tree, otherwise: Tree) -> Formula:
    value, instead = _value(node), _value(otherwise)

    def tried(b: Values, r: int, c: int) -> Value:
        try:
            return value(b, r, c)
        except Failed:
            return instead(b, r, c)

    return tried


def _isnumber(node: Tree) -> Formula:
    value = _value(node)

    def asked(b: Values, r: int, c: int) -> bool:
        try:
            return value(b, r, c).__class__ in NUMBERS
        except Failed:
            return False

    return asked


def _isna(node: Tree) -> Formula:
    value = _value(node)

    def asked(b: Values, r: int, c: int) -> bool:
        try:
            value(b, r, c)
        except Failed as failed:
            return failed.args[0] == "#N/A"  # type: ignore[no-any-return]
        return False

    return asked


def _choose(number: Tree, *choices: Tree) -> Formula:
    which, values = _value(number), [_value(each) for each in choices]

    def chosen(b: Values, r: int, c: int) -> Value:
        at = int(as_number(which(b, r, c)))
        if not 1 <= at <= len(values):
            raise Failed("#VALUE!")
        return values[at - 1](b, r, c)

    return chosen


def _index(table: Tree, row: Tree, column: Tree | None = None) -> Formula:
    area, down = _area(table), _value(row)
    right = _value(column) if column is not None else None

    def taken(b: Values, r: int, c: int) -> Value:
        sheet, top, left, bottom, last = area(r, c)
        line = int(as_number(down(b, r, c)))
        place = int(as_number(right(b, r, c))) if right else 1
        if right is None and top == bottom:
            line, place = 1, line
        if line < 1 or place < 1:
            raise NotFollowed("a whole line of a table")
        if line > bottom - top + 1 or place > last - left + 1:
            raise Failed("#REF!")
        return b.sheets[sheet].get((top + line - 1, left + place - 1))

    return taken


def _match(wanted: Tree, table: Tree, way: Tree) -> Formula:
    value, area = _value(wanted), _area(table)
    if way != Constant(0.0, "number"):
        raise NotFollowed("a match that is not exact")

    def found(b: Values, r: int, c: int) -> Value:
        sought, where = value(b, r, c), area(r, c)
        if isinstance(sought, str) and not set("*?~").isdisjoint(sought):
            raise NotFollowed("a match that programs make in several ways")
        places = b.once(("places", where), lambda: b.places(where)).get(
            key(sought or 0) if sought != "" else ""
        )
        if not places:
            raise Failed("#N/A")
        return int(places[0] + 1)

    return found


def _lookup(wanted: Tree, among: Tree, results: Tree | None = None) -> Formula:
    """Of numbers that rise: the last one that is not above the one that is sought."""
    value, area, answers = _value(wanted), _area(among), _area(results or among)

    def found(b: Values, r: int, c: int) -> Value:
        sought, values = value(b, r, c), b.list_of(area(r, c))
        rising = b.once(("rising", area(r, c)), lambda: numbers(values))
        if sought.__class__ not in NUMBERS or rising != values[: len(rising)]:
            raise NotFollowed("a lookup that programs make in several ways")
        at = bisect_right(rising, sought) - 1
        if at < 0:
            raise Failed("#N/A")
        sheet, top, left, bottom, _right = answers(r, c)
        return b.sheets[sheet].get((top + at, left) if bottom > top else (top, left + at))

    return found


def _rows(arguments: Sequence[Tree]) -> Callable[[Values, int, int], Sequence[int]]:
    """The rows of ranges that meet criteria, given in turn."""
    pairs = [
        (_area(area), _value(wanted)) for area, wanted in zip(arguments[::2], arguments[1::2], strict=True)
    ]

    def meeting(b: Values, r: int, c: int) -> Sequence[int]:
        asked = [(area(r, c), *criterion(value(b, r, c))) for area, value in pairs]
        same = tuple((area, key(value)) for area, sign, value in asked if sign == "=")
        _sheet, top, left, bottom, right = asked[0][0]
        rows: Sequence[int] = range((bottom - top + 1) * (right - left + 1))
        if same:
            rows = b.once(same, lambda: b.equal(same))
        other = [each for each in asked if each[1] != "="]
        if other and other[0][1] in RISING:
            (area, sign, value), *other = other
            rising = b.once((same, area), lambda: b.rising(area, rows))
            rows = RISING[sign](rising, value)
        for area, sign, value in other:
            rows = passing(b.list_of(area), rows, sign, key(value))
        return rows

    return meeting


def _countifs(*arguments: Tree) -> Formula:
    rows = _rows(arguments)
    return lambda b, r, c: len(rows(b, r, c))


def _sumifs(summed: Tree, *arguments: Tree) -> Formula:
    area, rows = _area(summed), _rows(arguments)

    def added(b: Values, r: int, c: int) -> float:
        values = b.list_of(area(r, c))
        return fsum(numbers([values[row] for row in rows(b, r, c)]))

    return added


def _counta(*arguments: Tree) -> Formula:
    lists = [_list(each) for each in arguments]
    return lambda b, r, c: sum(value is not None for each in lists for value in each(b, r, c))


def _size(first: int, last: int) -> Callable[[Tree], Formula]:
    def counting(table: Tree) -> Formula:
        area = _area(table)
        return lambda _b, r, c: area(r, c)[last] - area(r, c)[first] + 1  # type: ignore[operator]

    return counting


def _array(node: Tree) -> Callable[[Values, int, int], Any]:
    """A list where a range stands in it, else a value."""
    if isinstance(node, Reference) and node.last is not None:
        area = _area(node)
        return lambda b, r, c: b.list_of(area(r, c))
    if not isinstance(node, Operation):
        return _value(node)
    calculate, left, right = _of_lists(node), _array(node.left), _array(node.right)

    def made(b: Values, r: int, c: int) -> Any:
        return calculate(left(b, r, c), right(b, r, c))

    return (lambda b, _r, _c: b.once(made, lambda: made(b, 0, 0))) if _fixed(node) else made


def _of_lists(node: Operation) -> Callable[[Any, Any], Any]:
    """An operation of lists and values; the product of what is surely numbers at the speed of a list."""
    calculate, test = OPERATORS[node.sign], TESTS.get(node.sign)
    of_numbers = node.sign == "*" and isinstance(node.left, Operation) and isinstance(node.right, Operation)

    def made(first: Any, second: Any) -> Any:
        if not isinstance(first, list):
            return (
                [calculate(first, each) for each in second]
                if isinstance(second, list)
                else calculate(first, second)
            )
        if not isinstance(second, list):
            if test is None or second.__class__ is not float:
                return [calculate(each, second) for each in first]
            return [(test if each.__class__ is float else calculate)(each, second) for each in first]
        return list(map(mul if of_numbers else calculate, first, second))

    return made


def _sumproduct(*arguments: Tree) -> Formula:
    if len(arguments) != 1:
        raise NotFollowed("a product of several lists")
    whole = _array(arguments[0])

    def added(b: Values, r: int, c: int) -> float:
        values = whole(b, r, c)
        return fsum(numbers(values if isinstance(values, list) else [values]))

    return added


# Functions that do not look at all of their arguments, or take them as they are.
_LAZY: dict[str, Callable[..., Formula]] = {
    "IF": _if, "AND": _and, "OR": _or, "IFERROR": _iferror, "ISNUMBER": _isnumber, "ISNA": _isna, "CHOOSE": _choose,
    "INDEX": _index, "COUNTA": _counta,
}  # fmt: skip
_RANGES: dict[str, Callable[..., Formula]] = {
    "MATCH": _match, "LOOKUP": _lookup, "COUNTIF": _countifs, "COUNTIFS": _countifs, "SUMIFS": _sumifs,
    "ROWS": _size(1, 3), "COLUMNS": _size(2, 4), "SUMPRODUCT": _sumproduct,
}  # fmt: skip
