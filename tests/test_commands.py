"""The commands as a person calls them: help with an example, exit status as documented, clear words on bad input."""

from __future__ import annotations

import json
import subprocess
import sys

import pytest

from sheetgen.book.build import write_filled
from sheetgen.demo.day import honest_day
from sheetgen.demo.planted import planted
from sheetgen.order.demo import demo_order
from sheetgen.order.write import write_order
from tests.command_line import run_text

ORDER = demo_order()
MACHINE = ORDER.machines[0]


def run_apart(*arguments, cwd):
    """The command line in a process of its own."""
    command = [sys.executable, "-m", "sheetgen.cli", *map(str, arguments)]
    return subprocess.run(command, capture_output=True, text=True, cwd=cwd, timeout=120, check=False)


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    where = tmp_path_factory.mktemp("office")
    write_order(where / "order.xlsx", order=ORDER)
    honest = honest_day(ORDER, MACHINE, seed=3)
    write_filled(ORDER, MACHINE, honest, where / "clean.xlsx")
    spoilt, _ = planted(honest, ORDER, MACHINE, ["ticket-repeated"])
    write_filled(ORDER, MACHINE, spoilt, where / "spoilt.xlsx")
    (where / "note.xlsx").write_text("not a workbook")
    return where


@pytest.mark.parametrize(
    "command",
    [
        "demo",
        "order",
        "plan",
        "build",
        "recheck",
        "open",
        "desk",
        "settings",
        "explain",
        "key new",
        "key show",
    ],
)
def test_every_command_has_help_with_an_example(command, tmp_path):
    done = run_text(*command.split(), "--help", cwd=tmp_path)
    assert done.returncode == 0
    assert f"Example: sheetgen {command}" in " ".join(done.stdout.split())


def test_a_clean_book_gives_status_0_and_a_report(folder, tmp_path):
    done = run_text("recheck", folder / "clean.xlsx", "--out", tmp_path / "out", cwd=tmp_path)
    assert (done.returncode, done.stderr) == (0, "")
    assert "clean.xlsx: clean" in done.stdout
    # A hidden folder beside them remembers what is done, so that a run that was stopped can go on.
    shown = {path.name for path in (tmp_path / "out").iterdir() if not path.name.startswith(".")}
    assert shown == {"clean.recheck.xlsx", "clean.recheck.json"}


def test_two_processes_say_the_same_as_one_and_a_second_run_goes_on(folder, tmp_path):
    first = run_apart("recheck", folder, "--out", "one", cwd=tmp_path)
    second = run_apart("recheck", folder, "--out", "two", "--jobs", "2", cwd=tmp_path)
    assert second.stdout.replace("two/", "one/") == first.stdout
    again = run_apart("recheck", folder, "--out", "two", "--jobs", "2", cwd=tmp_path)
    assert (again.returncode, again.stdout) == (second.returncode, second.stdout)


def test_findings_give_status_1_and_are_named_with_their_cells(folder, tmp_path):
    done = run_text("recheck", folder / "spoilt.xlsx", "--out", tmp_path, cwd=tmp_path)
    assert done.returncode == 1
    assert "ticket-repeated" in done.stdout
    assert "Loads!D" in done.stdout


def test_one_unusable_file_gives_status_2_and_the_others_are_still_done(folder, tmp_path):
    done = run_apart("recheck", folder, "--out", tmp_path, cwd=tmp_path)
    assert done.returncode == 2
    assert "note.xlsx: found" in done.stderr
    assert "Traceback" not in done.stderr
    reports = {path.name for path in tmp_path.glob("*.json")}
    assert {"clean.recheck.json", "spoilt.recheck.json", "summary.json"} <= reports
    assert (folder / "note.xlsx").read_text() == "not a workbook"


def test_json_lines_can_be_read_by_a_program(folder, tmp_path):
    done = run_text("recheck", folder / "clean.xlsx", "--json", "--out", tmp_path, cwd=tmp_path)
    assert isinstance(json.loads(done.stdout), dict)


def test_build_with_a_key_and_recheck_with_the_public_key_prove_origin(folder, tmp_path):
    made = run_text("key", "new", "office.key", cwd=tmp_path)
    public = made.stdout.split()[-1]
    built = run_text(
        "build", folder / "order.xlsx", "--key", "office.key", "--register", "books.db", cwd=tmp_path
    )
    assert built.returncode == 0, built.stderr
    done = run_text(
        "recheck", *built.stdout.split(), "--public-key", public, "--register", "books.db", cwd=tmp_path
    )
    assert "origin issued" in done.stdout
    other = run_text("recheck", *built.stdout.split(), "--public-key", "0" * 63 + "1", cwd=tmp_path)
    assert "signed-by-another-key" in other.stdout


def test_a_key_file_is_never_replaced(tmp_path):
    assert run_text("key", "new", "office.key", cwd=tmp_path).returncode == 0
    before = (tmp_path / "office.key").read_bytes()
    again = run_text("key", "new", "office.key", cwd=tmp_path)
    assert again.returncode == 2
    assert (tmp_path / "office.key").read_bytes() == before


def test_a_blank_order_is_written_once_and_its_gaps_are_all_named(tmp_path):
    assert run_text("order", "mine.xlsx", cwd=tmp_path).returncode == 0
    before = (tmp_path / "mine.xlsx").read_bytes()
    assert run_text("order", "mine.xlsx", cwd=tmp_path).returncode == 0  # the same blank one is left as it is
    assert (
        run_text("order", "mine.xlsx", "--units", "si", cwd=tmp_path).returncode == 2
    )  # another is not replaced
    assert (tmp_path / "mine.xlsx").read_bytes() == before
    done = run_text("build", "mine.xlsx", cwd=tmp_path)
    assert done.returncode == 2
    assert "entries to correct in this order" in done.stderr
    assert "Traceback" not in done.stderr


@pytest.mark.parametrize(
    "arguments",
    [("recheck", "absent.xlsx"), ("build", "absent.xlsx"), ("plan", "absent.xlsx"), ("key", "show", "absent.key"),
     ("explain", "no-such-finding"), ("recheck", "absent.xlsx", "--order", "absent.xlsx"),
     ("recheck", "absent.xlsx", "--public-key", "xyz")],
    ids=" ".join,
)  # fmt: skip
def test_bad_input_is_one_message_and_status_2(arguments, tmp_path):
    done = run_text(*arguments, cwd=tmp_path)
    assert done.returncode == 2
    assert "Traceback" not in done.stderr
    assert done.stderr.strip()


def test_a_plan_is_printed_as_text_and_as_json(folder, tmp_path):
    text = run_apart("plan", folder / "order.xlsx", cwd=tmp_path)
    assert (text.returncode, text.stderr) == (0, "")
    assert "Distributor A" in text.stdout
    data = run_apart("plan", folder / "order.xlsx", "--json", cwd=tmp_path)
    assert isinstance(json.loads(data.stdout), dict)


def test_the_desk_says_what_is_missing(tmp_path):
    hidden = "import sys, importlib.util as u; seen = u.find_spec\n"
    hidden += "u.find_spec = lambda name, *more: None if name == 'starlette' else seen(name, *more)\n"
    code = hidden + "sys.argv = ['sheetgen', 'desk', '--no-browser']; from sheetgen.cli import main; main()"
    done = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, cwd=tmp_path, check=False
    )
    assert done.returncode == 2
    assert "found no starlette" in done.stderr
    assert '".[desk]"' in done.stderr
