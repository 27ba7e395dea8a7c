"""What formulas give where the cells that they read show what they show.

A formula is compiled once for all cells that it was copied to, and calculated for all of them in one go, column by
column: what many formulas of a table ask is calculated once. Nothing is put in an order: a cell counts with the value
that it shows, which proves quickly that a book shows what its formulas give; :mod:`sheetgen.xlsx.calculated` calculates
whole books with them. A cell whose formula gives an error has a :class:`~sheetgen.xlsx.functions.Failed` in its place.
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
    sound,
)  # fmt: skip
from sheetgen.xlsx.model import Value

Area = tuple[str, int, int, int, int]  # sheet, first row and column, last row and column
Shown = list[Any]  # a value of each row, or Failed
_MOST = 60_000  # compiled parts of formulas that are kept


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

    def column(self, sheet: str, column: int) -> list[Value]:
        """A column down to the last row of its sheet in which anything stands."""
        found: list[Value] | None = self.known.get((sheet, column))
        if found is None:
            cells = self.sheets[sheet]
            found = [cells.get((row, column)) for row in range(self._heights[sheet])]
            self.known[sheet, column] = found
        return found

    def at(self, sheet: str, rows: Sequence[int], column: int) -> Shown:
        """The values in some rows of a column."""
        values = self.column(sheet, column)
        if min(rows) >= 0 and max(rows) < len(values):
            return [values[row] for row in rows]
        return [values[row] if 0 <= row < len(values) else None for row in rows]

    def listed(self, area: Area) -> list[Value]:
        """The values of a range, line by line."""
        sheet, top, left, bottom, right = area
        if left == right:
            column = self.column(sheet, left)
            return column[top : bottom + 1] + [None] * (bottom + 1 - max(top, len(column)))
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


class Rows:
    """The rows that a formula is calculated for.

    Attributes:
        rows: counted from 0, rising
        known: what was calculated for them and is asked again, by its formula
    """

    __slots__ = ("_at", "_parts", "_whole", "known", "rows")

    def __init__(self, rows: Sequence[int], whole: Rows | None = None, at: Sequence[int] = ()) -> None:
        self.rows, self.known = rows, dict[Any, Shown]()
        self._whole, self._at, self._parts = whole, at, dict[Any, Rows]()

    def part(self, why: Any, at: Sequence[int]) -> Rows:
        """Some of them, by their places among these; those that were parted for the same reason before are the same."""
        if why not in self._parts:
            self._parts[why] = Rows([self.rows[each] for each in at], self, at)
        return self._parts[why]

    def calculated(self, formula: Formula) -> Shown | None:
        """What a formula gave for them, alone or among others."""
        found = self.known.get(formula)
        if found is None and self._whole is not None:
            found = self._whole.calculated(formula)
            if found is not None:
                found = self.known[formula] = [found[each] for each in self._at]
        return found


Formula = Callable[[Values, Rows, int], Shown]  # of the rows in a column


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
    if len(_kept) > _MOST:
        _kept.clear()
    return _value(tree(parts))


def _each(function: Callable[..., Any], *columns: Shown) -> Shown:
    """A function of each row's values; an error in its row."""
    try:
        return list(map(function, *columns))
    except Failed:
        return [_tried(function, *row) for row in zip(*columns, strict=True)]


def _tried(function: Callable[..., Any], *values: Any) -> Any:
    try:
        return function(*values)
    except Failed as failed:
        return failed


def _at(corner: Corner) -> Callable[[int, int], tuple[int, int]]:
    row, down, column, right = corner
    return lambda r, c: (r + row if down else row, c + column if right else column)


def _area(node: Tree) -> Callable[[Rows, int], list[Area]]:
    """Where a range lies, for each row that asks."""
    if not isinstance(node, Reference):
        raise NotFollowed("a list that is no range")
    first, last, sheet = _at(node.first), _at(node.last or node.first), node.sheet
    if not any(node.moves):
        always = (sheet, *first(0, 0), *last(0, 0))
        return lambda rows, _c: [always] * len(rows.rows)
    return lambda rows, c: [(sheet, *first(r, c), *last(r, c)) for r in rows.rows]


# A part of formulas, its formula, and how often it was asked for: equal parts are one object, see the tree.
_kept: dict[int, tuple[Tree, Formula, list[int]]] = {}


def _value(node: Tree) -> Formula:
    kept = _kept.get(id(node))
    if kept is None:
        made, uses = _made(node), [0]
        if isinstance(node, Operation | Call) and not node.moves.right:
            made = _shared(made, uses)
        kept = _kept[id(node)] = (node, made, uses)
    kept[2][0] += 1
    return kept[1]


def _shared(made: Formula, uses: list[int]) -> Formula:
    """What several formulas hold is calculated once for the same rows."""

    def shared(b: Values, rows: Rows, c: int) -> Shown:
        if uses[0] < 2:
            return made(b, rows, c)
        found = rows.calculated(shared)
        if found is None:
            found = rows.known[shared] = made(b, rows, c)
        return found

    return shared


def _made(node: Tree) -> Formula:
    if isinstance(node, Constant):
        value = node.value
        return lambda _b, rows, _c: [value] * len(rows.rows)
    if isinstance(node, Reference):
        return _cell(node)
    if isinstance(node, Operation):
        return _operation(node)
    if node.name in _CHOOSING:
        return _CHOOSING[node.name](*node.arguments)
    if node.name in FUNCTIONS:
        return _plain(FUNCTIONS[node.name], [_value(each) for each in node.arguments])
    made = _of_ranges(node)
    return made if any(node.moves) else _always(made)


def _always(formula: Formula) -> Formula:
    return lambda b, rows, _c: b.once(formula, lambda: formula(b, Rows([0]), 0)) * len(rows.rows)


def _cell(node: Reference) -> Formula:
    if node.last is not None:
        raise NotFollowed("a range in the place of a value")
    sheet, (row, down, column, right) = node.sheet, node.first

    def shown(b: Values, rows: Rows, c: int) -> Shown:
        across = c + column if right else column
        if down:
            return b.at(sheet, [row + each for each in rows.rows], across)
        return b.at(sheet, [row], across) * len(rows.rows)

    return shown


def _operation(node: Operation) -> Formula:
    calculate, left, right = OPERATORS[node.sign], _value(node.left), _value(node.right)
    if node.sign in ("=", "<>") and isinstance(node.right, Constant) and node.right.value == "":
        return _blank(left, node.sign == "=")
    return lambda b, rows, c: _each(calculate, left(b, rows, c), right(b, rows, c))


def _blank(value: Formula, wanted: bool) -> Formula:
    """Whether nothing stands there, or whether something does."""

    def asked(b: Values, rows: Rows, c: int) -> Shown:
        return [
            each if each.__class__ is Failed else (each is None or each == "") is wanted
            for each in value(b, rows, c)
        ]

    return asked


def _plain(function: Callable[..., Value], arguments: Sequence[Formula]) -> Formula:
    if not arguments:
        return lambda _b, rows, _c: [function()] * len(rows.rows)
    if len(arguments) == 1:
        (only,) = arguments
        return lambda b, rows, c: _each(function, only(b, rows, c))
    return lambda b, rows, c: _each(function, *[each(b, rows, c) for each in arguments])


def _of_ranges(node: Call) -> Formula:
    if node.name in OF_LISTS:
        function, lists = OF_LISTS[node.name], [_list(each) for each in node.arguments]
        return lambda b, rows, c: _each(
            lambda *each: function(numbers([value for values in each for value in sound(values)])),
            *[each(b, rows, c) for each in lists],
        )
    if node.name not in _RANGES:
        raise NotFollowed(node.name)
    return _RANGES[node.name](*node.arguments)


def _refers(node: Tree) -> bool:
    return isinstance(node, Reference) or (isinstance(node, Call) and node.name == "INDEX")


def _alone(value: Any) -> list[Any]:
    return [sound(value)]


def _calculated(value: Any) -> list[Any]:
    return [as_number(value) * 1]


def _list(node: Tree) -> Formula:
    """The values of an argument of a function of lists; a text that is calculated, and no cell's, is no number."""
    if isinstance(node, Reference) and node.last is not None:
        area = _area(node)
        return lambda b, rows, c: [b.listed(each) for each in area(rows, c)]
    value, listed = _value(node), _alone if _refers(node) else _calculated
    return lambda b, rows, c: _each(listed, value(b, rows, c))


def _truths(column: Shown) -> Shown:
    return column if set(map(type, column)) == {bool} else _each(as_truth, column)


def _split(truths: Shown) -> dict[bool, list[int]]:
    """The places of what is true, and of what is not; errors are neither."""
    return {way: [at for at, truth in enumerate(truths) if truth is way] for way in (True, False)}


_FALSE = Constant(False, "truth")


def _if(condition: Tree, then: Tree, otherwise: Tree = _FALSE) -> Formula:
    test = _value(condition)
    ways: dict[bool, Formula] = {}  # compiled when they are first taken: of many formulas most never are

    def chosen(b: Values, rows: Rows, c: int) -> Shown:
        truths = _truths(test(b, rows, c))
        whole = list(truths)
        for way, at in _split(truths).items():
            if at and way not in ways:
                ways[way] = _value(then if way else otherwise)
            if len(at) == len(whole):
                return ways[way](b, rows, c)
            _put(whole, at, ways.get(way), (test, way, c), b, rows, c)
        return whole

    return chosen


def _put(
    whole: Shown, at: Sequence[int], formula: Formula | None, why: Any, b: Values, rows: Rows, c: int
) -> None:
    """Put in what a formula gives for some of the rows; nothing is asked where there are none."""
    if at and formula:
        for place, value in zip(at, formula(b, rows.part(why, at), c), strict=True):
            whole[place] = value


def _all(*values: Any) -> bool:
    return not [1 for each in values if not as_truth(each)]


def _any(*values: Any) -> bool:
    return bool([1 for each in values if as_truth(each)])


def _joined(quick: Callable[[Any], bool], sure: Callable[..., bool]) -> Callable[..., Formula]:
    def made(*conditions: Tree) -> Formula:
        tests = [_value(each) for each in conditions]

        def asked(b: Values, rows: Rows, c: int) -> Shown:
            columns = [each(b, rows, c) for each in tests]
            if all(set(map(type, column)) == {bool} for column in columns):
                return list(map(quick, zip(*columns, strict=True)))
            return _each(sure, *columns)

        return asked

    return made


def _iferror(node: Tree, otherwise: Tree) -> Formula:
    value, instead = _value(node), _value(otherwise)

    def tried(b: Values, rows: Rows, c: int) -> Shown:
        values = value(b, rows, c)
        if Failed not in map(type, values):
            return values
        whole = list(values)
        failed = [at for at, each in enumerate(values) if each.__class__ is Failed]
        _put(whole, failed, instead, (tried, c), b, rows, c)
        return whole

    return tried


def _isnumber(node: Tree) -> Formula:
    value = _value(node)
    return lambda b, rows, c: [each.__class__ in NUMBERS for each in value(b, rows, c)]


def _isna(node: Tree) -> Formula:
    value = _value(node)
    return lambda b, rows, c: [
        each.__class__ is Failed and each.args[0] == "#N/A" for each in value(b, rows, c)
    ]


def _choose(number: Tree, *choices: Tree) -> Formula:
    which, values = _value(number), [_value(each) for each in choices]

    def place(value: Any) -> int:
        at = int(as_number(value))
        if not 1 <= at <= len(values):
            raise Failed("#VALUE!")
        return at

    def chosen(b: Values, rows: Rows, c: int) -> Shown:
        whole = _each(place, which(b, rows, c))
        for number, at in _by_value(whole).items():
            _put(whole, at, values[number - 1], (chosen, number, c), b, rows, c)
        return whole

    return chosen


def _by_value(values: Shown) -> dict[int, list[int]]:
    found: dict[int, list[int]] = {}
    for at, value in enumerate(values):
        if value.__class__ is int:
            found.setdefault(value, []).append(at)
    return found


def _index(table: Tree, row: Tree, column: Tree | None = None) -> Formula:
    area, down = _area(table), _value(row)
    right = _value(column) if column is not None else None
    quick = isinstance(table, Reference) and table.last is not None and not any(table.moves) and right is None

    def taken(b: Values, rows: Rows, c: int) -> Shown:
        areas, lines = area(rows, c), down(b, rows, c)
        if quick and areas[0][2] == areas[0][4] and set(map(type, lines)) <= NUMBERS:
            sheet, top, left, bottom, _right = areas[0]
            places = [top + int(line) - 1 for line in lines]
            if min(places) >= top < bottom >= max(places):
                return b.at(sheet, places, left)
        across = right(b, rows, c) if right else [None] * len(lines)
        return _each(lambda *asked: _indexed(b, *asked), areas, lines, across)

    return taken


def _indexed(b: Values, area: Area, down: Any, right: Any) -> Value:
    sheet, top, left, bottom, last = area
    line, place = int(as_number(down)), 1 if right is None else int(as_number(right))
    if right is None and top == bottom:
        line, place = 1, line
    if line < 1 or place < 1:
        raise NotFollowed("a whole line of a table")
    if line > bottom - top + 1 or place > last - left + 1:
        raise Failed("#REF!")
    return b.sheets[sheet].get((top + line - 1, left + place - 1))


def _match(wanted: Tree, table: Tree, way: Tree) -> Formula:
    value, area = _value(wanted), _area(table)
    if way != Constant(0.0, "number"):
        raise NotFollowed("a match that is not exact")
    return lambda b, rows, c: _each(lambda *asked: _matched(b, *asked), value(b, rows, c), area(rows, c))


def _matched(b: Values, wanted: Any, where: Area) -> int:
    sought = sound(wanted)
    if isinstance(sought, str) and not set("*?~").isdisjoint(sought):
        raise NotFollowed("a match that programs make in several ways")
    places = b.once(("places", where), lambda: b.places(where)).get(key(sought or 0) if sought != "" else "")
    if not places:
        raise Failed("#N/A")
    return int(places[0] + 1)


def _lookup(wanted: Tree, among: Tree, results: Tree | None = None) -> Formula:
    """Of numbers that rise: the last one that is not above the one that is sought."""
    value, area, answers = _value(wanted), _area(among), _area(results or among)
    return lambda b, rows, c: _each(
        lambda *asked: _looked_up(b, *asked), value(b, rows, c), area(rows, c), answers(rows, c)
    )


def _looked_up(b: Values, wanted: Any, among: Area, answers: Area) -> Value:
    sought, values = sound(wanted), b.list_of(among)
    rising = b.once(("rising", among), lambda: numbers(values))
    if sought.__class__ not in NUMBERS or rising != values[: len(rising)]:
        raise NotFollowed("a lookup that programs make in several ways")
    at = bisect_right(rising, sought) - 1
    if at < 0:
        raise Failed("#N/A")
    sheet, top, left, bottom, _right = answers
    return b.sheets[sheet].get((top + at, left) if bottom > top else (top, left + at))


def _rows(arguments: Sequence[Tree]) -> Formula:
    """The rows of ranges that meet criteria, given in turn."""
    pairs = [
        (_area(area), _value(wanted)) for area, wanted in zip(arguments[::2], arguments[1::2], strict=True)
    ]

    def asked(b: Values, rows: Rows, c: int) -> Shown:
        columns: list[Shown] = []
        for area, value in pairs:
            columns += [area(rows, c), value(b, rows, c)]
        return _each(lambda *given: _meeting(b, given), *columns)

    return asked


def _meeting(b: Values, given: Sequence[Any]) -> Sequence[int]:
    asked = [(area, *criterion(sound(wanted))) for area, wanted in zip(given[::2], given[1::2], strict=True)]
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


def _countifs(*arguments: Tree) -> Formula:
    meeting = _rows(arguments)
    return lambda b, rows, c: _each(lambda found: len(sound(found)), meeting(b, rows, c))


def _sumifs(summed: Tree, *arguments: Tree) -> Formula:
    area, meeting = _area(summed), _rows(arguments)

    def added(b: Values, rows: Rows, c: int) -> Shown:
        lists = [b.list_of(each) for each in area(rows, c)]
        return _each(
            lambda values, found: fsum(numbers([values[row] for row in sound(found)])),
            lists,
            meeting(b, rows, c),
        )

    return added


def _counted(*lists: Any) -> int:
    return sum(value is not None for each in lists for value in sound(each))


def _counta(*arguments: Tree) -> Formula:
    lists = [_list(each) for each in arguments]
    return lambda b, rows, c: _each(_counted, *[each(b, rows, c) for each in lists])


def _size(first: int, last: int) -> Callable[[Tree], Formula]:
    def counting(table: Tree) -> Formula:
        area = _area(table)
        return lambda _b, rows, c: [each[last] - each[first] + 1 for each in area(rows, c)]  # type: ignore[operator]

    return counting


def _array(node: Tree) -> Formula:
    """A list where a range stands in it, else a value."""
    if isinstance(node, Reference) and node.last is not None:
        area = _area(node)
        return lambda b, rows, c: [b.list_of(each) for each in area(rows, c)]
    if not isinstance(node, Operation):
        return _value(node)
    calculate, left, right = _of_lists(node), _array(node.left), _array(node.right)

    def made(b: Values, rows: Rows, c: int) -> Shown:
        return _each(calculate, left(b, rows, c), right(b, rows, c))

    return made if any(node.moves) else _always(made)


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


def _summed(values: Any) -> float:
    return fsum(numbers(values if isinstance(values, list) else [sound(values)]))


def _sumproduct(*arguments: Tree) -> Formula:
    if len(arguments) != 1:
        raise NotFollowed("a product of several lists")
    whole = _array(arguments[0])
    return lambda b, rows, c: _each(_summed, whole(b, rows, c))


# Functions that do not look at all of their arguments, or take errors and blanks as they are.
_CHOOSING: dict[str, Callable[..., Formula]] = {
    "IF": _if, "AND": _joined(all, _all), "OR": _joined(any, _any), "IFERROR": _iferror, "ISNUMBER": _isnumber,
    "ISNA": _isna, "CHOOSE": _choose, "COUNTA": _counta,
}  # fmt: skip
_RANGES: dict[str, Callable[..., Formula]] = {
    "INDEX": _index, "MATCH": _match, "LOOKUP": _lookup, "COUNTIF": _countifs, "COUNTIFS": _countifs,
    "SUMIFS": _sumifs, "ROWS": _size(1, 3), "COLUMNS": _size(2, 4), "SUMPRODUCT": _sumproduct,
}  # fmt: skip
