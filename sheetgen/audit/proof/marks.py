"""The rules that mark figures beyond a limit (conditional formatting, ECMA-376 part 1, 18.3.1.18)."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import islice

from sheetgen.audit.findings import finding
from sheetgen.audit.model import Finding
from sheetgen.audit.proof.adjust import Places, settled
from sheetgen.audit.proof.meaning import same_formula
from sheetgen.audit.proof.pairing import Pair
from sheetgen.templates import Texts
from sheetgen.xlsx.address import a1, a1_area, areas
from sheetgen.xlsx.styles import NO_MARK

_Area = tuple[int, int, int, int]
_MOST_RULES = 300  # different ones on a returned sheet
_MOST_AREAS = 2_000
_TOLD = 3  # rules told of one sheet


def mark_findings(pair: Pair, places: Places, say: Texts) -> list[Finding]:
    """Each issued rule that is gone or another, each one that was added on cells of the book.

    Where lines were shifted or sheets renamed, those findings say enough: rules are not compared then.
    """
    if not settled(places):
        return []
    issued = [((*spot[:4],), str(spot[4].get("criteria", ""))) for spot in pair.issued.conditional]
    every = list(dict.fromkeys(_returned(pair)))
    returned, beyond = every[:_MOST_RULES], every[_MOST_RULES:]
    # The same to the letter: most often that is all, and comparing by meaning takes long.
    unchanged = {_letter(rule) for rule in returned}.intersection(_letter(rule) for rule in issued)
    lost = [
        rule
        for rule in issued
        if _letter(rule) not in unchanged and not any(_same(rule, other, pair) for other in returned)
    ]
    added = [
        other
        for other in returned
        if not other[1].startswith(f"{NO_MARK}(")
        and _letter(other) not in unchanged
        and not any(_same(rule, other, pair) for rule in issued)
        and _on_issued_cells(other[0], pair)
    ]
    found = [_finding(name, rules, pair, say)
             for name, rules in (("mark-removed", lost), ("mark-added", added)) if rules]  # fmt: skip
    if beyond:
        first = a1(*beyond[0][0][:2])
        more = say.say("proof.more", count=len(beyond), cell=first)
        expected = say["proof.no-mark"]
        found.append(
            finding("mark-added", sheet=pair.returned.name, cell=first, found=more, expected=expected)
        )
    return found


def _returned(pair: Pair) -> Iterator[tuple[_Area, str]]:
    """Each area of each rule, up to a number that no honest book comes near."""
    spots = (
        (spot, formula) for sqref, formula in pair.returned.conditional for spot in areas(sqref, _MOST_AREAS)
    )
    return islice(spots, _MOST_AREAS)


def _letter(rule: tuple[_Area, str]) -> tuple[_Area, str]:
    spot, formula = rule
    return spot, formula.lstrip("=")


def _same(rule: tuple[_Area, str], other: tuple[_Area, str], pair: Pair) -> bool:
    """Whether a returned rule stands on all cells of an issued one and means the same in them."""
    (top, left, bottom, right), formula = rule
    area, theirs = other
    if area[:2] != (top, left) or len(theirs) > 3 * len(formula) or area[2] < bottom or area[3] < right:
        return False
    return same_formula(formula, f"={theirs.lstrip('=')}", pair.returned.name, top, left)


def _on_issued_cells(spot: _Area, pair: Pair) -> bool:
    """Whether anything was issued there: a crew may mark what it likes beside the book."""
    top, left, bottom, right = spot
    return any(top <= row <= bottom and left <= column <= right for row, column in pair.issued.cells)


def _finding(name: str, rules: list[tuple[_Area, str]], pair: Pair, say: Texts) -> Finding:
    """One finding for a sheet, with its rules."""
    told = [
        say.say("proof.mark", area=a1_area(spot), formula=f"={formula.lstrip('=')}")
        for spot, formula in rules
    ]
    more = say.say("proof.more-marks", count=len(rules) - _TOLD) if len(rules) > _TOLD else ""
    none, text = say["proof.no-mark"], "; ".join(told[:_TOLD]) + more
    found, expected = (none, text) if name == "mark-removed" else (text, none)
    cell = a1(*min(spot[:2] for spot, _ in rules))
    return finding(name, sheet=pair.returned.name, cell=cell, found=found, expected=expected)
