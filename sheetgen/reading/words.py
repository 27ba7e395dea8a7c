"""Words: yes or no, names from the order, plain texts; and words or marks for nothing or for "as above"."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Collection
from functools import cache

from sheetgen import templates
from sheetgen.reading.outcome import Known, Outcome, Value, cleaned, plain_number, short, shown

_DITTO_MARK = re.compile(r"[- .]*(?:\"|''|,,|[|↓⇓⇣])[-\"', .|↓⇓⇣]*\Z")


@cache
def meanings() -> dict[str, str]:
    """Give the words of every language that mean "yes", "no", "blank" or "ditto", in lower case."""
    return {
        word: means
        for language in templates.LANGUAGES
        for means, words in templates.typed_words(language)["means"].items()
        for word in words
    }


def meaning(value: Value) -> str:
    """Give what such a word or mark in a cell means: "nothing" for blanks alone; empty for any other value."""
    text = short(value)
    if text is None:
        return "nothing" if isinstance(value, str) and not cleaned(value) else ""
    if _DITTO_MARK.match(text):
        return "ditto"
    word = text.casefold().strip(" -") or text
    return meanings().get(text.casefold().rstrip("."), "") or meanings().get(word.rstrip("."), "")


def kind(value: Value, choices: Collection[str], known: Known) -> Outcome:
    """Read which of some words was picked, in the words or abbreviations of any language; gives its key.

    Yes or no, which earlier shot logs asked for in place of a kind, mean hand spray or a shot there.
    """
    typed = (short(value) or "") if isinstance(value, str) else shown(float(value or 0))
    usual = templates.texts(known.language)
    means = meanings().get(typed.casefold().rstrip("."), "")
    said = [_kind_words().get(plain(typed).rstrip(".")), means, _OF_HAND.get(means)]
    read = next((key for key in said if key in choices), None)
    if read is None:
        return Outcome(None, "not_a_kind", {"names": ", ".join(usual[f"words.{key}"] for key in choices)})
    name = usual[f"words.{read}"]
    same = isinstance(value, str) and cleaned(value).casefold() == name.casefold()
    return Outcome(read, "" if same else "name_meant", {"name": name})


_OF_HAND = {"yes": "hand", "no": "shot"}  # did earlier logs call it hand spray


@cache
def _kind_words() -> dict[str, str]:
    """Give the key that each word and abbreviation of every language stands for."""
    typed = {
        plain(word): key
        for language in templates.LANGUAGES
        for key, words in templates.typed_words(language)["kinds"].items()
        for word in words
    }
    shown = {
        plain(templates.texts(language)[f"words.{key}"]): key
        for language in templates.LANGUAGES
        for key in templates.typed_words(language)["kinds"]
    }
    return typed | shown


def text(value: Value) -> Outcome:
    """Read any text; a number in the cell is the text of its digits."""
    if isinstance(value, str):
        return Outcome(cleaned(value))
    return Outcome(shown(float(value or 0))) if plain_number(value) else Outcome(None, "not_a_text")


def chosen(value: Value, names: Collection[str], unknown: str) -> Outcome:
    """Read one of some names, whatever its case, spaces, hyphens; ``unknown`` is the reason for any other."""
    read = text(value)
    if read.value is None or read.value in names:
        return read
    plain = {bare(name): name for name in names}
    name = plain.get(bare(str(read.value)))
    if name is None:
        return Outcome(read.value, unknown, {"names": ", ".join(sorted(names))})
    same = str(read.value).casefold() == name.casefold()
    return Outcome(name, "name_read" if same else "name_meant", {"name": name})


def bare(name: str) -> str:
    """Give a name or a number without what people write now so, now so: case, spaces, hyphens, points, #."""
    return re.sub(r"[\s.\-_/#]", "", name).casefold()


def plain(text: str) -> str:
    """Give a text without case, accents and doubled spaces: how a word is compared with a drop-down's."""
    bare = "".join(sign for sign in unicodedata.normalize("NFD", text) if not unicodedata.combining(sign))
    return " ".join(bare.casefold().split())


def listed(text: str) -> tuple[str, ...]:
    """Give the words of a list separated by semicolons, or by commas where there is no semicolon."""
    mark = ";" if ";" in text else ","
    return tuple(item.strip() for item in text.split(mark) if item.strip())
