"""Pieces of Markdown."""

from __future__ import annotations

from collections.abc import Iterable, Sequence


def cell(text: object) -> str:
    """One cell of a table: on one line, with its bars escaped."""
    return " ".join(str(text).split()).replace("|", "\\|")


def table(head: Sequence[str], rows: Iterable[Sequence[object]], right: Iterable[int] = ()) -> str:
    """A table; the columns of ``right`` are set to the right."""
    marks = ["---:" if column in set(right) else "---" for column in range(len(head))]
    lines = [head, marks, *rows]
    return "\n".join("| " + " | ".join(cell(each) for each in line) + " |" for line in lines)


def page(*parts: str) -> str:
    """Paragraphs, one empty line between them."""
    return "\n\n".join(part.strip("\n") for part in parts if part) + "\n"
