"""Where books lie and reports go: this machine's folders, or any storage that fsspec knows, named by a URL.

A plain path is a :class:`pathlib.Path`; a URL is a ``UPath``, which has the same methods. It never shows a password.
"""

from __future__ import annotations

import os
import uuid
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeAlias, TypeVar

from sheetgen import templates, whole_file
from sheetgen.batch.time_limit import in_time
from sheetgen.errors import SheetgenError

if TYPE_CHECKING:
    from upath import UPath

    Place: TypeAlias = Path | UPath

PATIENCE = 60.0  # seconds for a storage to answer for the first time

T = TypeVar("T")


def place(named: str | Place) -> Place:
    """What a person named.

    Raises:
        SheetgenError: a URL of a kind that nothing here can read.
    """
    text = str(named)
    if not isinstance(named, str) or "://" not in text:
        return Path(named) if isinstance(named, str) else named
    shown = text.split("://", 1)[0] + "://…"
    try:
        from upath import UPath
    except ImportError as error:
        raise _told_off("no_extra", place=shown, reason=error) from error
    found: UPath = _asked(lambda: UPath(text), shown)
    _asked(lambda: found.fs, shown)  # a storage that needs a package of its own says so
    return found


def is_folder(where: Place) -> bool:
    """Whether there is a folder; the first question to a storage, which must be answered in time.

    Raises:
        SheetgenError: the storage does not answer, or refuses.
    """
    if isinstance(where, Path):
        return where.is_dir()
    return _asked(lambda: bool(where.is_dir()), str(where))


def walk(
    folder: Place, closed: Callable[[Path], None] = lambda _folder: None
) -> Iterator[tuple[Place, list[str], list[str]]]:
    """Each folder with the names of the folders and files in it; folders taken from the list are left out.

    Args:
        closed: called with each folder of this machine that may not be read
    """
    if isinstance(folder, Path):
        for top, folders, names in os.walk(folder, onerror=lambda error: closed(Path(error.filename))):
            yield Path(top), folders, names
        return
    with _as_os_error(folder):
        yield from folder.walk()


def read_whole(where: Place) -> bytes:
    """All bytes of a file; ``OSError`` where it cannot be read, whatever the storage."""
    with _as_os_error(where):
        return where.read_bytes()


def size_of(where: Place) -> int:
    """Bytes of a file; ``OSError`` where there is none."""
    with _as_os_error(where):
        return int(where.stat().st_size)


def is_file(where: Place) -> bool:
    """Whether there is a file; ``OSError`` where a storage does not say."""
    with _as_os_error(where):
        return bool(where.is_file())


def make_folder(where: Place) -> None:
    """Make a folder and those above it; ``OSError`` where that cannot be."""
    with _as_os_error(where):
        where.mkdir(parents=True, exist_ok=True)


def remove(where: Place) -> None:
    """Remove a file where there is one."""
    with _as_os_error(where):
        where.unlink(missing_ok=True)


def write_whole(where: Place, data: bytes) -> None:
    """Write a file whole or not at all: under a name of this writer alone, then moved into its place.

    Several writers may come at once: a machine that was given up for lost can still be at work. A storage without
    moves puts whole objects; there the file is written under its own name.
    """
    if isinstance(where, Path):
        whole_file.write_whole(where, data)
        return
    unfinished = where.with_name(f".{where.name[:20]}.{uuid.uuid4().hex[:12]}{whole_file.UNFINISHED}")
    with _as_os_error(where):
        try:
            unfinished.write_bytes(data)
            _move(unfinished, where, data)
        finally:
            unfinished.unlink(missing_ok=True)


def _move(unfinished: UPath, where: UPath, data: bytes) -> None:
    try:
        unfinished.fs.mv(unfinished.path, where.path)
    except NotImplementedError:
        where.write_bytes(data)


@contextmanager
def _as_os_error(where: Place) -> Iterator[None]:
    """Storages have errors of their own; here they are errors of the system, as for a path."""
    try:
        if not isinstance(where, Path):
            where.fs.invalidate_cache()  # what a storage remembers of a folder is of before others wrote there
        yield
    except (OSError, SheetgenError):
        raise
    except Exception as error:
        if isinstance(where, Path):
            raise
        raise OSError(None, f"{type(error).__name__}: {error}", str(where)) from error


def _asked(ask: Callable[[], T], shown: str) -> T:
    """The first answer of a storage."""
    try:
        return in_time(ask, PATIENCE)
    except TimeoutError as error:
        raise _told_off("no_answer", place=shown, seconds=int(PATIENCE)) from error
    except Exception as error:  # each storage has errors of its own
        raise _told_off("no_storage", place=shown, reason=error) from error


def _told_off(why: str, **facts: Any) -> SheetgenError:
    return SheetgenError(templates.spoken_texts().say(f"batch.{why}", **facts))
