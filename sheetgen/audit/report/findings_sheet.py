"""Every finding in one row, gravest first, its cell a link into the returned file."""

from __future__ import annotations

from sheetgen.audit.findings import severity_words
from sheetgen.audit.report.document import Document, FindingLine
from sheetgen.audit.report.figures import Figures
from sheetgen.audit.report.number_shapes import finest
from sheetgen.audit.report.pages import Page, ReportBook
from sheetgen.audit.report.returned_file import ReturnedFile

_COLUMNS = (
    ("number", 5),
    ("severity", 10),
    ("what", 24),
    ("sheet", 9.5),
    ("cell", 7.5),
    ("found", 21),
    ("expected", 20),
    ("why", 34),
    ("stake", 9.5),
    ("remedy", 27),
    ("name", 14),
)
_HEAD = 3


def draw_findings(book: ReportBook, document: Document, figures: Figures, returned: ReturnedFile) -> None:
    """Draw it, with a line that says so where nothing was found."""
    page = book.page("findings", [width for _, width in _COLUMNS], landscape=True)
    say = page.say
    page.title(say["report.findings.title"], say["report.findings.note"])
    page.height(2, 5)
    unit = figures.unit("volume")
    page.head(_HEAD, [say.say(f"report.findings.{key}", unit=unit) for key, _ in _COLUMNS])
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
    say = page.say
    why = f"{_sentence(one.matters)} {one.why}".strip()
    page.put(row, 0, one.number, "cell_centre")
    severity = severity_words(one.severity, say)
    page.put(row, 1, severity, "cell_bold")
    page.put(row, 2, one.title, "cell_bold")
    page.put(row, 3, one.sheet or say["report.findings.whole"], "cell")
    page.link(
        row, 4, returned.cell(one.sheet, one.cell), one.cell, "cell_link" if one.cell else "cell_centre"
    )
    page.put(row, 5, one.found, "cell")
    page.put(row, 6, one.expected, "cell")
    page.put(row, 7, why, "cell")
    stake = None if one.at_stake is None else finest(figures.format("volume"), one.at_stake)
    page.put(row, 8, one.at_stake, "cell_number", stake or "")
    page.put(row, 9, one.remedy, "cell")
    page.put(row, 10, one.name, "cell_code")
    texts = {2: one.title, 3: one.sheet, 5: one.found, 6: one.expected, 7: why, 9: one.remedy, 10: one.name}
    styles = {2: "cell_bold", 10: "cell_code"}
    page.fit(row, [(text, page.widths[at], styles.get(at, "cell")) for at, text in texts.items()])


def _sentence(text: str) -> str:
    """A text that begins with a capital and ends with a full stop; nothing where it says nothing."""
    if not any(sign.isalnum() for sign in text):
        return ""
    return text[:1].upper() + text[1:] + ("" if text.endswith((".", "!", "?")) else ".")
