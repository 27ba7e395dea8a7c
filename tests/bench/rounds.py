"""Several things measured in turn, round by round, so that what disturbs the machine disturbs all of them."""

from __future__ import annotations

import gc
import os
import resource
import subprocess
import sys
import time
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from statistics import median


@dataclass(slots=True)
class Times:
    """Seconds of each round: by the clock, and of processor time, child processes included."""

    wall: list[float] = field(default_factory=list)
    cpu: list[float] = field(default_factory=list)

    @property
    def typical(self) -> tuple[float, float]:
        """The medians by the clock and of processor time."""
        return median(self.wall), median(self.cpu)


def in_turn(cases: Mapping[str, Callable[[], object]], rounds: int) -> dict[str, Times]:
    """Each case once unmeasured, then once in every round; the next round begins with the next case."""
    times = {name: Times() for name in cases}
    for run in cases.values():
        run()
    names = list(cases)
    for number in range(rounds):
        turn = number % len(names)
        for name in names[turn:] + names[:turn]:
            gc.collect()
            wall, cpu = time.perf_counter(), _processor_time()
            made = cases[name]()
            times[name].cpu.append(_processor_time() - cpu)
            times[name].wall.append(time.perf_counter() - wall)
            del made
    return times


def _processor_time() -> float:
    children = resource.getrusage(resource.RUSAGE_CHILDREN)
    return time.process_time() + children.ru_utime + children.ru_stime


def _installed() -> dict[str, str]:
    """The environment, with compiled modules kept as they are for an installed package, whatever is set here."""
    return {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}


def run_program(*arguments: str) -> None:
    """Run the Python of here with arguments, its output thrown away; an error of it is one of here."""
    done = subprocess.run([sys.executable, *arguments], capture_output=True, check=False, env=_installed())
    if done.returncode not in (0, 1):  # 1: findings
        raise RuntimeError(done.stderr.decode())


# The usage that the system gives of a child begins with the memory of its parent: the child itself must say.
_SAY_PEAK = """
import atexit
def _say():
    lines = open("/proc/self/status").read().splitlines()
    print("\\n" + next(line.split()[1] for line in lines if line.startswith("VmHWM")))
atexit.register(_say)
"""


def cost(code: str, *arguments: str) -> tuple[float, float]:
    """Processor seconds and the most memory [MB] of a process of its own that runs some code (on Linux)."""
    before = _processor_time()
    done = subprocess.run(
        [sys.executable, "-c", _SAY_PEAK + code, *arguments],
        capture_output=True,
        text=True,
        check=False,
        env=_installed(),
    )
    if done.returncode not in (0, 1):  # 1: findings
        raise RuntimeError(done.stderr)
    return _processor_time() - before, int(done.stdout.split()[-1]) / 1024


def exponent(sizes: Sequence[float], values: Sequence[float]) -> float:
    """The slope of a straight line through the logarithms by least squares: 1 where a value grows as the size does."""
    import numpy as np

    return float(np.polyfit(np.log(sizes), np.log(values), 1)[0])
