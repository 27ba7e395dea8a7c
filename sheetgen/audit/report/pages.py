"""The report's workbook: its looks, its texts, and pages that are right on paper and on a screen.

Only values are written, no formula: what stands in the report is what was found, whatever opens it.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import NamedTuple

from sheetgen import templates
from sheetgen.audit.report.own_files import CATEGORY, CREATED, DECIDED
from sheetgen.output import ACTING
from sheetgen.whole_file import write_whole
from sheetgen.xlsx.looks import looks
from sheetgen.xlsx.model import Book, Cell, Sheet
from sheetgen.xlsx.page import block_page, page
from sheetgen.xlsx.returned import Value
from sheetgen.xlsx.write import book_bytes

# A file must not carry the minute it was made: the same recheck gives the same bytes.
_CREATED = dt.datetime.fromisoformat(CREATED)
_STYLES = "report_styles.toml"
_LONGEST = 32_000  # characters; a cell holds 32,767
_FOOTER = 255  # characters that a footer holds, or a property
_HIGHEST = 409  # points of a row
_new = tuple.__new__  # a report has tens of thousands of cells: see sheetgen.xlsx.drawing


@contextmanager
def report_workbook(
    path: Path, language: str, paper: str, title: str, system: str = "", decided: bool = False
) -> Iterator[ReportBook]:
    """A workbook to be drawn; it appears at ``path`` whole when the block ends, or not at all.

    Args:
        decided: whether it holds decisions; its properties say so
    """
    report = ReportBook(language, paper, system)
    yield report
    about = {"title": shortened(title)[:_FOOTER], "created": _CREATED, "category": CATEGORY}
    if decided:
        about["keywords"] = DECIDED
    book = Book("", report.sheets, {}, {}, {}, about, _STYLES)
    write_whole(path, book_bytes(book, {}))


class ReportBook:
    """The workbook of a report.

    Attributes:
        say: the texts of its language
        paper: "letter" or "a4"
        footer: what stands at the left of every page's foot
        sheets: in the order of the tabs
    """

    def __init__(self, language: str, paper: str, system: str = "") -> None:
        self.say, self.paper, self.footer = templates.texts(language, system), paper, ""
        self.looks, self.sheets = looks(_STYLES), list[Sheet]()

    def page(self, key: str, widths: Sequence[float], landscape: bool = False) -> Page:
        """A new sheet, named in the report's language, with columns of these widths in characters."""
        return Page(self, self.say[f"report.sheet.{key}"], widths, landscape)


class Column(NamedTuple):
    """A column of a table.

    Attributes:
        key: of its heading
        width: in characters
        style: of its values; of a text among numbers it is that of texts
        shape: number format of its numbers
        measured: style in which its texts are measured for the height of their row; empty for texts of one line
    """

    key: str
    width: float
    style: str = "cell"
    shape: str = ""
    measured: str = ""


class Page:
    """One sheet of the report.

    Attributes:
        sheet: that is drawn
        widths: of its columns, in characters
        say: the texts of the report's language
    """

    def __init__(self, book: ReportBook, name: str, widths: Sequence[float], landscape: bool) -> None:
        self.book, self.widths, self.landscape = book, tuple(widths), landscape
        self.say, self.name = book.say, name
        self.sheet = Sheet(name, name, column_widths=dict(enumerate(widths)), protected=False)
        book.sheets.append(self.sheet)

    @property
    def last(self) -> int:
        """Its last column."""
        return len(self.widths) - 1

    def put(
        self, row: int, column: int, value: Value, style: str = "plain", number_format: str = "", first: bool = False
    ) -> None:  # fmt: skip
        """A value with a look; ``first`` draws the line above a block. A text is never taken for a formula."""
        if isinstance(value, str):
            value = shortened(value) or None
        if first:
            style += "+first"
        self.sheet.cells[row, column] = _new(Cell, (value, None, style, number_format or "General", True))

    def span(
        self, row: int, first: int, last: int, value: Value, style: str, number_format: str = ""
    ) -> None:
        """A value in one cell or in several merged ones."""
        self.put(row, first, value, style, number_format)
        if last > first:
            self.sheet.merges.append((row, first, row, last))

    def across(self, row: int, value: str, style: str, first: int = 0, last: int | None = None) -> None:
        """A text over several columns, the row as high as it needs."""
        end = self.last if last is None else last
        self.span(row, first, end, value, style)
        self.fit(row, [(value, sum(self.widths[first : end + 1]), style)])

    def title(self, text: str, note: str = "") -> None:
        """What stands at the head of the sheet."""
        self.across(0, text, "title")
        self.height(0, 26)
        if note:
            self.across(1, note, "note")

    def group(self, row: int, text: str, above: float = 8) -> int:
        """The heading of a part behind ``above`` points of space; gives the next row."""
        self.height(row, above)
        self.across(row + 1, text, "group")
        self.height(row + 1, 18)
        return row + 2

    def fit(self, row: int, texts: Sequence[tuple[str, float, str]], least: float = 13.5) -> None:
        """The row as high as wrapped texts need: each with the width it has and its style."""
        height = self.book.looks.height
        needed = max((height(shortened(text), width, style) for text, width, style in texts), default=0)
        self.height(row, max(least, needed, self.sheet.row_heights.get(row, 0)))

    def height(self, row: int, points: float) -> None:
        """The height of a row."""
        self.sheet.row_heights[row] = min(points, _HIGHEST)

    def link(self, row: int, column: int, target: str, text: str, style: str) -> None:
        """A text that leads to another place; without a target only the text."""
        self.put(row, column, text, style)
        if target:
            self.sheet.links[row, column] = target

    def head(self, row: int, titles: Sequence[str], style: str = "head") -> None:
        """A row of headings, as high as its longest needs."""
        for column, title in enumerate(titles):
            self.put(row, column, title, style)
        self.fit(row, [(title, width, style) for title, width in zip(titles, self.widths, strict=False)])

    def line(self, row: int, columns: Sequence[Column], values: Sequence[Value]) -> None:
        """A line of a table, as high as its texts need."""
        texts = []
        for place, (column, value) in enumerate(zip(columns, values, strict=True)):
            text = isinstance(value, str)
            style = "cell" if text and column.style == "cell_number" else column.style
            self.put(row, place, value, style, "" if text else column.shape)
            if isinstance(value, str) and column.measured:
                texts.append((value, column.width, column.measured))
        self.fit(row, texts)

    def finish(
        self, last_row: int, repeat: tuple[int, int] | None = None, starts: Sequence[int] = (), one_page: bool = False
    ) -> None:  # fmt: skip
        """Set the page up: one page wide, headings again on every page, no block cut that begins at ``starts``."""
        orientation, last = "landscape" if self.landscape else "portrait", max(last_row, 1)
        if one_page:
            area = (0, 0, last, self.last)
            page(self.book, self.sheet, orientation, fit_height=1, centered=True, area=area)
        else:
            begins = [0, *starts] if starts else []
            block_page(self.book, self.sheet, orientation, self.last, last, begins, repeat)
        self.sheet.page["footer"] = self._footer()

    def _footer(self) -> str:
        # A space behind the size: a digit there would be read as part of it.
        # The sheet's name stands with the page: in the middle a file's name on the left would run into it.
        right = f"&R&8 {_plain(self.name)} · {self.say['report.page']}"
        left = f"&L&8 {_plain(self.book.footer)}"
        return left[: _FOOTER - len(right)].rstrip("&") + right


def shortened(text: str) -> str:
    """A text that a cell holds: not too long, and of signs that a file can have (XML 1.0, 2.2)."""
    clean = text if text.isprintable() else ACTING.sub("·", text)  # what can be printed, a file can have
    return clean if len(clean) <= _LONGEST else clean[: _LONGEST - 1] + "…"


def _plain(text: str) -> str:
    """A text on one line of a footer, where an ampersand is a command."""
    return " ".join(shortened(text).split()).replace("&", "&&")
