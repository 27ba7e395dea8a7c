"""Texts: both languages say everything, with the same placeholders, and none is left in the other language."""

from __future__ import annotations

import re
import string

import pytest

from sheetgen.templates import LANGUAGES, texts

# Words that are spelt alike in both languages.
COGNATES = {
    "error",
    "Material",
    "min",
    "Plan",
    "Residual",
    "residual",
    "Temp.",
    "Total",
    "circular",
    "decimal",
    "visible",
}
FOREIGN = {
    "en": re.compile(r"\b(el|los|las|una|del|con|para|por|que)\b", re.IGNORECASE),
    "es": re.compile(r"\b(the|of|and|with|from|is|are|this|which)\b", re.IGNORECASE),
}


def test_every_language_has_every_text():
    keys = {language: texts(language).keys() for language in LANGUAGES}
    for language in LANGUAGES:
        assert keys[language] == keys["en"], language


def test_placeholders_are_the_same_in_every_language():
    for key in texts("en").keys():  # noqa: SIM118
        if "{" in texts("en")[key]:
            wanted = _placeholders(texts("en")[key])
            for language in LANGUAGES:
                assert _placeholders(texts(language)[key]) == wanted, (language, key)


def test_no_text_is_left_in_the_other_language():
    english, spanish = texts("en"), texts("es")
    alike = {key for key in english.keys() if english[key] == spanish[key] and _worded(english[key])}  # noqa: SIM118
    assert {key: english[key] for key in alike if english[key] not in COGNATES} == {}


@pytest.mark.parametrize("language", LANGUAGES)
def test_no_text_has_the_small_words_of_the_other_language(language):
    said = texts(language)
    mixed = {key: said[key] for key in said.keys() if FOREIGN[language].search(_prose(said[key]))}  # noqa: SIM118
    assert mixed == {}


def _prose(text: str) -> str:
    """A text without placeholders, formulas and the codes of page headers."""
    return "" if text.startswith("=") else re.sub(r"\{[^}]*\}|&[A-Z]|&\d+", " ", text)


def _worded(text: str) -> bool:
    return re.search(r"[a-záéíóúñ]{3}", _prose(text)) is not None


def _placeholders(text: str) -> set[str]:
    return {name for _, name, _, _ in string.Formatter().parse(text) if name}
