"""The office's settings: read by every command, named where they are wrong; the key they name is kept to."""

from __future__ import annotations

import os

import pytest

from sheetgen.errors import KeyFileError, SettingsError
from sheetgen.office.settings import (
    Settings,
    change_settings,
    defaults,
    read_settings,
    refuse_other_key,
    settings_file,
)
from sheetgen.signing import load_key, new_key, public_text
from tests.command_line import run_text as run


@pytest.fixture
def file(tmp_path, monkeypatch):
    """An office's settings file, empty."""
    path = tmp_path / "office.toml"
    path.touch()
    monkeypatch.setenv("SHEETGEN_SETTINGS", str(path))
    return path


def test_settings_are_kept_and_one_can_be_taken_away(file, tmp_path):
    new_key(tmp_path / "office.key")
    change_settings(
        {"key": str(tmp_path / "office.key"), "language": "es", "out": str(tmp_path / 'a "b" \\ c')}
    )
    read = read_settings()
    assert (read.language, read.out) == ("es", str(tmp_path / 'a "b" \\ c'))
    assert read.public_key == public_text(load_key(tmp_path / "office.key"))
    assert change_settings({"key": "", "paper": "a4"}) == read._replace(key="", public_key="", paper="a4")


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("lang = 'es'", ["lang", "language"]),
        ("language = 'fr'", ["fr", "en, es"]),
        ("language = 3", ["3", "quotes"]),
        ("language = es", ["not a setting"]),
        ("public_key = '12'", ["12", "64"]),
        ("paper = 'legal'", ["legal", "letter, a4"]),
    ],
)
def test_a_wrong_setting_is_named_with_its_file(file, text, said):
    file.write_text(text)
    with pytest.raises(SettingsError) as told:
        read_settings()
    assert all(each in str(told.value) for each in [str(file), *said])


def test_a_mistyped_name_of_the_file_does_not_forget_the_key(file, monkeypatch):
    monkeypatch.setenv("SHEETGEN_SETTINGS", str(file.with_name("ofice.toml")))
    with pytest.raises(SettingsError, match="ofice"):
        read_settings()


def test_without_a_file_nothing_is_set(monkeypatch, tmp_path):
    monkeypatch.delenv("SHEETGEN_SETTINGS")
    monkeypatch.setenv("HOME", str(tmp_path))
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "config"))
    assert read_settings() == Settings()
    assert settings_file().is_relative_to(tmp_path)
    assert all(set(options) <= {"out"} for options in defaults(read_settings()).values())


def test_every_command_takes_what_the_office_has_set(file, tmp_path, monkeypatch):
    new_key(tmp_path / "office.key")
    shown = run("settings", "--key", "office.key", "--register", "books.db", "--out", "office", "--language", "es",
                "--paper", "a4", cwd=tmp_path)  # fmt: skip
    assert str(tmp_path / "office.key") in shown.stdout
    assert [line.strip() for line in shown.stdout.splitlines() if "sin definir" in line] == [
        "Segundo idioma de los formularios: sin definir",
        "Libro del patio: sin definir",
    ]
    order = run("order", "order.xlsx", cwd=tmp_path)
    assert "pedido" in order.stdout
    explained = run("explain", "stick-reading-rose-during-shot", cwd=tmp_path)
    assert "Por qué" in explained.stdout
    assert "Why" in run("explain", "stick-reading-rose-during-shot", "--lang", "en", cwd=tmp_path).stdout


def test_a_build_signs_with_the_office_key_and_refuses_another_one(file, files, tmp_path):
    for name in ("office.key", "other.key"):
        new_key(tmp_path / name)
    change_settings({"key": str(tmp_path / "office.key"), "register": str(tmp_path / "books.db"),
                     "out": str(tmp_path / "office")})  # fmt: skip
    refused = run("build", files / "order.xlsx", "--key", "other.key", cwd=tmp_path)
    assert refused.returncode == 2
    assert "other.key: found another key than the office has set" in refused.stderr
    assert not (tmp_path / "office").exists()
    assert run("build", files / "order.xlsx", cwd=tmp_path).returncode == 0
    (book,) = (tmp_path / "office" / "books").glob("*.xlsx")
    checked = run("recheck", book, cwd=tmp_path)
    assert "origin issued" in checked.stdout  # proven by the public key that was set with the signing key
    (tmp_path / "office.key").unlink()
    gone = run("build", files / "order.xlsx", cwd=tmp_path)
    assert (gone.returncode, "office.key" in gone.stderr) == (2, True)


def test_books_without_a_key_are_built_and_that_is_said(files, tmp_path):
    done = run("build", files / "order.xlsx", "--out", "books", cwd=tmp_path)
    assert done.returncode == 0
    assert "not signed" in done.stderr
    new_key(tmp_path / "office.key")
    signed = run("build", files / "order.xlsx", "--out", "signed", "--key", "office.key", cwd=tmp_path)
    assert "not signed" not in signed.stderr


def test_a_copy_of_the_office_key_is_the_office_key(tmp_path):
    new_key(tmp_path / "office.key")
    (tmp_path / "stick.key").write_bytes((tmp_path / "office.key").read_bytes())
    own = Settings(key=str(tmp_path / "office.key"))
    refuse_other_key(own, tmp_path / "stick.key")
    refuse_other_key(Settings(), None)
    with pytest.raises(KeyFileError, match="no key"):
        refuse_other_key(own, None)


def test_tests_know_nothing_of_an_office():
    assert os.environ["SHEETGEN_SETTINGS"] == os.devnull
    assert read_settings() == Settings()
