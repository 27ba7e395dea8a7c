"""The runs of ``whole_way.py``: processes that take some thousand cases each, and the figures kept in ``runs.toml``."""

from __future__ import annotations

import contextlib
import ctypes
import datetime
import json
import platform
import resource
import signal
import subprocess
import sys
import time
import tomllib
from collections import Counter
from collections.abc import Callable, Iterable
from pathlib import Path
from typing import Any

from tests.fuzz.structured import KINDS, SHARES

RUNS = Path(__file__).with_name("runs.toml")
HEAD = "# Written by tests/fuzz/whole_way.py: what each run tried, and what became of it.\n"
SECONDS = 2.0
MEGABYTES = 300
SAID = ("refused", "done")
_IN_A_PROCESS = 2_000  # cases
_HANGS = 30.0  # seconds of processor time, after which a process is ended
_FULL = 245  # MB that a process may hold between cases
_MOST = 2**31  # bytes that a process may ask for
_TURN = [  # the kinds of a hundred cases, each spread over them
    kind for _, kind in sorted((at / share, kind) for kind, share in SHARES.items() for at in range(share))
]


def case_of(index: int) -> tuple[str, int]:
    """The kind and number of a case, counted over all kinds."""
    turn, at = divmod(index, len(_TURN))
    return _TURN[at], turn * SHARES[_TURN[at]] + _TURN[:at].count(_TURN[at])


def run_cases(case: Callable[[str, int], tuple[str, float]], cases: Iterable[tuple[str, int]]) -> None:
    """Run cases in this process until it is full; what begins and how it ended is printed, line by line, as JSON."""
    malloc_trim = ctypes.CDLL(None).malloc_trim
    resource.setrlimit(resource.RLIMIT_AS, (_MOST, _MOST))
    for kind, number in cases:
        if _memory("VmRSS") > _FULL:
            malloc_trim(0)
            if _memory("VmRSS") > _FULL:
                return  # what earlier cases left would count in this one: a new process goes on
        _say(begun=f"{kind} {number}")
        signal.setitimer(signal.ITIMER_PROF, _HANGS)  # nobody catches it: the process ends, whatever it does
        with contextlib.suppress(OSError):
            Path("/proc/self/clear_refs").write_text("5")  # the peak of memory counts from here
        try:
            answer, seconds = case(kind, number)
            peak = _memory("VmHWM")
            assert peak <= MEGABYTES, f"took {peak} MB"
        except Exception as error:
            _say(failed=f"{type(error).__name__}: {str(error)[:200]}")
        except BaseException as error:  # a panic of an extension module is no Exception
            if isinstance(error, KeyboardInterrupt):
                raise
            _say(failed=f"{type(error).__name__}: {str(error)[:200]}")
        else:
            _say(answer=answer, seconds=round(seconds, 3), megabytes=peak)


def _say(**facts: Any) -> None:
    print(json.dumps(facts), flush=True)


def _memory(of: str) -> int:
    """What this process holds (VmRSS), or held at most since that was last set back (VmHWM), in MB."""
    lines = Path("/proc/self/status").read_text().splitlines()
    return next(int(line.split()[1]) for line in lines if line.startswith(of)) // 1024


class Run:
    """Cases from one on, and what became of them."""

    def __init__(self, first: int) -> None:
        self._first = self._next = first
        self._answers: Counter[tuple[str, str]] = Counter()
        self._slowest, self._largest = (0.0, ""), (0, "")
        self.failed: list[str] = []

    def go_on(self, until: float) -> None:
        """Run cases until a time of the monotonic clock."""
        while time.monotonic() < until:
            command = [sys.executable, "-m", "tests.fuzz.whole_way", "--work"]
            reach = map(str, (self._next, self._next + _IN_A_PROCESS))
            with subprocess.Popen([*command, *reach], stdout=subprocess.PIPE, text=True) as process:
                self._follow(process, until)

    def _follow(self, process: subprocess.Popen[str], until: float) -> None:
        """Take down what a process says; its last case failed where it ended within it."""
        begun = ""
        for line in process.stdout or ():
            told = json.loads(line)
            if "begun" in told:
                begun = told["begun"]
                continue
            self._ended(begun, told)
            begun = ""
            if time.monotonic() > until:
                process.terminate()
                return
        if begun:
            self._ended(begun, {"failed": f"the process ended by {process.wait()}"})
        elif process.wait():
            raise RuntimeError(f"a process of cases before {self._next} ended by {process.returncode}")

    def _ended(self, case: str, told: dict[str, Any]) -> None:
        self._next += 1
        if "failed" in told:
            self.failed.append(f"{case}: {told['failed']}")
            print(self.failed[-1], flush=True)
            return
        self._answers[case.split()[0], told["answer"]] += 1
        self._slowest = max(self._slowest, (told["seconds"], case))
        self._largest = max(self._largest, (told["megabytes"], case))

    def figures(self) -> dict[str, Any]:
        """What is kept of the run."""
        return {
            "date": datetime.date.today(), "python": platform.python_version(),
            "first": self._first, "cases": self._next - self._first,
            **{said: {kind: self._answers[kind, said] for kind in KINDS} for said in SAID},
            "failed": self.failed, "seconds": self._slowest[0], "slowest": self._slowest[1],
            "megabytes": self._largest[0], "largest": self._largest[1],
        }  # fmt: skip


def keep(run: dict[str, Any], folder: Path) -> None:
    """Add a run to those kept, and make the page of all."""
    runs = [*(tomllib.loads(RUNS.read_text(encoding="utf-8")).get("run", ())), run]
    RUNS.write_text(HEAD + "".join(map(_as_toml, runs)), encoding="utf-8", newline="\n")
    (folder / "fuzzing.md").write_text(page(runs), encoding="utf-8", newline="\n")


def _as_toml(run: dict[str, Any]) -> str:
    return "\n[[run]]\n" + "".join(f"{key} = {_value(value)}\n" for key, value in run.items())


def _value(value: Any) -> str:
    match value:
        case dict():
            return "{ " + ", ".join(f"{key} = {each}" for key, each in value.items()) + " }"
        case list():
            return "[" + ", ".join(map(_value, value)) + "]"
        case str():
            plain = (sign if sign.isprintable() and sign not in '\\"' else "?" for sign in value)
            return f'"{"".join(plain)}"'
        case _:
            return str(value)


def page(runs: list[dict[str, Any]]) -> str:
    """The runs for a reader: what was tried of each kind in all, and each run."""
    sums = {kind: [sum(each[said][kind] for each in runs) for said in SAID] for kind in KINDS}
    failed = Counter(failure.split()[0] for each in runs for failure in each["failed"])
    return "\n".join(
        [
            "# Spoilt inputs, the whole way",
            "",
            "Made by `python -m tests.fuzz.whole_way MINUTES FIRST --write FOLDER`: every input is one sound file with",
            "mutations of its structure. Books are rechecked and reported with copy and CSV, orders are read and",
            "planned, claim sheets, yards and settings are read; a desk gets names, bodies and addresses. A case fails",
            f"by an error that is not in words, more than {SECONDS:g} s of processor time or {MEGABYTES} MB of memory,",
            "a changed input, a broken output, or a file where none belongs. Nine of ten books have 3 rows of shots,",
            "the others 20.",
            "",
            "| input | cases | refused in words | done | failed |",
            "| --- | ---: | ---: | ---: | ---: |",
            *(
                f"| {kind} | {refused + done + failed[kind]:,} | {refused:,} | {done:,} | {failed[kind]} |"
                for kind, (refused, done) in sums.items()
            ),
            "",
            f"{sum(each['cases'] for each in runs):,} cases, {sum(failed.values())} failed. "
            "Run by run, at low priority beside other work:",
            "",
            "| date | Python | cases | failed | slowest, s of processor time | most memory, MB |",
            "| --- | --- | --- | ---: | --- | --- |",
            *(
                f"| {each['date']} | {each['python']} | {each['first']:,} to {each['first'] + each['cases'] - 1:,} | "
                f"{len(each['failed'])} | {each['seconds']:.2f} ({each['slowest']}) | "
                f"{each['megabytes']} ({each['largest']}) |"
                for each in runs
            ),
            "",
            *(f"- failed: {failure}" for each in runs for failure in each["failed"]),
        ]
    )
