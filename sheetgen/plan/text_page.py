"""A page of plain text: paragraphs, headings and tables in characters that every terminal has."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from io import StringIO

from sheetgen.plan.figures import Figures
from sheetgen.plan.model import Notice
from sheetgen.plan.notice_text import notice_text
from sheetgen.plan.text_table import Lines

_WIDTH = 118


class TextPage:
    """Collects lines and tables; nothing is said by colour.

    Args:
        figures: that texts and numbers are written by
        parts: beginning of the keys of its headings
    """

    def __init__(self, figures: Figures, parts: str) -> None:
        from rich.console import Console  # here: a field book has a plan in it, and needs no terminal

        self._figures, self._parts = figures, parts
        self._out = StringIO()
        self._console = Console(
            file=self._out, width=_WIDTH, no_color=True, highlight=False, markup=False, emoji=False
        )

    def line(self, text: str) -> None:
        """A paragraph."""
        self._console.print(text)

    def heading(self, part: str) -> None:
        """The heading of a part, a line above it left blank."""
        self._console.print(f"\n{self._figures.say[f'{self._parts}.{part}']}")

    def title(self, text: str) -> None:
        """A heading of more than one part, underlined."""
        self._console.print(f"\n{text}\n{'=' * len(text)}")

    def notices(self, notices: Iterable[Notice]) -> None:
        """What a person should know, a sentence or more for each."""
        sentences = [notice_text(notice, self._figures) for notice in notices]
        if sentences:
            self.heading("notices")
            for sentence in sentences:
                self.line(f"- {sentence}")

    def table(self, part: str, lines: Lines) -> None:
        """A table under its heading; nothing where it has no rows."""
        if not lines.rows:
            return
        from rich.box import ASCII
        from rich.table import Table

        self.heading(part)
        table = Table(box=ASCII, show_header=bool(lines.heads), pad_edge=False, collapse_padding=True)
        for head, numeric in zip(lines.heads or lines.rows[0], _numeric(lines.rows), strict=True):
            longest = max((len(word) for word in head.split()), default=1)
            table.add_column(head, justify="right" if numeric else "left", overflow="fold", min_width=longest)
        for row in lines.rows:
            table.add_row(*row)
        self._console.print(table)

    def text(self) -> str:
        """All of it."""
        return "\n".join(line.rstrip() for line in self._out.getvalue().splitlines()) + "\n"


def _numeric(rows: Sequence[Sequence[str]]) -> list[bool]:
    """Which columns hold numbers: they are set to the right."""
    return [all(_is_number(row[col]) for row in rows) for col in range(len(rows[0]))]


def _is_number(text: str) -> bool:
    return not text or text[0].isdigit() or text in ("–", "-") or text[:1] == "-"
