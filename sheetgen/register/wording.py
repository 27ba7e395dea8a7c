"""Findings across books in words, in the language and units of the book they are about."""

from __future__ import annotations

import json
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, assert_never

from sheetgen import templates
from sheetgen.audit.findings import finding, words_of
from sheetgen.audit.model import Finding
from sheetgen.figures import day_text, number_text, station_text, time_text
from sheetgen.output import printable
from sheetgen.register.clashes import Clash, Placed, Source
from sheetgen.register.counted_once import Shared
from sheetgen.register.packed_entries import Change
from sheetgen.register.section_areas import Beyond
from sheetgen.register.summary import Spell, Stretch, Ticket
from sheetgen.units import units
from sheetgen.xlsx.address import area, cell_list

COUNTED_LATER = "shots-in-later-book"
_SHOWN = 6  # changes that are listed one by one


@dataclass(frozen=True, slots=True)
class AcrossFinding:
    """One thing that books say against each other.

    Attributes:
        path, identity, return_id: of the return it is about
        other_path, other_identity: of the return it clashes with; empty where there is none
        finding: what, and where in the return it is about
    """

    path: str
    identity: str
    return_id: int
    other_path: str
    other_identity: str
    finding: Finding


def of_clashes(
    clashes: Sequence[Clash[Ticket]] | Sequence[Clash[Stretch]] | Sequence[Clash[Spell]],
) -> AcrossFinding:
    """Rows of one book that cannot be right beside rows of another one: what they ask about is added up."""
    clash = clashes[0]
    row = clash.later.row
    match row:
        case Ticket():
            name, facts = "ticket", _ticket(clash, row)
        case Stretch():
            name, facts = "stretch", _stretch(clash, row)
        case Spell():
            name, facts = "machine", _spell(clash, row)
        case _:
            assert_never(row)
    name = _KINDS[name][0 if clash.certain else 1]
    later, earlier = clash.later.source, clash.earlier.source
    volumes = [_volume_of(each) for each in clashes]
    known = [volume for volume in volumes if volume is not None]
    volume = sum(known) if len(known) == len(volumes) else None
    shared = sum(each.common for each in clashes)
    facts |= {
        "other": _place(clash.earlier), "machine": later.machine, "other_machine": earlier.machine,
        "volume": _amount(later, volume, "volume"), "worth": _worth(later, volume),
        "length": f"{number_text(shared, later.language, digits=6)} {_unit(later, 'distance')}",
        "minutes": f"{shared * 1440:.0f}",
    }  # fmt: skip
    words = _words(name, later.language, facts)
    words["found"] += _more([each.later.row.cell for each in clashes[1:]], later.language)
    shots = () if isinstance(row, Ticket) else tuple(each.later.row.row for each in clashes)
    return AcrossFinding(
        later.path, later.identity, later.return_id, earlier.path, earlier.identity,
        finding(name, sheet=row.sheet, cell=row.cell, row=row.row, stake=sum(map(abs, known)) if known else None,
                shots=shots, **words),
    )  # fmt: skip


def _volume_of(clash: Clash[Any]) -> float | None:
    """What of the later book's payable quantity a clash asks about; None where it asks about a shot's time."""
    row = clash.later.row
    if isinstance(row, Ticket):
        return row.base
    if isinstance(row, Spell) or row.undiluted is None:
        return None
    return float(row.undiluted * clash.common / (row.high - row.low))


def _more(cells: Sequence[str], language: str) -> str:
    """The cells of further rows, or nothing."""
    if not cells:
        return ""
    places = [each[:2] for cell in cells if (each := area(cell))]
    listed = cell_list(places) if len(places) == len(cells) else ", ".join(cells)
    return templates.texts(language).say("said.typed.more", count=len(cells), cells=listed)


_KINDS = {
    "ticket": ("ticket-in-two-books", "ticket-perhaps-in-two-books"),
    "stretch": ("stretch-in-two-books", "stretch-perhaps-in-two-books"),
    "machine": ("distributor-in-two-places", "distributor-perhaps-in-two-places"),
}


def of_changes(
    row: Any, changed: Sequence[Change], together: bool, saved: Mapping[int, str] | None
) -> AcrossFinding:
    """A return that takes the place of an earlier one (``row`` has its columns, the earlier one's as ``earlier_``).

    Args:
        together: whether one run brought both
        saved: when the files were saved that are in that order; None where it is not known which they are
    """
    say = templates.texts(row.language)
    if not changed:
        name = "return-repeated"
    else:
        name = "return-changes-earlier" if any(each.before for each in changed) else "return-adds-to-earlier"
    before, after = (json.loads(text)["overall"].get("payable") for text in (row.earlier_totals, row.totals))
    facts: dict[str, object] = {
        "count": len(changed),
        "number": row.earlier_number,
        "other": _file_name(row.earlier_path),
        "list": _listed(changed, row.language),
        "how": "" if saved is None else f" ({_told_by(row, together, saved)})",
    }
    words = _words(name, row.language, facts)
    if before != after:
        words["matters"] = say.say(
            "said.across.payable", before=_volume(row, before), after=_volume(row, after)
        )
    return AcrossFinding(
        row.path, row.identity, row.id, row.earlier_path, row.earlier_identity, finding(name, **words)
    )


def _told_by(row: Any, together: bool, saved: Mapping[int, str]) -> str:
    """By what the earlier one of two returns is known as such."""
    say = templates.texts(row.language)
    before, after = saved.get(row.earlier_id, ""), saved.get(row.id, "")
    if not together or (before == after and row.earlier_path > row.path):
        return say["said.across.by_run"]
    if before == after:
        return say["said.across.by_name"]
    return say.say("said.across.by_time", before=_moment(before), after=_moment(after))


def _moment(time: str) -> str:
    return f"{time.removesuffix('Z').replace('T', ' ')} UTC"


def _between(row: Any, other: Any, found: Finding) -> AcrossFinding:
    """A finding about one return that clashes with another one, both rows of ``returned_books``."""
    return AcrossFinding(row.path, row.identity, row.id, other.path, other.identity, found)


def of_shared(common: Shared, shots: frozenset[int]) -> AcrossFinding:
    """Shots of a returned book that the book of a revision has too: they count there."""
    earlier, later = common.earlier, common.later
    facts: dict[str, object] = {"count": len(shots), "of": common.of, "book": later.identity,
                                "other": printable(later.path)}  # fmt: skip
    words = _words(COUNTED_LATER, earlier.language, facts)
    return _between(earlier, later, finding(COUNTED_LATER, shots=tuple(sorted(shots)), stake=0.0, **words))


def of_differences(common: Shared) -> AcrossFinding:
    """Entries of shots that the book of a revision has otherwise than the earlier book."""
    earlier, later = common.earlier, common.later
    changed = common.differences
    facts: dict[str, object] = {"count": len(changed), "other": printable(earlier.path),
                                "list": _listed(changed, later.language)}  # fmt: skip
    name = "later-book-changes-shot"
    found = finding(name, sheet=changed[0].sheet, cell=changed[0].cell, **_words(name, later.language, facts))
    return _between(later, earlier, found)


def of_area(beyond: Beyond) -> AcrossFinding:
    """A section of which the books of one order hold more area than was ordered."""
    later, other, name = beyond.later, beyond.others[-1], "section-beyond-order-in-books"
    unit = units(later.units)["area"].label(later.language)
    area, ordered, excess = (
        f"{number_text(each, later.language, 1)} {unit}"
        for each in (beyond.area, beyond.ordered, beyond.excess)
    )
    facts: dict[str, object] = {
        "section": beyond.section.id, "area": area, "ordered": ordered, "excess": excess,
        "others": ", ".join(f"{printable(each.path)} ({each.machine})" for each in beyond.others),
    }  # fmt: skip
    found = finding(name, stake=beyond.stake, **_words(name, later.language, facts))
    return _between(later, other, found)


def of_copy(row: Any) -> AcrossFinding:
    """A file that was seen at another place before (``row.copy`` is where it is now)."""
    words = _words("return-repeated", row.language, {"other": printable(row.path)}, found="found_file")
    return AcrossFinding(
        row.copy, row.identity, row.id, row.path, row.identity, finding("return-repeated", **words)
    )


def of_issue(row: Any) -> AcrossFinding:
    """A return of a book that was not issued, or not with this order."""
    name = "book-not-in-register" if row.canonical is None else "order-differs-from-register"
    facts: dict[str, object] = {"identity": row.identity, "issued": row.issued}
    return AcrossFinding(
        row.path, row.identity, row.id, "", "", finding(name, **_words(name, row.language, facts))
    )


def _ticket(clash: Clash[Any], row: Ticket) -> dict[str, object]:
    source, earlier = clash.later.source, clash.earlier
    return {
        "ticket": printable(row.number, 60),
        "quantity": _quantity(source, row),
        "other_quantity": _quantity(earlier.source, earlier.row),
        "date": _date(row.date, source.language),
        "other_date": _date(earlier.row.date, source.language),
    }


def _stretch(clash: Clash[Any], row: Stretch) -> dict[str, object]:
    source = clash.later.source
    return {
        "road": row.road,
        "lane": row.lane,
        "low": station_text(clash.low, source.units),
        "high": station_text(clash.high, source.units),
        "date": _date(row.date, source.language),
        "other_date": _date(clash.earlier.row.date, source.language),
        "job": source.job,
        "other_job": clash.earlier.source.job,
    }


def _spell(clash: Clash[Any], row: Spell) -> dict[str, object]:
    source, other = clash.later.source, clash.earlier.row
    return {
        "date": day_text(clash.low),
        "began": time_text(row.began),
        "ended": time_text(row.ended),
        "where": _where(source, row),
        "other_began": time_text(other.began),
        "other_ended": time_text(other.ended),
        "other_where": _where(clash.earlier.source, other),
    }


def _words(name: str, language: str, facts: dict[str, object], found: str = "found") -> dict[str, str]:
    return words_of(name, templates.texts(language), facts, found)


def _listed(changed: Sequence[Change], language: str) -> str:
    say = templates.texts(language)
    blank = say["said.across.blank"]
    shown = [
        f"{each.sheet}!{each.cell} {printable(each.before, 40) or blank} → {printable(each.after, 40) or blank}"
        for each in changed[:_SHOWN]
    ]
    return "; ".join([*shown, "…"] if len(changed) > _SHOWN else shown)


def _file_name(path: str) -> str:
    """The name of a file: where it lies on somebody's computer is no business of who reads a report."""
    return printable(re.split(r"[/\\]", path.rstrip("/\\"))[-1])


def _place(placed: Placed[Any]) -> str:
    return f"{printable(placed.source.path)}, {placed.row.sheet}!{placed.row.cell}"


def _quantity(source: Source, row: Ticket) -> str:
    if row.mass is not None:
        return f"{number_text(row.mass, source.language, digits=6)} {_unit(source, 'mass')}"
    return _amount(source, row.base if row.volume is None else row.volume, "volume")


def _where(source: Source, row: Spell) -> str:
    station = "" if row.station is None else station_text(row.station, source.units)
    return " ".join(part for part in (source.job, row.road, station) if part)


def _volume(row: Any, value: float | None) -> str:
    label = units(row.units)["volume"].label(row.language)
    return (
        templates.texts(row.language)["said.nothing"]
        if value is None
        else f"{number_text(value, row.language, 1)} {label}"
    )


def _amount(source: Source, value: float | None, kind: str) -> str:
    if value is None:
        return templates.texts(source.language)["said.across.unknown"]
    return f"{number_text(value, source.language, 1)} {_unit(source, kind)}"


def _worth(source: Source, volume: float | None) -> str:
    if source.price is None or volume is None:
        return ""
    money = f"{number_text(volume * source.price, source.language, 2)} {source.currency}"
    return templates.texts(source.language).say("said.worth", money=money)


def _date(day: float | None, language: str) -> str:
    return templates.texts(language)["said.across.no_date"] if day is None else day_text(day)


def _unit(source: Source, kind: str) -> str:
    return units(source.units)[kind].label(source.language)
