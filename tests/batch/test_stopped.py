"""Batches that are killed or interrupted at any moment: no half-written report, and the next run completes."""

import os
import random
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from sheetgen.register.register import open_register
from tests.batch import fakes

pytestmark = pytest.mark.skipif(os.name != "posix", reason="processes are stopped by signals here")

ROOT = Path(__file__).parents[2]
BOOKS = 30


@pytest.fixture
def start(tmp_path):
    """Start a batch in a process of its own, in a group of its own as a terminal gives it one."""
    fakes.make_returns(tmp_path / "returned", ["honest", "slow", "query"] * (BOOKS // 3))
    runs = []

    def begin(jobs):
        places = [tmp_path / "returned", tmp_path / "out", jobs, tmp_path / "register.db"]
        path = os.pathsep.join([str(ROOT), os.environ.get("PYTHONPATH", "")])
        run = subprocess.Popen(
            [sys.executable, "-m", "tests.batch.fakes", *map(str, places)],
            stdout=subprocess.PIPE, env=os.environ | {"PYTHONPATH": path}, cwd=tmp_path, start_new_session=True,
        )  # fmt: skip
        runs.append(run)
        return run

    yield begin
    for run in runs:
        if run.poll() is None:
            run.kill()
        run.stdout.close()
        run.wait()


def check_reports(out: Path) -> int:
    """Every report file is whole; how many there are."""
    reports = list(out.glob("*.txt"))
    for report in reports:
        assert fakes.whole(report), report
    return len(reports)


def check_register(path: Path) -> int:
    """Every return has all that belongs to it; how many there are."""
    if not path.exists():
        return 0
    with open_register(path) as register:
        returns = [each for n in range(BOOKS) for each in register.history(f"book {n}").returns]
        assert all(len(each.paths) == len(each.rechecks) == 1 for each in returns)
        return len(returns)


def processes_of(group: int) -> list[int]:
    """Processes of a session that still run (from /proc, as Linux has it)."""
    found = []
    for entry in Path("/proc").glob("[0-9]*"):
        try:
            fields = (entry / "stat").read_text().rpartition(")")[2].split()
        except OSError:
            continue
        if int(fields[3]) == group and fields[0] != "Z":
            found.append(int(entry.name))
    return found


def wait_for_the_end_of(group: int) -> None:
    """Wait until no process of a session runs: they end by themselves, some moments after the one that began them."""
    until = time.monotonic() + 20
    while processes_of(group):
        assert time.monotonic() < until, "a process of the batch outlived it"
        time.sleep(0.05)


@pytest.mark.slow
@pytest.mark.parametrize("jobs", [1, 2])
def test_a_batch_killed_at_any_moment_leaves_whole_reports_and_the_next_one_completes(start, tmp_path, jobs):
    chance, finished = random.Random(7), 0
    for kill in range(4):
        run = start(jobs)
        if run.stdout.readline():  # under way
            time.sleep(chance.uniform(0, 0.35))
        run.kill()
        run.wait()
        wait_for_the_end_of(run.pid)
        reports = check_reports(tmp_path / "out")
        assert reports >= finished, kill
        finished = reports
        assert check_register(tmp_path / "register.db") * 2 <= reports
    assert finished > 0
    run = start(jobs)
    lines = run.communicate(timeout=120)[0].decode().splitlines()
    assert [line.split()[1] for line in lines] == [f"{n:03}.xlsx" for n in range(BOOKS)]
    assert any(line.endswith("kept") for line in lines)
    assert check_reports(tmp_path / "out") == 2 * BOOKS
    assert check_register(tmp_path / "register.db") == BOOKS
    assert [path.name for path in (tmp_path / "out").rglob("*.unfinished")] == []


@pytest.mark.parametrize("jobs", [1, 2])
def test_ctrl_c_ends_a_batch_with_whole_reports_and_the_next_one_goes_on(start, tmp_path, jobs):
    run = start(jobs)
    first = run.stdout.readline()
    os.killpg(run.pid, signal.SIGINT)  # a terminal sends it to the whole group
    rest = run.communicate(timeout=60)[0].decode().splitlines()
    assert run.returncode == 0
    assert first
    assert rest[-1] == "stopped"
    assert len(rest) < BOOKS
    assert check_reports(tmp_path / "out") >= 2 * len(rest)
    assert [path.name for path in (tmp_path / "out").rglob("*.unfinished")] == []
    wait_for_the_end_of(run.pid)
    run = start(jobs)
    lines = run.communicate(timeout=120)[0].decode().splitlines()
    assert sum(line.endswith("kept") for line in lines) >= len(rest)
    assert check_reports(tmp_path / "out") == 2 * BOOKS
    assert check_register(tmp_path / "register.db") == BOOKS
