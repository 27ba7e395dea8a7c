"""Texts: both languages say everything, with the same placeholders, and none is left in the other language."""

from __future__ import annotations

import re
import string
import tomllib

import pytest

from sheetgen.templates import LANGUAGES, root, table, texts, toml, typed_words

# Words that are spelt alike in both languages.
COGNATES = {
    "no",
    "error",
    "Material",
    "min",
    "Plan",
    "Residual",
    "residual",
    "Temp.",
    "Total",
    "Monitor",
    "monitor",
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


@pytest.mark.parametrize("file", ["book_units", "demo_order", "typed_words"])
def test_files_that_are_no_texts_say_the_same_things_in_every_language(file):
    deep = 2 if file == "typed_words" else 9
    keys = {language: _keys(toml(f"texts/{language}/{file}.toml"), deep) for language in LANGUAGES}
    own = {"typed_words": "units.", "demo_order": "si."}.get(
        file, "-"
    )  # a language has of these what it needs
    keys = {language: {key for key in found if not key.startswith(own)} for language, found in keys.items()}
    for language in LANGUAGES:
        assert keys[language] == keys["en"], language


def test_every_source_that_a_language_words_is_one_of_the_tables():
    tables = [file.name.removesuffix(".csv") for file in (root() / "tables").iterdir()]
    known = {row["source"] for name in tables for row in table(name) if row.get("source")}
    for language in LANGUAGES:
        file = root() / "texts" / language / "sources.toml"
        worded = tomllib.loads(file.read_text(encoding="utf-8")) if file.is_file() else {}
        assert set(worded) <= known, language
        assert all(worded.values()), language


def test_words_for_units_name_units_of_the_table():
    known = {row["unit"] for row in table("unit_sizes")} | {row["unit"] for row in table("unit_words")}
    for language in LANGUAGES:
        assert {unit for words in typed_words(language)["units"].values() for unit in words} <= known | {
            "short_ton"
        }


def _keys(tree, deep, prefix=""):
    found = set()
    for key, value in tree.items():
        inside = isinstance(value, dict) and deep > 1
        found |= _keys(value, deep - 1, f"{prefix}{key}.") if inside else {prefix + key}
    return found


def test_placeholders_are_the_same_in_every_language():
    for key in texts("en").keys():  # noqa: SIM118
        if "{" in texts("en")[key]:
            wanted = _placeholders(texts("en")[key])
            for language in LANGUAGES:
                assert _placeholders(texts(language)[key]) == wanted, (language, key)


def test_a_refusal_says_what_was_found_what_was_expected_and_what_to_do():
    english, spanish = texts("en"), texts("es")
    refusals = {key: english[key] for key in english.keys() if re.search(r"[;.] [Ee]xpected ", english[key])}  # noqa: SIM118
    assert len(refusals) > 60
    for key, text in refusals.items():
        before, _, after = re.split(r"([;.]) [Ee]xpected ", text, maxsplit=1)
        assert re.search("[Ff]ound", before), key
        assert re.search(r"[.:] \S|\{remedy\}", after), key  # a sentence behind what was expected
        assert re.search(r"encontr.*[;.] [Ss]e esperab", spanish[key], re.DOTALL), key


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
    """A text without placeholders, formulas, options of commands and the codes of page headers."""
    return "" if text.startswith("=") else re.sub(r"\{[^}]*\}|--[a-z-]+|&[A-Z]|&\d+", " ", text)


def _worded(text: str) -> bool:
    return re.search(r"[a-záéíóúñ]{3}", _prose(text)) is not None


def _placeholders(text: str) -> set[str]:
    return {name for _, name, _, _ in string.Formatter().parse(text) if name}
