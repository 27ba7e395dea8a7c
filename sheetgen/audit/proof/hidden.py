"""What keeps a reader from seeing what a book holds: hidden sheets and lines, merged cells, looks that show nothing."""

from __future__ import annotations

from functools import lru_cache

from sheetgen.audit.findings import finding
from sheetgen.audit.model import Finding
from sheetgen.audit.proof.formats import Section, displayed_as
from sheetgen.audit.proof.pairing import Pair
from sheetgen.templates import Texts
from sheetgen.xlsx.address import a1, a1_area, cell_list, line_list
from sheetgen.xlsx.returned import is_number


def hidden_findings(pair: Pair, say: Texts) -> list[Finding]:
    """Sheets, rows and columns that were issued in sight and are hidden; merged cells; looks that show nothing."""
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
    return found + _merged(pair, say) + _unseen(pair, say)


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


def _unseen(pair: Pair, say: Texts) -> list[Finding]:
    """Issued cells whose look keeps what is in them from being seen, and entries that look like another value."""
    looks, formats = [], []
    for place, got in pair.returned.cells.items():
        if not got.unseen and not (_may_show_another(got.number_format) and is_number(got.value)):
            continue
        then = pair.then(*place)
        issued = pair.issued.cells.get(then) if then is not None else None
        if issued is None or got.value == "" or (got.value is None and got.formula is None):
            continue
        if got.unseen:
            looks.append(place)
        elif not issued.locked and is_number(got.value) and _shows_another(got.value, got.number_format):
            formats.append(place)
    return [
        finding(name, sheet=pair.returned.name, cell=a1(*min(places)), found=say.say(now, cells=cell_list(places)),
                expected=say[then])
        for name, places, now, then in (
            ("look-hides-content", looks, "proof.unseen", "proof.seen"),
            ("entry-shown-as-another", formats, "proof.shown-as", "proof.shown-plainly"),
        )
        if places
    ]  # fmt: skip


def _shows_another(value: float, number_format: str) -> bool:
    """Whether a number format shows no digit of an entry, digits of its own, or a thousandth of it.

    Programs give an entry a format of what was typed (a date, a percentage, money): none of these do that.
    """
    positive, negative, zero = displayed_as(number_format)
    return _is_another(zero if not value else negative if value < 0 else positive)


@lru_cache(maxsize=1024)
def _may_show_another(number_format: str) -> bool:
    return any(map(_is_another, displayed_as(number_format)))


def _is_another(section: Section) -> bool:
    kind, _least, _most, scale, before, after = section
    return kind in ("hidden", "words") or scale > 0 or any(sign.isdigit() for sign in before + after)
