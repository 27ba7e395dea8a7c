"""Loads: tickets, quantities, dilution, and which shots drew on them."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from sheetgen.audit.compute.factors import Factors, kind_of
from sheetgen.audit.compute.loads import LoadRow
from sheetgen.audit.entries.logs import Load, Shot
from sheetgen.audit.model import Finding
from sheetgen.audit.rules.case import Case, plausibility
from sheetgen.audit.rules.times import HALF_A_MINUTE, moments
from sheetgen.reading.words import bare
from sheetgen.trade.rounding import without_dust
from sheetgen.units import constants


def check(case: Case) -> Iterator[Finding]:
    """Every load by itself, tickets among each other, and the shots that name a load."""
    yield from _tickets(case)
    for load, row in case.loads.values():
        if row.kind.adds:
            yield from _gravity(case, load)
            yield from _column(case, load, row)
            yield from _mass_and_volume(case, load, row)
            yield from _sticks(case, load, row)
            yield from _measured(case, load, row)
        if row.kind.adds > 0:
            yield from _grade(case, load)
            yield from _dilution(case, load, row)
            yield from _weight(case, load, row)
        if load.sample is not None and load.sample_to is None:
            yield case.voice.at("sample-not-handed-over", "loads", load.row, "sample_to", sample=load.sample)
    for shot in case.logs.shots:
        yield from _named(case, shot)
    yield from _while_spraying(case)
    yield from _beyond(case)


def _tickets(case: Case) -> Iterator[Finding]:
    """Tickets that stand in several rows: counted again, or taken in parts by several fills."""
    rows: dict[str, list[tuple[Load, LoadRow]]] = {}
    for load, row in case.loads.values():
        if load.ticket is not None and row.kind.adds > 0:
            rows.setdefault(bare(load.ticket), []).append((load, row))
    voice = case.voice
    for same in rows.values():
        repeats = [
            (load, row, again[0].row)
            for place, (load, row) in enumerate(same)
            if (again := next((each for each in same[:place] if _again(*each, load, row)), None)) is not None
        ]
        for load, row, first in repeats:
            mix = row.base or 0.0
            yield voice.at(
                "ticket-repeated", "loads", load.row, "ticket", ticket=load.ticket,
                other=voice.number(first), volume=voice.volume(mix), worth=voice.money(mix),
            )  # fmt: skip
        yield from _parts(case, [(load, row) for load, row in same if row.kind.part])
        if len(same) > 1 and not repeats:
            yield voice.at(
                "ticket-in-parts", "loads", same[-1][0].row, "ticket", ticket=same[-1][0].ticket,
                parts=len(same), rows=voice.numbers(load.row for load, _ in same),
                volume=voice.volume(sum(row.base or 0.0 for _, row in same)),
            )  # fmt: skip


def _parts(case: Case, parts: list[tuple[Load, LoadRow]]) -> Iterator[Finding]:
    """The parts of a ticket against what it says: together they cannot be more."""
    if not parts:
        return
    voice, last = case.voice, parts[-1][0]
    stated = [row.by_ticket for _, row in parts if row.by_ticket is not None]
    if not stated:
        yield voice.at("ticket-total-missing", "loads", last.row, "net_mass", ticket=last.ticket)
        return
    total, taken = sum(stated) / len(stated), sum(row.base or 0.0 for _, row in parts)
    yield from _totals(case, parts, taken)
    if taken > total * (1 + plausibility()["load_agreement"]):
        yield voice.at(
            "ticket-parts-above-ticket", "loads", last.row, "ticket", taken - total, ticket=last.ticket,
            rows=voice.numbers(load.row for load, _ in parts), taken=voice.volume(taken),
            total=voice.volume(total), beyond=voice.volume(taken - total), worth=voice.money(taken - total),
            of_shots=[row for load, _ in parts for row in _of(case, load)],
        )  # fmt: skip


def _totals(case: Case, parts: list[tuple[Load, LoadRow]], taken: float) -> Iterator[Finding]:
    """What the rows of one ticket say that it holds, against each other; below the lower one nothing hangs on it."""
    stated = [(row.by_ticket, load) for load, row in parts if row.by_ticket is not None]
    least, low = min(stated, key=lambda each: each[0])
    most, high = max(stated, key=lambda each: each[0])
    if most <= least * (1 + plausibility()["load_agreement"]):
        return
    voice, beyond = case.voice, max(0.0, min(taken, most) - least)
    found = voice.at(
        "ticket-totals-differ", "loads", max(low.row, high.row), "net_mass", beyond, ticket=low.ticket,
        of_shots=[row for load, _ in parts for row in _of(case, load)],
        most=voice.volume(most), most_row=voice.number(high.row), least=voice.volume(least),
        least_row=voice.number(low.row), taken=voice.volume(taken), beyond=voice.volume(beyond),
        worth=voice.money(beyond),
    )  # fmt: skip
    within = voice.say.say("said.ticket-totals-differ.within", taken=voice.volume(taken))
    yield found if beyond else replace(found, matters=within)


def _sticks(case: Case, load: Load, row: LoadRow) -> Iterator[Finding]:
    """Stick readings of a load that fell, or of a return that rose."""
    if row.before is None or row.after is None or row.kind.adds * (row.after - row.before) > 0:
        return
    voice = case.voice
    yield voice.at(
        "load-sticks-reversed", "loads", load.row, "stick_after", what=voice.say[f"words.{row.what}"],
        before=voice.volume(row.before), after=voice.volume(row.after),
    )  # fmt: skip


def _measured(case: Case, load: Load, row: LoadRow) -> Iterator[Finding]:
    """A whole load by stick or meter against its ticket, with the water that was added.

    Beside the share by which two ways to measure a load agree, the stick is off by its resolution, where the tank is
    widest.
    """
    if row.kind.part or row.by_ticket is None or row.mix is None or row.measured is None:
        return
    voice, chart, step = case.voice, case.computation.chart, case.order.reading.dip
    told = abs(row.mix)
    agree = plausibility()["load_agreement"] * told + step * chart.steepest
    difference = row.measured - told
    if without_dust(abs(difference) - agree) > 0:
        yield voice.at(
            "load-measured-otherwise", "loads", load.row, "stick_after" if row.before is not None else "taken",
            measured=voice.volume(row.measured), told=voice.volume(told), difference=voice.volume(abs(difference)),
            ticket=load.ticket or "?", limit=voice.volume(agree),
        )  # fmt: skip


def _again(one: Load, its: LoadRow, other: Load, row: LoadRow) -> bool:
    """Whether two rows of one ticket count it twice: a weight is that of all of the ticket, a volume may be a part."""
    if not (its.kind.whole and row.kind.whole):
        return its.kind.whole or row.kind.whole
    if one.net_mass is not None or other.net_mass is not None:
        return True
    return (one.date, one.time, one.volume) == (other.date, other.time, other.volume)


def _grade(case: Case, load: Load) -> Iterator[Finding]:
    ordered = case.order.material.grade
    if load.grade is not None and bare(load.grade) != bare(ordered):
        yield case.voice.at(
            "grade-not-ordered", "loads", load.row, "grade", grade=load.grade, ordered=ordered
        )


def _gravity(case: Case, load: Load) -> Iterator[Finding]:
    """A specific gravity of no asphalt or emulsion: the bounds that an order keeps to itself."""
    least, greatest = 0.7, 1.3
    if load.specific_gravity is not None and not least <= load.specific_gravity <= greatest:
        yield case.voice.at(
            "gravity-out-of-bounds", "loads", load.row, "specific_gravity",
            gravity=f"{load.specific_gravity:g}", least=f"{least:g}", greatest=f"{greatest:g}",
        )  # fmt: skip


def _column(case: Case, load: Load, row: LoadRow) -> Iterator[Finding]:
    """A ticket's gravity on the other side of the border between columns A and B."""
    ordered, gravity = case.order.material, load.specific_gravity
    if gravity is None or ordered.material_class == "emulsion":
        return
    own = case.computation.factors
    kind = kind_of(gravity, ordered.material_class)
    if kind is None or kind == own.kind:
        return
    ticket = Factors.of(case.order, kind)
    planned = ordered.spray_planned
    one, other = own.at(planned), ticket.at(planned)
    voice = case.voice
    yield voice.at(
        "gravity-of-other-column", "loads", load.row, "specific_gravity",
        gravity=f"{gravity:g}", ordered=f"{ordered.specific_gravity:g}",
        theirs=voice.say[f"words.correction.{ticket.kind}"], own=voice.say[f"words.correction.{own.kind}"],
        share=voice.percent(abs((other or 0) / one - 1)) if one and other else "?",
        temperature=voice.amount(planned, "temperature"), of_shots=_of(case, load),
        stake=((other or 0.0) / one - 1) * (row.base or 0.0) if one and other else None,
    )  # fmt: skip


def _mass_and_volume(case: Case, load: Load, row: LoadRow) -> Iterator[Finding]:
    """A ticket's mass against its volume, at the temperature beside it or, without one, at base
    temperature."""
    if load.net_mass is None or load.volume is None or not row.by_ticket:
        return
    corrected = load.volume_at == "at_base" or row.factor is None
    by_volume = load.volume * (1.0 if corrected else row.factor or 1.0)
    difference = by_volume / row.by_ticket - 1
    if abs(difference) > plausibility()["load_agreement"]:
        voice = case.voice
        uncorrected = abs(load.volume / row.by_ticket - 1) <= plausibility()["load_agreement"] / 2
        yield voice.at(
            "load-volume-already-corrected" if uncorrected else "load-weight-and-volume-differ",
            "loads", load.row, "volume",
            mass=voice.amount(load.net_mass, "mass"), volume=voice.volume(load.volume),
            by_mass=voice.volume(row.by_ticket), by_volume=voice.volume(by_volume),
            share=voice.percent(difference),
            gravity=f"{row.gravity or 0:g}", density=f"{constants(case.order.units)['water_density']:g}",
            factor=f"{1 if corrected else row.factor:g}", stake=by_volume - row.by_ticket, of_shots=_of(case, load),
        )  # fmt: skip


def _dilution(case: Case, load: Load, row: LoadRow) -> Iterator[Finding]:
    ordered = case.order.material.dilution
    if case.order.material.material_class != "emulsion" or not row.mix or row.base is None:
        return
    dilution = row.base / row.mix
    if abs(dilution - ordered) > plausibility()["dilution_agreement"]:
        voice, water = case.voice, row.mix - row.base
        delivered, due = (case.payable_with({row.row: each}) for each in (min(1.0, dilution), ordered))
        yield voice.at(
            "diluted-against-order", "loads", load.row, "water",
            emulsion=voice.volume(row.base), water=voice.volume(water),
            share=voice.percent(dilution), ordered=voice.percent(ordered),
            right=voice.volume(row.base * (1 / ordered - 1)), mix=voice.volume(row.mix),
            delivered=voice.volume(delivered), due=voice.volume(due), worth=voice.money(abs(delivered - due)),
            stake=delivered - due, of_shots=_sprayed_after(case, load),
        )  # fmt: skip


def _sprayed_after(case: Case, load: Load) -> list[int]:
    """The shots from the first on that names a load: what they sprayed was mixed with it."""
    first = min(_of(case, load), default=0)
    return [shot.row for shot, _ in case.shots if shot.row >= first]


def _weight(case: Case, load: Load, row: LoadRow) -> Iterator[Finding]:
    """A load that weighs more than the truck may carry beyond the empty distributor."""
    payload, voice = case.machine.payload, case.voice
    if payload is None or row.base is None:
        return
    water = constants(case.order.units)["water_density"]
    gravity = row.gravity or case.order.material.specific_gravity
    weighed = load.net_mass is not None and not row.kind.part  # a part is not all that the ticket weighs
    mass = (load.net_mass or 0.0) if weighed else row.base * gravity * water
    mass += (load.water or 0.0) * water
    # A load is noted to so many decimals: what is below half of the last one is no weight too much.
    unnoted = 0.5 * 10**-case.order.rounding.volume * gravity * water if not weighed else 0.0
    if mass > payload + unnoted:
        yield voice.at(
            "load-above-payload", "loads", load.row, "net_mass" if weighed else "volume",
            mass=voice.amount(mass, "mass"), payload=voice.amount(payload, "mass"),
        )  # fmt: skip


def _of(case: Case, load: Load) -> list[int]:
    """The shots that name a load."""
    return [shot.row for shot in case.logs.shots if shot.load == load.row + 1]


def _named(case: Case, shot: Shot) -> Iterator[Finding]:
    """The load that a shot names: is it listed, and had it come by then?"""
    if shot.load is None:
        return
    number, voice = int(shot.load), case.voice
    came_in = [each for each, (_, row) in case.loads.items() if row.kind.adds > 0]
    if number not in came_in:
        listed = ", ".join(map(str, came_in))
        yield voice.shot("load-not-listed", shot, "load", load=str(number), listed=listed or "-")
        return
    load = case.loads[number][0]
    if load.date is None or shot.date is None:
        return
    came = load.date + (load.time or 0.0)
    began = shot.date + (shot.start if shot.start is not None else 1.0)
    if came > began + 1e-9:
        yield voice.shot(
            "load-used-before-it-came", shot, "load", load=str(number),
            came=f"{voice.date(load.date)} {voice.time(load.time or 0.0)}",
            began=f"{voice.date(shot.date)} {voice.time(shot.start or 0.0)}",
        )  # fmt: skip


def _while_spraying(case: Case) -> Iterator[Finding]:
    """Loads taken within a shot: a truck is filled between shots. Times that touch a shot's ends are none."""
    spans = [(span, shot) for shot in case.logs.shots if shot.date is not None and (span := moments(shot))]
    for number, (load, row) in case.loads.items():
        if load.date is None or load.time is None or row.kind.adds <= 0:
            continue
        came = load.date + load.time
        slack = max(HALF_A_MINUTE, (case.clock - plausibility()["clock_minutes"]) / 1440)
        for (start, end), shot in spans:
            if not start + slack < came < end - slack:
                continue
            if shot.load == number:
                continue  # of its own load a shot says that it came too late
            voice = case.voice
            yield voice.at(
                "load-taken-during-shot", "loads", load.row, "time", came=voice.time(load.time),
                shot=voice.number(shot.row), start=voice.time(start % 1), end=voice.time(end % 1), stake=0.0,
            )  # fmt: skip
            break


def _beyond(case: Case) -> Iterator[Finding]:
    """More sprayed with the loads up to one than they and what was on board at the start held."""
    days = [day for day in case.computation.day_rows if day.date is not None]
    start = min(days, key=lambda day: day.date or 0).start if days else None
    if start is None or any(row.mix is None for _, row in case.loads.values()):
        return
    used, said = 0.0, set()
    for shot, row in sorted(case.shots, key=lambda each: (each[0].load or 0, each[0].row)):
        used += (row.base or 0.0) + (row.wasted or 0.0)
        number = int(shot.load) if shot.load is not None else 0
        if number not in case.loads or case.loads[number][1].kind.adds <= 0:
            continue
        available = start + sum(case.loads[each][1].counted or 0.0 for each in case.loads if each <= number)
        if used <= available * (1 + case.order.limits.unexplained):
            continue
        if number not in said:
            voice = case.voice
            yield voice.shot(
                "load-used-beyond-its-volume", shot, "load", load=str(number), used=voice.volume(used),
                available=voice.volume(available), beyond=voice.volume(used - available),
                worth=voice.money((used - available) * case.dilution),
                stake=(used - available) * case.dilution,
            )  # fmt: skip
        said.add(number)
        used = available  # said once; the loads after it are judged afresh
