"""A copy of the returned file with a note at the cell of each finding.

Every part of the file stays as it came back, values as they were last worked out included; only the notes are added,
and what leads to them. A finding that is about no cell of the file is noted at the first cell of its sheet, or of the
book. The returned file itself is never touched.
"""

from __future__ import annotations

from pathlib import Path

from sheetgen.audit.findings import severity_words
from sheetgen.audit.report.document import Document, FindingLine
from sheetgen.audit.report.figures import Figures
from sheetgen.errors import SheetgenError, UnusableBook
from sheetgen.whole_file import write_whole
from sheetgen.xlsx.notes import Notes, notes_at, with_notes
from sheetgen.xlsx.package import open_package
from sheetgen.xlsx.repack import worksheet_parts
from sheetgen.xlsx.unusable import unusable


class NoCopy(SheetgenError):
    """No copy can be made of a book that can be rechecked: a part is damaged that a recheck does not need."""


def write_noted_copy(document: Document, returned: str | Path, figures: Figures, path: Path) -> None:
    """Write the copy; it appears whole or not at all.

    Args:
        document: the report on the returned file
        returned: that file
        path: of the copy

    Raises:
        UnusableBook: the file cannot be read any more, or is another than the one that was rechecked.
        NoCopy: a part that leads to the notes is damaged.
    """
    package = open_package(returned)
    if document.file.sha256 and package.sha256 != document.file.sha256:
        raise unusable(str(returned), "changed")
    try:
        parts = worksheet_parts(package)
        data = with_notes(package, parts, _notes(document, figures, list(parts)))
    except UnusableBook as error:
        raise NoCopy(str(error)) from error
    write_whole(path, data)


def _notes(document: Document, figures: Figures, sheets: list[str]) -> Notes:
    """The texts to stand at each cell, by sheet; the first sheet's first cell says what the file is."""
    say, counts = figures.say, document.conclusion.counts
    head = say.say(
        "report.copy.head", file=document.file.name, sha256=document.file.sha256, error=counts.error,
        query=counts.query, note=counts.note,
    )  # fmt: skip
    found = ((one.sheet, one.cell, _note(one, figures)) for one in document.findings)
    return notes_at([(sheets[0], "", head), *found], sheets)


def _note(one: FindingLine, figures: Figures) -> str:
    say = figures.say
    place = f"{one.sheet} {one.cell}".strip() or say["report.findings.whole"]
    lines = [
        f"{severity_words(one.severity, say)}, {place}: {one.title}",
        f"{say['report.copy.found']}: {one.found}" if one.found else "",
        f"{say['report.copy.expected']}: {one.expected}" if one.expected else "",
        one.matters,
        one.why,
        f"{say['report.copy.remedy']}: {one.remedy}",
        f"({one.name})",
    ]
    return "\n".join(line for line in lines if line)
