"""Every finding of the logs has its words in both languages, and no rule names a finding
that does not exist."""

import ast
import string
from pathlib import Path

import pytest

from sheetgen import audit, reading
from sheetgen.audit.findings import catalogue
from sheetgen.columns import tables
from sheetgen.templates import LANGUAGES, table, texts

GROUPS = {
    "entries", "shots", "lanes", "times", "pace", "loads", "tank", "temperature", "rates", "reconciliation",
    "agreement", "claims", "invention",
}  # fmt: skip
KINDS = {name: kind for name, kind in catalogue().items() if kind.group in GROUPS}
FOLDERS = [Path(package.__path__[0]) for package in (audit, reading)]


def strings_of(folder):
    """Every string constant in the modules of a folder, docstrings included."""
    found = set()
    for file in folder.rglob("*.py"):
        for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Constant) and isinstance(node.value, str):
                found.add(node.value)
    return found


DECLARED = {column.differs for table in tables().values() for column in table.values()}
STRINGS = set().union(*map(strings_of, FOLDERS))
REASONS = {row["finding"] for row in table("reasons") if row["reason"] in STRINGS}
USED = DECLARED | REASONS | STRINGS


@pytest.mark.parametrize("name", KINDS)
def test_a_finding_says_what_why_and_what_to_do(name):
    for language in LANGUAGES:
        for part in ("title", "why", "remedy"):
            assert len(KINDS[name].text(part, language)) > 5
    english, spanish = (KINDS[name].text("title", language) for language in LANGUAGES)
    assert english != spanish


@pytest.mark.parametrize("name", KINDS)
def test_a_finding_is_given_by_some_rule(name):
    assert name in USED


@pytest.mark.parametrize("name", KINDS)
def test_figures_stand_in_both_languages(name):
    english, spanish = (texts(language) for language in LANGUAGES)
    for part in ("found", "expected", "matters"):
        key = f"said.{name}.{part}"
        assert (key in english) == (key in spanish)
        if key in english:
            fields = [
                {field for _, field, _, _ in string.Formatter().parse(say[key]) if field}
                for say in (english, spanish)
            ]
            assert fields[0] == fields[1]


def test_reasons_of_readings_are_the_same_in_both_languages():
    english, spanish = (texts(language) for language in LANGUAGES)
    keys = {key for key in sorted(english.keys()) if key.startswith(("reading.", "said."))}
    assert keys == {key for key in sorted(spanish.keys()) if key.startswith(("reading.", "said."))}
    for key in keys:
        fields = [
            {field for _, field, _, _ in string.Formatter().parse(say[key]) if field}
            for say in (english, spanish)
        ]
        assert fields[0] == fields[1], key


def test_what_changes_a_quantity_is_wrong_and_a_pattern_never_is():
    for name in (
        "stick-reading-rose-during-shot",
        "ticket-repeated",
        "shots-overlap-in-lane",
        "temperature-missing",
    ):
        assert KINDS[name].severity == "error"
    patterns = {kind.name: kind.severity for kind in KINDS.values() if kind.group == "invention"}
    assert patterns.pop("times-on-the-quarter-hour") == "note"  # a habit of many crews
    assert set(patterns.values()) == {"query"}


def test_times_and_load_numbers_that_no_quantity_needs_are_queries():
    for name in ("end-before-start", "started-before-last-ended", "two-shots-at-once", "load-not-listed",
                 "load-used-before-it-came", "load-used-beyond-its-volume"):  # fmt: skip
        assert KINDS[name].severity == "query"
