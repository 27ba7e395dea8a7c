"""A program that is killed at any step leaves whole files alone, and the same command then goes on to the same end."""

from __future__ import annotations

import hashlib
import json
import os
import shutil
import signal
import subprocess
import sys
import zipfile

import pytest

from sheetgen.book.build import write_filled
from sheetgen.demo.day import honest_day
from sheetgen.order.write import write_order
from sheetgen.whole_file import UNFINISHED
from tests.audit.orders import small

ORDER = small()
pytestmark = pytest.mark.skipif(not hasattr(signal, "SIGKILL"), reason="the system has no such signal")
TRIED = 3  # steps of each command, spread over all of them; every one by hand: EVERY_STEP=1


def run(folder, step, *args):
    return subprocess.run(
        [sys.executable, "-m", "tests.edges.killing", str(folder), str(step), *map(str, args)],
        capture_output=True, text=True, check=False,
    )  # fmt: skip


def steps_of(done):
    return int(done.stdout.splitlines()[-1].removeprefix("steps "))


def chosen(steps):
    if os.environ.get("EVERY_STEP"):
        return range(1, steps + 1)
    return sorted({1 + number * (steps - 1) // (TRIED - 1) for number in range(TRIED)})


def digests(folder):
    """What a person finds in the folder; notes of the run itself and what was never finished are hidden names."""
    return {
        file.name: hashlib.sha256(file.read_bytes()).hexdigest()
        for file in folder.iterdir()
        if not file.name.startswith(".")
    }


def all_whole(folder):
    for file in folder.iterdir():
        if file.name.startswith("."):
            continue
        if file.suffix == ".xlsx":
            with zipfile.ZipFile(file) as archive:
                assert archive.testzip() is None
        elif file.suffix == ".json":
            json.loads(file.read_bytes())


@pytest.fixture(scope="module")
def inputs(tmp_path_factory):
    folder = tmp_path_factory.mktemp("inputs")
    write_order(folder / "order.xlsx", order=ORDER)
    (folder / "returned").mkdir()
    for seed in (1, 2):
        log = honest_day(ORDER, ORDER.machines[0], seed=seed)
        write_filled(ORDER, ORDER.machines[0], log, folder / "returned" / f"{seed}.xlsx")
    return folder


COMMANDS = {
    "build": lambda inputs, out: ("build", inputs / "order.xlsx", "--out", out, "--register", out / "r.db"),
    "recheck": lambda inputs, out: ("recheck", inputs / "returned", "--out", out, "--copy", "--csv"),
}


@pytest.mark.parametrize("command", COMMANDS)
def test_killed_at_a_step_and_run_again(inputs, tmp_path, command):
    folder = tmp_path / "out"
    folder.mkdir()
    args = COMMANDS[command](inputs, folder)
    whole = run(folder, 0, *args)
    assert steps_of(whole) > 2 * TRIED or command == "build", whole.stderr
    expected = {name: digest for name, digest in digests(folder).items() if name != "r.db"}
    for step in chosen(steps_of(whole)):
        shutil.rmtree(folder)
        folder.mkdir()
        assert run(folder, step, *args).returncode == -signal.SIGKILL
        all_whole(folder)
        again = run(folder, 0, *args)
        assert again.returncode == whole.returncode, again.stderr
        assert {name: digest for name, digest in digests(folder).items() if name != "r.db"} == expected
        if command == "recheck":
            assert not [path for path in folder.rglob("*") if UNFINISHED in path.name]
