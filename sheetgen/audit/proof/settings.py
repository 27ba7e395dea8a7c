"""What is set for a book as a whole: names, links to other files, macros, calculation, the count of dates."""

from __future__ import annotations

from sheetgen.audit.findings import finding
from sheetgen.audit.model import Finding
from sheetgen.audit.proof.adjust import Places, adjusted
from sheetgen.audit.proof.meaning import same_formula
from sheetgen.templates import Texts
from sheetgen.xlsx.model import Book
from sheetgen.xlsx.returned import ReturnedBook

TRUE = ("1", "true")
FALSE = ("0", "false")
_BUILT_IN = "_xl"  # names that programs keep for themselves: print areas, filters
_OF_PRINTING = ("print_area", "print_titles")  # the same of a sheet, as some programs write them
_MOST = 50  # names reported


def setting_findings(returned: ReturnedBook, say: Texts) -> list[Finding]:
    """Links, macros, the date system and calculation settings that were not issued."""
    calculation = returned.calculation
    checks = (
        ("date-system-changed", returned.date_1904, "date-1904", "date-1900"),
        ("precision-as-displayed", calculation.get("fullPrecision") in FALSE, "displayed", "full-precision"),
        ("calculation-manual", calculation.get("calcMode") == "manual", "manual", "automatic"),
        ("calculation-iterative", calculation.get("iterate") in TRUE, "iterative", "not-iterative"),
    )
    found = [
        finding(name, found=say[f"proof.{now}"], expected=say[f"proof.{then}"])
        for name, changed, now, then in checks
        if changed
    ]
    for target in returned.external_links[:_MOST]:
        text = say.say("proof.link", target=target)
        found.append(finding("external-link", found=text, expected=say["proof.no-link"]))
    if returned.macro_parts:
        text = say.say("proof.macro", parts=", ".join(returned.macro_parts[:_MOST]))
        found.append(finding("macro-part", found=text, expected=say["proof.no-macro"]))
    return found


def all_names_lost(returned: ReturnedBook, issued: Book) -> bool:
    """Whether not one issued name is left: the mark of a program that drops names."""
    now = {name.casefold() for name in returned.names}
    return len(issued.names) > 1 and not any(name.casefold() in now for name in issued.names)


def name_findings(returned: ReturnedBook, issued: Book, places: Places, say: Texts) -> list[Finding]:
    """Names that were removed or added, that point elsewhere, or that a sheet's own name now hides."""
    now = {name.casefold(): reference for name, reference in returned.names.items()}
    found = []
    for name, reference in sorted(issued.names.items()):
        actual = now.get(name.casefold())
        if actual is None:
            missing = say["proof.missing"]
            found.append(
                finding("name-removed", found=f"{name}: {missing}", expected=f"{name} = {reference}")
            )
            continue
        proper = adjusted(reference, "", places)
        if not same_formula(f"={proper}", f"={actual}"):
            kind = "entries-cut-and-pasted" if _names_an_entry(issued, name) else "name-changed"
            found.append(finding(kind, found=f"{name} = {actual}", expected=f"{name} = {proper}"))
    known = {name.casefold() for name in issued.names}
    for name, reference in sorted(returned.names.items()):
        bare = name.rpartition("!")[2]
        if bare.lower().startswith(_BUILT_IN) or name.casefold() in known:
            continue
        if "!" in name and bare.casefold() in _OF_PRINTING:
            continue
        shadows = bare.casefold() in known  # a name of one sheet goes before the book's name on that sheet
        kind = "name-changed" if shadows else "name-added"
        expected = f"{bare} = {issued_name(issued, bare)}" if shadows else say["proof.none"]
        found.append(finding(kind, found=f"{name} = {reference}", expected=expected))
    return found[:_MOST]


def _names_an_entry(issued: Book, name: str) -> bool:
    """Whether a name is of a cell that people type into; the book's own formulas look that up without the name."""
    if name not in issued.fields:
        return False
    key, *at = issued.fields[name]
    return not issued.sheet(key).cells[at[0], at[1]].locked


def issued_name(issued: Book, name: str) -> str:
    """The reference of an issued name, whatever the case of its letters."""
    return next(reference for known, reference in issued.names.items() if known.casefold() == name.casefold())
