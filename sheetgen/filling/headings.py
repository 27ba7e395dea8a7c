"""Which log a table is for, and which of its columns each heading names: by key, or as the book prints it."""

from __future__ import annotations

from collections.abc import Iterable
from difflib import get_close_matches
from functools import cache

from sheetgen.columns import entry_columns, published
from sheetgen.reading.outcome import cleaned
from sheetgen.reading.words import plain
from sheetgen.templates import LANGUAGES, texts

NUMBER, LOG, FIELD, VALUE = "no", "log", "field", "value"  # headings that name no column of a log
FIELDS = ""  # the table of single fields
_WAYS = (NUMBER, LOG, FIELD, VALUE)


@cache
def _ways() -> dict[str, str]:
    """The headings that say where a value goes, as they are typed in every language."""
    return {_bare(name): way for way in _WAYS for name in (way, *_printed(f"fill.heading.{way}"))}


def way(heading: str) -> str:
    """Give which of :data:`NUMBER`, :data:`LOG`, :data:`FIELD` and :data:`VALUE` a heading is; empty for others."""
    return _ways().get(_bare(heading).rstrip("."), "")


@cache
def _logs() -> dict[str, str]:
    """The logs by everything that they are called."""
    from sheetgen.columns import tables

    named = [table for table in tables() if table and entry_columns(table)]
    return {_bare(name): table for table in named for name in (table, *_printed(f"sheet.{table}.tab"))}


def log_named(name: str, logs: Iterable[str]) -> str:
    """Give the log of a book that is called so, by its key or by its tab in any language; empty for none."""
    table = _logs().get(_bare(name), "")
    return table if table in set(logs) else ""


def columns_named(table: str, heading: str) -> list[str]:
    """Give the columns of a log that a heading can name: one, none, or several that are printed alike."""
    known = _columns(table)
    return known.get(_bare(heading), known.get(_bare(heading.partition("(")[0]), []))


@cache
def _columns(table: str) -> dict[str, list[str]]:
    """The columns of a log by key and by what is printed over them; a key comes before a heading that is spelt so."""
    by_name: dict[str, list[str]] = {}
    for key in entry_columns(table):
        for name in _printed(f"{table}.{key}" if table else f"name.{key}"):
            columns = by_name.setdefault(_bare(name), [])
            if key not in columns:
                columns.append(key)
    keys = {_bare(name): [key] for key in entry_columns(table) for name in (published(table, key), key)}
    return by_name | keys


def near(table: str, heading: str) -> list[str]:
    """Give the columns whose keys or headings are spelt like a heading; all keys where none is."""
    close = get_close_matches(_bare(heading), _columns(table), 3, 0.6)
    keys = dict.fromkeys(key for name in close for key in _columns(table)[name])
    return list(keys) or list(entry_columns(table))


def logs_of(headings: Iterable[str], logs: Iterable[str]) -> list[str]:
    """Give the logs whose columns the headings can be: all of those that know every heading."""
    named = [heading for heading in headings if heading and not way(heading)]
    return [log for log in logs if named and all(columns_named(log, heading) for heading in named)]


def _printed(key: str) -> set[str]:
    """What is printed for a key, in every language and unit system that has it."""
    found = set()
    for language in LANGUAGES:
        for system in ("us", "si"):
            say = texts(language, system)
            own = say.own_key(key, system)
            if own in say:
                found.add(say[own])
    return found


def _bare(name: str) -> str:
    """A name as it is compared: without case, accents and the signs that programs put in place of others."""
    return plain(cleaned(name))
