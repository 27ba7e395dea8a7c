"""Sheet protection, lock flags of cells, and what is hidden or merged."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from sheetgen.audit.findings import finding
from sheetgen.audit.model import Finding
from sheetgen.audit.proof.pairing import Pair
from sheetgen.templates import Texts
from sheetgen.xlsx.address import a1, a1_area, column_letters
from sheetgen.xlsx.returned import ReturnedSheet

# What protection refuses where its attribute is missing (ECMA-376 part 1, 18.3.1.85).
REFUSED_BY_DEFAULT = (
    "formatCells",
    "formatColumns",
    "formatRows",
    "insertColumns",
    "insertRows",
    "insertHyperlinks",
    "deleteColumns",
    "deleteRows",
    "sort",
    "autoFilter",
    "pivotTables",
)
# What the book allows when it is issued: widths and heights, so that a crew can read what it typed.
ISSUED_RIGHTS = frozenset({"formatColumns", "formatRows"})
FALSE = ("0", "false")


@dataclass(frozen=True, slots=True)
class LockFlags:
    """Returned places whose lock flag is not as issued, and how many entry cells there are."""

    unlocked: list[tuple[int, int]]
    locked: list[tuple[int, int]]
    entries: int


def lock_flags(pair: Pair) -> LockFlags:
    """Compares the lock flag of every issued cell; a row or column style counts where there is no cell."""
    sheet, still, covered = pair.returned, pair.place.still, pair.covered
    cells = sheet.cells
    unlocked: list[tuple[int, int]] = []
    locked: list[tuple[int, int]] = []
    entries = 0
    for issued_place, cell in pair.issued.cells.items():
        place = issued_place if still else pair.now(*issued_place)
        if place is None or issued_place in covered:
            continue
        entries += not cell.locked
        got = cells.get(place)
        flag = got.locked if got is not None else sheet.style(*place)[0]
        if flag is not cell.locked:
            (unlocked if cell.locked else locked).append(place)
    return LockFlags(unlocked, locked, entries)


def lock_findings(pair: Pair, flags: LockFlags, say: Texts) -> list[Finding]:
    """One finding for the cells of a sheet that were unlocked, one for entry cells that were locked."""
    found = []
    for name, places, text, was in (
        ("lock-removed", flags.unlocked, "proof.unlocked", "proof.locked"),
        ("entry-cell-locked", flags.locked, "proof.entry-locked", "proof.entry-unlocked"),
    ):
        if places:
            first = a1(*min(places))
            what = say.say(text, count=len(places), cell=first)
            found.append(finding(name, sheet=pair.returned.name, cell=first, found=what, expected=say[was]))
    return found


def protection_findings(pair: Pair, say: Texts) -> list[Finding]:
    """What the protection of a sheet allows beyond what was issued; none at all is another finding."""
    rights = ", ".join(sorted(_rights(pair.returned) - ISSUED_RIGHTS))
    if not pair.issued.protected or not pair.returned.protected or not rights:
        return []
    found = say.say("proof.allowed", rights=rights)
    return [
        finding(
            "protection-weakened",
            sheet=pair.returned.name,
            found=found,
            expected=say["proof.not-allowed"],
        )
    ]


def unprotected_finding(pair: Pair, say: Texts) -> Finding:
    """The one sheet, or some, without protection, while others have it."""
    return finding(
        "sheet-unprotected",
        sheet=pair.returned.name,
        found=say["proof.unprotected"],
        expected=say["proof.protected"],
    )


def _rights(sheet: ReturnedSheet) -> frozenset[str]:
    """The attributes by which the protection of a sheet allows something."""
    return frozenset(name for name in REFUSED_BY_DEFAULT if sheet.protection.get(name) in FALSE)


def hidden_findings(pair: Pair, say: Texts) -> list[Finding]:
    """A sheet, rows and columns that are hidden and were issued in sight; merged entry cells."""
    sheet = pair.returned
    found = []
    if sheet.state != "visible" and not pair.issued.hidden:
        found.append(
            finding(
                "sheet-hidden",
                sheet=sheet.name,
                found=say.say("proof.state", state=sheet.state),
                expected=say["proof.visible"],
            )
        )
    rows = _issued_lines(sheet.hidden_rows, pair, 0)
    columns = _issued_lines(sheet.hidden_columns, pair, 1)
    for name, lines, letters in (("rows-hidden", rows, False), ("columns-hidden", columns, True)):
        if lines:
            text = say.say("proof.lines-hidden", lines=line_list(lines, letters))
            first = a1(0, min(lines)) if letters else a1(min(lines), 0)
            visible = say["proof.lines-visible"]
            found.append(finding(name, sheet=sheet.name, cell=first, found=text, expected=visible))
    return found + _merged(pair, say)


def _issued_lines(hidden: frozenset[int], pair: Pair, axis: int) -> list[int]:
    """The hidden lines in which something was issued, in sight."""
    if not hidden:
        return []
    sizes = (pair.issued.row_heights, pair.issued.column_widths)[axis]
    used = {place[axis] for place in pair.issued.cells} - {line for line, size in sizes.items() if size == 0}
    lines = (pair.place.rows, pair.place.columns)[axis]
    return [line for line in hidden if lines.issued(line) in used]


def _merged(pair: Pair, say: Texts) -> list[Finding]:
    issued = set()
    for top, left, bottom, right in pair.issued.merges:
        rows, columns = pair.place.rows, pair.place.columns
        issued.add((rows.start(top), columns.start(left), rows.end(bottom), columns.end(right)))
    return [
        finding(
            "cells-merged",
            sheet=pair.returned.name,
            cell=a1(merge[0], merge[1]),
            found=say.say("proof.merged", area=a1_area(merge)),
            expected=say["proof.not-merged"],
        )
        for merge in pair.returned.merges[:100]
        if merge not in issued and merge[:2] != merge[2:]
    ]


def line_list(lines: Iterable[int], letters: bool = False) -> str:
    """``"3–5, 9"`` for the rows 2, 3, 4 and 8, or ``"C–E, I"`` for such columns."""
    runs: list[list[int]] = []
    for line in sorted(lines):
        if runs and line == runs[-1][1] + 1:
            runs[-1][1] = line
        else:
            runs.append([line, line])
    shown = [
        [column_letters(line) if letters else str(line + 1) for line in (first, last)]
        for first, last in runs[:20]
    ]
    return ", ".join(first if first == last else f"{first}–{last}" for first, last in shown)
