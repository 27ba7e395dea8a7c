"""Texts of both languages use the glossary's terms, and none of the words that it bans."""

from __future__ import annotations

import re

import pytest

from sheetgen.templates import LANGUAGES, texts, toml

TERMS = toml("glossary.toml")["terms"]


@pytest.mark.parametrize("language", LANGUAGES)
@pytest.mark.parametrize("name", TERMS)
def test_each_term_is_in_use_in_each_language(name, language):
    said = texts(language)
    term = TERMS[name][language].casefold()
    assert any(term in said[key].casefold() for key in said.keys())  # noqa: SIM118


@pytest.mark.parametrize("language", LANGUAGES)
def test_no_text_has_a_banned_word(language):
    said = texts(language)
    banned = [word for term in TERMS.values() for word in term["banned"][language]]
    pattern = re.compile(rf"\b({'|'.join(map(re.escape, banned))})\b", re.IGNORECASE)
    found = {}
    for key in said.keys():  # noqa: SIM118
        prose = "" if said[key].startswith("=") else re.sub(r"\{[^}]*\}", " ", said[key])
        if pattern.search(prose):
            found[key] = said[key]
    assert found == {}


@pytest.mark.parametrize("language", LANGUAGES)
def test_long_sentences_only_grow_fewer(language):
    said, longest = texts(language), toml("glossary.toml")["long_sentences"]
    sentences = [each for key in said.keys() for each in re.split(r"(?<=[.:;?!])\s", said[key])]  # noqa: SIM118
    assert sum(len(each.split()) > longest["words"] for each in sentences) <= longest[language]
