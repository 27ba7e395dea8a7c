"""What books, reports and findings say and look like, read from the data in ``templates_src``.

Texts are TOML files in ``texts/<language>``: a language is such a folder, and nothing else. Tables are CSV files in
``tables`` (each with a ``source`` column), sheets are TOML files in ``sheets``. A missing text is an error, never an
empty label.
"""

from __future__ import annotations

import csv
import os
import re
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from contextvars import ContextVar
from functools import cache
from importlib import resources
from importlib.resources.abc import Traversable
from pathlib import Path
from typing import TYPE_CHECKING, Any, Literal

import tomli

# Files of a language that are read for themselves: words that people type, sources of the tables in its words, what
# units are called, and the words of the demonstration order.
_BASE = "[base]"  # in a text: the temperature that volumes are corrected to
_TYPED_WORDS, _SOURCES, _UNITS, _DEMO = (
    "typed_words.toml",
    "sources.toml",
    "book_units.toml",
    "demo_order.toml",
)
_SAME = "same_texts.toml"  # for each text that is another one, in every language, the key of that one


@cache
def root() -> Traversable:
    """The folder of templates: inside the installed package, or beside it in a checkout."""
    inside = resources.files("sheetgen") / "templates_src"
    return inside if inside.is_dir() else Path(__file__).parent.parent / "templates_src"


def _languages() -> tuple[str, ...]:
    """The folders of texts: English first, which speaks where nobody can know the language."""
    folders = [item.name for item in (root() / "texts").iterdir() if item.is_dir()]
    return tuple(sorted(folders, key=lambda name: (name != "en", name)))


LANGUAGES = _languages()
if TYPE_CHECKING:
    Language = str
else:
    Language = Literal[LANGUAGES]


@cache
def toml(name: str) -> dict[str, Any]:
    """One TOML file below ``templates_src``, such as ``"sheets/shots.toml"``."""
    return tomli.loads((root() / name).read_text(encoding="utf-8"))


@cache
def table(name: str) -> tuple[dict[str, str], ...]:
    """The rows of ``tables/<name>.csv``, every value a string, in the file's order."""
    text = (root() / "tables" / f"{name}.csv").read_text(encoding="utf-8")
    lines = [line for line in text.splitlines() if line and not line.startswith("#")]
    return tuple(csv.DictReader(lines))


def for_class(name: str, material_class: str) -> list[dict[str, str]]:
    """The rows of a table that hold for a class of material: those whose ``classes`` name it, or all."""
    return [row for row in table(name) if {"all", material_class} & set(row["classes"].split())]


def source(row: Mapping[str, str], language: str) -> str:
    """Where a row of a table comes from, in the words of a language; the titles of documents stay as they are."""
    return _sources(language).get(row["source"], row["source"])


@cache
def _sources(language: str) -> dict[str, str]:
    file = root() / "texts" / language / _SOURCES
    return tomli.loads(file.read_text(encoding="utf-8")) if file.is_file() else {}


def typed_words(language: str) -> dict[str, Any]:
    """What people type in a language: its words for yes, no, nothing, units and months."""
    return toml(f"texts/{language}/{_TYPED_WORDS}")


def unit_label(system: str, kind: str, language: str) -> str:
    """What the unit of a kind of quantity is called in print."""
    label: str = toml(f"texts/{language}/{_UNITS}")["unit"][system][kind]
    return label


def demo_words(language: str) -> dict[str, Any]:
    """The words of the demonstration order: for both unit systems ("all"), and for one."""
    return toml(f"texts/{language}/{_DEMO}")


class Texts:
    """The texts of one language by dotted key, such as ``texts["shots.length"]``."""

    def __init__(self, language: str, entries: dict[str, str]) -> None:
        self.language = language
        self._entries = entries

    def __getitem__(self, key: str) -> str:
        try:
            return self._entries[key]
        except KeyError:
            raise KeyError(f"no text {key!r} in language {self.language!r}") from None

    def __contains__(self, key: str) -> bool:
        return key in self._entries

    def say(self, key: str, **values: object) -> str:
        """The text with its ``{placeholders}`` filled in."""
        return self[key].format(**values)

    def beside(self, other: Texts, between: str) -> Texts:
        """Both languages in every text, one behind the other; once what both say alike."""
        both = {
            key: text if other[key] == text else f"{text}{between}{other[key]}"
            for key, text in self._entries.items()
        }
        return Texts(self.language, both)

    def own_key(self, key: str, system: str) -> str:
        """The key of a text that may stand there once for each unit system, with "_us" or "_si" behind it."""
        own = f"{key}_{system}"
        return own if own in self else key

    def own(self, key: str, system: str) -> str:
        """The text of a unit system, where it has one of its own, or the one of both."""
        return self[self.own_key(key, system)]

    def keys(self) -> set[str]:
        """All keys, for checking one language against another."""
        return set(self._entries)


@cache
def texts(language: str, system: str = "") -> Texts:
    """All texts of a language, with the temperature that a unit system corrects volumes to.

    Args:
        language: as its folder is named
        system: "us" or "si"; empty where no unit system is known, which names both temperatures
    """
    bases = [_entries(language)[f"book.base_{each}"] for each in ([system] if system else ["us", "si"])]
    base = bases[0] + "".join(f" ({other})" for other in bases[1:])
    return Texts(language, {key: text.replace(_BASE, base) for key, text in _entries(language).items()})


class _Reader:
    """Who reads what this process says where no order and no book gives a language."""

    language = LANGUAGES[0]


_served: ContextVar[str] = ContextVar("_served", default="")  # empty: whoever this process speaks to


def speak(language: str) -> None:
    """Let this process say in a language what no order and no book gives one for.

    A command does so for the person who typed it; from Python it is English until this is called. A language that
    there are no texts of changes nothing.
    """
    if language in LANGUAGES:
        _Reader.language = language


@contextmanager
def speaking(language: str) -> Iterator[None]:
    """Let what runs in the block be said in a language, as to one of several who are served at once.

    A language that there are no texts of changes nothing.
    """
    before = _served.set(language if language in LANGUAGES else _served.get())
    try:
        yield
    finally:
        _served.reset(before)


def system_language() -> str:
    """Give the language that the system is set to, by the variables that POSIX names; empty for one without texts."""
    named = (os.environ.get(name) for name in ("LC_ALL", "LC_MESSAGES", "LANG"))
    language = re.split("[_.@]", next(filter(None, named), ""))[0]
    return language if language in LANGUAGES else ""


def spoken() -> str:
    """Give the language that :func:`speaking`, or else :func:`speak`, has set."""
    return _served.get() or _Reader.language


def spoken_texts() -> Texts:
    """Give the texts in the language that is spoken."""
    return texts(spoken())


@cache
def _entries(language: str) -> dict[str, str]:
    """The texts from every TOML file of a language's folder, and those that are one of them; no key stands twice."""
    entries: dict[str, str] = {}
    folder = root() / "texts" / language
    for file in sorted(folder.iterdir(), key=lambda item: item.name):
        if file.name.endswith(".toml") and file.name not in (_TYPED_WORDS, _SOURCES, _UNITS, _DEMO):
            for key, value in _flatten(tomli.loads(file.read_text(encoding="utf-8"))):
                if key in entries:
                    raise ValueError(f"text {key!r} stands twice in language {language!r}")
                entries[key] = value
    same = same_texts()
    if twice := same.keys() & entries.keys():
        raise ValueError(f"texts {sorted(twice)} are other texts, and stand in language {language!r} too")
    return entries | {key: entries[other] for key, other in same.items()}


def same_texts() -> dict[str, str]:
    """The key of each text that is another text in every language, with the key of that one."""
    return dict(_flatten(toml(_SAME)))


def _flatten(tree: dict[str, Any], prefix: str = "") -> list[tuple[str, str]]:
    pairs: list[tuple[str, str]] = []
    for key, value in tree.items():
        pairs += _flatten(value, f"{prefix}{key}.") if isinstance(value, dict) else [(prefix + key, value)]
    return pairs
