"""Whatever stands in the way of writing: one sentence, exit status 2, no half file, nothing left behind."""

from __future__ import annotations

import errno
import os
import subprocess
import sys
import time
from pathlib import Path

import pytest

from sheetgen import cli, whole_file
from sheetgen.order.write import write_order
from tests.audit.orders import small

ORDER = small()


@pytest.fixture
def run(monkeypatch, capsys, tmp_path):
    """Run a command in this process; its exit status, output and errors."""
    monkeypatch.chdir(tmp_path)

    def call(*args):
        monkeypatch.setattr(sys, "argv", ["sheetgen", *map(str, args)])
        with pytest.raises(SystemExit) as ended:
            cli.main()
        said = capsys.readouterr()
        return ended.value.code or 0, said.out, said.err

    return call


def one_sentence(error):
    """A message for a person: no traceback, few lines."""
    return "Traceback" not in error and 0 < len(error.splitlines()) <= 3


def leftovers(folder):
    return sorted(path.name for path in folder.rglob("*") if whole_file.UNFINISHED in path.name)


@pytest.fixture
def order(tmp_path):
    return write_order(tmp_path / "filled.xlsx", order=ORDER)


TROUBLES = [errno.ENOSPC, errno.EACCES, errno.EROFS, errno.EIO, errno.EDQUOT, errno.ENAMETOOLONG]
COMMANDS = {
    "order": ("order", "blank.xlsx"),
    "build": ("build", "filled.xlsx", "--out", "out"),
    "demo": ("demo", "--out", "out"),
}
OTHER_COMMANDS = {
    "yard": ("yard", "yard.xlsx"),
    "plan": ("plan", "filled.xlsx", "--out", "out"),
    "compare": ("compare", "filled.xlsx", "--out", "out"),
}


@pytest.mark.parametrize(
    ("command", "number"),
    [
        *(
            pytest.param(each, code, id=f"{name} {errno.errorcode[code]}")
            for name, each in COMMANDS.items()
            for code in TROUBLES
        ),
        *(pytest.param(each, errno.ENOSPC, id=name) for name, each in OTHER_COMMANDS.items()),
    ],
)
def test_a_write_that_the_system_refuses_is_one_sentence(run, order, tmp_path, monkeypatch, command, number):
    as_it_is = Path.write_bytes

    def refused(path, data):
        if whole_file.UNFINISHED in path.name:
            as_it_is(path, data[: len(data) // 2])  # what was written before the disk was full
            raise OSError(number, os.strerror(number), str(path))
        return as_it_is(path, data)

    monkeypatch.setattr(Path, "write_bytes", refused)
    status, out, error = run(*command)
    assert (status, out) == (2, "")
    assert one_sentence(error)
    assert os.strerror(number) in error
    assert whole_file.UNFINISHED not in error  # the file that was asked for is named, not the one beside it
    assert leftovers(tmp_path) == []
    assert [path.name for path in tmp_path.rglob("*.xlsx")] == ["filled.xlsx"]


@pytest.mark.parametrize("step", ["replace", "mkdir"])
def test_a_report_that_the_system_refuses_leaves_nothing(tmp_path, monkeypatch, step):
    from sheetgen.audit.report import write_report
    from sheetgen.audit.run import recheck_book
    from sheetgen.book.build import write_filled

    result = recheck_book(write_filled(ORDER, ORDER.machines[0], {}, tmp_path / "a.xlsx"))
    out = tmp_path / "out"
    out.mkdir()

    def refused(path, *args, **options):
        raise PermissionError(errno.EACCES, os.strerror(errno.EACCES), str(path))

    monkeypatch.setattr(Path, step, refused)
    with pytest.raises(OSError, match="Permission denied"):
        write_report(result, out, copy=True, csv=True)
    assert list(out.iterdir()) == []


def test_a_report_open_in_another_program_is_left_and_said(tmp_path, monkeypatch):
    """As on Windows, where a file that a spreadsheet program has open cannot be replaced."""
    from sheetgen.batch import recheck_many
    from sheetgen.book.build import write_filled

    write_filled(ORDER, ORDER.machines[0], {}, tmp_path / "a.xlsx")
    (first,) = recheck_many([tmp_path / "a.xlsx"], out_dir=tmp_path / "out")
    before = first.reports[0].read_bytes()
    as_it_is = Path.replace

    def locked(path, target):
        if Path(target).name == "a.recheck.xlsx":
            raise PermissionError(errno.EACCES, "Permission denied", str(target))
        return as_it_is(path, target)

    monkeypatch.setattr(Path, "replace", locked)
    (result,) = recheck_many([tmp_path / "a.xlsx"], out_dir=tmp_path / "out", fresh=True)
    assert "Permission denied" in str(result.error)
    assert "Close the report in other programs" in str(result.error)
    assert first.reports[0].read_bytes() == before
    assert leftovers(tmp_path) == []


def test_a_blank_order_where_no_folder_is(run, tmp_path):
    status, out, error = run("order", "nodir/x.xlsx")
    assert (status, out) == (2, "")
    assert one_sentence(error)
    assert "nodir/x.xlsx" in error
    assert "make its folder" in error


def test_a_blank_order_of_another_ending_is_refused(run, tmp_path):
    status, _out, error = run("order", "x.csv")
    assert (status, list(tmp_path.iterdir())) == (2, [])
    assert ".xlsx" in error


def test_a_blank_order_replaces_no_file(run, tmp_path):
    (tmp_path / "order.xlsx").write_text("the office's own")
    status, _out, error = run("order")
    assert (status, (tmp_path / "order.xlsx").read_text()) == (2, "the office's own")
    assert "order.xlsx" in error


@pytest.mark.parametrize("name", ["order.xlsx", "returned/DEMO-0001_Distributor-A_clean.xlsx"])
def test_the_demonstration_replaces_no_file_of_the_offices(run, tmp_path, name):
    (tmp_path / name).parent.mkdir(exist_ok=True)
    (tmp_path / name).write_text("the office's own")
    status, _out, error = run("demo", "--out", ".")
    assert (status, (tmp_path / name).read_text()) == (2, "the office's own")
    assert one_sentence(error)


def test_the_demonstration_can_be_made_twice(run, tmp_path):
    assert [run("demo")[0] for _ in range(2)] == [0, 0]


def test_a_folder_that_is_a_file_is_said(run, order, tmp_path):
    (tmp_path / "out").write_text("a file")
    for command in (("build", "filled.xlsx", "--out", "out"), ("demo", "--out", "out")):
        status, _out, error = run(*command)
        assert status == 2
        assert one_sentence(error)


@pytest.mark.parametrize("register", ["junk.db", "no/folder/r.db", "."])
def test_a_register_that_cannot_be_used_is_seen_before_a_book_is_written(run, order, tmp_path, register):
    (tmp_path / "junk.db").write_text("no database, " * 99)
    status, out, error = run("build", "filled.xlsx", "--out", "out", "--register", register)
    assert (status, out) == (2, "")
    assert one_sentence(error)
    assert not (tmp_path / "out").exists()


def test_what_nobody_foresaw_is_one_sentence_and_status_2(run, order, tmp_path, monkeypatch):
    def broken(*_args, **_options):
        raise ZeroDivisionError("planted \x1b[31m")

    monkeypatch.setattr("sheetgen.book.build.lay_out", broken)
    monkeypatch.delenv("SHEETGEN_TRACEBACK", raising=False)
    status, out, error = run("build", "filled.xlsx")
    assert (status, out) == (2, "")
    assert one_sentence(error)
    assert "defect of this program (ZeroDivisionError: planted" in error
    assert "\x1b" not in error
    monkeypatch.setenv("SHEETGEN_TRACEBACK", "1")
    assert "Traceback" in run("build", "filled.xlsx")[2]


@pytest.mark.parametrize("kind", [MemoryError, RecursionError, UnicodeError, KeyError])
def test_no_kind_of_error_passes_for_findings(run, monkeypatch, kind):
    def broken(*_args, **_options):
        raise kind("planted")

    monkeypatch.setattr("sheetgen.audit.findings.explain", broken)
    assert run("explain", "gap-in-lane")[0] == 2


# Several writers, and writers that are killed


def start_build(folder, out):
    return subprocess.Popen(
        [sys.executable, "-m", "sheetgen.cli", "build", str(folder / "filled.xlsx"), "--out", str(out)],
        stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True,
    )  # fmt: skip


def test_two_builds_into_one_folder_give_one_whole_book(order, tmp_path):
    both = [start_build(tmp_path, tmp_path / "out") for _ in range(2)]
    said = [process.communicate(timeout=120) for process in both]
    assert [process.returncode for process in both] == [0, 0], said
    (book,) = (tmp_path / "out").iterdir()
    import sheetgen

    assert sheetgen.recheck(book).origin == "unsigned"


def test_a_writer_that_is_killed_leaves_the_old_file_and_the_next_one_clears_up(tmp_path):
    """Killed between writing and moving: the worst moment."""
    code = (
        "import os, signal, sys; from pathlib import Path; from sheetgen import whole_file\n"
        "Path.replace = lambda *_: os.kill(os.getpid(), signal.SIGKILL)\n"
        "whole_file.write_whole(Path(sys.argv[1]), b'new')"
    )
    (tmp_path / "file").write_bytes(b"old")
    done = subprocess.run([sys.executable, "-c", code, str(tmp_path / "file")], check=False)
    assert done.returncode < 0
    assert (tmp_path / "file").read_bytes() == b"old"
    (left,) = leftovers(tmp_path)
    whole_file.remove_forgotten(tmp_path)
    assert leftovers(tmp_path) == [left]  # it may still be written to
    hours_ago = time.time() - 2 * 3600
    os.utime(tmp_path / left, (hours_ago, hours_ago))
    whole_file.remove_forgotten(tmp_path)
    assert leftovers(tmp_path) == []


def test_every_whole_file_of_the_program_is_written_in_one_way():
    """No other module moves files into place or makes up names to write beside."""
    root = Path(cli.__file__).parent
    allowed = {
        "whole_file.py",
        "signing.py",
        "places.py",
    }  # a key is never replaced; storages have no such moves
    for path in root.rglob("*.py"):
        if path.name not in allowed:
            text = path.read_text(encoding="utf-8")
            assert ".unfinished" not in text, path
            assert "os.replace(" not in text, path
            assert ".write_text(" not in text or path.name == "schemas.py", path
