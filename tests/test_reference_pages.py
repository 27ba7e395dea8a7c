"""The pages of reference say what the program, its data and its tests say now."""

from __future__ import annotations

import os
import subprocess
import sys
import tomllib
from pathlib import Path

import pytest
from typer.testing import CliRunner

from sheetgen.cli import app
from tests.reference import commands, published
from tests.reference.pages import PAGES

ROOT = Path(__file__).parent.parent
FOLDER = ROOT / "samples" / "reference"


@pytest.mark.parametrize("name", PAGES)
def test_a_page_is_up_to_date(name):
    assert (FOLDER / name).read_text(encoding="utf-8") == PAGES[name](), "run python -m tests.reference"


def helped(*words):
    """What a person reads who asks a command for help, on one line; no settings, no language of the system."""
    own = {"COLUMNS": "200", "LC_ALL": "C", "SHEETGEN_SETTINGS": os.devnull}
    command = [sys.executable, "-m", "sheetgen", *words, "--help"]
    done = subprocess.run(command, capture_output=True, text=True, check=True, env={**os.environ, **own})
    return " ".join(done.stdout.split())


@pytest.mark.parametrize(("name", "command"), list(commands.commands()))
def test_the_reference_of_a_command_says_what_its_help_says(name, command):
    said = helped(*name.split()[1:])
    for each in command.params:
        assert " ".join(each.help.split()) in said, each.name
        assert (
            (each.metavar or each.name) if each.param_type_name == "argument" else each.opts[0]
        ).lower() in said.lower()
    assert all(" ".join(part.split()) in said for part in command.help.split("\n\n"))


def test_every_command_of_the_program_is_in_the_reference():
    listed = {name.split()[1] for name, _ in commands.commands()}
    helped = CliRunner().invoke(app, ["--help"]).output.partition("Commands:")[2]
    assert listed == {
        line.split()[0] for line in helped.splitlines() if line.startswith("  ") and line[2] != " "
    }


def test_where_sources_contradict_each_other_a_file_is_named_that_shows_the_choice():
    rows = tomllib.loads(published.CONTRADICTIONS.read_text(encoding="utf-8"))["contradiction"]
    assert len(rows) >= 15
    for row in rows:
        assert all(row[key].strip() for key in ("about", "versions", "chosen"))
        for name in row["where"].split(", "):
            assert (ROOT / name).is_file(), name


def test_no_published_case_is_off_by_more_than_its_last_printed_digit():
    for module, cases in published.modules():
        for case in cases:
            half = 0.5 * 10.0**-case.decimals
            assert abs(case.value() - case.printed) <= half * (1 + 1e-6) + 1e-12, (module.__name__, case.what)
