"""The rules of the formula review that look at one book: each gives the faults it finds, as lines for a person."""

from __future__ import annotations

from collections.abc import Iterator

from sheetgen.xlsx.model import Place
from tests.book.formula_review import (
    DECLARED,
    VOLATILE,
    Reach,
    Reviewed,
    Written,
    declared_constant,
    functions,
    numbers,
    reaches,
    tree,
)


def unnamed_constants(review: Reviewed) -> list[str]:
    """Numbers in formulas that belong in a named cell: all but 0, 1 and the declared ones."""
    digits = {int(key) for key in DECLARED["digits"]}
    faults = []
    for written in _one_of_each(review):
        for number in numbers(tree(written.formula)):
            if number.is_digits:
                fine = number.value in digits
            else:
                fine = number.value in (0, 1) or _counts(number.value, written.place)
                fine = fine or declared_constant(number.value, written.place) is not None
            if not fine:
                faults.append(_fault(written, f"holds the number {number.value:g}"))
    return faults


def _counts(value: float, place: str) -> bool:
    """Whether a number only counts lines or points, in a sheet where that is declared."""
    return value == int(value) and 0 <= value <= DECLARED["counting"].get(place, 0)


def volatile_functions(review: Reviewed) -> list[str]:
    """Functions whose result changes without any entry."""
    return [
        _fault(written, f"calls {name}")
        for written in _one_of_each(review)
        for name in functions(tree(written.formula))
        if name in VOLATILE
    ]


def ragged_ranges(review: Reviewed) -> list[str]:
    """Ranges that are not the whole of a list, the rows of a table down to this one, or a part of this row."""
    whole = {
        (area.sheet, area.first_row, area.first_col, area.last_row, area.last_col)
        for area in review.areas.values()
    }
    whole |= {
        (place.sheet, place.first_row, col, place.last_row, col)
        for place in review.tables.values()
        for key, col in place.columns.items()
        if key not in place.inputs
    }
    return [
        _fault(written, f"its range {_named(reached)} is no whole list and no part of its own row")
        for written in review.formulas()
        for reached in reaches(written.formula, written.sheet)
        if reached.is_range
        and not (_whole(reached, whole) or review.ends(reached) or _own_part(review, written, reached))
    ]


def _whole(reached: Reach, whole: set[tuple[str, int, int, int, int]]) -> bool:
    corners = (reached.first_row, reached.first_col, reached.last_row, reached.last_col)
    return (reached.sheet, *corners) in whole


def _own_part(review: Reviewed, written: Written, reached: Reach) -> bool:
    for place in review.tables.values():
        inside = {reached.first_col, reached.last_col} <= set(place.columns.values())
        if place.sheet != reached.sheet or not inside:
            continue
        if (reached.first_row, reached.last_row) == (place.header_row, place.header_row):
            return True
        if reached.first_row == reached.last_row and _same_index(review, written, place, reached.first_row):
            return True
        running = reached.first_col == reached.last_col and reached.first_row == place.first_row
        if running and _same_index(review, written, place, reached.last_row):
            return True
    return _block_of_its_own(review, reached)


def _block_of_its_own(review: Reviewed, reached: Reach) -> bool:
    """A column of cells outside any table that begins and ends where the range does."""
    if reached.first_col != reached.last_col:
        return False
    cells, col = review.cells[reached.sheet], reached.first_col
    if any(review.place(reached.sheet, row, col) != review.keys[reached.sheet] for row, _ in reached.cells()):
        return False
    ends = (reached.first_row - 1, reached.last_row + 1)
    return all((row, col) in cells for row, _ in reached.cells()) and not any((r, col) in cells for r in ends)


def _same_index(review: Reviewed, written: Written, place: Place, row: int) -> bool:
    """Whether a row of a table has the number that the formula's own row has in its own table."""
    own = _own_table(review, written)
    return own is not None and row - place.first_row == written.row - own.first_row


def _own_table(review: Reviewed, written: Written) -> Place | None:
    table, dot, _column = written.place.partition(".")
    return review.tables[table] if dot else None


def bad_references(review: Reviewed) -> list[str]:
    """References to cells without anything in them, and to entries where a locked cell is meant."""
    doubtful: dict[Reach, list[tuple[int, int]]] = {}
    faults = []
    for written in review.formulas():
        for reached in reaches(written.formula, written.sheet):
            if reached.sheet not in review.cells:
                faults.append(_fault(written, f"names the sheet {reached.sheet}, which is not there"))
                continue
            if reached not in doubtful:
                ends = review.ends(reached)
                doubtful[reached] = [
                    at
                    for at in reached.cells()
                    if (_wrong_end if at[0] in ends else _doubtful)(review, reached, at)
                ]
            faults += [
                fault for at in doubtful[reached] for fault in _bad_cell(review, written, reached, at)
            ][:1]
    return faults


def _wrong_end(review: Reviewed, reached: Reach, at: tuple[int, int]) -> bool:
    """The cells above and below a list hold nothing that counts in it, and nobody can write into them."""
    cell = review.cells[reached.sheet].get(at)
    return cell is not None and (
        not cell.locked or cell.formula is not None or isinstance(cell.value, int | float)
    )


def _doubtful(review: Reviewed, reached: Reach, at: tuple[int, int]) -> bool:
    """Empty, or an entry; entries of a table as a part of a range are what the range is for."""
    cell = review.cells[reached.sheet].get(at)
    if cell is None:
        return True
    if cell.locked:
        return cell.value is None and cell.formula is None
    table, dot, column = review.place(reached.sheet, *at).partition(".")
    return not (reached.is_range and dot and column in review.tables[table].inputs)


def _bad_cell(review: Reviewed, written: Written, reached: Reach, at: tuple[int, int]) -> Iterator[str]:
    cell = review.cells[reached.sheet].get(at)
    place = review.place(reached.sheet, *at)
    if cell is not None and not cell.locked:
        if not _entry_meant(review, written, reached, at):
            yield _fault(written, f"takes the entry cell {_named(reached)} ({place})")
    elif not _blank_meant(review, written, reached, place):
        yield _fault(written, f"takes the empty cell {_named(reached)} ({place})")


def _entry_meant(review: Reviewed, written: Written, reached: Reach, at: tuple[int, int]) -> bool:
    """An entry of the same row, or one of the declared single entries."""
    place = review.place(reached.sheet, *at)
    if place in DECLARED["single_entries"]["names"] or review.keys[written.sheet] == "words":
        return True  # the list of names shows what each holds, entries as well
    if place.startswith("card_section_") and written.place == "card":
        return True  # the section that a line of the card is for, chosen in that line
    table, dot, column = place.partition(".")
    if not dot or column not in review.tables[table].inputs:
        return False
    return _same_index(review, written, review.tables[table], at[0])


def _blank_meant(review: Reviewed, written: Written, reached: Reach, place: str) -> bool:
    if review.keys[written.sheet] == "words":
        return True  # the list of names shows what each holds, blank or not
    if place in DECLARED["may_be_blank"]["places"]:
        return True
    own = _own_table(review, written)
    # In the first row "the row above" is the line of units: such a formula asks first whether its number is 1.
    above = own is not None and written.row == own.first_row and reached.first_row == own.first_row - 1
    return above and "=1," in written.formula


def moved_references(review: Reviewed) -> list[str]:
    """References to an entry alone, or from or to one: a program makes them follow an entry that is cut and pasted."""
    return [
        _fault(written, f"its reference {_named(reached)} begins or ends in an entry that may be moved")
        for written in review.formulas()
        for reached in reaches(written.as_it_stands, written.sheet)
        if written.place != "card" or not reached.is_range  # see _line_around of sheetgen/xlsx/drawing.py
        for corner in ((reached.first_row, reached.first_col), (reached.last_row, reached.last_col))
        if (cell := review.cells.get(reached.sheet, {}).get(corner)) is not None and not cell.locked
    ]


def uneven_columns(review: Reviewed) -> list[str]:
    """Columns of tables whose formulas are not the same in every row."""
    shapes: dict[str, dict[str, list[Written]]] = {}
    for (_sheet, _col, shape), family in review.families().items():
        for written in family:
            if "." in written.place:
                shapes.setdefault(written.place, {}).setdefault(shape, []).append(written)
    return [
        _fault(min(kinds.values(), key=len)[0], f"is not the formula of the rest of {place}")
        for place, kinds in shapes.items()
        if len(kinds) > 1
    ]


def _one_of_each(review: Reviewed) -> list[Written]:
    return [family[0] for family in review.families().values()]


def _named(reached: Reach) -> str:
    corners = (reached.first_row + 1, reached.first_col + 1, reached.last_row + 1, reached.last_col + 1)
    return f"{reached.sheet}!R{corners[0]}C{corners[1]}:R{corners[2]}C{corners[3]}"


def _fault(written: Written, what: str) -> str:
    return f"{written.address} ({written.place}) {what}: {written.formula[:160]}"
