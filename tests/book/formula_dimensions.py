"""Dimension analysis of formulas: each is evaluated over units instead of numbers.

Addition, comparison and choice need equal units; multiplication and division combine them; the unit that comes out
must equal the declared one in dimension *and* scale, so that feet never stand for inches. Units are those that *pint*
defines. Not seen: whether a volume is hot or at the base temperature, and whether a temperature is a reading or a
difference.
"""

from __future__ import annotations

import re
from functools import cache
from typing import Any

from tests.book.formula_review import DECLARED, Reviewed, Written, declared_constant, reach, tree
from tests.book.formula_units import ANYTHING, NUMBER, TEXT, Kind, Kinds, kind_unit, unit

BLANK = "blank"  # the empty text "", which formulas show where there is no result
_SAME = {"SUM", "MIN", "MAX", "AVERAGE", "STDEV", "IFERROR"}  # one unit in, the same out
_FIRST = {"ROUND", "ROUNDUP", "ROUNDDOWN", "ABS", "INT", "N"}  # the unit of the first argument
_COUNTS = {"COUNT", "COUNTA", "ROWS", "COLUMNS", "ISNUMBER", "ISNA", "AND", "OR", "NOT", "FIND", "LEN"}
_TEXTS = {"LEFT", "RIGHT", "MID", "TRIM", "UPPER", "SUBSTITUTE", "REPT", "TEXT", "HYPERLINK"}
_DATES = {"YEAR", "MONTH", "DAY"}
_ANGLES = {"TAN", "COS"}


class UnitMix(Exception):
    """What a formula does that its units forbid."""


@cache
def same(first: Any, second: Any) -> bool:
    """Whether two units are one in dimension and in scale."""
    if first.dimensionality != second.dimensionality:
        return False
    return bool(abs((1 * first).to(second).magnitude - 1) < 1e-9)


def joined(first: Kind, second: Kind, what: str) -> Kind:
    """The kind of a value that is either of two; a blank or a text in a number's stead is no number."""
    for one, other in ((first, second), (second, first)):
        if one in (ANYTHING, BLANK, TEXT):
            return one if other == BLANK and one != BLANK else other
    if not same(first, second):
        raise UnitMix(f"{what} mixes {first or 'a number'} and {second or 'a number'}")
    return first


class Dimensions:
    """Evaluates the formulas of one book over units."""

    def __init__(self, review: Reviewed) -> None:
        self._review, self.kinds = review, Kinds(review)
        self._system = review.order.units
        self._written: Written

    def fault(self, written: Written) -> str | None:
        """What is wrong with a formula's units; None where nothing is."""
        self._written = written
        try:
            found = self._of(tree(written.formula))
        except UnitMix as mix:
            return str(mix)
        declared = self.kinds.of(written.sheet, written.row, written.col)
        if ANYTHING in (found, declared) or found == BLANK:
            return None
        if found == TEXT and written.place in DECLARED["written_out"]["places"]:
            return None
        if TEXT in (found, declared):
            return (
                None
                if found == declared
                else f"gives {found or 'a number'} where {declared or 'a number'} is declared"
            )
        return (
            None
            if same(found, declared)
            else f"gives {found or 'a number'} where {declared or 'a number'} is declared"
        )

    def undecided(self, written: Written) -> bool:
        """Whether a formula's unit cannot be told, so that its result passes for any."""
        self._written = written
        return bool(self._of(tree(written.formula)) == ANYTHING) or (
            self.kinds.of(written.sheet, written.row, written.col) == ANYTHING
        )

    def _of(self, node: dict[str, Any]) -> Kind:
        match node["node_type"]:
            case "Literal":
                return self._literal(node["value"])
            case "Reference":
                return self._reference(node["reference"])
            case "UnaryOp":
                return self._number(self._of(node["operand"]), node["operator"])
            case "BinaryOp":
                return self._binary(node["operator"], node["left"], node["right"])
            case "Function":
                return self._function(node["name"].upper(), node["args"])
        raise UnitMix(f"a {node['node_type']} is not known to this analysis")

    def _literal(self, value: Any) -> Kind:
        if isinstance(value, str):
            return TEXT if value else BLANK
        if value == 0:
            return ANYTHING
        declared = declared_constant(float(value), self._written.place)
        if declared is None or not declared[2]:
            return NUMBER
        return kind_unit(declared[2], self._system)

    def _reference(self, reference: str) -> Kind:
        reached = reach(reference, self._written.sheet)
        row = reached.first_row + self._review.list_ends(reached)
        columns = [(row, col) for col in range(reached.first_col, reached.last_col + 1)]
        kinds = [self.kinds.of(reached.sheet, *at) for at in columns]
        if all(kind is kinds[0] or kind == kinds[0] for kind in kinds):
            return kinds[0]
        return ("several", kinds)

    def _number(self, kind: Kind, what: str) -> Kind:
        """A kind that arithmetic may take."""
        if kind == TEXT or isinstance(kind, tuple):
            raise UnitMix(f"{what} takes a text, or columns of several units, for a number")
        return ANYTHING if kind == BLANK else kind

    def _binary(self, operator: str, left: dict[str, Any], right: dict[str, Any]) -> Kind:
        first, second = self._of(left), self._of(right)
        if operator == "&":
            return TEXT
        if operator in ("=", "<>", "<", ">", "<=", ">="):
            self._compare(operator, first, second)
            return NUMBER
        first, second = self._number(first, operator), self._number(second, operator)
        if operator in ("+", "-"):
            return joined(first, second, operator)
        if operator == "^":
            return self._power(first, second, right)
        if ANYTHING in (first, second):
            return ANYTHING
        return first * second if operator == "*" else first / second

    def _compare(self, operator: str, first: Kind, second: Kind) -> None:
        if TEXT in (first, second) and not {first, second} <= {TEXT, BLANK, ANYTHING}:
            raise UnitMix(f"{operator} compares a text with a number")
        joined(first, second, operator)

    def _power(self, base: Kind, exponent: Kind, right: dict[str, Any]) -> Kind:
        if base == ANYTHING or same(base, NUMBER):
            return base
        if right["node_type"] != "Literal":
            raise UnitMix("a quantity is raised to a power that is no fixed number")
        return base ** right["value"]

    def _function(self, name: str, arguments: list[dict[str, Any]]) -> Kind:
        if name in ("SUMIFS", "COUNTIF", "COUNTIFS"):
            return self._conditional(name, arguments)
        kinds = [self._of(argument) for argument in arguments]
        if name in _COUNTS:
            return NUMBER
        if name in _TEXTS:
            return TEXT
        if name in _FIRST:
            return ANYTHING if name == "N" and kinds[0] == TEXT else self._number(kinds[0], name)
        if name == "IF":
            return self._choice(name, kinds[1:])
        if name == "CHOOSE":
            return self._choice(name, kinds[1:])
        if name in _SAME:
            return self._choice(name, kinds)
        return self._other(name, kinds, arguments)

    def _other(self, name: str, kinds: list[Kind], arguments: list[dict[str, Any]]) -> Kind:
        if name == "PI":
            return NUMBER
        if name == "VALUE":
            return ANYTHING  # digits out of a text: what they count is told by no unit
        if name == "SQRT":
            return kinds[0] if kinds[0] == ANYTHING else self._number(kinds[0], name) ** 0.5
        if name in _ANGLES or name == "ACOS":
            joined(self._number(kinds[0], name), NUMBER, name)
            return NUMBER
        if name in _DATES:
            joined(self._number(kinds[0], name), unit("day"), name)
            return NUMBER
        if name == "DATE":
            for kind in kinds:
                joined(self._number(kind, name), NUMBER, name)
            return unit("day")
        if name == "MATCH":
            self._compare(name, kinds[0], self._one(kinds[1], name))
            return NUMBER
        if name == "LOOKUP":
            self._compare(name, kinds[0], kinds[1])
            return kinds[-1]
        if name == "INDEX":
            for kind in kinds[1:]:
                joined(self._number(kind, name), NUMBER, "the place in INDEX")
            return self._one(kinds[0], name)
        if name == "SUMPRODUCT":
            return kinds[0]
        if name == "MOD":
            # Only used to find a column of a chart: how many whole units are left over.
            joined(self._number(kinds[0], name), self._number(kinds[1], name), name)
            return NUMBER
        raise UnitMix(f"the function {name} is not known to this analysis")

    def _one(self, kind: Kind, what: str) -> Kind:
        if not isinstance(kind, tuple):
            return kind
        found = BLANK
        for each in kind[1]:
            found = joined(found, each, what)
        return found

    def _choice(self, name: str, kinds: list[Kind]) -> Kind:
        found: Kind = BLANK
        for kind in kinds:
            kind = self._one(kind, name)
            if name in _SAME and name != "IFERROR" and kind == TEXT:
                raise UnitMix(f"{name} takes a text for a number")
            found = joined(found, kind, name)
        return found

    def _conditional(self, name: str, arguments: list[dict[str, Any]]) -> Kind:
        """Sums and counts by conditions: each condition is of the unit of the column it is put to."""
        conditions = arguments[1:] if name == "SUMIFS" else arguments
        for column, condition in zip(conditions[::2], conditions[1::2], strict=True):
            if condition["node_type"] == "BinaryOp" and condition["operator"] == "&":
                condition = condition["right"]  # such as "<=" & [a cell]
            if condition["node_type"] == "Literal" and re.match(r"[<>=]", str(condition["value"])):
                continue
            self._compare(name, self._of(column), self._of(condition))
        return self._of(arguments[0]) if name == "SUMIFS" else NUMBER


def unit_mixes(review: Reviewed) -> list[str]:
    """Every formula whose units do not agree, as a line for a person."""
    dimensions = Dimensions(review)
    faults = []
    for family in review.families().values():
        for written in {family[0], family[-1]}:
            fault = dimensions.fault(written)
            if fault:
                faults.append(f"{written.address} ({written.place}) {fault}: {written.formula[:200]}")
    return faults
