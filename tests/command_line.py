"""The command line as a person calls it, run in this process: starting another takes longer than most commands do.

What only a process of its own shows (signals, several at once, what it imports) is tested in one.
"""

from __future__ import annotations

import gc
import sys
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from io import BytesIO, TextIOWrapper
from pathlib import Path
from subprocess import CompletedProcess

import pytest

from sheetgen import cli, templates


def run(
    *arguments: object, cwd: Path | None = None, env: Mapping[str, str] | None = None, encoding: str = "utf-8"
) -> CompletedProcess[bytes]:
    """A command's exit status and the bytes of its outputs, which hold the signs of an encoding.

    Args:
        arguments: without the program's name
        cwd: the folder to run in
        env: variables besides those of this process
        encoding: of the outputs
    """
    given = ["sheetgen", *map(str, arguments)]
    outputs = [TextIOWrapper(BytesIO(), encoding=encoding) for _ in range(2)]
    with pytest.MonkeyPatch.context() as patch, _as_it_was():
        patch.setattr(sys, "argv", given)
        patch.setattr(gc, "freeze", lambda: None)  # it is for a process that ends
        for name, output in zip(("stdout", "stderr"), outputs, strict=True):
            patch.setattr(sys, name, output)
        for name, value in (env or {}).items():
            patch.setenv(name, value)
        if cwd is not None:
            patch.chdir(cwd)
        with pytest.raises(SystemExit) as ended:
            cli.main()
    return CompletedProcess(given, int(ended.value.code or 0), *map(_bytes, outputs))


def run_text(*arguments: object, **options: object) -> CompletedProcess[str]:
    """The same with the text of the outputs."""
    done = run(*arguments, **options)  # type: ignore[arg-type]
    return CompletedProcess(done.args, done.returncode, done.stdout.decode(), done.stderr.decode())


@contextmanager
def _as_it_was() -> Iterator[None]:
    """What a command leaves to its process, which goes with it elsewhere: its language, how garbage is collected."""
    threshold = gc.get_threshold()
    try:
        yield
    finally:
        gc.set_threshold(*threshold)
        templates.speak("en")


def _bytes(output: TextIOWrapper) -> bytes:
    output.flush()
    return output.buffer.getvalue()  # type: ignore[attr-defined, no-any-return]
