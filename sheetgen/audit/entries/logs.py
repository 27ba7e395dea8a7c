"""The logs of one book as rows of what was read, and where each entry stands."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from typing import Any, NamedTuple, TypeVar

from sheetgen.audit.model import Entry
from sheetgen.columns import ASIDE, entry_columns
from sheetgen.xlsx.returned import Value, is_number


class Shot(NamedTuple):
    """One row of the shot log, in the order's units; None where blank or unreadable.

    Entries have the keys of their columns; ``unreadable`` holds those in which something stands that cannot be read.
    ``kind`` is a key of ``tables/shot_kinds.csv``. Dates are serial days, times parts of a day, stations distances,
    dips depths, meter readings volumes.
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
    kind: str | None = None
    waste: float | None = None
    confirmed: str | None = None
    remarks: str | None = None
    unreadable: frozenset[str] = frozenset()


class Load(NamedTuple):
    """One row of the load log, in the order's units; None where blank or unreadable.

    ``kind`` is a key of ``tables/load_kinds.csv``; ``volume_at`` says whether the ticket's volume is "as_measured" or
    "at_base".
    """

    row: int
    date: float | None = None
    time: float | None = None
    ticket: str | None = None
    kind: str | None = None
    supplier: str | None = None
    grade: str | None = None
    net_mass: float | None = None
    volume: float | None = None
    volume_at: str | None = None
    temperature: float | None = None
    specific_gravity: float | None = None
    water: float | None = None
    stick_before: float | None = None
    stick_after: float | None = None
    taken: float | None = None
    sample: str | None = None
    sample_to: str | None = None
    confirmed: str | None = None
    remarks: str | None = None
    unreadable: frozenset[str] = frozenset()


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
    confirmed: str | None = None
    remarks: str | None = None
    unreadable: frozenset[str] = frozenset()


class Session(NamedTuple):
    """One row of the monitor log, in the order's units; None where blank or unreadable."""

    row: int
    date: float | None = None
    session: str | None = None
    first_shot: float | None = None
    last_shot: float | None = None
    distance: float | None = None
    volume: float | None = None
    rate: float | None = None
    nozzles: float | None = None
    confirmed: str | None = None
    remarks: str | None = None
    unreadable: frozenset[str] = frozenset()

    def holds(self, number: int) -> bool:
        """Whether a shot, by its printed number, belongs to it."""
        return (
            self.first_shot is not None
            and self.last_shot is not None
            and self.first_shot <= number <= self.last_shot
        )


class GaugeCheck(NamedTuple):
    """One row of the record of checks, in the order's units; None where blank or unreadable."""

    row: int
    date: float | None = None
    distance_counted: float | None = None
    distance_measured: float | None = None
    volume_counted: float | None = None
    volume_measured: float | None = None
    checked_by: str | None = None
    confirmed: str | None = None
    remarks: str | None = None
    unreadable: frozenset[str] = frozenset()


class Change(NamedTuple):
    """One row of the log of changes, in the order's units; None where blank or unreadable."""

    row: int
    date: float | None = None
    time: float | None = None
    from_shot: float | None = None
    section: str | None = None
    new_rate: float | None = None
    new_width: float | None = None
    ordered_by: str | None = None
    confirmed: str | None = None
    remarks: str | None = None
    unreadable: frozenset[str] = frozenset()


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

    @property
    def dated_days(self) -> list[Day]:
        """The days with a date, in the order of their dates."""
        return sorted((day for day in self.days if day.date is not None), key=lambda day: day.date or 0.0)

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
