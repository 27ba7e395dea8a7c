"""Texts of both languages use the glossary's terms, and none of the words that it bans."""

from __future__ import annotations

import json
import re
import unicodedata

import pytest

from sheetgen.templates import LANGUAGES, root, texts, toml

GLOSSARY = toml("glossary.toml")
TERMS = GLOSSARY["terms"]


def prose(language):
    """The texts that people read, by key, placeholders left out; formulas are no prose."""
    said = texts(language)
    found = {key: re.sub(r"\{[^}]*\}", " ", said[key]) for key in said.keys()}  # noqa: SIM118
    return {key: text for key, text in found.items() if not text.startswith("=")}


@pytest.mark.parametrize("language", LANGUAGES)
@pytest.mark.parametrize("name", TERMS)
def test_each_term_is_in_use_in_each_language(name, language):
    term = TERMS[name][language].casefold()
    assert any(term in text.casefold() for text in prose(language).values())


@pytest.mark.parametrize("language", LANGUAGES)
def test_no_text_has_a_banned_word(language):
    banned = banned_in(language)
    assert {key: text for key, text in prose(language).items() if banned(text)} == {}


def banned_in(language):
    """Whether a text has a banned word, outside the phrases in which such a word is right."""
    allowed = [phrase for term in TERMS.values() for phrase in term.get("but", {}).get(language, [])]
    banned = [word for term in TERMS.values() for word in term["banned"][language]]
    without = re.compile("|".join(map(re.escape, allowed)), re.IGNORECASE)
    pattern = re.compile(
        rf"\b({'|'.join(map(re.escape, banned + GLOSSARY['habits'][language]))})\b", re.IGNORECASE
    )
    return lambda text: pattern.search(without.sub(" ", text)) is not None


@pytest.mark.parametrize("name", ["plan", "recheck", "summary"])
def test_no_field_of_the_json_is_named_or_described_by_a_banned_word(name):
    document = json.loads((root() / f"{name}.schema.json").read_text(encoding="utf-8"))
    parts = [document, *document["$defs"].values()]
    said = {f"{part['title']}.": part.get("description", "") for part in parts}
    for part in parts:
        for field, facts in part.get("properties", {}).items():
            said[f"{part['title']}.{field}"] = f"{field.replace('_', ' ')}. {facts.get('description', '')}"
    banned = banned_in("en")
    found = {
        key for key, text in said.items() if banned(re.sub(r"\[[^]]*\]", " ", text))
    }  # kinds of quantities
    assert found == (
        {"Price.paid_by"} if name == "plan" else set()
    )  # its words are those of the order's list


@pytest.mark.parametrize("language", LANGUAGES)
def test_every_phrase_that_is_allowed_occurs(language):
    said = " ".join(prose(language).values()).casefold()
    for term in TERMS.values():
        for phrase in term.get("but", {}).get(language, []):
            assert phrase.casefold() in said, phrase


@pytest.mark.parametrize("language", LANGUAGES)
def test_no_sentence_is_long(language):
    longest = GLOSSARY["sentences"]["words"]
    found = {
        key: sentence
        for key, text in prose(language).items()
        for sentence in re.split(r"(?<=[.:;?!])\s", text)
        if len(sentence.split()) > longest
    }
    assert found == {}


def test_each_term_has_its_partner_in_the_other_languages():
    english, lacking = prose("en"), set()
    for language in set(LANGUAGES) - {"en"}:
        said = {key: _plain(text) for key, text in prose(language).items()}
        for name, term in TERMS.items():
            forms = [_plain(form) for form in [term[language], *term.get("also", {}).get(language, [])]]
            used = re.compile(rf"\b{re.escape(_plain(term['en']))}s?\b")
            lacking |= {
                (name, key)
                for key, text in english.items()
                if used.search(_plain(text)) and not any(form in said[key] for form in forms)
            }
    listed = {(term, key) for each in GLOSSARY["without"] for term in each["terms"] for key in each["keys"]}
    assert lacking - listed == set()
    assert {key for _, key in listed} == {key for _, key in lacking}  # none is listed for nothing


def _plain(text):
    """A text in small letters without accents."""
    letters = unicodedata.normalize("NFD", text.casefold())
    return "".join(letter for letter in letters if not unicodedata.combining(letter))
