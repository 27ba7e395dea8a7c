"""The command, its options, and what is refused: nothing is made where something is wrong."""

from __future__ import annotations

import openpyxl
import pytest
from typer.testing import CliRunner

from sheetgen.audit.entries.read import entries_of
from sheetgen.batch.named_files import returned_files
from sheetgen.cli import app, main
from sheetgen.errors import SheetgenError
from sheetgen.office.settings import Settings, defaults
from sheetgen.register.packed_entries import pack
from sheetgen.register.register import open_register
from sheetgen.register.summary import order_digest
from sheetgen.templates import texts
from tests.register.books import summary
from tests.season.office import Book


def recorded(book):
    """A return of the season as a register takes it, with no file."""
    order = book.job.order
    machine, canonical = order.machines[0], order.canonical()
    return summary(
        f"return {book.number}", machine=machine.name, serial=machine.serial, canonical=canonical,
        order=order_digest(canonical), entries=pack(entries_of(book.log(), order, machine)), units=order.units,
    )  # fmt: skip


@pytest.fixture(scope="module")
def register(tmp_path_factory):
    place = tmp_path_factory.mktemp("register") / "register.db"
    with open_register(place) as opened:
        opened.record_returns([recorded(Book(number)) for number in range(12)])
    return place


def run(*given):
    return CliRunner().invoke(app, ["season", *map(str, given)])


@pytest.mark.parametrize("language", ["en", "es"])
def test_the_command_writes_the_workbook_and_says_how_many_items_there_are(register, tmp_path, language):
    out = tmp_path / "season.xlsx"
    result = run(register, "--out", out, "--lang", language)
    assert result.exit_code == 0
    assert result.stdout.strip() == texts(language).say("season.written", path=out, books=12, count=2)
    again = run(
        register, "--out", out, "--lang", language
    )  # its own workbook, as it was written, is replaced
    assert again.exit_code == 0
    assert openpyxl.load_workbook(out).sheetnames[0] == texts(language)["season.sheet.season"]


def test_a_folder_with_returned_books_passes_a_season_over_whatever_it_is_called(register, tmp_path):
    out, told = tmp_path / "books of the year.xlsx", []
    assert run(register, "--out", out).exit_code == 0
    (tmp_path / "returned.xlsx").write_bytes(b"no report")
    files = returned_files([tmp_path], lambda file, why: told.append((file, why)))
    assert (files, told) == ([tmp_path / "returned.xlsx"], [(out, "report")])
    assert returned_files([out]) == [out]  # named, it is said what it is


def test_a_larger_threshold_says_less(register, tmp_path):
    assert "Unusual items: 1." in run(register, "--out", tmp_path / "a.xlsx", "--material", "1.9%").stdout
    assert "Unusual items: 0." in run(register, "--out", tmp_path / "b.xlsx", "--material", "5 %").stdout


def test_a_period_without_a_book_is_said(register, tmp_path):
    result = run(register, "--out", tmp_path / "a.xlsx", "--from", "2031-01-01")
    assert result.stdout.strip() == texts("en").say(
        "season.written", path=tmp_path / "a.xlsx", books=0, count=0
    )


@pytest.mark.parametrize(("given", "says"), [
    (["--from", "May"], "--from May: found no date"),
    (["--from", "2026-06-02", "--to", "2026-06-01"], "ends before it begins"),
    (["--material", "500"], "found no share"),
    (["--material", "much"], "found no share"),
    (["--material", "100%"], "found no share"),
])  # fmt: skip
def test_what_an_option_cannot_be_is_said(register, tmp_path, given, says):
    result = run(register, "--out", tmp_path / "season.xlsx", *given)
    assert isinstance(result.exception, SheetgenError)
    assert says in str(result.exception)
    assert not (tmp_path / "season.xlsx").exists()


def test_a_register_that_is_not_there_is_not_made(tmp_path):
    result = run(tmp_path / "none.db")
    assert "found no register" in str(result.exception)
    assert not (tmp_path / "none.db").exists()
    assert "No register is named" in str(run("").exception)


def test_another_file_is_never_replaced(register, tmp_path):
    own = tmp_path / "season.xlsx"
    own.write_bytes(b"an office's own file")
    assert run(register, "--out", own).exception is not None
    assert own.read_bytes() == b"an office's own file"


def test_the_register_is_that_of_the_settings(register, tmp_path, monkeypatch, capsys):
    settings = tmp_path / "settings.toml"
    settings.write_text(
        f'register = "{register.as_posix()}"\nout = "{tmp_path.as_posix()}"\nlanguage = "es"\n'
    )
    monkeypatch.setenv("SHEETGEN_SETTINGS", str(settings))
    monkeypatch.setattr("sys.argv", ["sheetgen", "season"])
    with pytest.raises(SystemExit) as ended:
        main()
    assert ended.value.code == 0
    said = texts("es").say("season.written", path=tmp_path / "season.xlsx", books=12, count=2)
    assert capsys.readouterr().out.strip() == said


def test_settings_that_say_nothing_leave_the_options_as_they_are():
    assert defaults(Settings())["season"] == {}
