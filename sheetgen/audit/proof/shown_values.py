"""What the locked cells of a returned book show, against what its own formulas make of its entries.

Results that the recheck computes on its own are compared in :mod:`sheetgen.audit.rules.agreement`. Everything else that
a formula shows (live checks, charts' tables, the card, the top line) is calculated again here, from the issued formulas
and the returned entries, and laid beside what the file shows: a printed page must not say what the book does not.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from typing import TYPE_CHECKING, Any, NamedTuple, get_args

from sheetgen.audit.entries.book_values import BookValues, same
from sheetgen.audit.entries.read import ERROR_VALUES
from sheetgen.audit.findings import catalogue, finding
from sheetgen.audit.model import Finding
from sheetgen.audit.proof.cells import Kind
from sheetgen.audit.proof.meaning import same_formula
from sheetgen.audit.proof.pairing import same_value
from sheetgen.output import printable
from sheetgen.templates import Texts, texts
from sheetgen.xlsx.address import a1
from sheetgen.xlsx.calculate import Area, Formula, Rows, Values, compiled
from sheetgen.xlsx.calculated import calculated
from sheetgen.xlsx.formula_tree import NotFollowed, Reference, Token, tokens
from sheetgen.xlsx.functions import Failed, sound
from sheetgen.xlsx.model import Book, Cell, Value
from sheetgen.xlsx.returned import ReturnedBook, ReturnedCell

if TYPE_CHECKING:
    from sheetgen.xlsx.results import Results

_ANOTHER_PROGRAM = 3  # cells of one kind that differ alike: a program's arithmetic, not a hand
_FORMULA = 120  # signs of a formula that a finding names

# Errors of the file after which its formulas can still be followed: all others move what they read.
_IN_THEIR_CELLS = frozenset(
    {
        *get_args(Kind),
        "sheet-unprotected",
        "protection-weakened",
        "lock-removed",
        "validation-removed",
        "validation-changed",
    }
)


class _Shown(NamedTuple):
    """A cell that shows another value than its formula gives."""

    sheet: str
    row: int
    column: int
    theirs: Value
    own: Value

    @property
    def place(self) -> tuple[str, str]:
        """Its sheet and address."""
        return self.sheet, a1(self.row, self.column)


class Proven(NamedTuple):
    """What came of the values that a book shows.

    Attributes:
        findings: on what does not follow
        book_values: the results to be compared with the recheck
    """

    findings: list[Finding]
    book_values: BookValues


def can_be_compared(findings: Iterable[Finding], compared: BookValues) -> bool:
    """Say whether what a book shows can be compared with what its formulas give.

    Not where the file holds no results, or lines or names were changed so that formulas read other cells.

    Args:
        findings: what the comparison with the issued book found
        compared: the book's own results
    """
    errors = _file_errors(findings)
    return errors <= _IN_THEIR_CELLS and any(each.value is not None for each in compared.values())


def _file_errors(findings: Iterable[Finding]) -> set[str]:
    return {
        each.name for each in findings if each.severity == "error" and catalogue()[each.name].group == "file"
    }


def proven_shown(
    returned: ReturnedBook, issued: Book, findings: Iterable[Finding], compared: BookValues, language: str
) -> Proven:
    """Hold what every locked cell shows against what its formula gives; one finding for cells of a kind.

    What a program calculated otherwise is one query, and what follows from it is not compared with the recheck: the
    values that the issued formulas give stand in its place. It is a program's arithmetic, and no hand's, where nothing
    locked was changed, every cell shows what its formula makes of what the cells before it show but one or more cells
    of one formula, and others follow from what these show. A value that was written over does not look so: what is
    calculated from it shows the old value still, or nothing is calculated from it.

    Args:
        returned: the book as it came back, its rows as they were issued
        issued: the book as it was issued
        findings: what the comparison with the issued book found
        compared: results that are compared with the recheck elsewhere
        language: of the findings
    """
    say = texts(language)
    if not _file_errors(findings):
        breaks = _breaks(returned, issued)
        if breaks == []:
            return Proven([], compared)
        failed = all(str(each.theirs) in ERROR_VALUES for each in breaks or ())
        if breaks and (failed or _of_one_formula(breaks, issued)):
            differing = _differing(returned, issued, set())
            roots, others = ({each.place for each in some} for some in (breaks, differing))
            if roots < others or (failed and roots == others):
                return _as_calculated(breaks, differing, issued, compared, say)
    differing = _differing(returned, issued, {(each.sheet, each.cell) for each in compared.values()})
    return Proven(list(_altered(differing, issued, say)), compared)


def _altered(differing: list[_Shown], issued: Book, say: Texts) -> Iterator[Finding]:
    columns = Counter((each.sheet, each.column) for each in differing)
    sizes = Counter(
        (sheet.name, column)
        for sheet in issued.sheets
        for (_, column), cell in sheet.cells.items()
        if cell.formula is not None
    )
    said: set[tuple[str, int]] = set()
    for each in differing:
        kind = (each.sheet, each.column)
        alike = columns[kind] >= max(_ANOTHER_PROGRAM, sizes[kind] // 2)
        if alike and kind in said:
            continue
        said.add(kind)
        name = "results-of-another-program" if alike else "shown-value-altered"
        yield _finding(name, each, columns[kind], say)


def _as_calculated(
    breaks: list[_Shown], differing: list[_Shown], issued: Book, compared: BookValues, say: Texts
) -> Proven:
    """One query on the formula that a program calculated otherwise, and the results that the issued formulas give."""
    own = {each.place: each.own for each in differing}
    first, *_ = breaks
    plain = _finding("results-of-another-program", first._replace(own=own[first.place]), len(breaks), say)
    found = say.say(
        "said.results-of-another-program.formula",
        value=_text(first.theirs), count=len(breaks), following=len(differing) - len(breaks),
        formula=printable(_formulas(issued)[first.sheet][first.row, first.column].formula or "", _FORMULA),
    )  # fmt: skip
    values = {
        key: each._replace(value=own.get((each.sheet, each.cell), each.value))
        for key, each in compared.items()
    }
    return Proven([replace(plain, found=found)], values)


def _of_one_formula(breaks: list[_Shown], issued: Book) -> bool:
    """Whether cells hold one formula, whatever cells it reads in each."""
    cells = _formulas(issued)
    kinds = {_without_references(cells[each.sheet][each.row, each.column].formula or "") for each in breaks}
    return len(kinds) == 1


def _formulas(issued: Book) -> dict[str, Mapping[tuple[int, int], Cell]]:
    return {sheet.name: sheet.cells for sheet in issued.sheets}


def _without_references(formula: str) -> tuple[Token, ...]:
    return tuple(each for each in tokens(formula, "", 0, 0) if not isinstance(each, Reference))


def _breaks(returned: ReturnedBook, issued: Book) -> list[_Shown] | None:
    """The cells that show another value than their formula gives of what the cells that it reads show.

    None of them proves the whole book, each cell by those before it, in a fraction of the time that it takes to
    calculate one. Where it cannot be told (None) the book is calculated.

    Args:
        returned: a book whose constants and formulas are as they were issued
    """
    cells = {sheet.name: sheet.cells for sheet in reversed(returned.sheets)}
    every = [cell for sheet in cells.values() for cell in sheet.values()]
    formulas = sum(cell.formula is not None for cell in every)
    if formulas != sum(rows for *_at, rows in issued.copied):
        return None
    ways = (_Failing, _PassedOver) if any(cell.kind == "error" for cell in every) else (Values,)
    shown = {name: {at: _counting(got) for at, got in sheet.items()} for name, sheet in cells.items()}
    try:
        first, *others = [
            {each.place: each for copies in _copied(issued) for each in _not_following(values, *copies)}
            for values in [way(shown) for way in ways]
        ]
    except (NotFollowed, ArithmeticError, ValueError):
        return None
    return [each for place, each in first.items() if all(place in other for other in others)]


def _counting(got: ReturnedCell) -> Any:
    """What a cell counts as in the formulas that read it."""
    if got.kind == "error":
        return Failed(got.value)
    return "" if got.value is None and got.formula else got.value


class _Failing(Values):
    """What cells show, where a list that holds an error gives one."""

    def listed(self, area: Area) -> list[Value]:
        return [sound(each) for each in super().listed(area)]


class _PassedOver(Values):
    """What cells show, where an error in a list counts for nothing: functions that search or count take it so."""

    def listed(self, area: Area) -> list[Value]:
        return [None if isinstance(each, Failed) else each for each in super().listed(area)]


def _copied(issued: Book) -> list[tuple[Formula, str, int, Rows]]:
    """Every formula with the cells that it was copied to: compiled, sheet, column, rows.

    All are compiled before the first is calculated, so that what many hold is known; columns of a table share rows.
    """
    names, rows, found = {sheet.key: sheet for sheet in issued.sheets}, Rows(range(0)), []
    for key, row, column, count in issued.copied:
        sheet, wanted = names[key], range(row, row + count)
        rows = rows if rows.rows == wanted else Rows(wanted)
        formula = compiled(str(sheet.cells[row, column].formula), sheet.name, row, column)
        found.append((formula, sheet.name, column, rows))
    return found


def _not_following(values: Values, formula: Formula, sheet: str, column: int, rows: Rows) -> Iterator[_Shown]:
    """The cells of a formula and of its copies below it that show what it does not give."""
    shown = values.at(sheet, rows.rows, column)
    given = _given(formula, values, rows, column)
    if shown == given:
        return
    for line, *both in zip(rows.rows, shown, given, strict=True):
        theirs, own = (str(each) if isinstance(each, Failed) else each for each in both)
        if theirs != own and not _same(theirs, 0 if own is None else own):
            yield _Shown(sheet, line, column, theirs, own)


def _given(formula: Formula, values: Values, rows: Rows, column: int) -> list[Any]:
    """What a formula gives in each row; where a list that some of them read holds an error, in one after the other."""
    try:
        return formula(values, rows, column)
    except Failed as failed:
        if len(rows.rows) == 1:
            return [failed]
        return [each for row in rows.rows for each in _given(formula, values, Rows([row]), column)]


def _finding(name: str, each: _Shown, count: int, say: Texts) -> Finding:
    return finding(
        name, sheet=each.sheet, cell=a1(each.row, each.column),
        found=say.say(f"said.{name}.found", value=_text(each.theirs), count=count),
        expected=say.say(f"said.{name}.expected", value=_text(each.own)),
    )  # fmt: skip


def _text(value: Value) -> str:
    return (
        f"{value:.10g}"
        if isinstance(value, int | float) and not isinstance(value, bool)
        else str(value or "-")
    )


def _differing(returned: ReturnedBook, issued: Book, elsewhere: set[tuple[str, str]]) -> list[_Shown]:
    """Calculate the book with its entries, and list the formula cells that show something else.

    What is compared elsewhere, and what was changed, is taken as the file shows it, so that one changed cell is not
    said of all that follow. Where printed values were changed, the file may have been calculated before or after that.
    """
    came_back = {sheet.name: sheet.cells for sheet in reversed(returned.sheets)}
    given: Results = {}
    printed: Results = {}
    for sheet in issued.sheets:
        for place, cell in came_back.get(sheet.name, {}).items():
            drawn = sheet.cells.get(place)
            compared = cell.value is not None and (sheet.name, a1(*place)) in elsewhere
            if drawn is not None and drawn.locked and drawn.formula is None:
                if cell.value is not None and not same_value(drawn.value, cell):
                    printed[sheet.key, *place] = cell.value
            elif compared or _taken(drawn, cell, sheet.name, place):
                given[sheet.key, *place] = cell.value
    ways = [given | printed, given] if printed else [given]
    return min((list(_unlike(came_back, issued, way)) for way in ways), key=len)


def _unlike(
    came_back: Mapping[str, Mapping[tuple[int, int], ReturnedCell]], issued: Book, given: Results
) -> Iterator[_Shown]:
    own = calculated(issued, given)
    for sheet in issued.sheets:
        theirs = came_back.get(sheet.name, {})
        for place, drawn in sheet.cells.items():
            shown = theirs.get(place)
            if drawn.formula is None or shown is None or (sheet.key, *place) in given:
                continue
            if not _same(shown.value, own[sheet.key, *place]):
                yield _Shown(sheet.name, *place, shown.value, own[sheet.key, *place])


def _taken(drawn: Cell | None, got: ReturnedCell, sheet: str, place: tuple[int, int]) -> bool:
    """Whether a cell counts as the file shows it: an entry, or a formula that is no more as it was issued."""
    if drawn is None or not drawn.locked:
        return got.formula is None
    formula = drawn.formula or ""
    if got.formula is None:
        return got.value is not None
    return got.formula != formula and not same_formula(formula, got.formula, sheet, *place)


def _same(theirs: Value, own: Value) -> bool:
    if same(theirs, own) or (theirs in ("", None) and own in ("", None)):
        return True
    if isinstance(theirs, bool) or isinstance(own, bool):
        return (
            isinstance(theirs, int | float) and isinstance(own, int | float) and float(theirs) == float(own)
        )
    return isinstance(theirs, str) and isinstance(own, str) and _plain(theirs) == _plain(own)


def _plain(text: str) -> str:
    """A text without what a program's own language puts into numbers: decimal commas, blanks between thousands."""
    return "".join("." if sign == "," else sign for sign in text if not sign.isspace())
