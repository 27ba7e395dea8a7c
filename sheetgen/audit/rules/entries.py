"""Entries that could not be read, or only with doubt, and entries that are missing."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator, Sequence
from dataclasses import replace
from typing import Any

from sheetgen.audit.compute.loads import LoadRow
from sheetgen.audit.compute.shots import ShotRow
from sheetgen.audit.entries.logs import Load, Shot
from sheetgen.audit.findings import catalogue
from sheetgen.audit.model import Entry, Finding
from sheetgen.audit.rules.case import Case
from sheetgen.columns import entry_columns
from sheetgen.shot_kinds import ShotKind
from sheetgen.xlsx.address import area, cell_list

_TOLD = 12  # cells told
_STRETCH = ("lane", "from_station", "to_station")


def check(case: Case) -> Iterator[Finding]:
    """Every entry with trouble, and every needed one that is blank."""
    yield from _troubles(case)
    if not (case.logs.shots or case.logs.void):
        yield case.voice.whole("no-shots-logged")
    yield from _of_shots(case)
    for load, row in case.loads.values():
        for key in _needed(case, "loads", load.row, () if row.kind.ticket else ("ticket",)):
            yield _without_entry(case, "loads", key, [load.row])
        if row.kind.adds:
            yield from _load_quantity(case, load, row)
    for day in case.logs.days:
        for key in _needed(case, "days", day.row):
            yield _without_entry(case, "days", key, [day.row])
        for column in ("start_dip", "start_temperature", "end_dip", "end_temperature"):
            if _blank(case, "days", day.row, column):
                yield case.voice.at("day-reading-missing", "days", day.row, column)


def _troubles(case: Case) -> Iterator[Finding]:
    """What cannot be read, or only with doubt; entries with one cause are one finding, as their finding declares."""
    grouped: dict[tuple[object, ...], list[Entry]] = {}
    void = {("shots", shot.row) for shot in case.logs.void}  # what is struck out need not be read
    void |= {("loads", load.row) for load in case.logs.void_loads}
    confirmed = {(name, row.row) for name, rows in case.logs.by_table().items()
                 for row in rows if row.confirmed is not None}  # fmt: skip
    for entry in case.logs.entries.values():
        if entry.trouble and (entry.table, entry.row) not in void:
            cause = _cause(entry, (entry.table, entry.row) in confirmed)
            grouped.setdefault((entry.trouble, *cause), []).append(entry)
    for entries in grouped.values():
        yield _trouble(case, entries)


def _cause(entry: Entry, confirmed: bool) -> tuple[object, ...]:
    """What entries with one trouble have in common where one habit of a person made them all.

    A row that the crew confirmed stands alone: its remark is about no other.
    """
    once, column = catalogue()[entry.trouble].once, (entry.table, entry.column)
    if once == "book":
        return ()
    if once == "column":
        return column
    # In a load or a day each entry decides on a quantity of its own.
    alike = once == "habit" and (entry.table == "shots" or catalogue()[entry.trouble].severity != "error")
    return (*column, _written(entry)) if alike and not confirmed else (*column, entry.row)


def _written(entry: Entry) -> str:
    """How an entry is written: its words and signs, whatever its digits."""
    return re.sub(r"[\d\s]+", "0", str(entry.raw)).strip("0").casefold()


def _trouble(case: Case, entries: list[Entry]) -> Finding:
    say, entry = case.voice.say, entries[0]
    column = entry_columns(entry.table).get(entry.column)
    expected = _asked_for(case, column.reading if column else "text")
    raw = say["said.nothing"] if entry.raw is None else str(entry.raw).strip()
    raw = f"{entry.raw:.10g}" if isinstance(entry.raw, float) else raw
    more = more_entries(case, entries)
    several = len(entries) > 1 and catalogue()[entry.trouble].once == "habit" and entry.table == "shots"
    finding = case.voice.at(
        entry.trouble,
        entry.table,
        entry.row,
        entry.column,
        of_shots=[each.row for each in entries] if several else (),
        raw=raw,
        more=more,
        expected=expected,
        how=entry.how,
    )
    found = say.say("said.typed.found", raw=raw, more=more)
    return replace(finding, found=found, expected=expected, matters=entry.how)


def more_entries(case: Case, entries: Sequence[Entry]) -> str:
    """How many entries beyond the first a finding is about, and where they stand; nothing for one."""
    if len(entries) < 2:
        return ""
    by_sheet: dict[str, list[str]] = {}
    for each in entries[1:]:
        by_sheet.setdefault(each.sheet, []).append(each.cell)
    first, parts = entries[0].sheet, []
    for sheet, cells in by_sheet.items():
        parts.append(_listed(cells) if sheet == first else f"{sheet}!{_listed(cells)}")
    return case.voice.say.say("said.typed.more", count=len(entries) - 1, cells="; ".join(parts))


def _listed(cells: list[str]) -> str:
    """Cells as ranges; entries of no file stand in no cells."""
    places = [area(cell) for cell in cells]
    return cell_list(each[:2] for each in places if each) if all(places) else ", ".join(cells[:_TOLD])


def _asked_for(case: Case, reading: str) -> str:
    """What a column asks for, in words; with an example of the order's own system where there is one."""
    say, key = case.voice.say, f"said.typed.{reading}"
    own = f"{key}_{case.order.units}"
    return say[own] if own in say else say[key]


def _blank(case: Case, table: str, row: int, column: str) -> bool:
    """Whether nothing was entered: blank, or a word that says so."""
    entry = case.logs.entries.get((table, row, column))
    return entry is None or (entry.value is None and not entry.trouble)


def _not_asked(kind: ShotKind) -> frozenset[str]:
    """The entries that a row of a kind is counted without."""
    return frozenset(
        key
        for mark, keys in (("sprayed", ("section",)), ("stretch", _STRETCH), ("area", ("width",)))
        for key in keys
        if not getattr(kind, mark)
    )


def _of_shots(case: Case) -> Iterator[Finding]:
    """What is missing in the shot log, in the order of its rows: blanks down one column have one finding."""
    blanks: dict[str, list[int]] = {}
    for shot in case.logs.shots:
        for key in _needed(case, "shots", shot.row, _not_asked(case.kinds[shot.row])):
            blanks.setdefault(key, []).append(shot.row)
        if _blank(case, "shots", shot.row, "temperature"):
            blanks.setdefault("temperature", []).append(shot.row)
    for shot in case.logs.shots:
        for key, rows in blanks.items():
            if rows[0] == shot.row:
                say = _without_temperatures if key == "temperature" else _without_entry
                yield say(case, "shots", key, rows)
        yield from _shot_readings(case, shot)


def _needed(case: Case, table: str, row: int, not_asked: Collection[str] = ()) -> Iterator[str]:
    """Give the columns of a row that are needed and blank."""
    for key, column in entry_columns(table).items():
        if column.needed and key not in not_asked and _blank(case, table, row, key):
            yield key


def _without_entry(case: Case, table: str, key: str, rows: Sequence[int]) -> Finding:
    """One column that is blank in some rows."""
    expected = _asked_for(case, entry_columns(table)[key].reading)
    return case.voice.at("entry-missing", table, rows[0], key, expected=expected, **_several(case, key, rows))


def _without_temperatures(case: Case, table: str, key: str, rows: Sequence[int]) -> Finding:
    nets = [row.net for shot, row in case.shots if shot.row in rows and row.net is not None]
    return _without_temperature(
        case, table, rows[0], sum(nets) if nets else None, **_several(case, key, rows)
    )


def _several(case: Case, key: str, rows: Sequence[int]) -> dict[str, Any]:
    """What a finding on one column of several shots says beyond the first, and what hangs on it."""
    if len(rows) < 2:
        return {"more": ""}
    entries = [case.logs.entries["shots", row, key] for row in rows]
    counts = (
        entry_columns("shots")[key].computed and key != "date"
    )  # no payable quantity hangs on a shot's date
    sizes = [_size(row) for shot, row in case.shots if shot.row in rows]
    stake = sum(sizes) * case.order.material.dilution if counts else 0.0
    return {"more": more_entries(case, entries), "stake": stake, "of_shots": rows}


def _size(row: ShotRow) -> float:
    """The volume of a shot, as far as it can be calculated without what is missing."""
    return next((abs(each) for each in (row.base, row.net, row.hot) if each is not None), 0.0)


def _shot_readings(case: Case, shot: Shot) -> Iterator[Finding]:
    blank = {
        key: _blank(case, "shots", shot.row, key)
        for key in ("dip_before", "dip_after", "meter_before", "meter_after")
    }
    dipped = not (blank["dip_before"] or blank["dip_after"])
    metered = not (blank["meter_before"] or blank["meter_after"])
    by_waste = not case.kinds[shot.row].sprayed and shot.waste is not None
    if not dipped and not metered and not by_waste:
        column = "dip_before" if blank["dip_before"] else "dip_after"
        yield case.voice.shot("volume-reading-missing", shot, column)


def _without_temperature(case: Case, table: str, row: int, hot: float | None, **several: Any) -> Finding:
    """What the missing temperature would change, at the temperature planned for, where the volume is known."""
    factor = case.computation.factors.at(case.order.material.spray_planned)
    if hot is None or factor is None:
        found = case.voice.at("temperature-missing", table, row, "temperature", hot="", base="", **several)
        return replace(found, matters=case.voice.say["said.temperature-missing.unknown"])
    hot_said, base_said = case.voice.volume(hot), case.voice.volume(hot * factor)
    place = table, row, "temperature"
    return case.voice.at("temperature-missing", *place, hot=hot_said, base=base_said, **several)


def _load_quantity(case: Case, load: Load, row: LoadRow) -> Iterator[Finding]:
    """What a load is counted by, and where it is missing: the ticket, or stick or meter."""
    blank = {
        key: _blank(case, "loads", load.row, key)
        for key in ("net_mass", "volume", "temperature", "stick_before", "stick_after", "taken")
    }
    ticket = not (blank["net_mass"] and blank["volume"])
    measured = not (blank["taken"] and (blank["stick_before"] or blank["stick_after"]))
    by_ticket = not row.kind.part and (ticket or row.kind.adds > 0)
    if not (ticket if by_ticket else measured):
        yield case.voice.at(
            "load-quantity-missing", "loads", load.row, "net_mass" if by_ticket else "stick_after"
        )
    elif blank["temperature"] and not (by_ticket and (not blank["net_mass"] or load.volume_at == "at_base")):
        hot = load.volume if by_ticket else load.taken
        yield _without_temperature(case, "loads", load.row, hot, more="")
