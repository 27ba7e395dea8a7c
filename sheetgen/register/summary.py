"""What the register keeps of a recheck: its result, its entries, and what can clash with another book.

A summary is a few kilobytes, whatever the recheck held; everything across books works on summaries.
"""

from __future__ import annotations

import hashlib
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from sheetgen.load_kinds import load_kinds
from sheetgen.order.pay_terms import price_of_volume
from sheetgen.register.packed_entries import pack
from sheetgen.shot_kinds import shot_kinds
from sheetgen.units import constants

if TYPE_CHECKING:
    from sheetgen.audit.entries.logs import Logs, Shot
    from sheetgen.audit.model import Recheck
    from sheetgen.order.model import Machine, Order, Section

_LONGEST = 200


@dataclass(frozen=True, slots=True)
class Ticket:
    """One delivery ticket in the load log, in the units of its book.

    Attributes:
        row, sheet, cell: index in the load log from 0, and where its number stands
        mass, volume: as typed, the volume at its own temperature
        base: volume at base temperature, recomputed, without water
    """

    row: int
    sheet: str
    cell: str
    number: str
    supplier: str = ""
    date: float | None = None
    mass: float | None = None
    volume: float | None = None
    base: float | None = None


@dataclass(frozen=True, slots=True)
class Stretch:
    """One shot over a stretch of a lane, in the units of its book; hand-sprayed shots are no stretches.

    Attributes:
        row, sheet, cell: index in the shot log from 0, and where its first station stands
        work: what it was sprayed for: tack, prime, fog, chip-seal
        low, high: its stations, the lower one first
        width: sprayed
        room: greatest width that passes side by side may come to: the lane's, and one nozzle more
        date, start: serial day and part of the day
        undiluted: volume at base temperature, without dilution water
    """

    row: int
    sheet: str
    cell: str
    road: str
    lane: str
    section: str
    work: str
    low: float
    high: float
    width: float
    room: float
    date: float | None = None
    start: float | None = None
    undiluted: float | None = None


@dataclass(frozen=True, slots=True)
class Spell:
    """One spell of spraying by a distributor: from when to when, in serial days, and where.

    Attributes:
        row, sheet, cell: index in the shot log from 0, and where its start stands
        station: where it began, None where it cannot be told
    """

    row: int
    sheet: str
    cell: str
    began: float
    ended: float
    road: str = ""
    station: float | None = None


@dataclass(frozen=True, slots=True)
class Summary:
    """A recheck in short.

    Attributes:
        path, sha256: the returned file
        identity: of the field book, empty where its record cannot be read
        program: version of this program that made the recheck
        template, origin, conclusion, public_key: as in :class:`sheetgen.audit.model.Recheck`
        machine, serial, contractor: whose distributor it is
        order: SHA-256 of the order's canonical text
        canonical: that text; empty where it is not known
        counts: number of findings by severity
        price: of a unit of volume, None where none follows from the order's
        station_reading: how finely a station can be read
        overall, sections: recomputed totals; ``sections`` by section and key
        entries: what was typed and how it was read, see :mod:`sheetgen.register.packed_entries`
        saved: when the file says it was last saved, ISO 8601 in UTC; empty where it says nothing
    """

    path: str
    sha256: str
    identity: str = ""
    program: str = ""
    template: str = ""
    origin: str = ""
    conclusion: str = "clean"
    public_key: str = ""
    machine: str = ""
    serial: str = ""
    contractor: str = ""
    job: str = ""
    place: str = ""
    order: str = ""
    language: str = "en"
    units: str = "us"
    counts: dict[str, int] = field(default_factory=dict)
    price: float | None = None
    currency: str = ""
    station_reading: float = 0.0
    overall: dict[str, float | None] = field(default_factory=dict)
    sections: dict[str, dict[str, float | None]] = field(default_factory=dict)
    entries: str = ""
    tickets: tuple[Ticket, ...] = ()
    stretches: tuple[Stretch, ...] = ()
    spells: tuple[Spell, ...] = ()
    saved: str = ""
    canonical: str = ""

    @property
    def book(self) -> str:
        """What returns of one book have in common: its identity, else the file's own digest."""
        return self.identity or f"sha256:{self.sha256}"


def summarize(recheck: Recheck, path: str | None = None) -> Summary:
    """What is kept of a recheck. ``path`` is where the file is, where the recheck names another place."""
    from sheetgen.audit.entries.logs import Logs
    from sheetgen.version import VERSION

    order, machine, logs = recheck.order, recheck.machine, Logs.of(recheck.entries)
    canonical = order.canonical()
    return Summary(
        path=clean(path or recheck.path, 4096),
        sha256=recheck.sha256,
        identity=clean(recheck.identity, 64),
        program=VERSION,
        template=clean(recheck.template),
        origin=recheck.origin,
        conclusion=recheck.conclusion,
        public_key=clean(recheck.public_key),
        machine=clean(machine.name),  # an order that a forged book carries can hold any sign
        serial=clean(machine.serial),
        contractor=clean(order.job.contractor),
        job=clean(order.job.number),
        place=clean(order.job.place),
        order=order_digest(canonical),
        language=recheck.told.language,
        units=order.units,
        counts=dict(Counter(finding.severity for finding in recheck.findings)),
        price=price_of_volume(order),
        currency=clean(order.pay.currency),
        station_reading=order.reading.station,
        overall=_numbers(recheck.totals.overall),
        sections={name: _numbers(row) for name, row in recheck.totals.by_section.items()},
        entries=pack(recheck.entries),
        tickets=tuple(_tickets(recheck, logs)),
        stretches=tuple(_stretches(recheck, logs, order, machine)),
        spells=tuple(_spells(logs, order)),
        saved=recheck.saved,
        canonical=canonical,
    )


def order_digest(canonical: str) -> str:
    """SHA-256 of an order's canonical text."""
    return hashlib.sha256(canonical.encode()).hexdigest()


def clean(text: object, longest: int = _LONGEST) -> str:
    """A text that every database takes: no NUL, no halves of characters, no longer than ``longest``."""
    return str(text)[:longest].replace("\0", "").encode("utf-8", "replace").decode()


def _numbers(totals: dict[str, float | None]) -> dict[str, float | None]:
    """Counts among them too as numbers of one kind: 6 and 6.0 are the same total, but not the same text."""
    return {name: None if value is None else float(value) for name, value in totals.items()}


def _tickets(recheck: Recheck, logs: Logs) -> Iterator[Ticket]:
    computed = {row["row"]: row for row in recheck.load_rows}
    for load in logs.loads:
        kind = load_kinds()[load.kind or "load"]
        if load.ticket is not None and kind.adds > 0:
            place = logs.place("loads", load.row, "ticket")
            yield Ticket(
                **place,
                number=clean(load.ticket),
                supplier=clean(load.supplier or ""),
                date=load.date,
                mass=None if kind.part else load.net_mass,
                volume=load.volume,
                base=computed.get(load.row, {}).get("base"),
            )


def _stretches(recheck: Recheck, logs: Logs, order: Order, machine: Machine) -> Iterator[Stretch]:
    computed = {row["row"]: row for row in recheck.shot_rows}
    sections = {section.id: section for section in order.sections}
    spacing = machine.nozzle_spacing / constants(order.units)["nozzle_spacing_per_width"]
    for shot in logs.shots:
        section, row = sections.get(shot.section or ""), computed[shot.row]
        kind = shot_kinds()[row["what"]]
        if section is None or not _on_a_lane(shot) or kind.hand_spray or not kind.area:
            continue
        yield Stretch(
            **logs.place("shots", shot.row, "from_station"),
            **_lengthwise(shot),
            road=clean(section.road),
            lane=clean(shot.lane),
            section=clean(section.id),
            work=section.work,
            width=shot.width or section.width,
            room=section.width + spacing,
            date=shot.date,
            start=shot.start,
            undiluted=row.get("undiluted"),
        )


def _on_a_lane(shot: Shot) -> bool:
    ends = (shot.from_station, shot.to_station)
    return shot.lane is not None and None not in ends and ends[0] != ends[1]


def _lengthwise(shot: Shot) -> dict[str, Any]:
    low, high = sorted((shot.from_station or 0.0, shot.to_station or 0.0))
    return {"low": low, "high": high}


def _spells(logs: Logs, order: Order) -> Iterator[Spell]:
    """Shots whose times can be told, past midnight where that makes a believable shot."""
    from sheetgen.audit.rules.times import moments

    sections: dict[str, Section] = {section.id: section for section in order.sections}
    for shot in logs.shots:
        when = moments(shot)
        if shot.date is None or when is None or when[0] == when[1]:
            continue
        section = sections.get(shot.section or "")
        yield Spell(
            **logs.place("shots", shot.row, "start"),
            began=when[0],
            ended=when[1],
            road=clean(section.road) if section else "",
            station=shot.from_station,
        )
