"""Where books lie and reports go: this machine's folders, or any storage that fsspec knows, named by a URL.

A plain path is a :class:`pathlib.Path`; a URL is a ``UPath``, which has the same methods. It never shows a password.

Reading a book, the report and the links in it are about files of this machine. For a book that came as bytes or lies in
a storage, a folder that goes away again holds a copy of it (:func:`desk`), laid to the folder of the report as the two
lie to each other, so that the report comes out the same to the last byte.
"""

from __future__ import annotations

import os
import re
import tempfile
import threading
import uuid
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeAlias, TypeVar

from sheetgen import templates, whole_file
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
        raise batch_error("no_extra", place=shown, reason=error) from error
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
        raise batch_error("no_answer", place=shown, seconds=int(PATIENCE)) from error
    except Exception as error:  # each storage has errors of its own
        raise batch_error("no_storage", place=shown, reason=error) from error


def batch_error(why: str, **facts: Any) -> SheetgenError:
    """Make the error of a run for a key below ``batch``, in the reader's language."""
    return SheetgenError(templates.spoken_texts().say(f"batch.{why}", **facts))


def in_time(ask: Callable[[], T], seconds: float) -> T:
    """The answer, or what was raised in place of it.

    It is asked in a thread, which is left behind where no answer comes, and does not keep the program from ending.

    Raises:
        TimeoutError: there was no answer within that time.
    """
    answer: list[T] = []
    failed: list[BaseException] = []

    def run() -> None:
        try:
            answer.append(ask())
        except BaseException as error:  # it goes to whoever asked
            failed.append(error)

    thread = threading.Thread(target=run, daemon=True)
    thread.start()
    thread.join(seconds)
    if failed:
        raise failed[0]
    if not answer:
        raise TimeoutError(f"no answer within {seconds:g} seconds")
    return answer[0]


@dataclass(frozen=True, slots=True)
class Desk:
    """One book to work on.

    Attributes:
        path: where the book really is
        file: where it is to be read
        out_dir: where its report is to be written; None for none
    """

    path: Place
    file: Path
    out_dir: Path | None

    @property
    def apart(self) -> bool:
        """Whether the file is a copy."""
        return self.file != self.path


@contextmanager
def desk(path: Place, out_dir: Place | None, data: bytes | None = None) -> Iterator[Desk]:
    """A place to work on one book; files of this machine stay where they are.

    Args:
        data: the bytes of the book, where they came from another machine
    """
    if data is None and isinstance(path, Path) and (out_dir is None or isinstance(out_dir, Path)):
        yield Desk(path, path, out_dir)
        return
    with tempfile.TemporaryDirectory(prefix="sheetgen-", ignore_cleanup_errors=True) as made:
        root = Path(made).resolve()
        reports = root / _laid(out_dir) if out_dir is not None else None
        together = reports is None or _storage(path) != _storage(out_dir)
        file = (reports or root) / _safe(path.name) if together else root / _laid(path)
        for folder in (file.parent, reports or root):
            folder.mkdir(parents=True, exist_ok=True)
        file.write_bytes(read_whole(path) if data is None else data)
        yield Desk(path, file, reports)


def _storage(where: Place | None) -> str:
    """What tells storages apart: a relative link cannot lead from one to another."""
    if where is None or isinstance(where, Path):
        return "file"
    return (
        f"{where.protocol} {sorted(where.storage_options.items())!r}" if where.protocol != "file" else "file"
    )


def _laid(where: Place) -> str:
    full = os.path.realpath(where) if isinstance(where, Path) else where.path
    parts = [_safe(part) for part in re.split(r"[/\\]", full) if part not in ("", ".", "..")]
    return "/".join(["there", *parts])


def _safe(part: str) -> str:
    """A name that every system takes for a file: a storage can have others."""
    return re.sub(r'[<>:"|?*\x00-\x1f]', "_", part)[-200:] if os.name == "nt" else part.replace("\0", "_")
