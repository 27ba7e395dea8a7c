"""The entries of a returned book as the register keeps them, and what changed from one return to the next."""

from __future__ import annotations

import base64
import json
import zlib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from sheetgen.audit.model import Entry

Kept = dict[str, tuple[str, str, str, object]]  # key -> sheet, cell, as typed, as read


@dataclass(frozen=True, slots=True)
class Change:
    """One entry that a later return of a book has otherwise than an earlier one.

    Attributes:
        sheet, cell: where it stands
        before, after: as typed; empty for a blank
    """

    sheet: str
    cell: str
    before: str
    after: str


def pack(entries: Iterable[Entry]) -> str:
    """Entries that hold something, as one text: JSON, compressed, in base64."""
    kept = {
        f"{entry.table}/{entry.row}/{entry.column}": (entry.sheet, entry.cell, _typed(entry.raw), entry.value)
        for entry in entries
        if entry.raw is not None
    }
    text = json.dumps(kept, ensure_ascii=True, sort_keys=True, separators=(",", ":"))
    return base64.b64encode(zlib.compress(text.encode(), 6)).decode()


def unpack(packed: str) -> list[Entry]:
    """The entries of a returned book, in the order of the logs' rows, with blanks that mean "as in the row above"."""
    rows: dict[tuple[str, int], dict[str, tuple[str, str, str, object]]] = {}
    for key, entry in _unpacked(packed).items():
        table, row, column = _place(key)
        rows.setdefault((table, row), {})[column] = entry
    above: dict[str, Mapping[str, object]] = {}
    found: list[Entry] = []
    for table, row in sorted(rows):
        made = _entries(table, row, rows[table, row], above.get(table, {}))
        found += made
        values = {entry.column: entry.value for entry in made}
        if values.keys() - {"remarks"} and values.get("kind") != "void":
            above[table] = values
    return found


def _entries(
    table: str, row: int, cells: dict[str, tuple[str, str, str, object]], above: Mapping[str, object]
) -> list[Entry]:
    from sheetgen.audit.model import Entry
    from sheetgen.columns import entry_columns, followed

    columns = entry_columns(table)
    made = [
        Entry(table, row, column, sheet, cell, typed, _plain(value), trouble=_trouble(typed, value))
        for column, (sheet, cell, typed, value) in cells.items()
        if column in columns
    ]
    values = {entry.column: entry.value for entry in made}
    if not values.keys() - {"remarks"}:
        return made
    for key, column in columns.items():
        if key not in values and (column.carried or column.follows):
            values[key] = _plain(followed(column, values, above, values.get("kind") == "void"))
            made.append(Entry(table, row, key, "", "", None, values[key]))
    return made


def _trouble(typed: str, value: object) -> str:
    """The name of a finding for what could not be read; which of them it was is not kept."""
    from sheetgen.reading.words import meaning

    read = value is not None or meaning(typed) in ("nothing", "blank")
    return "" if read else "unreadable-entry"


def _plain(value: Any) -> str | float | bool | None:
    return value if isinstance(value, str | float | int) else None


def changes(earlier: str, later: str) -> tuple[Change, ...]:
    """What two packed sets of entries differ in, in the order of the logs. An entry typed otherwise but read the
    same, such as ``118+50`` and ``11850``, did not change."""
    before, after = _unpacked(earlier), _unpacked(later)
    keys = sorted(before.keys() | after.keys(), key=_place)
    return tuple(
        _change(before.get(key), after.get(key))
        for key in keys
        if _meaning(before.get(key)) != _meaning(after.get(key))
    )


def _change(
    before: tuple[str, str, str, object] | None, after: tuple[str, str, str, object] | None
) -> Change:
    sheet, cell = (after or before or ("", ""))[:2]
    return Change(sheet, cell, before[2] if before else "", after[2] if after else "")


def _meaning(entry: tuple[str, str, str, object] | None) -> object:
    """As read; what could not be read counts as it was typed."""
    if entry is None:
        return None
    return ("typed", entry[2]) if entry[3] is None else ("read", entry[3])


def _unpacked(packed: str) -> Kept:
    if not packed:
        return {}
    kept: Kept = {
        key: tuple(entry) for key, entry in json.loads(zlib.decompress(base64.b64decode(packed))).items()
    }
    return kept


def _place(key: str) -> tuple[str, int, str]:
    table, row, column = key.split("/", 2)
    return table, int(row), column


def _typed(raw: object) -> str:
    return f"{raw:.15g}" if isinstance(raw, float) else str(raw)
