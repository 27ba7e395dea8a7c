"""Results side by side: for each shot, load, day or section a block of lines.

As typed, in the book, recomputed, the difference, and how far the readings can be trusted. What differs has the
sign ≠ before it and is bold; what agrees has an equals sign.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Sequence
from functools import cache
from typing import NamedTuple

from sheetgen.audit.report.document import AnyLine, EntryLine, Result, ShotLine
from sheetgen.audit.report.figures import Figures, difference_format, reach_format
from sheetgen.audit.report.pages import Page
from sheetgen.columns import Column, entry_columns, reported
from sheetgen.xlsx.returned import Value

_HEIGHT = 12.5
LABEL_WIDTH = 12.0
_LABELLED = ("days", "sections", "pay_mass", "pay_area")  # whose lines have names and no numbers
_UNITS = {"of_depth": "depth", "of_width": "width", "of_temperature": "temperature", "of_volume": "volume",
          "of_mass": "mass", "of_distance": "distance"}  # fmt: skip
_PLACEHOLDER = re.compile(r"\{(\w+)\}")


class Block(NamedTuple):
    """How one table stands side by side.

    Attributes:
        table: "shots", "loads", "days", "sections", "monitor" or "gauges"
        leads: entries shown before the lines: key of the column, width
        kinds: the lines of each block
    """

    table: str
    leads: tuple[tuple[str, float], ...]
    kinds: tuple[str, ...]

    @property
    def widths(self) -> list[float]:
        """Of the columns: number or name, leads, the line's label, results."""
        first = 11.5 if self.table in _LABELLED else 6
        leads = [width for _, width in self.leads]
        return [first, *leads, LABEL_WIDTH, *(each.report_width for each in reported(self.table))]


def draw_blocks(
    page: Page, row: int, block: Block, lines: Sequence[AnyLine], typed: TypedLines, figures: Figures
) -> tuple[int, list[int]]:
    """Draw head and blocks from a row on; gives the row after them, and the rows at which blocks begin."""
    _head(page, row, block, figures)
    row += 2
    begins = []
    for line in lines:
        begins.append(row)
        for number, kind in enumerate(block.kinds):
            _line(page, row, block, line, kind, number == 0, typed, figures)
            row += 1
    if not lines:
        page.across(row, page.say["report.lines.none"], "cell")
        row += 1
    else:
        for column in range(len(block.widths)):
            page.put(row, column, None, first=True)
        page.height(row, 6)
        row += 1
    return row, begins


def _head(page: Page, row: int, block: Block, figures: Figures) -> None:
    say = page.say
    titles = [say[f"report.lead.{block.table}"], *(_title(say, block.table, key) for key, _ in block.leads)]
    titles.append(say["report.line.head"])
    titles += [_title(say, block.table, column.key) for column in reported(block.table)]
    page.head(row, titles)
    for number in range(len(titles)):
        column = number - len(block.leads) - 2
        unit = figures.unit(reported(block.table)[column].unit) if column >= 0 else ""
        page.put(row + 1, number, unit, "unit")
    page.height(row + 1, 12)


def _title(say: object, table: str, key: str) -> str:
    own = f"report.head.{table}.{key}"
    return str(say[own] if own in say else say[f"{table}.{key}"])  # type: ignore[index,operator]


def _line(
    page: Page,
    row: int,
    block: Block,
    line: AnyLine,
    kind: str,
    first: bool,
    typed: TypedLines,
    figures: Figures,
) -> None:
    page.put(row, 0, _label(line, block), "line_number" if first else "line_number_again", first=first)
    if first:  # below it nothing is to be seen in these columns, not even a border
        for number, (key, _) in enumerate(block.leads, start=1):
            page.put(row, number, typed.entry(block.table, line.row, key), "line_lead", first=True)
    label = len(block.leads) + 1
    style = "line_own_lead" if kind == "own" else "line_label"
    page.put(row, label, page.say[f"report.line.{kind}"], style, first=first)
    typed_texts = []
    for number, column in enumerate(reported(block.table), start=label + 1):
        if kind == "typed":
            text = typed.follows_from(block.table, line.row, column)
            typed_texts.append((text, page.widths[number], "line_typed"))
            page.put(row, number, text, "line_typed", first=first)
        else:
            value, style, shape = _DRAWN[kind](line, column, line.results[column.key], figures)
            page.put(row, number, value, style, shape, first=first)
    page.fit(row, typed_texts, least=_HEIGHT)


def _label(line: AnyLine, block: Block) -> Value:
    return line.label if block.table in _LABELLED else int(line.label)


Drawn = tuple[Value, str, str]  # value, style, number format


def _book(_line: AnyLine, column: Column, result: Result, figures: Figures) -> Drawn:
    style = "line_book" if result.same else "line_book_differs"
    value: Value = (
        figures.word(result.book) if column.key == "verdict" and result.book is not None else result.book
    )
    if value is None and result.cell and result.recomputed is not None:
        value = figures.say["report.none"]
    return value, style, figures.format(column.format)


def _own(_line: AnyLine, column: Column, result: Result, figures: Figures) -> Drawn:
    own = result.recomputed
    value: Value = figures.word(own) if column.key == "verdict" and own is not None else own
    return value, "line_own", figures.format(column.format)


def _difference(_line: AnyLine, column: Column, result: Result, figures: Figures) -> Drawn:
    if not result.cell:
        return None, "line_difference", ""
    if result.same:
        return ("=" if result.recomputed is not None else None), "line_difference", ""
    if result.difference is None:
        return "≠", "line_differs", ""
    return (
        result.difference,
        "line_differs",
        difference_format(figures.format(column.format), result.difference),
    )


def _reach(line: AnyLine, column: Column, result: Result, figures: Figures) -> Drawn:
    if column.key == "verdict" and isinstance(line, ShotLine) and line.judged:
        return figures.say[f"report.judged.{line.judged}"], "line_reach", ""
    return result.uncertainty, "line_reach", reach_format(figures.format(column.format), result.uncertainty)


_DRAWN: dict[str, Callable[[AnyLine, Column, Result, Figures], Drawn]] = {
    "book": _book,
    "own": _own,
    "difference": _difference,
    "reach": _reach,
}


# What stands for a unit in the wordings, and its kind of quantity.


class TypedLines:
    """The entries of one book by place, as they were typed."""

    def __init__(self, entries: Iterable[EntryLine], figures: Figures) -> None:
        self._entries = {(each.table, each.row, each.column): each for each in entries}
        self._figures = figures
        self._units = {key: figures.unit(kind) for key, kind in _UNITS.items()}

    def entry(self, table: str, row: int, column: str) -> str:
        """One entry as typed; empty where nothing was."""
        entry = self._entries.get((table, row, column))
        if entry is None:
            return ""
        known = entry_columns(table).get(column)
        return self._figures.entry(entry.raw, known.reading if known else "text")

    def follows_from(self, table: str, row: int, column: Column) -> str:
        """The entries that a result follows from, each wording on a line; empty where none holds anything."""
        say = self._figures.say
        found = []
        for wording in column.typed:
            text = say[f"report.typed.{table}.{wording}"]
            words = {key: self.entry(table, row, key) for key in _entries_in(text)}
            if any(words.values()):
                blank = say["report.typed.blank"]
                typed = {key: value or blank for key, value in words.items()}
                found.append(text.format(**typed, **self._units))
        return "\n".join(found)


@cache
def _entries_in(wording: str) -> tuple[str, ...]:
    """The entries that a wording has places for."""
    return tuple(key for key in _PLACEHOLDER.findall(wording) if key not in _UNITS)
