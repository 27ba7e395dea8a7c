"""Every entry: where it stands, what was typed, what it was read as, and why."""

from __future__ import annotations

from typing import NamedTuple

from sheetgen.audit.report.document import Document, EntryLine
from sheetgen.audit.report.figures import Figures
from sheetgen.audit.report.pages import Page, ReportBook
from sheetgen.audit.report.returned_file import ReturnedFile
from sheetgen.columns import entry_columns
from sheetgen.xlsx.returned import Value, is_number

_COLUMNS = (
    ("log", 11),
    ("row", 6),
    ("entry", 18),
    ("cell", 8),
    ("typed", 20),
    ("read", 18),
    ("unit", 9),
    ("how", 42),
)
_HEAD = 3
_FORMATS = {"date": "date", "time": "time", "station": "station", "dip": "general", "count": "integer"}


class _Kind(NamedTuple):
    """What all entries of one column of a log have in common, or those of one field."""

    title: str
    reading: str
    unit: str  # of a number


def draw_entries(book: ReportBook, document: Document, figures: Figures, returned: ReturnedFile) -> None:
    """Draw it: blank cells of used rows are left out, unless there is something to say of them."""
    page = book.page("entries", [width for _, width in _COLUMNS], landscape=True)
    say = page.say
    shown = [one for one in document.entries if one.raw is not None or one.how or one.trouble]
    page.title(say["report.entries.title"])
    words = {"count": len(shown), "blank": len(document.entries) - len(shown)}
    page.across(1, say.say("report.entries.note", **words), "note")
    page.height(2, 5)
    page.head(_HEAD, [say[f"report.entries.{key}"] for key, _ in _COLUMNS])
    kinds: dict[tuple[str, str], _Kind] = {}
    for number, one in enumerate(shown, start=_HEAD + 1):
        kind = kinds.get((one.table, one.column))
        if kind is None:
            kind = kinds[one.table, one.column] = _kind(page, one, figures)
        _draw(page, number, one, kind, figures, returned)
    last = _HEAD + max(1, len(shown))
    if not shown:
        page.across(last, say["report.entries.none"], "cell")
    page.sheet.filtered = (_HEAD, 0, last, page.last)
    page.sheet.freeze = (_HEAD + 1, 3)
    page.finish(last, repeat=(_HEAD, _HEAD))


def _kind(page: Page, one: EntryLine, figures: Figures) -> _Kind:
    known = entry_columns(one.table).get(one.column)
    reading, unit = (known.reading, known.unit) if known else ("text", "")
    return _Kind(_title(page, one), reading, figures.unit("distance" if unit == "station" else unit))


def _draw(
    page: Page, row: int, one: EntryLine, kind: _Kind, figures: Figures, returned: ReturnedFile
) -> None:
    page.put(row, 0, one.sheet, "cell")
    page.put(row, 1, one.row + 1 if one.table else None, "cell_centre")
    page.put(row, 2, kind.title, "cell")
    page.link(row, 3, returned.cell(one.sheet, one.cell), one.cell, "cell_link")
    _value(page, row, 4, one.raw, kind.reading, figures)
    _value(page, row, 5, _read(one.value, kind.reading, figures), kind.reading, figures)
    page.put(row, 6, kind.unit if is_number(one.value) else None, "cell_centre")
    how = " ".join(filter(None, (one.how, _trouble(page, one))))
    page.put(row, 7, how, "cell_bold" if one.trouble else "cell")
    texts = [(kind.title, page.widths[2], "cell")]
    if how:
        texts.append((how, page.widths[7], "cell_bold"))
    if isinstance(one.raw, str):
        texts.append((one.raw, page.widths[4], "cell"))
    page.fit(row, texts, least=12.5)


def _value(page: Page, row: int, column: int, value: Value, reading: str, figures: Figures) -> None:
    """A number in the shape of its column, a text as it is."""
    if is_number(value):
        kind = _FORMATS.get(reading, "general")
        fits = kind != "date" or 1 <= value < 2_958_466  # what a spreadsheet shows as a date
        page.put(row, column, value, "cell_number", figures.format(kind if fits else "general"))
    else:
        page.put(row, column, value, "cell")


def _read(value: Value, reading: str, figures: Figures) -> Value:
    """How an entry was read, in words: the kind of a row by the word that the book has for it."""
    return figures.word(value) if reading == "kind" and value else value


def _trouble(page: Page, one: EntryLine) -> str:
    """The finding that names the trouble, behind its sign."""
    return f"▲ {page.say[f'findings.{one.trouble}.title']}." if one.trouble else ""


def _title(page: Page, one: EntryLine) -> str:
    if one.table:
        return page.say[f"{one.table}.{one.column}"]
    bare = one.column.rstrip("0123456789").rstrip("_")
    keys = (f"name.{one.column}", f"calibration.{one.column}", bare.replace("_", ".", 1))
    return next((page.say[key] for key in keys if key in page.say), one.column)
