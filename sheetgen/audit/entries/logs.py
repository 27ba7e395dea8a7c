"""The logs of one book as rows of what was read, and where each entry stands."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Any, NamedTuple, TypeVar

from sheetgen.audit.model import Entry
from sheetgen.xlsx.returned import Value, is_number


class Shot(NamedTuple):
    """One row of the shot log, in the order's units; None where blank or unreadable.

    Dates are serial days, times parts of a day, stations distances, dips depths, meter readings volumes.
    """

    row: int
    date: float | None = None
    start: float | None = None
    end: float | None = None
    section: str | None = None
    lane: str | None = None
    from_station: float | None = None
    to_station: float | None = None
    width: float | None = None
    nozzles: float | None = None
    load: float | None = None
    dip_before: float | None = None
    dip_after: float | None = None
    meter_before: float | None = None
    meter_after: float | None = None
    temperature: float | None = None
    hand: bool | None = None
    waste: float | None = None


class Load(NamedTuple):
    """One row of the load log."""

    row: int
    date: float | None = None
    time: float | None = None
    ticket: str | None = None
    supplier: str | None = None
    grade: str | None = None
    net_mass: float | None = None
    volume: float | None = None
    temperature: float | None = None
    specific_gravity: float | None = None
    water: float | None = None


class Day(NamedTuple):
    """One row of the day log."""

    row: int
    date: float | None = None
    operator: str | None = None
    air_temperature: float | None = None
    surface_temperature: float | None = None
    start_dip: float | None = None
    start_temperature: float | None = None
    end_dip: float | None = None
    end_temperature: float | None = None
    returned: float | None = None


Row = TypeVar("Row", Shot, Load, Day)


@dataclass(frozen=True, slots=True)
class Logs:
    """The used rows of the three logs, in the order they stand in, and every entry by its place."""

    shots: tuple[Shot, ...]
    loads: tuple[Load, ...]
    days: tuple[Day, ...]
    entries: dict[tuple[str, int, str], Entry] = field(repr=False)

    @classmethod
    def of(cls, entries: Iterable[Entry]) -> Logs:
        """Sort entries into rows; a row none of whose cells holds anything is left out."""
        placed = {(entry.table, entry.row, entry.column): entry for entry in entries}
        rows: dict[str, dict[int, dict[str, Value]]] = {"shots": {}, "loads": {}, "days": {}}
        used: dict[str, set[int]] = {table: set() for table in rows}
        for (table, row, column), entry in placed.items():
            if table in rows:
                rows[table].setdefault(row, {})[column] = entry.value
                if entry.raw is not None:
                    used[table].add(row)
        kept = {table: {row: rows[table][row] for row in sorted(used[table])} for table in rows}
        return cls(
            _rows(Shot, kept["shots"]), _rows(Load, kept["loads"]), _rows(Day, kept["days"]), placed
        )  # fmt: skip

    def unreadable(self, table: str, row: int, column: str) -> bool:
        """Whether something stands in a cell that no value could be read from."""
        entry = self.entries.get((table, row, column))
        return entry is not None and entry.value is None and bool(entry.trouble)

    def place(self, table: str, row: int, column: str) -> dict[str, Any]:
        """Sheet, cell and row of an entry, as a finding names them."""
        entry = self.entries.get((table, row, column))
        return {"sheet": entry.sheet if entry else "", "cell": entry.cell if entry else "", "row": row}


def _rows(kind: type[Row], rows: dict[int, dict[str, Value]]) -> tuple[Row, ...]:
    known = set(kind._fields) - {"row"}
    made = []
    for row, cells in rows.items():
        values: dict[str, Any] = {key: _typed(value, key) for key, value in cells.items() if key in known}
        made.append(kind(row=row, **values))
    return tuple(made)


_WORDS = frozenset({"section", "lane", "ticket", "supplier", "grade", "operator"})


def _typed(value: Value, column: str) -> Value:
    """A value of the kind that its column holds; what an entry of another kind holds is no value."""
    if column in _WORDS:
        return value if isinstance(value, str) and value else None
    if column == "hand":
        return value if isinstance(value, bool) else None
    return float(value) if is_number(value) else None
