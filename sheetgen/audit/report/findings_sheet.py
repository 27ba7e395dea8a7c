"""Every finding in one row, gravest first, its cell a link into the returned file."""

from __future__ import annotations

from sheetgen.audit.findings import severity_words
from sheetgen.audit.report.document import Document, FindingLine
from sheetgen.audit.report.figures import Figures, finest
from sheetgen.audit.report.pages import Column, Page, ReportBook
from sheetgen.audit.report.returned_file import ReturnedFile

_COLUMNS = (
    Column("number", 5, "cell_centre"), Column("severity", 10, "cell_bold"),
    Column("what", 24, "cell_bold", measured="cell_bold"), Column("sheet", 9.5), Column("cell", 7.5),
    Column("found", 21, measured="cell"), Column("expected", 20, measured="cell"), Column("why", 34, measured="cell"),
    Column("stake", 9.5, "cell_number"), Column("remedy", 27, measured="cell"),
    Column("name", 14, "cell_code", measured="cell_code"),
)  # fmt: skip
_HEAD = 3


def draw_findings(book: ReportBook, document: Document, figures: Figures, returned: ReturnedFile) -> None:
    """Draw it, with a line that says so where nothing was found."""
    page = book.page("findings", [column.width for column in _COLUMNS], landscape=True)
    say = page.say
    page.title(say["report.findings.title"], say["report.findings.note"])
    page.height(2, 5)
    unit = figures.unit("volume")
    page.head(_HEAD, [say.say(f"report.findings.{key}", unit=unit) for key, *_ in _COLUMNS])
    apart = [one for one in document.findings if one.below_material]
    above = document.findings[: len(document.findings) - len(apart)]
    for row, one in enumerate(above, start=_HEAD + 1):
        _draw(page, row, one, figures, returned)
    last = filtered = _HEAD + max(1, len(above))
    if apart and document.material is not None:
        threshold = figures.volume(document.material.volume)
        last = page.group(last + 1, say.say("report.findings.apart", threshold=threshold)) - 1
    for row, one in enumerate(apart, start=last + 1):
        _draw(page, row, one, figures, returned)
    last += len(apart)
    if not document.findings:
        page.across(last, say["report.found.none"], "cell")
    page.sheet.filtered = (_HEAD, 0, filtered, page.last)
    page.sheet.freeze = (_HEAD + 1, 3)
    page.finish(last, repeat=(_HEAD, _HEAD))


def _draw(page: Page, row: int, one: FindingLine, figures: Figures, returned: ReturnedFile) -> None:
    say, why = page.say, f"{_sentence(one.matters)} {one.why}".strip()
    page.line(row, _COLUMNS, (
        one.number, severity_words(one.severity, say), one.title, one.sheet or say["report.findings.whole"], one.cell,
        one.found, one.expected, why, one.at_stake, one.remedy, one.name,
    ))  # fmt: skip
    page.fit(row, [(one.sheet, page.widths[3], "cell")])
    page.link(
        row, 4, returned.cell(one.sheet, one.cell), one.cell, "cell_link" if one.cell else "cell_centre"
    )
    stake = None if one.at_stake is None else finest(figures.format("volume"), one.at_stake)
    page.put(row, 8, one.at_stake, "cell_number", stake or "")


def _sentence(text: str) -> str:
    """A text that begins with a capital and ends with a full stop; nothing where it says nothing."""
    if not any(sign.isalnum() for sign in text):
        return ""
    return text[:1].upper() + text[1:] + ("" if text.endswith((".", "!", "?")) else ".")
