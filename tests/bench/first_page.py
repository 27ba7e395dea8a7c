"""The first page of the desk: how long after its start, and after it has begun to serve, somebody has it."""

from __future__ import annotations

import os
import re
import subprocess
import sys
import tempfile
import time
import urllib.request
from http.cookiejar import CookieJar
from pathlib import Path

from tests.bench.rounds import Times, run_program

STARTED = "sheetgen desk, from its start to its address"
SERVED = "the first page, from the address to all of it"
_ADDRESS = re.compile(r"http://127\.0\.0\.1:\d+/enter\?token=\S+")
_TICKS = os.sysconf("SC_CLK_TCK") if hasattr(os, "sysconf") else 100


def first_page(folder: Path, rounds: int) -> dict[str, Times]:
    """Each round is a desk of its own, started, entered and ended; processor time is the desk's alone (on Linux)."""
    run_program("-m", "sheetgen.cli", "desk", "--help")  # so that its modules are compiled
    times = {STARTED: Times(), SERVED: Times()}
    for _ in range(rounds):
        with tempfile.TemporaryDirectory(dir=folder) as place:
            _one(Path(place), times)
    return times


def _one(place: Path, times: dict[str, Times]) -> None:
    own = {"HOME": str(place), "XDG_CONFIG_HOME": str(place), "SHEETGEN_SETTINGS": os.devnull}
    command = [sys.executable, "-m", "sheetgen.cli", "desk", "--no-browser", "--folder", str(place / "desk")]
    began = time.perf_counter()
    desk = subprocess.Popen(command, stdout=subprocess.PIPE, text=True, env={**os.environ, **own})
    assert desk.stdout is not None
    try:
        address = _ADDRESS.search(desk.stdout.readline())
        assert address is not None
        serving, used = time.perf_counter(), _processor_time(desk.pid)
        browser = urllib.request.build_opener(urllib.request.HTTPCookieProcessor(CookieJar()))
        with browser.open(address[0]) as page:
            assert b"<h1>" in page.read()
        times[SERVED].wall.append(time.perf_counter() - serving)
        times[SERVED].cpu.append(_processor_time(desk.pid) - used)
        times[STARTED].wall.append(serving - began)
        times[STARTED].cpu.append(used)
    finally:
        desk.terminate()
        desk.wait()
        desk.stdout.close()


def _processor_time(process: int) -> float:
    """Seconds that a process has used so far, all of its threads (proc(5), fields utime and stime)."""
    fields = Path(f"/proc/{process}/stat").read_text(encoding="utf-8").rpartition(")")[2].split()
    return (int(fields[11]) + int(fields[12])) / _TICKS
