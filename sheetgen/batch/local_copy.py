"""A returned book as a local file and a local folder for its report, wherever the two really are.

Reading a book, the report and the links in it are about files. For a book that came as bytes or lies in a storage, a
folder that goes away again holds a copy of it, laid to the folder of the report as the two lie to each other, so
that the report comes out the same to the last byte.
"""

from __future__ import annotations

import os
import re
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from sheetgen.batch import places

if TYPE_CHECKING:
    from sheetgen.batch.places import Place


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
        file.write_bytes(places.read_whole(path) if data is None else data)
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
