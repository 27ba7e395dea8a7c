"""The marks and words that stand for "as above" in a cell, as the formulas of a book know them."""

from __future__ import annotations

from functools import cache

from sheetgen import templates

_ABBREVIATED = 5  # letters, at most, of a word that is written with a point behind it


@cache
def ditto_marks() -> tuple[str, ...]:
    """Give the marks and words of every language, abbreviations with their point too, in lower case."""
    words = [
        word for language in templates.LANGUAGES for word in templates.typed_words(language)["means"]["ditto"]
    ]
    short = [f"{word}." for word in words if word.isalpha() and len(word) <= _ABBREVIATED]
    return tuple(dict.fromkeys([*words, *short]))
