"""A page of plain text: paragraphs, headings and tables in characters that every terminal has."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from io import StringIO
from typing import Any, NamedTuple

from sheetgen.plan.figures import Figures
from sheetgen.plan.model import Notice
from sheetgen.xlsx.blocks import value_at

_WIDTH = 118
_NAME = 40  # characters of a name at the begin of a row that is not broken


class Lines(NamedTuple):
    """Headings, none for a table of labelled values, and rows of texts."""

    heads: Sequence[str] = ()
    rows: Sequence[Sequence[str]] = ()


class Column(NamedTuple):
    """A column of a table of records.

    Attributes:
        key: of its heading, below ``plan.head`` in the texts
        kind: of quantity, whose unit stands below the heading
        of: where its value stands in a record, or what gives it; the key where blank
        shown: "station" or "clock", or the beginning of the keys of the words that its codes stand for
    """

    key: str
    kind: str = ""
    of: str | Callable[[Any, Figures], Any] = ""
    shown: str = ""

    def head(self, figures: Figures) -> str:
        """The heading, with the unit below it."""
        unit = figures.unit(self.kind)
        return figures.say[f"plan.head.{self.key}"] + (f"\n{unit}" if unit else "")

    def cell(self, record: Any, figures: Figures) -> str:
        """What stands in the line of a record; a dash for nothing."""
        value = self.of(record, figures) if callable(self.of) else value_at(self.of or self.key, record)
        if value is None or value == ():
            return "–"
        if self.shown in ("station", "clock"):
            return figures.station(value) if self.shown == "station" else figures.clock(value)
        if self.shown:
            return figures.say[f"{self.shown}.{value}"]
        if isinstance(value, tuple):
            return ", ".join(value)
        return figures.bare(value, self.kind) if self.kind and not isinstance(value, str) else str(value)


def table(figures: Figures, columns: Iterable[Column], records: Iterable[Any]) -> Lines:
    """A line for each record, below the headings."""
    rows = [[column.cell(record, figures) for column in columns] for record in records]
    return Lines([column.head(figures) for column in columns], rows)


def labelled(figures: Figures, texts: str, kinds: Mapping[str, str], values: Any) -> Lines:
    """A line for each kind of quantity by its key: what it is called below ``texts``, and its value with the unit."""
    rows = [[figures.say[f"{texts}.{key}"], figures.full(values[key], kind)] for key, kind in kinds.items()]
    return Lines((), rows)


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
        sentences = self._figures.notices(notices)
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
        whole = max(len(row[0]) for row in lines.rows) <= _NAME  # what a row is of stays on one line
        for head, numeric in zip(lines.heads or lines.rows[0], _numeric(lines.rows), strict=True):
            longest = max((len(word) for word in head.split()), default=1)
            table.add_column(
                head,
                justify="right" if numeric else "left",
                overflow="fold",
                min_width=longest,
                no_wrap=whole,
            )
            whole = False
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
