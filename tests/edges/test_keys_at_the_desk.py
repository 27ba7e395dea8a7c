"""Keys as people keep them: locked ones, ones that others can read, and names that are no files."""

from __future__ import annotations

import os
import sys

import pytest

from sheetgen import cli, signing
from sheetgen.errors import KeyFileError
from sheetgen.order.write import write_order
from tests.audit.orders import small

ORDER = small()


@pytest.fixture
def run(monkeypatch, capsys, tmp_path):
    """Run a command in this process; its exit status, output and errors."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.delenv(signing.PASSPHRASE, raising=False)
    monkeypatch.setattr(signing, "_asked", {})

    def call(*args):
        monkeypatch.setattr(sys, "argv", ["sheetgen", *map(str, args)])
        with pytest.raises(SystemExit) as ended:
            cli.main()
        said = capsys.readouterr()
        return ended.value.code or 0, said.out, said.err

    return call


def test_a_locked_key_signs_with_the_passphrase_of_the_environment(run, tmp_path, monkeypatch):
    write_order(tmp_path / "order.xlsx", order=ORDER)
    monkeypatch.setenv(signing.PASSPHRASE, "riverbed")
    status, out, _error = run("key", "new", "office.key", "--passphrase")
    public = out.splitlines()[-1]
    assert (status, b"ENCRYPTED" in (tmp_path / "office.key").read_bytes()) == (0, True)
    assert run("key", "show", "office.key")[1].strip() == public
    assert run("build", "order.xlsx", "--key", "office.key", "--register", "r.db")[0] == 0
    (book,) = (tmp_path / "books").iterdir()
    status, out, _error = run("recheck", book, "--public-key", public)
    assert "origin issued" in out
    monkeypatch.setenv(signing.PASSPHRASE, "another")
    assert run("key", "show", "office.key")[0] == 2


def test_a_person_at_a_terminal_is_asked_once(run, tmp_path, monkeypatch):
    asked = []

    def typed(prompt):
        asked.append(prompt)
        return "riverbed"

    monkeypatch.setattr(signing, "getpass", typed)
    monkeypatch.setattr(signing, "_at_a_terminal", lambda: True)
    write_order(tmp_path / "order.xlsx", order=ORDER)
    assert run("key", "new", "office.key", "--passphrase")[0] == 0
    assert len(asked) == 2  # and again, for slips
    assert run("build", "order.xlsx", "--key", "office.key", "--register", "r.db")[0] == 0
    assert len(asked) == 3
    assert all("office.key" in prompt for prompt in asked)


def test_two_passphrases_that_differ_make_no_key(run, tmp_path, monkeypatch):
    typed = iter(["one", "other"])
    monkeypatch.setattr(signing, "getpass", lambda _prompt: next(typed))
    monkeypatch.setattr(signing, "_at_a_terminal", lambda: True)
    status, _out, error = run("key", "new", "office.key", "--passphrase")
    assert (status, (tmp_path / "office.key").exists()) == (2, False)
    assert "two different passphrases" in error


def test_where_nobody_can_be_asked_the_remedy_can_be_followed(run, tmp_path, monkeypatch):
    monkeypatch.setattr(signing, "_at_a_terminal", lambda: False)
    signing.new_key(tmp_path / "office.key", "riverbed")
    for args in (("key", "show", "office.key"), ("key", "new", "new.key", "--passphrase")):
        status, _out, error = run(*args)
        assert status == 2
        assert signing.PASSPHRASE in error


@pytest.mark.skipif(os.name != "posix", reason="files say nothing of their readers there")
@pytest.mark.parametrize(("mode", "said"), [(0o600, False), (0o400, False), (0o644, True), (0o640, True)])
def test_a_key_that_others_may_read_is_said(run, tmp_path, mode, said):
    signing.new_key(tmp_path / "office.key")
    (tmp_path / "office.key").chmod(mode)
    write_order(tmp_path / "order.xlsx", order=ORDER)
    for args in (("key", "show", "office.key"), ("build", "order.xlsx", "--key", "office.key")):
        status, _out, error = run(*args)
        assert (status, "other users" in error) == (0, said)


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="the system has no such pipes")
def test_a_pipe_in_place_of_a_key_is_not_waited_for(tmp_path):
    os.mkfifo(tmp_path / "pipe.key")
    for path in (tmp_path / "pipe.key", tmp_path):
        with pytest.raises(KeyFileError, match="pipe, a device or a folder"):
            signing.load_key(path)
