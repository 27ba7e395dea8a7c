"""Runs the command and kills its own process at one of the steps by which it changes files.

    python -m tests.edges.killing FOLDER STEP ARGUMENTS...

A step is a file or folder opened for writing, made, moved, linked or removed below FOLDER, counted from 1; at 0 no
step is the last, and their number is printed. CPython's audit events (PEP 578) tell of every one of them.
"""

from __future__ import annotations

import os
import signal
import sys

_CHANGES = {"os.rename", "os.link", "os.remove", "os.rmdir", "os.mkdir"}


def main() -> None:
    """Count the steps, and end at one of them as a power cut would."""
    folder, last = os.path.realpath(sys.argv[1]), int(sys.argv[2])
    steps = 0

    def count(event: str, args: tuple[object, ...]) -> None:
        nonlocal steps
        writes = event == "open" and isinstance(args[2], int) and args[2] & (os.O_WRONLY | os.O_RDWR)
        if (event in _CHANGES or writes) and str(args[0]).startswith(folder):
            steps += 1
            if steps == last:
                os.kill(os.getpid(), signal.SIGKILL)

    from sheetgen import cli

    sys.argv = ["sheetgen", *sys.argv[3:]]
    sys.addaudithook(count)
    try:
        cli.main()
    finally:
        print(f"steps {steps}")


if __name__ == "__main__":
    main()
