"""Every locked cell of a sheet against what was issued: formulas by meaning, constants by value."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from sheetgen.audit.proof.adjust import Places, adjusted, settled
from sheetgen.audit.proof.formats import displayed_as
from sheetgen.audit.proof.meaning import same_formula
from sheetgen.audit.proof.pairing import Pair, same_value
from sheetgen.xlsx.model import Cell
from sheetgen.xlsx.returned import ReturnedCell
from sheetgen.xlsx.styles import GENERAL

Kind = Literal[
    "formula-changed",
    "formula-replaced-by-value",
    "formula-removed",
    "constant-changed",
    "content-added",
    "number-format-changed",
]

# Where a formula has the format General, LibreOffice shows and writes the format that its operands have.
_DERIVED = ("number", "percent", "exponent", "date", "time", "moment")
_DERIVED_TRUTH = '"TRUE";"TRUE";"FALSE"'


@dataclass(frozen=True, slots=True)
class Change:
    """One changed cell.

    Attributes:
        kind: the finding's name
        pair: the sheet
        row, column: where it stands in the returned sheet
        issued: the issued cell, None where nothing was issued
        formula: the issued formula, adjusted to shifted lines; None for none
        got: the returned cell, None where the file has none
    """

    kind: Kind
    pair: Pair
    row: int
    column: int
    issued: Cell | None
    formula: str | None
    got: ReturnedCell | None


def changed_cells(pair: Pair, places: Places) -> list[Change]:
    """All changes on a sheet, from its top to its bottom."""
    covered = pair.covered
    cells, still, name = pair.returned.cells, pair.place.still, pair.issued.name
    # Where no sheet was renamed, no line shifted and nothing is an array, equal text is equal meaning.
    plain = not pair.returned.arrays and settled(places)
    changes: list[Change] = []
    for issued_place, cell in pair.issued.cells.items():
        if not cell.locked or issued_place in covered:
            continue
        place = issued_place if still else pair.now(*issued_place)
        if place is None:
            continue
        got = cells.get(place)
        formula = cell.formula
        if formula is None:
            kind = _constant(cell, got)
        elif plain and got is not None and formula == got.formula:
            kind = None
        else:
            formula = adjusted(formula, name, places)
            kind = _formula(formula, got, pair, place)
        if kind is None and got is not None and got.number_format != cell.number_format:
            kind = _format(cell, got)
        if kind is not None:
            changes.append(Change(kind, pair, *place, cell, formula, got))
    changes += _added(pair, covered)
    return sorted(changes, key=lambda change: (change.row, change.column))


def _formula(formula: str, got: ReturnedCell | None, pair: Pair, place: tuple[int, int]) -> Kind | None:
    if got is None or (got.formula is None and got.value in (None, "")):
        return "formula-removed"
    if got.formula is None:
        return "formula-replaced-by-value"
    if place in pair.returned.arrays or not same_formula(formula, got.formula, pair.returned.name, *place):
        return "formula-changed"
    return None


def _constant(cell: Cell, got: ReturnedCell | None) -> Kind | None:
    blank = got is None or (got.formula is None and got.value in (None, ""))
    if cell.value is None or cell.value == "":
        return None if blank else "content-added"
    if got is None or blank:
        return "constant-changed"
    return None if same_value(cell.value, got) else "constant-changed"


def _format(cell: Cell, got: ReturnedCell) -> Kind | None:
    """A number format matters where a number is displayed."""
    text = cell.formula is None and not isinstance(cell.value, (int, float))
    if text or displayed_as(cell.number_format) == displayed_as(got.number_format):
        return None
    if cell.formula is not None and cell.number_format == GENERAL and _derived(got.number_format):
        return None
    return "number-format-changed"


def _derived(number_format: str) -> bool:
    kind, _least, _most, scale, before, after = displayed_as(number_format)[0]
    return number_format == _DERIVED_TRUTH or (kind in _DERIVED and not (scale or before or after))


def _added(pair: Pair, covered: frozenset[tuple[int, int]]) -> list[Change]:
    """What stands in cells for which nothing at all was issued; what is in inserted lines goes with those."""
    issued, still = pair.issued.cells, pair.place.still
    found = []
    for place, got in pair.returned.cells.items():
        if got.formula is None and got.value in (None, ""):
            continue
        then = place if still else pair.then(*place)
        if then is not None and (then not in issued or then in covered):
            found.append(Change("content-added", pair, *place, None, None, got))
    return found
