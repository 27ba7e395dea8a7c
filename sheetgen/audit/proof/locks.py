"""Sheet protection, passwords, and lock flags of cells."""

from __future__ import annotations

from dataclasses import dataclass

from sheetgen.audit.findings import finding
from sheetgen.audit.model import Finding
from sheetgen.audit.proof.pairing import Pair
from sheetgen.templates import Texts
from sheetgen.xlsx.address import a1
from sheetgen.xlsx.returned import ReturnedBook, ReturnedSheet

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
TRUE = ("1", "true")
_PASSWORDS = ("password", "hashValue", "workbookPassword", "workbookHashValue", "reservationPassword")


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


def password_findings(returned: ReturnedBook, issued: frozenset[str], say: Texts) -> list[Finding]:
    """One finding for all passwords and locks of the book's structure: nothing of that was issued.

    Args:
        returned: the book as it came back
        issued: names of the returned sheets that were issued
    """
    sheets = [
        sheet.name
        for sheet in returned.sheets
        if sheet.name in issued and any(sheet.protection.get(key) for key in _PASSWORDS)
    ]
    locked = any(returned.protection.get(key) in TRUE for key in ("lockStructure", "lockWindows"))
    book = locked or any(returned.protection.get(key) for key in _PASSWORDS)
    if not sheets and not book:
        return []
    where = [*([say["proof.whole-book"]] if book else []), *sheets]
    text = say.say("proof.password", where=", ".join(where[:20]))
    sheet = sheets[0] if sheets and not book else ""
    return [finding("password-added", sheet=sheet, found=text, expected=say["proof.no-password"])]
