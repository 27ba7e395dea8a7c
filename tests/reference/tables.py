"""The fixed numbers behind books, plans and rechecks, each with its source."""

from __future__ import annotations

from pathlib import PurePath

from sheetgen import templates
from tests.reference.markdown import page as joined
from tests.reference.markdown import table

OPENING = """\
Every fixed number that a book, a plan or a recheck uses is in a table of data with its source. Books and plans print
the source. "Checked against the document" says whether the number was read there: "in part" where only a part of it
was, "assumed" where no document gives it, "calculated" where it follows from others. An order's own numbers always come
before guidance from here."""
CHECKED = "checked against the document"


def checked(provenance: str) -> str:
    """What readers are shown of how far a number was checked."""
    parts = set(provenance.split("; "))
    if parts <= {"seen", ""}:
        return "yes" if provenance else ""
    if "computed" in provenance:
        return "calculated"
    if "seen" in provenance:
        return "in part"
    return "assumed" if "no source" in provenance or "common practice" in provenance else "no"


def shown(row: dict[str, str]) -> dict[str, str]:
    """A row as readers are shown it: without what a source is called in another language."""
    found = {}
    for key, value in row.items():
        if key in ("provenance", "seen"):
            found[CHECKED] = checked(value)
        elif key.endswith("_seen"):
            found[f"{key.removesuffix('_seen')}: {CHECKED}"] = checked(value)
        elif not key.startswith("source_"):
            found[key] = value
    return found


def page() -> str:
    """Every table of ``templates_src/tables`` that carries a source."""
    parts = ["# Tables and their sources", OPENING]
    for name in sorted(PurePath(each.name).stem for each in (templates.root() / "tables").iterdir()):
        rows = templates.table(name)
        if rows and "source" in rows[0]:
            text = (templates.root() / "tables" / f"{name}.csv").read_text(encoding="utf-8")
            about = " ".join(line[1:].strip() for line in text.splitlines() if line.startswith("#"))
            lines = [shown(row) for row in rows]
            parts += [f"## `{name}`", about, table([*lines[0]], [[*line.values()] for line in lines])]
    return joined(*parts)
