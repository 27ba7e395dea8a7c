"""The fixed numbers behind books, plans and rechecks, each with its source."""

from __future__ import annotations

from pathlib import PurePath

from sheetgen import templates
from tests.reference.markdown import page as joined
from tests.reference.markdown import table

OPENING = """\
Every fixed number that a book, a plan or a recheck uses is in a table of data with its source. Books and plans print
the source; how far it was checked is in the column "provenance" or "seen". "seen": the number was read in the source;
"from memory": the source was not at hand; "common practice, no source": a habit of the trade. An order's own numbers
always come before guidance from here."""


def page() -> str:
    """Every table of ``templates_src/tables`` that carries a source."""
    parts = ["# Tables and their sources", OPENING]
    for name in sorted(PurePath(each.name).stem for each in (templates.root() / "tables").iterdir()):
        rows = templates.table(name)
        if rows and "source" in rows[0]:
            text = (templates.root() / "tables" / f"{name}.csv").read_text(encoding="utf-8")
            about = " ".join(line[1:].strip() for line in text.splitlines() if line.startswith("#"))
            head = [key for key in rows[0] if not key.startswith("source_")]  # the source in another language
            parts += [f"## `{name}`", about, table(head, [[row[key] for key in head] for row in rows])]
    return joined(*parts)
