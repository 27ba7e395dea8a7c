"""What changed in a returned book since it was issued: :func:`compare`.

The issued book is laid out again from the order that the returned one carries, so nothing of the returned
file is trusted. What an honest program rewrites on a save is no finding: see :mod:`sheetgen.audit.proof.meaning`
for formulas, :mod:`sheetgen.audit.proof.formats` for number formats; shared formulas, inline texts, style
tables, themes, properties, column styles and dropped cached values do not even reach this module. What a
program drops in the whole book is one note; what is lost or changed in single cells is wrong.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from sheetgen import templates
from sheetgen.audit.findings import finding
from sheetgen.audit.model import Finding
from sheetgen.audit.proof.around import around_findings
from sheetgen.audit.proof.cells import Change, changed_cells
from sheetgen.audit.proof.hidden import hidden_findings
from sheetgen.audit.proof.lines import Lines
from sheetgen.audit.proof.locks import (
    LockFlags,
    lock_findings,
    lock_flags,
    password_findings,
    protection_findings,
    unprotected_finding,
)
from sheetgen.audit.proof.marks import mark_findings
from sheetgen.audit.proof.moves import Move, take_moves
from sheetgen.audit.proof.pairing import Pair, Pairing, pair_sheets
from sheetgen.audit.proof.settings import all_names_lost, name_findings, setting_findings
from sheetgen.audit.proof.validations import validation_findings
from sheetgen.output import printable
from sheetgen.templates import Texts
from sheetgen.xlsx.address import Area, a1, a1_area, line_list, rectangles
from sheetgen.xlsx.model import Book
from sheetgen.xlsx.returned import ReturnedBook, Value

LONGEST_SHOWN = 1_000  # characters of a formula or text, before and after
MOST_ALIKE = 200  # ranges of one kind on one sheet; the rest is counted in one more
_A_RANGE = 3  # cells from which on a range is told as one
_TOLD = 3  # cells of a range told with what stands in them


def compare(
    returned: ReturnedBook, issued: Book, language: str = "en", pairing: Pairing | None = None
) -> list[Finding]:
    """Every change to the locked part of a returned book, as findings with what was found and expected.

    Args:
        returned: the file as :func:`sheetgen.xlsx.read.read_book` read it
        issued: the book as it was issued, blank, laid out from the order
        language: of the words in ``found`` and ``expected``
        pairing: which sheet is which, where that is known already
    """
    say = templates.texts(language)
    pairing = pairing or pair_sheets(returned, issued)
    changes = [change for pair in pairing.pairs for change in changed_cells(pair, pairing.places)]
    formats_lost = _formats_lost(changes, pairing)
    if formats_lost:
        changes = [change for change in changes if change.kind != "number-format-changed"]
    changes, moves = take_moves(changes, pairing.pairs)
    dropped, findings = _locking(returned, issued, pairing, say)
    if formats_lost:
        dropped.append("formats")
    found = [
        *_dropped(returned, dropped, say),
        *setting_findings(returned, say),
        *_sheet_findings(pairing, say),
        *_move_findings(moves, pairing, say),
        *_change_findings(changes, say),
        *findings,
    ]
    return [replace(one, found=_line(one.found), expected=_line(one.expected)) for one in found]


def _line(text: str) -> str:
    """The text on one line, without what could play tricks on a terminal."""
    return printable(text, LONGEST_SHOWN)


def _locking(
    returned: ReturnedBook, issued: Book, pairing: Pairing, say: Texts
) -> tuple[list[str], list[Finding]]:
    """What locking was lost in the whole book, and the findings on the rest of it."""
    pairs, dropped, findings = pairing.pairs, [], []
    protected = [pair for pair in pairs if pair.issued.protected]
    open_now = [pair for pair in protected if not pair.returned.protected]
    if open_now and len(open_now) == len(protected):
        dropped.append("protection")
    else:
        findings += [unprotected_finding(pair, say) for pair in open_now]
    flags = {pair.issued.key: lock_flags(pair) for pair in pairs}
    if _locks_lost(list(flags.values())):
        dropped.append("locks")
    else:
        findings += [one for pair in pairs for one in lock_findings(pair, flags[pair.issued.key], say)]
    validated = [pair for pair in pairs if pair.issued.validations]
    if validated and not any(pair.returned.validations for pair in validated):
        dropped.append("validations")
    else:
        findings += [one for pair in pairs for one in validation_findings(pair, pairing.places, say)]
    marked = [pair for pair in pairs if pair.issued.conditional]
    if marked and not any(pair.returned.conditional for pair in pairs):
        dropped.append("marks")
    elif marked:  # a book kept by an older program has none
        findings += [one for pair in pairs for one in mark_findings(pair, pairing.places, say)]
    if all_names_lost(returned, issued):
        dropped.append("names")
    else:
        findings += name_findings(returned, issued, pairing.places, say)
    for pair in pairs:
        findings += protection_findings(pair, say) + hidden_findings(pair, say)
    findings += password_findings(returned, frozenset(pair.returned.name for pair in pairs), say)
    lost, around = around_findings(returned, pairing, say)
    return dropped + lost, findings + around


def _locks_lost(flags: list[LockFlags]) -> bool:
    """Whether every entry cell of the book is locked now: the file says nothing of lock flags any more."""
    entries = sum(flag.entries for flag in flags)
    return entries > 1 and sum(len(flag.locked) for flag in flags) == entries


def _formats_lost(changes: list[Change], pairing: Pairing) -> bool:
    """Whether every number of the book has the format General now."""
    changed = [change for change in changes if change.kind == "number-format-changed"]
    if len(changed) < 2 or any(change.got and change.got.number_format != "General" for change in changed):
        return False
    formats = (cell.number_format for pair in pairing.pairs for cell in pair.returned.cells.values())
    return all(number_format == "General" for number_format in formats)


def _dropped(returned: ReturnedBook, dropped: list[str], say: Texts) -> list[Finding]:
    if not dropped:
        return []
    what = ", ".join(say[f"proof.dropped-{name}"] for name in dropped)
    program = returned.program or say["proof.unknown-program"]
    found = say.say("proof.dropped", program=program, what=what)
    return [finding("locking-dropped-by-program", found=found, expected=say["proof.dropped-none"])]


def _sheet_findings(pairing: Pairing, say: Texts) -> list[Finding]:
    """Missing, added and renamed sheets, and the lines inserted or deleted on each."""
    missing, none = say["proof.missing"], say["proof.none"]
    found = [
        finding("sheet-missing", sheet=sheet.name, found=missing, expected=sheet.name)
        for sheet in pairing.missing
    ]
    found += [
        finding("sheet-added", sheet=sheet.name, found=sheet.name, expected=none) for sheet in pairing.added
    ]
    for pair in pairing.pairs:
        name, was = pair.returned.name, pair.issued.name
        if name.casefold() != was.casefold():
            now, then = say.say("proof.renamed", name=name), say.say("proof.renamed", name=was)
            found.append(finding("sheet-renamed", sheet=name, found=now, expected=then))
        found += _line_findings(pair, "rows", pair.place.rows, say)
        found += _line_findings(pair, "columns", pair.place.columns, say)
    return found


def _line_findings(pair: Pair, what: str, lines: Lines, say: Texts) -> list[Finding]:
    letters = what == "columns"
    found = []
    for shift in lines.shifts:
        count, deleted = abs(shift.count), shift.count < 0
        # Inserted lines are named as they are numbered now, deleted ones as they were issued.
        first = shift.at if deleted else lines.start(shift.at) - count
        text = say.say(
            "proof.lines-deleted" if deleted else "proof.lines-inserted",
            count=count,
            lines=line_list(range(first, first + count), letters),
        )
        now = lines.start(shift.at) if deleted else first
        cell = a1(0, now) if letters else a1(now, 0)
        name = f"{what}-{'deleted' if deleted else 'inserted'}"
        expected = say["proof.lines-as-issued"]
        found.append(finding(name, sheet=pair.returned.name, cell=cell, found=text, expected=expected))
    return found


def _move_findings(moves: list[Move], pairing: Pairing, say: Texts) -> list[Finding]:
    names = {pair.returned.name.casefold(): pair.returned.name for pair in pairing.pairs}
    found = []
    for move in moves:
        sheet = names.get(move.to_sheet, move.to_sheet)
        other = "" if move.from_sheet == move.to_sheet else f"{names.get(move.from_sheet, move.from_sheet)}!"
        source, target = other + a1_area(move.source), a1_area(move.target)
        key = "proof.moved" if move.formulas else "proof.moved-constants"
        found.append(
            finding(
                "range-moved",
                sheet=sheet,
                cell=a1(*move.target[:2]),
                found=say.say(key, source=source, target=target, formulas=move.formulas),
                expected=say.say("proof.not-moved", source=source),
            )
        )
    return found


def _change_findings(changes: list[Change], say: Texts) -> list[Finding]:
    """One finding for each range of cells changed alike, each cell alone where there are few."""
    alike: dict[tuple[str, int], list[Change]] = {}
    for change in changes:
        alike.setdefault((change.kind, id(change.pair)), []).append(change)
    return [one for group in alike.values() for one in _ranges(group, say)]


def _ranges(group: list[Change], say: Texts) -> Iterator[Finding]:
    at = {(change.row, change.column): change for change in group}
    found = rectangles(at)
    for top, left, bottom, right in found[:MOST_ALIKE]:
        cells = [at[row, column] for row in range(top, bottom + 1) for column in range(left, right + 1)]
        if len(cells) < _A_RANGE:
            yield from (_change_finding(change, say) for change in cells)
        else:
            yield _range_finding(cells, (top, left, bottom, right), say)
    rest = found[MOST_ALIKE:]
    if rest:
        count = sum((bottom - top + 1) * (right - left + 1) for top, left, bottom, right in rest)
        cell, sheet = a1(*rest[0][:2]), group[0].pair.returned.name
        more = say.say("proof.more", count=count, cell=cell)
        yield finding(group[0].kind, sheet=sheet, cell=cell, found=more, expected=say["proof.as-issued"])


def _range_finding(cells: list[Change], area: Area, say: Texts) -> Finding:
    """What stands in a range now and what was issued there, told of its first cells."""
    told = [_change_finding(change, say) for change in cells[:_TOLD]]
    words = {"count": len(cells), "area": a1_area(area)}
    sides = (
        "; ".join(f"{each.cell}: {getattr(each, side)}" for each in told) for side in ("found", "expected")
    )
    found, expected = (say.say("proof.in-range", **words, cells=side) for side in sides)
    return replace(told[0], found=found, expected=expected)


def _change_finding(change: Change, say: Texts) -> Finding:
    now, then = _now_and_then(change, say)
    sheet, cell = change.pair.returned.name, a1(change.row, change.column)
    return finding(change.kind, sheet=sheet, cell=cell, found=printable(now), expected=printable(then))


def _now_and_then(change: Change, say: Texts) -> tuple[str, str]:
    got, issued = change.got, change.issued
    if change.kind == "number-format-changed" and got is not None and issued is not None:
        return got.number_format, issued.number_format
    part = issued is not None and issued.number_format.split(";")[0].endswith("%")
    now = _shown(None if got is None else got.formula or got.value, say, part)
    array = got is not None and (change.row, change.column) in change.pair.returned.arrays
    then = _shown(change.formula or (None if issued is None else issued.value), say, part)
    return say.say("proof.array", formula=now) if array else now, then


def _shown(value: Value, say: Texts, part: bool) -> str:
    """A value as a person writes it, a text told from a number by its quotes; a part of one as a percentage."""
    if value is None or value == "":
        return say["proof.blank"]
    if isinstance(value, bool):
        return str(value).upper()
    if isinstance(value, (int, float)):
        return f"{100 * value:.13g} %" if part else f"{value:.15g}"
    return value if value.startswith("=") else say.say("proof.text", text=value)
