"""Which files are this program's own reports: told by what is in them, never by their names.

A report is made again into the same folder; a file that this program did not write, or that somebody changed since,
is never written over. A report's workbook says in its properties what it is, and that nobody has saved it since: every
spreadsheet program writes the time of saving there. A noted copy has parts that no program but this one writes, and
that are gone once it is saved again: it is then a returned book like any other.
"""

from __future__ import annotations

import io
import json
import zipfile
from collections.abc import Iterable
from pathlib import PurePosixPath
from typing import TYPE_CHECKING

from sheetgen import templates
from sheetgen.errors import ReportInTheWay
from sheetgen.xlsx.notes import NOTES
from sheetgen.xlsx.package import DAMAGE

if TYPE_CHECKING:
    from pathlib import Path

    from upath import UPath

CATEGORY = "sheetgen recheck report"  # among the workbook's properties
DECIDED = "decided"  # among the properties of a workbook that took decisions over
CREATED = "2020-01-01T00:00:00Z"  # the time that every report's workbook says it was made at
NO_COPY = "No copy with notes: "  # how the text begins that stands in the place of a copy
_FORMATS = ("sheetgen recheck", "sheetgen recheck summary")
_PROPERTIES = "docProps/core.xml"
_LARGEST = 64 * 2**20  # bytes of a file that is looked into
_HEADS = (
    b"number,name,severity,",
    b"file,identity,number,name,",
    b"table,row,column,",
    b"row,",
    b"distributor,job,sections,",
    b"\r\n",
)  # of the CSV tables


def is_report(file: Path | UPath) -> bool:
    """Whether a workbook is a report of this program, or a copy with notes that nobody has saved since."""
    data = _data(file)
    return data is not None and (CATEGORY in properties_of(data) or _has_notes(data))


def saved_since(file: Path | UPath) -> bool:
    """Whether a workbook is a report of this program that a person saved: decisions may be typed into it."""
    data = _data(file) if file.suffix == ".xlsx" else None
    said = "" if data is None else properties_of(data)
    return CATEGORY in said and said.count(CREATED) != 2


def refuse_others(files: Iterable[Path | UPath], taken_over: Path | None = None) -> None:
    """Look whether files may be written.

    Args:
        files: the places
        taken_over: a changed report among them whose decisions go into the new one, and that is kept elsewhere

    Raises:
        ReportInTheWay: another file lies where one of them would be, or a report that was changed since.
    """
    others = [file for file in files if file != taken_over and not may_be_replaced(file)]
    if others:
        say = templates.spoken_texts()
        raise ReportInTheWay(
            ", ".join(str(file) for file in others),
            "\n".join(say.say("files.report_in_the_way", path=file) for file in others),
        )


def has_name_of_report(name: str) -> bool:
    """Whether a file is named as this program names its reports and summaries."""
    return ".recheck." in name or name.startswith("summary.")


def may_be_replaced(file: Path | UPath) -> bool:
    """Whether nothing lies at a place, or a report of this program as it was written."""
    if not file.exists():
        return True
    data = _data(file)
    if data is None:
        return False
    ending = PurePosixPath(file.name).suffix.lower()
    if ending in (".xlsx", ".xlsm"):
        said = properties_of(data)
        return _has_notes(data) or (CATEGORY in said and said.count(CREATED) == 2)
    if ending == ".json":
        return _is_document(data)
    return data.removeprefix(b"\xef\xbb\xbf").startswith(_HEADS if ending == ".csv" else NO_COPY.encode())


def _data(file: Path | UPath) -> bytes | None:
    """The bytes of a file; None where there is none to be read, or far too many for a report."""
    try:
        if not file.is_file() or file.stat().st_size > _LARGEST:
            return None
        return file.read_bytes()
    except OSError:
        return None


def properties_of(data: bytes) -> str:
    """What a workbook says of itself; nothing where it cannot be read."""
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive, archive.open(_PROPERTIES) as part:
            return part.read(100_000).decode("utf-8", "replace")
    except (*DAMAGE, KeyError):
        return ""


def _has_notes(data: bytes) -> bool:
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            return any(name.startswith(NOTES) for name in archive.namelist())
    except DAMAGE:
        return False


def _is_document(data: bytes) -> bool:
    try:
        document = json.loads(data)
    except (ValueError, RecursionError):
        return False
    return isinstance(document, dict) and document.get("format") in _FORMATS
