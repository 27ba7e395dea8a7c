"""The columns and single cells of a field book, each as its sheet's template declares it, once.

``templates_src/sheets/*.toml`` holds the declarations; :mod:`sheetgen.declarations` says what may stand in one and
checks it. What a column is read as, which results the recheck compares and what the report shows is derived here.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from functools import cache
from typing import Any, NamedTuple

from sheetgen import templates

_REFERENCE = re.compile(r"\[(\w+)(?:\.\.|:\w+)?\]")
_RUNNING = re.compile(r"\[\w+\.\.\]")
_COPY = re.compile(r"\[@(\w+)\.\w+\]")
_LINES = ("across", "along")  # of a result that is given for all pads and for each line of them

# Entries that say something of a row and are none of it: a row of the shot log with nothing else was struck out.
ASIDE = frozenset({"confirmed", "remarks"})

Bound = float | str


class Column(NamedTuple):
    """One column of a table, or one single cell.

    Attributes:
        table: of the book; "" for single input cells
        key: within the table
        name: the cell's name in formulas; empty for a column of a table
        format: of its numbers, a key of :mod:`sheetgen.book.number_formats`
        unit: kind of quantity of ``tables/units.csv``, empty where there is none
        words: text table that a code is a key of, such as ``"words"`` for "in"
        input: whether a person fills it in
        reading: how an entry is read; empty for a result
        choices: the keys of the words that one of is picked
        possible: minimum and maximum of a number: numbers, or ``"1.5 capacity"``
        former: its key in books of earlier versions; empty where it had the same
        ditto: whether "as above" can be entered
        sign: whether its unit can be typed behind it
        carried: whether a blank in a used row means as in the row above
        follows: key of the entry of the row above that a blank in a used row means, under a condition
        where_same: that condition: keys of the entries that must be as in the row above
        label: whether a merged cell can hold it for all its rows
        needed: whether a row cannot be counted without it
        computed: whether a quantity is calculated from it
        formula: its template; empty for an entry
        recomputed: whether the recheck calculates it again and compares it
        not_recomputed: the reason where it does not
        typed: wordings of the entries that a reported result follows from
        report_width: width of its column in the report, in characters; 0 where the report does not show it
        after: key of the column behind which the report shows it; empty where it stands as declared
        differs: the finding of a result that differs from the recheck
    """

    table: str
    key: str
    name: str = ""
    format: str = "text"
    unit: str = ""
    words: str = ""
    input: bool = False
    reading: str = ""
    choices: tuple[str, ...] = ()
    possible: tuple[Bound, ...] = ()
    former: str = ""
    ditto: bool = False
    sign: bool = False
    carried: bool = False
    follows: str = ""
    where_same: tuple[str, ...] = ()
    label: bool = False
    needed: bool = False
    computed: bool = False
    formula: str = ""
    recomputed: bool = False
    not_recomputed: str = ""
    typed: tuple[str, ...] = ()
    report_width: float = 0
    after: str = ""
    differs: str = ""

    @property
    def counts(self) -> bool:
        """Whether a quantity is lost, or a row is not counted, where its entry cannot be read."""
        return self.needed or self.computed

    @property
    def running(self) -> bool:
        """Whether it adds up the rows above."""
        return _RUNNING.search(self.formula) is not None

    @property
    def copied_from(self) -> str:
        """The table whose row of the same number it repeats; empty where it does not."""
        match = _COPY.search(self.formula)
        return match[1] if match else ""


@cache
def tables() -> dict[str, dict[str, Column]]:
    """Every declared column by table and key; single input cells stand in the table ""."""
    found: dict[str, dict[str, Column]] = {}
    for file in sorted((templates.root() / "sheets").iterdir(), key=lambda item: item.name):
        if file.name.endswith(".toml"):
            for column in _declared(templates.toml(f"sheets/{file.name}"), {}):
                found.setdefault(column.table, {})[column.key] = column
    return found


@cache
def columns(table: str) -> dict[str, Column]:
    """The columns of a table by key, in the order they stand in; none of an unknown table."""
    return tables().get(table, {})


@cache
def entry_columns(table: str) -> dict[str, Column]:
    """The columns that a person fills in."""
    return {key: column for key, column in columns(table).items() if column.input}


@cache
def compared(table: str) -> tuple[Column, ...]:
    """The results that the recheck compares, in the order in which one follows from another."""
    known = columns(table)
    waiting = [column for column in known.values() if not column.input]
    ordered: list[Column] = []
    while waiting:
        left = {column.key for column in waiting}
        column = next((one for one in waiting if not _behind(one) & left), waiting[0])
        waiting.remove(column)
        ordered.append(column)
    return tuple(column for column in ordered if column.recomputed)


@cache
def reported(table: str) -> tuple[Column, ...]:
    """The columns that the report shows side by side."""
    shown = [column for column in columns(table).values() if column.report_width]
    placed = [column for column in shown if not column.after]
    for column in shown:
        if column.after:
            placed.insert([one.key for one in placed].index(column.after) + 1, column)
    return tuple(placed)


def followed(column: Column, row: Mapping[str, Any], above: Mapping[str, Any], void: bool = False) -> Any:
    """Give what a blank entry of a used row means: an entry of the row above that is not void; None for nothing.

    Args:
        row: the row's entries by key, those left of the column at least
        above: all entries of the row above
    """
    if column.carried:
        return above.get(column.key)
    alike = not void and all(row.get(key) == above.get(key) for key in column.where_same)
    return above.get(column.follows) if alike else None


def published(table: str, key: str) -> str:
    """Give the name of a column or a total in the JSON and the CSV of a recheck."""
    names: dict[str, str] = templates.toml("published_names.toml").get(table, {})
    return names.get(key, key)


def _behind(column: Column) -> set[str]:
    """Keys of the columns that a column follows from, in its own row."""
    return set(_REFERENCE.findall(column.formula)) - {column.key}


def _declared(part: Any, outer: Mapping[str, Any]) -> Iterator[Column]:
    """The declarations in a part of a template; ``outer`` holds what they inherit."""
    if isinstance(part, list):
        for each in part:
            yield from _declared(each, outer)
    if not isinstance(part, dict):
        return
    inherited = {**outer, **{key: part[key] for key in _INHERITED if key in part}}
    for spec in part.get("column", ()):
        yield _column(spec, part["table"], spec["key"], "", inherited)
    for spec in (*part.get("fields", ()), *part.get("field", ()), *part.get("result", ())):
        yield from _cell(spec, inherited)
    for key, each in part.items():
        if key not in ("column", "fields", "field", "result"):
            yield from _declared(each, inherited)


_INHERITED = ("not_recomputed", "differs", "cells", "prefix")


def _cell(spec: Mapping[str, Any], outer: Mapping[str, Any]) -> Iterator[Column]:
    name = spec["key"]
    if spec.get("input"):
        yield _column(spec, "", name, name, outer)
    parts = {"": "all", **{f"_{line}": line for line in _LINES}}
    for ending, line in parts.items():
        formula = spec.get(line, "" if ending else spec.get("formula", ""))
        if formula and "cells" in outer:
            key = f"{name}{ending}".removeprefix(outer.get("prefix", ""))
            own = {**spec, "formula": formula}
            yield _column(own, outer["cells"], key, f"{name}{ending}", outer)


def _column(spec: Mapping[str, Any], table: str, key: str, name: str, outer: Mapping[str, Any]) -> Column:
    read, report = spec.get("read", {}), spec.get("report", {})
    recomputed, formula = spec.get("recomputed", False), spec.get("formula", "")
    reason = spec.get("not_recomputed", outer.get("not_recomputed", ""))
    return Column(
        table=table,
        key=key,
        name=name,
        format=spec["format"],
        unit=spec.get("unit", ""),
        words=spec.get("words", ""),
        input=spec.get("input", False),
        reading=read.get("as", ""),
        choices=_choices(spec) if read.get("as") == "kind" else (),
        possible=tuple(read.get("possible", ())),
        former=read.get("former", ""),
        follows=read.get("follows", ""),
        where_same=tuple(read.get("where_same", ())),
        ditto=read.get("ditto", False),
        sign=read.get("sign", False),
        carried=read.get("carried", False),
        label=read.get("label", False),
        needed=read.get("needed", False),
        computed=read.get("computed", False),
        formula=formula,
        recomputed=recomputed,
        not_recomputed=reason if formula and not recomputed else "",
        typed=tuple(report.get("typed", ())),
        report_width=_width(spec.get("report"), name, recomputed),
        after=report.get("after", ""),
        differs=outer.get("differs", "value-differs-from-recheck"),
    )


def _choices(spec: Mapping[str, Any]) -> tuple[str, ...]:
    """The keys of ``words`` that one of is picked: the kinds of a table, or the words of the drop-down."""
    table = spec["read"].get("of")
    if table:
        return tuple(row["kind"] for row in templates.table(table))
    return tuple(key.removeprefix("words.") for key in spec["validation"]["words"])


def _width(report: Mapping[str, Any] | None, name: str, recomputed: bool) -> float:
    """A recomputed cell has a line of its own in the report, a column what it declares."""
    if report is None:
        return 10.0 if name and recomputed else 0.0
    return float(report.get("width", 10))
