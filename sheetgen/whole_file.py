"""A file that appears whole or not at all."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path


@contextmanager
def whole_file(path: Path) -> Iterator[Path]:
    """A name beside ``path`` to write to; moved into its place when the block ends well, removed when it does not."""
    unfinished = path.with_name(f".{path.name}.unfinished")
    try:
        yield unfinished
        unfinished.replace(path)
    finally:
        unfinished.unlink(missing_ok=True)
