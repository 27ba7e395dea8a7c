"""A copy of an order in which each mistake is a note at its cell; everything else in it stays as it was."""

from __future__ import annotations

from pathlib import Path

from sheetgen.errors import Mistake, OrderError, UnusableBook
from sheetgen.output import printable
from sheetgen.templates import LANGUAGES, Texts, texts
from sheetgen.whole_file import whole_file
from sheetgen.xlsx.notes import Notes, noted_sheets, notes_at, with_notes
from sheetgen.xlsx.package import open_package
from sheetgen.xlsx.repack import worksheet_parts


def write_marked(path: Path, error: OrderError, out_dir: Path) -> Path | None:
    """Write the copy into a folder; None where the file is no workbook that notes can be put into.

    Notes of an earlier copy go: an order is corrected in the copy and handed in again. So that the copy can be made
    again too, it is written over one of its name.
    """
    try:
        package = open_package(path)
        parts = worksheet_parts(package)
        named = _notes(error, list(parts))
        for name in noted_sheets(package, parts):  # of a copy marked before, whose mistakes may be gone
            named.setdefault(name, {})
        data = with_notes(package, parts, named, stays=lambda note: not _is_ours(note))
    except (UnusableBook, StopIteration):
        return None
    out_dir.mkdir(parents=True, exist_ok=True)
    ending = texts(error.language)["office.marked.ending"]
    marked = out_dir / f"{path.stem.removesuffix(ending)}{ending}{path.suffix}"
    with whole_file(marked) as unfinished:
        unfinished.write_bytes(data)
    return marked


def _notes(error: OrderError, sheets: list[str]) -> Notes:
    """The texts at each cell; a mistake about no cell is noted at the first one of its sheet, or of the file."""
    say = texts(error.language)
    shown = {printable(name): name for name in sheets}
    found = ((shown.get(each.sheet, ""), each.cell, _note(each, say)) for each in error.mistakes)
    return notes_at(found, sheets)


def _note(mistake: Mistake, say: Texts) -> str:
    facts = {"found": mistake.found, "expected": mistake.expected, "remedy": mistake.remedy}
    return f"{say['office.marked.head']}\n{say.say('office.marked.note', **facts)}"


def _is_ours(note: str) -> bool:
    return any(note.lstrip().startswith(texts(language)["office.marked.head"]) for language in LANGUAGES)
