"""The logs of one book as rows of what was read, and where each entry stands."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from typing import Any, TypeVar

from sheetgen.audit.compute.changes import Change
from sheetgen.audit.compute.days import Day
from sheetgen.audit.compute.gauges import GaugeCheck
from sheetgen.audit.compute.loads import Load
from sheetgen.audit.compute.monitor import Session
from sheetgen.audit.compute.shots import Shot
from sheetgen.audit.model import Entry
from sheetgen.columns import ASIDE, entry_columns
from sheetgen.xlsx.returned import Value, is_number

__all__ = ["Change", "Day", "GaugeCheck", "Load", "Logs", "Session", "Shot"]

Row = Shot | Load | Day | Session | GaugeCheck | Change
OfKind = TypeVar("OfKind", Shot, Load, Day, Session, GaugeCheck, Change)
Kinded = TypeVar("Kinded", Shot, Load)
_TABLES = ("shots", "loads", "days", "monitor", "gauges", "changes")


@dataclass(frozen=True, slots=True)
class Logs:
    """The used rows of each log, in the order they stand in, and every entry by its place.

    Attributes:
        shots: rows of the shot log of which something counts
        void: those that were struck out, or hold a remark alone
        loads, void_loads: so of the load log
    """

    shots: tuple[Shot, ...]
    void: tuple[Shot, ...]
    loads: tuple[Load, ...]
    void_loads: tuple[Load, ...]
    days: tuple[Day, ...]
    monitor: tuple[Session, ...]
    gauges: tuple[GaugeCheck, ...]
    changes: tuple[Change, ...]
    entries: dict[tuple[str, int, str], Entry] = field(repr=False)

    @classmethod
    def of(cls, entries: Iterable[Entry]) -> Logs:
        """Sort entries into rows; a row none of whose cells holds anything to confirm is left out."""
        placed = {(entry.table, entry.row, entry.column): entry for entry in entries}
        rows: dict[str, dict[int, dict[str, Entry]]] = {table: {} for table in _TABLES}
        used: dict[str, set[int]] = {table: set() for table in rows}
        for (table, row, column), entry in placed.items():
            if table in rows:
                rows[table].setdefault(row, {})[column] = entry
                if entry.raw is not None and column != "confirmed":
                    used[table].add(row)
        kept = {table: {row: rows[table][row] for row in sorted(used[table])} for table in rows}
        shots = tuple(map(_void_if_remarked, _rows(Shot, kept["shots"]), kept["shots"].values()))
        loads = tuple(map(_void_if_remarked, _rows(Load, kept["loads"]), kept["loads"].values()))
        return cls(
            tuple(shot for shot in shots if shot.kind != "void"),
            tuple(shot for shot in shots if shot.kind == "void"),
            tuple(load for load in loads if load.kind != "void"),
            tuple(load for load in loads if load.kind == "void"),
            _rows(Day, kept["days"]),
            _rows(Session, kept["monitor"]), _rows(GaugeCheck, kept["gauges"]),
            _rows(Change, kept["changes"]), placed,
        )  # fmt: skip

    @property
    def all_shots(self) -> tuple[Shot, ...]:
        """The rows of the shot log, void or not, in its order."""
        return tuple(sorted((*self.shots, *self.void), key=lambda shot: shot.row))

    @property
    def all_loads(self) -> tuple[Load, ...]:
        """The rows of the load log, void or not, in its order."""
        return tuple(sorted((*self.loads, *self.void_loads), key=lambda load: load.row))

    def by_table(self, void: bool = False) -> dict[str, Sequence[Row]]:
        """Give the rows of every log, by its table; those of shots and loads that are void too, where asked for."""
        shots, loads = (self.all_shots, self.all_loads) if void else (self.shots, self.loads)
        return {
            "shots": shots, "loads": loads, "days": self.days, "monitor": self.monitor, "gauges": self.gauges,
            "changes": self.changes,
        }  # fmt: skip

    def place(self, table: str, row: int, column: str) -> dict[str, Any]:
        """Sheet, cell and row of an entry, as a finding names them."""
        entry = self.entries.get((table, row, column))
        return {"sheet": entry.sheet if entry else "", "cell": entry.cell if entry else "", "row": row}


def _rows(kind: type[OfKind], rows: dict[int, dict[str, Entry]]) -> tuple[OfKind, ...]:
    known = set(kind._fields) - {"row", "unreadable"}
    made = []
    for row, cells in rows.items():
        values: dict[str, Any] = {key: _value(entry) for key, entry in cells.items() if key in known}
        lost = frozenset(key for key, entry in cells.items() if entry.value is None and entry.trouble)
        made.append(kind(row=row, **values, unreadable=lost))
    return tuple(made)


def _void_if_remarked(shot: Kinded, cells: dict[str, Entry]) -> Kinded:
    """A row of which only a remark is left was struck out, whatever its list says."""
    only_remarked = not any(entry.raw is not None for key, entry in cells.items() if key not in ASIDE)
    return shot._replace(kind="void") if only_remarked else shot


_WORDS = frozenset({"text", "section", "lane", "kind"})


def _value(entry: Entry) -> Value:
    """A value of the kind that its column is read as; what an entry of another kind holds is no value."""
    reading, value = entry_columns(entry.table)[entry.column].reading, entry.value
    if reading in _WORDS:
        return value if isinstance(value, str) and value else None
    return float(value) if is_number(value) else None
