"""Which returned sheet is which issued one, and where its lines are now."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from sheetgen.audit.proof.adjust import Place, Places, adjusted
from sheetgen.audit.proof.lines import Lines, Signature, find_shifts
from sheetgen.audit.proof.meaning import same_formula, same_number
from sheetgen.xlsx.model import Book, Sheet
from sheetgen.xlsx.references import LONGEST, REFERENCE
from sheetgen.xlsx.returned import ReturnedBook, ReturnedCell, ReturnedSheet

_RECOGNISED = 0.6  # part of a sheet's constants by which a renamed one is known


@dataclass
class Pair:
    """An issued sheet and the returned one that it became."""

    issued: Sheet
    returned: ReturnedSheet
    place: Place

    @cached_property
    def covered(self) -> frozenset[tuple[int, int]]:
        """Cells under a merged one: they have no content of their own and programs drop their style."""
        return frozenset(
            (row, column)
            for top, left, bottom, right in self.issued.merges
            for row in range(top, bottom + 1)
            for column in range(left, right + 1)
            if (row, column) != (top, left)
        )

    def now(self, row: int, column: int) -> tuple[int, int] | None:
        """Where an issued cell is now; None where its row or column was deleted."""
        if self.place.still:
            return row, column
        new_row, new_column = self.place.rows.returned(row), self.place.columns.returned(column)
        return None if new_row is None or new_column is None else (new_row, new_column)

    def then(self, row: int, column: int) -> tuple[int, int] | None:
        """Where a returned cell was issued; None where it is in an inserted line."""
        if self.place.still:
            return row, column
        old_row, old_column = self.place.rows.issued(row), self.place.columns.issued(column)
        return None if old_row is None or old_column is None else (old_row, old_column)


@dataclass
class Pairing:
    """All pairs of sheets, and what has no partner."""

    pairs: list[Pair]
    missing: list[Sheet]
    added: list[ReturnedSheet]

    @property
    def places(self) -> Places:
        """What became of each issued sheet, by its issued name in small letters."""
        return {pair.issued.name.casefold(): pair.place for pair in self.pairs}


def pair_sheets(returned: ReturnedBook, issued: Book, same_version: bool = True) -> Pairing:
    """Pairs sheets by name, then renamed ones by their content, and finds inserted and deleted lines.

    Where it was not issued with the formulas of ``issued``, only what is printed in lines tells which is which.
    """
    free = {sheet.name.casefold(): sheet for sheet in reversed(returned.sheets)}
    partners = {sheet.key: free.pop(sheet.name.casefold(), None) for sheet in issued.sheets}
    lost = [sheet for sheet in issued.sheets if partners[sheet.key] is None]
    for sheet in lost:
        likely = max(free.values(), key=lambda other: _likeness(sheet, other), default=None)
        if likely is not None and _likeness(sheet, likely) >= _RECOGNISED:
            partners[sheet.key] = free.pop(likely.name.casefold())
    pairs = [
        Pair(sheet, partner, Place(partner.name))
        for sheet in issued.sheets
        if (partner := partners[sheet.key]) is not None
    ]
    for pair in pairs:
        _align_by_constants(pair)
    pairing = Pairing(
        pairs, [sheet for sheet in issued.sheets if partners[sheet.key] is None], list(free.values())
    )
    for pair in pairs:
        if same_version and not pair.place.rows.shifts:
            _align_by_formulas(pair, pairing.places)
    return pairing


def _likeness(issued: Sheet, returned: ReturnedSheet) -> float:
    constants = [
        place for place, cell in issued.cells.items() if cell.locked and cell.value not in (None, "")
    ]
    same = sum(_same_constant(issued.cells[place].value, returned.cells.get(place)) for place in constants)
    return same / len(constants) if constants else 0.0


def _same_constant(value: object, got: ReturnedCell | None) -> bool:
    if got is None or got.formula is not None:
        return False
    return _token(value) == _token(got.value)


def _token(value: object) -> object:
    """A constant, so that equal ones compare equal whatever program wrote them."""
    if isinstance(value, (int, float)) and not isinstance(value, bool):
        return float(f"{value:.12g}")
    return value


def _align_by_constants(pair: Pair) -> None:
    """Finds shifted lines by what is printed in them. Most sheets are as issued, which is seen quickly."""
    off = 0
    for place, cell in pair.issued.cells.items():
        value = cell.value
        if cell.locked and value is not None and value != "":
            got = pair.returned.cells.get(place)
            if got is None or (got.value != value and not _same_constant(value, got)):
                off += 1
    if off < 2:
        return
    then, now = _constants(pair.issued), _returned_constants(pair.returned)
    rows = find_shifts(_by_row(then), _by_row(now))
    pair.place = Place(pair.returned.name, Lines(rows), Lines())
    moved = {(pair.place.rows.start(row), column): token for (row, column), token in then.items()}
    columns = find_shifts(_by_column(moved), _by_column(now))
    pair.place = Place(pair.returned.name, Lines(rows), Lines(columns))


Tokens = dict[tuple[int, int], object]


def _constants(sheet: Sheet) -> Tokens:
    """What is printed on an issued sheet; a formula only says that it is one."""
    tokens: Tokens = {}
    for place, cell in sheet.cells.items():
        if cell.locked and cell.formula is not None:
            tokens[place] = "="
        elif cell.locked and cell.value not in (None, ""):
            tokens[place] = (_token(cell.value),)
    return tokens


def _returned_constants(sheet: ReturnedSheet) -> Tokens:
    return {
        place: "=" if cell.formula is not None else (_token(cell.value),)
        for place, cell in sheet.cells.items()
        if cell.formula is not None or cell.value is not None
    }


def _by_row(tokens: Tokens) -> list[Signature]:
    lines: list[dict[int, object]] = [{} for _ in range(_extent(tokens, 0))]
    for (row, column), token in tokens.items():
        if row < len(lines):
            lines[row][column] = token
    return list(lines)


def _by_column(tokens: Tokens) -> list[Signature]:
    return _by_row({(column, row): token for (row, column), token in tokens.items()})


def _extent(tokens: Tokens, axis: int, most: int = 20_000) -> int:
    """How many lines to look at: a stray cell far away must not make a million of them."""
    return min(max((place[axis] for place in tokens), default=-1) + 1, most)


def _align_by_formulas(pair: Pair, places: Places) -> None:
    """Finds shifted rows on a sheet of formulas alone, by the cells of other sheets that they refer to."""
    formulas = {place: cell.formula for place, cell in pair.issued.cells.items() if cell.formula is not None}
    cells = pair.returned.cells
    if sum(place not in cells or cells[place].formula is None for place in formulas) < 2:
        return
    then, now = _constants(pair.issued), _returned_constants(pair.returned)
    for place, formula in formulas.items():
        then[place] = _relative(adjusted(formula, pair.issued.name, places), place[0])
    for place, cell in cells.items():
        if cell.formula is not None and len(cell.formula) < LONGEST:
            now[place] = _relative(cell.formula, place[0])
    rows = find_shifts(_by_row(then), _by_row(now))
    pair.place = Place(pair.returned.name, Lines(rows), pair.place.columns)


def _relative(formula: str, row: int) -> str:
    """The formula with the unanchored rows of its own sheet counted from its own row."""
    pieces = []
    end = 0
    own = True
    for match in REFERENCE.finditer(formula):
        before = formula[match.start() - 1 : match.start()]
        if before != ":":  # the end of a range is on the sheet of its beginning
            own = before != "!"
        if match["cell"] is not None and own and not match["r"].startswith("$"):
            pieces += [formula[end : match.start()], f"{match['c']}[{int(match['r']) - 1 - row}]"]
            end = match.end()
    return "".join((*pieces, formula[end:])).replace(" ", "").upper()


def same_value(issued: object, got: ReturnedCell) -> bool:
    """Whether a returned cell holds an issued constant: numbers to 1 part in 10¹², texts exactly."""
    if got.formula is not None:  # LibreOffice writes the constant TRUE as a formula
        return isinstance(issued, bool) and same_formula(str(issued).upper(), got.formula)
    value = got.value
    if isinstance(issued, bool) or isinstance(value, bool):
        return issued is value
    if isinstance(issued, (int, float)):
        return isinstance(value, float) and same_number(float(issued), value)
    if isinstance(issued, str):
        return isinstance(value, str) and _plain(issued) == _plain(value)
    return value is None


def _plain(text: str) -> str:
    return text.replace("\r\n", "\n").replace("\r", "\n")
