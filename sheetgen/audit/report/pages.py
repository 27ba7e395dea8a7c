"""The report's workbook: its looks, its texts, and pages that are right on paper and on a screen.

Only values are written, no formula: what stands in the report is what was found, whatever opens it.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Any, NamedTuple

import xlsxwriter
from xlsxwriter.format import Format

from sheetgen import templates
from sheetgen.audit.report.own_files import CATEGORY, CREATED
from sheetgen.output import ACTING
from sheetgen.whole_file import whole_file
from sheetgen.xlsx.page import BOTTOM, MARGIN, PAPERS, TOP, column_inches
from sheetgen.xlsx.returned import Value
from sheetgen.xlsx.text_fit import text_height
from sheetgen.xlsx.workbook_file import WorkbookFile

# A file must not carry the minute it was made: the same recheck gives the same bytes.
_CREATED = dt.datetime.fromisoformat(CREATED)
_ROW = 15.0  # points of a row that no height was set for
_LONGEST = 32_000  # characters; a cell holds 32,767
_FOOTER = 255  # characters that a footer holds, or a property


@contextmanager
def report_workbook(path: Path, language: str, paper: str, title: str) -> Iterator[ReportBook]:
    """A workbook to be drawn; it appears at ``path`` whole when the block ends, or not at all."""
    base = templates.toml("styles.toml")["base"]
    font = {key: base[key] for key in ("font_name", "font_size")}
    options = {
        "in_memory": True,
        "strings_to_urls": False,
        "strings_to_formulas": False,
        "default_format_properties": font,
    }
    with whole_file(path) as unfinished:
        workbook = WorkbookFile(str(unfinished), options)
        about = {"title": shortened(title)[:_FOOTER], "created": _CREATED, "category": CATEGORY}
        workbook.set_properties(about)
        yield ReportBook(workbook, templates.texts(language), paper)
        workbook.close()


class Lettering(NamedTuple):
    """What of a style decides how much room a text needs.

    Attributes:
        size: of the font in points
        mono: whether all letters are of one width
        indent: characters of the column that it takes
    """

    size: float
    bold: bool
    mono: bool
    indent: float


class ReportBook:
    """The workbook of a report.

    Attributes:
        say: the texts of its language
        footer: what stands at the left of every page's foot
    """

    def __init__(self, workbook: xlsxwriter.Workbook, say: templates.Texts, paper: str) -> None:
        self.say, self.paper, self.footer = say, paper, ""
        self.workbook = workbook
        self._styles = templates.toml("report_styles.toml")
        self._base = templates.toml("styles.toml")["base"]
        self._made: dict[tuple[str, str, bool], Format] = {}
        self._letterings: dict[str, Lettering] = {}

    def look(self, style: str, number_format: str = "", first: bool = False) -> Format:
        """The format of a style; ``first`` draws the line above a block."""
        key = (style, number_format, first)
        made = self._made.get(key)
        if made is None:
            properties = self.properties(style)
            spaced = properties.pop("spaced", False)
            if number_format:
                properties["num_format"] = _spaced(number_format) if spaced else number_format
            if first:
                properties["top"] = 2
            made = self._made[key] = self.workbook.add_format(properties)
        return made

    def lettering(self, style: str) -> Lettering:
        """How texts of a style are lettered."""
        known = self._letterings.get(style)
        if known is None:
            look = self.properties(style)
            mono = look["font_name"] != self._base["font_name"]
            known = Lettering(look["font_size"], look.get("bold", False), mono, 1.3 * look.get("indent", 0))
            self._letterings[style] = known
        return known

    def properties(self, style: str) -> dict[str, Any]:
        """What a style says, in XlsxWriter's terms."""
        return {**self._base, **self._styles[style]}

    def page(self, key: str, widths: Sequence[float], landscape: bool = False) -> Page:
        """A new sheet, named in the report's language, with columns of these widths in characters."""
        return Page(self, self.say[f"report.sheet.{key}"], widths, landscape)


class Page:
    """One sheet of the report.

    Attributes:
        worksheet: XlsxWriter's
        widths: of its columns, in characters
        say: the texts of the report's language
    """

    def __init__(self, book: ReportBook, name: str, widths: Sequence[float], landscape: bool) -> None:
        self.book, self.widths, self.landscape = book, tuple(widths), landscape
        self.say, self.name = book.say, name
        self.worksheet = book.workbook.add_worksheet(name)
        for column, width in enumerate(widths):
            self.worksheet.set_column(column, column, width)
        self.worksheet.hide_gridlines(2)
        self._heights: dict[int, float] = {}

    @property
    def last(self) -> int:
        """Its last column."""
        return len(self.widths) - 1

    def put(
        self,
        row: int,
        column: int,
        value: Value,
        style: str = "plain",
        number_format: str = "",
        first: bool = False,
    ) -> None:
        """A value with a look; a text is never taken for a formula or a link."""
        look = self.book.look(style, number_format, first)
        if value is None or value == "":
            self.worksheet.write_blank(row, column, None, look)
        elif isinstance(value, bool):
            self.worksheet.write_boolean(row, column, value, look)
        elif isinstance(value, str):
            self.worksheet.write_string(row, column, shortened(value), look)
        else:
            self.worksheet.write_number(row, column, value, look)

    def across(self, row: int, value: str, style: str, first: int = 0, last: int | None = None) -> None:
        """A text over several columns, the row as high as it needs."""
        end = self.last if last is None else last
        look = self.book.look(style)
        if end > first:
            self.worksheet.merge_range(row, first, row, end, "", look)
        self.put(row, first, value, style)
        self.fit(row, [(value, sum(self.widths[first : end + 1]), style)])

    def fit(self, row: int, texts: Sequence[tuple[str, float, str]], least: float = 13.5) -> None:
        """The row as high as wrapped texts need: each with the width it has and its style."""
        needed = max((self._needed(*each) for each in texts), default=0)
        self.height(row, max(least, needed, self._heights.get(row, 0)))

    def _needed(self, text: str, width: float, style: str) -> float:
        letters = self.book.lettering(style)
        narrower = width - letters.indent
        return text_height(shortened(text), narrower, letters.size, letters.bold, letters.mono)

    def height(self, row: int, points: float) -> None:
        """The height of a row."""
        self._heights[row] = min(points, 409)
        self.worksheet.set_row(row, self._heights[row])

    def height_of(self, first: int, end: int) -> float:
        """Points of the rows from ``first`` to before ``end``."""
        return sum(self._heights.get(row, _ROW) for row in range(first, end))

    def link(self, row: int, column: int, target: str, text: str, style: str) -> None:
        """A text that leads to another place; without a target only the text."""
        if not target:
            self.put(row, column, text, style)
        else:
            self.worksheet.write_url(row, column, target, self.book.look(style), shortened(text))

    def head(self, row: int, titles: Sequence[str], style: str = "head") -> None:
        """A row of headings, as high as its longest needs."""
        for column, title in enumerate(titles):
            self.put(row, column, title, style)
        self.fit(row, [(title, width, style) for title, width in zip(titles, self.widths, strict=False)])

    def finish(
        self,
        last_row: int,
        repeat: tuple[int, int] | None = None,
        breaks: Sequence[int] = (),
        one_page: bool = False,
    ) -> None:
        """Set the page up: paper, margins, footer, one page wide; headings again on every page."""
        worksheet = self.worksheet
        number, wide, high = PAPERS[self.book.paper]
        worksheet.set_paper(number)
        if self.landscape:
            worksheet.set_landscape()
            wide, high = high, wide
        worksheet.set_margins(left=MARGIN, right=MARGIN, top=TOP, bottom=BOTTOM)
        worksheet.set_footer(self._footer(), {"margin": 0.3})
        worksheet.print_area(0, 0, max(last_row, 1), self.last)
        if one_page:
            worksheet.fit_to_pages(1, 1)
            worksheet.center_horizontally()
        else:
            # Excel ignores breaks set by hand on a sheet that is fitted to pages.
            worksheet.set_print_scale(self.scale)
            worksheet.set_h_pagebreaks(list(breaks))
        if repeat:
            worksheet.repeat_rows(*repeat)

    @property
    def scale(self) -> int:
        """At which the columns go on one page, at most 100."""
        _, wide, high = PAPERS[self.book.paper]
        across = (high if self.landscape else wide) - 2 * MARGIN
        return max(10, min(100, int(98 * across / sum(column_inches(width) for width in self.widths))))

    @property
    def room(self) -> float:
        """Points of rows that one page holds at its scale."""
        _, wide, high = PAPERS[self.book.paper]
        return 72 * ((wide if self.landscape else high) - TOP - BOTTOM) * 100 / self.scale * 0.97

    def _footer(self) -> str:
        # A space behind the size: a digit there would be read as part of it.
        # The sheet's name stands with the page: in the middle a file's name on the left would run into it.
        right = f"&R&8 {_plain(self.name)} · {self.say['report.page']}"
        left = f"&L&8 {_plain(self.book.footer)}"
        return left[: _FOOTER - len(right)].rstrip("&") + right


def _spaced(number_format: str) -> str:
    """The format with the width of a bracket behind each number."""
    return ";".join(f"{section}_)" for section in number_format.split(";"))


def shortened(text: str) -> str:
    """A text that a cell holds: not too long, and of signs that a file can have (XML 1.0, 2.2)."""
    clean = text if text.isprintable() else ACTING.sub("·", text)  # what can be printed, a file can have
    return clean if len(clean) <= _LONGEST else clean[: _LONGEST - 1] + "…"


def _plain(text: str) -> str:
    """A text on one line of a footer, where an ampersand is a command."""
    return " ".join(shortened(text).split()).replace("&", "&&")
