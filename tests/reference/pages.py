"""Which pages there are, and writing them."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from tests.reference import commands, findings, method, published, schemas, strength, tables

PAGES: dict[str, Callable[[], str]] = {
    "commands.md": commands.page,
    "findings.md": lambda: findings.page("en"),
    "findings-es.md": lambda: findings.page("es"),
    "method.md": method.page,
    "tables.md": tables.page,
    "published-checks.md": published.page,
    "recheck-json.md": schemas.page,
    "strength-of-tests.md": strength.page,
}


def write_pages(folder: Path) -> list[Path]:
    """Write every page into a folder; the files written."""
    folder.mkdir(parents=True, exist_ok=True)
    written = []
    for name, page in PAGES.items():
        written.append(folder / name)
        written[-1].write_text(page(), encoding="utf-8")
    return written
