"""What a finding means, asked for by its name."""

from __future__ import annotations

import pytest
from typer.testing import CliRunner

from sheetgen.audit.findings import catalogue, explain
from sheetgen.cli import app
from sheetgen.errors import UnknownFindingError
from sheetgen.templates import LANGUAGES, texts


@pytest.mark.parametrize("language", LANGUAGES)
def test_every_finding_is_explained_in_full(language):
    say = texts(language)
    for name, kind in catalogue().items():
        said = explain(name, language)
        for part in ("title", "why", "remedy"):
            assert kind.text(part, language) in said
        assert name in said
        assert say[f"report.severity.{kind.severity}"] in said
        assert say[f"report.severity_means.{kind.severity}"] in said


@pytest.mark.parametrize(
    "asked",
    [
        "Stick-Reading-Rose-During-Shot",
        " stick reading rose during shot ",
        "stick_reading_rose_during_shot",
        "dip-rose-during-shot",  # its name in earlier versions
    ],
)
def test_a_name_may_be_written_as_a_person_writes_it(asked):
    assert explain(asked) == explain("stick-reading-rose-during-shot")


@pytest.mark.parametrize(
    ("asked", "near"),
    [
        ("dip-rose", "stick-reading-rose-during-shot"),
        ("dip-roze-during-shot", "stick-reading-rose-during-shot"),
        ("ticket", "ticket-repeated"),
        ("overlap", "shots-overlap-in-lane"),
    ],
)
def test_an_unknown_name_lists_those_near_it(asked, near):
    with pytest.raises(UnknownFindingError, match=near) as error:
        explain(asked)
    assert asked in str(error.value)


def test_a_name_like_no_other_lists_them_all():
    with pytest.raises(UnknownFindingError) as error:
        explain("zzz")
    assert all(name in str(error.value) for name in catalogue())


def test_the_command_prints_it():
    said = CliRunner().invoke(app, ["explain", "stick-reading-rose-during-shot", "--lang", "es"])
    assert said.exit_code == 0
    assert said.output.strip() == explain("stick-reading-rose-during-shot", "es")
