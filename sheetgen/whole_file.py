"""Files that appear whole or not at all, whoever else writes there, and however the program ends.

Each writer works on a name of its own beside the place, so that two of them never mix; what a killed one left is
taken away by a later one.
"""

from __future__ import annotations

import os
import shutil
import time
import uuid
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

from sheetgen import templates
from sheetgen.errors import SheetgenError

UNFINISHED = ".unfinished"
_FORGOTTEN = (
    3600.0  # seconds after which a file that nobody goes on writing belongs to a program that was killed
)


@contextmanager
def whole_file(path: Path) -> Iterator[Path]:
    """A name beside ``path`` to write to; moved into its place when the block ends well, removed when it does not.

    Raises:
        OSError: it cannot be written or moved there; the error names ``path``.
    """
    unfinished = beside(path)
    try:
        with named_as(path):
            yield unfinished
            unfinished.replace(path)
    finally:
        with suppress(OSError):
            unfinished.unlink(missing_ok=True)


def write_whole(path: Path, data: bytes) -> None:
    """Write a file whole or not at all; one that lies there is replaced."""
    with whole_file(path) as unfinished:
        unfinished.write_bytes(data)


def write_new(path: Path, data: bytes) -> None:
    """Write a file whole or not at all where none lies; one that is the same already is left as it is.

    Raises:
        FileExistsError: another lies there, also where it came in between.
        OSError: it cannot be written.
    """
    if holds(path, data):
        return
    unfinished = beside(path)
    try:
        with named_as(path):
            unfinished.write_bytes(data)
            _link(unfinished, path, data)
    finally:
        with suppress(OSError):
            unfinished.unlink(missing_ok=True)


def write_unless_there(path: Path, data: bytes, language: str = "") -> Path:
    """Write a file as :func:`write_new` does, and say where.

    Raises:
        SheetgenError: another lies there; said in the language, the reader's where none is given.
        OSError: it cannot be written.
    """
    try:
        write_new(path, data)
    except FileExistsError as error:
        say = templates.texts(language or templates.spoken())
        raise SheetgenError(say.say("files.there_already", path=path)) from error
    return path


@contextmanager
def together(folder: Path, before: Callable[[list[Path]], None]) -> Iterator[Path]:
    """A folder beside to write files to that belong together: moved into ``folder`` when the block ends well.

    Args:
        folder: where the files belong, made where it is missing
        before: called with the places that the files will have, before any of them is moved; it may refuse

    Raises:
        OSError: a file cannot be moved to its place; the error names it.
    """
    folder.mkdir(parents=True, exist_ok=True)
    stage = beside(folder / "report")
    try:
        with named_as(folder):
            stage.mkdir()
        yield stage
        made = sorted(stage.iterdir())
        before([folder / file.name for file in made])
        for file in made:
            with named_as(folder / file.name):
                file.replace(folder / file.name)
    finally:
        shutil.rmtree(stage, ignore_errors=True)


def holds(path: Path, data: bytes) -> bool:
    """Whether a file lies at a path with these bytes and no others."""
    return path.is_file() and path.read_bytes() == data


def beside(path: Path) -> Path:
    """A name for this writer alone, in the folder of ``path``."""
    return path.with_name(f".{path.name[:20]}.{uuid.uuid4().hex[:12]}{UNFINISHED}")


def remove_forgotten(folder: Path) -> None:
    """Take away what programs that were killed left in a folder, an hour and more ago."""
    with suppress(OSError):
        for left in folder.glob(f".*{UNFINISHED}"):
            with suppress(OSError):
                if time.time() - left.stat().st_mtime > _FORGOTTEN:
                    remove_left(left)


def remove_left(left: Path) -> None:
    """Take away a file or folder that a program did not finish."""
    if left.is_dir() and not left.is_symlink():
        shutil.rmtree(left, ignore_errors=True)
    else:
        left.unlink(missing_ok=True)


@contextmanager
def named_as(path: Path) -> Iterator[None]:
    """Errors of the system name the file that a person asked for, not the one beside it."""
    try:
        yield
    except FileExistsError as error:
        raise FileExistsError(error.errno, error.strerror, str(path)) from error
    except OSError as error:
        raise OSError(error.errno, error.strerror or str(error), str(path)) from error


def _link(unfinished: Path, path: Path, data: bytes) -> None:
    try:
        os.link(unfinished, path)
    except FileExistsError:
        raise
    except OSError:  # a file system without links, such as that of a memory stick
        handle = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_BINARY", 0), 0o666)
        try:
            with os.fdopen(handle, "wb") as file:
                file.write(data)
        except BaseException:
            path.unlink(missing_ok=True)
            raise
