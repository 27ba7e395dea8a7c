"""Temperatures: outside a chart or a range, risen without heat, never changing; and the weather."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial
from itertools import pairwise
from typing import NamedTuple

from sheetgen.audit.compute.shots import ShotRow
from sheetgen.audit.entries.logs import Day, Shot
from sheetgen.audit.model import Finding
from sheetgen.audit.rules.case import Case, plausibility
from sheetgen.audit.rules.times import moments
from sheetgen.units import constants


def check(case: Case) -> Iterator[Finding]:
    """Every temperature of the logs."""
    yield from _outside_chart(case)
    for shot in case.logs.shots:
        if case.kinds[shot.row].sprayed:
            yield from _range(case, shot)
    for (before, row), (after, _) in pairwise(case.shots):
        yield from _rose(case, before, row, after)
    yield from _unlike(case)
    for day in case.logs.days:
        yield from _steady(case, day)
        yield from _weather(case, day)


def _outside_chart(case: Case) -> Iterator[Finding]:
    low, high = case.computation.factors.span
    places = [("shots", shot.row, "temperature", shot.temperature) for shot in case.logs.shots]
    places += [("loads", load.row, "temperature", load.temperature) for load in case.logs.loads]
    for day in case.logs.days:
        places += [
            ("days", day.row, key, getattr(day, key)) for key in ("start_temperature", "end_temperature")
        ]
    voice = case.voice
    for table, row, column, temperature in places:
        if temperature is not None and case.computation.factors.at(temperature) is None:
            yield voice.at(
                "temperature-outside-chart", table, row, column,
                temperature=voice.plain(temperature, "temperature"),
                low=voice.amount(low, "temperature"), high=voice.amount(high, "temperature"),
            )  # fmt: skip


def _range(case: Case, shot: Shot) -> Iterator[Finding]:
    material, voice, temperature = case.order.material, case.voice, shot.temperature
    if temperature is None or case.computation.factors.at(temperature) is None:
        return
    if not material.spray_min <= temperature <= material.spray_max:
        base = constants(case.order.units)["base_temperature"]
        name = "base-temperature-written" if temperature == base else "outside-spraying-range"
        yield voice.shot(
            name, shot, "temperature", temperature=voice.plain(temperature, "temperature"),
            low=voice.amount(material.spray_min, "temperature"),
            high=voice.amount(material.spray_max, "temperature"),
            grade=material.grade, source=material.spray_source,
            stake=_between(case, shot.row, temperature, _nearest(case, temperature)),
        )  # fmt: skip
    # Cutback is sprayed above its flash point as a matter of course: there the caution is no flame, not this.
    elif (
        material.flash_point is not None
        and material.material_class != "cutback"
        and temperature >= material.flash_point
    ):
        yield voice.shot(
            "above-flash-point", shot, "temperature", temperature=voice.plain(temperature, "temperature"),
            flash=voice.amount(material.flash_point, "temperature"), stake=0.0,
        )  # fmt: skip


def _rose(case: Case, before: Shot, row: ShotRow, after: Shot) -> Iterator[Finding]:
    """A rise from one shot to the next of the same load that the burners cannot have
    given in the time between."""
    if (
        None in (before.temperature, after.temperature)
        or before.load != after.load
        or before.date != after.date
    ):
        return
    rise = (after.temperature or 0) - (before.temperature or 0)
    ended, began = moments(before), moments(after)
    if case.computation.factors.at(after.temperature) is None:
        return
    if rise <= 0 or ended is None or began is None or row.after is None or row.factor is None:
        return
    hours = (max(began[0] - ended[1], 0.0) * 1440 + _rounded(case)) / 60
    slack = plausibility()["thermometer_steps"] * case.order.reading.temperature
    possible = _heating(case, row.after * row.factor) * hours
    if rise > possible + slack:
        voice = case.voice
        yield voice.shot(
            "temperature-rose-without-heating", after, "temperature", rise=f"{rise:g}",
            before=voice.plain(before.temperature or 0, "temperature"),
            after=voice.plain(after.temperature or 0, "temperature"),
            minutes=f"{hours * 60:.0f}", possible=f"{possible:.0f}", slack=f"{slack:g}",
            stake=_between(case, after.row, after.temperature, (before.temperature or 0) + possible),
        )  # fmt: skip


def _rounded(case: Case) -> float:
    """Minutes more that may have passed than times written to five or fifteen minutes say."""
    return case.clock if case.clock > plausibility()["clock_minutes"] else 0.0


def _heating(case: Case, volume: float) -> float:
    """Degrees an hour that all burners together give a volume at base temperature, at the low end of specific
    heat.

    Heat = mass × specific heat × rise, as for the heating of a tank: 8.328 lb/gal × specific gravity.
    """
    system, machine = case.order.units, case.machine
    if volume <= 0:
        return 0.0
    mass = volume * constants(system)["water_density"] * case.order.material.specific_gravity
    an_hour = machine.burner_power * machine.burner_efficiency * (1 if system == "us" else 3600)  # Btu; kJ
    return an_hour / (mass * plausibility()[f"specific_heat_{system}"])


def _unlike(case: Case) -> Iterator[Finding]:
    """Give shots colder than ticket, day reading and cooling allow: a cold reading makes more material of the same
    stick readings. All shots of a book that are off alike are one finding.
    """
    found = [each for each in map(partial(_evidence, case), case.shots) if each is not None]
    if not found:
        return
    worst = max(found, key=lambda each: each.volume)
    beyond = sum(each.volume for each in found)
    voice = case.voice
    yield voice.shot(
        "temperature-unlike-others", worst.shot, "temperature", count=len(found),
        shots=voice.numbers(each.shot.row for each in found),
        temperature=voice.plain(worst.shot.temperature or 0, "temperature"),
        low=voice.amount(worst.expected, "temperature"),
        other=voice.say[f"said.temperature-unlike-others.{worst.other}"],
        volume=voice.volume(beyond), worth=voice.money(beyond * case.dilution),
        stake=beyond * case.dilution, of_shots=[each.shot.row for each in found],
    )  # fmt: skip


class _Unlike(NamedTuple):
    """A shot written colder than another reading lets it be.

    Attributes:
        expected: the lowest believable temperature
        other: which reading says so: "ticket", "start" or "end" of the day
        volume: base volume that the shot has more by it
    """

    shot: Shot
    expected: float
    other: str
    volume: float


def _evidence(case: Case, each: tuple[Shot, ShotRow]) -> _Unlike | None:
    shot, row = each
    factors = case.computation.factors
    when = moments(shot)
    base = constants(case.order.units)["base_temperature"]  # where that is written, another finding says so
    if shot.temperature in (None, base) or row.net is None or when is None:
        return None
    if factors.at(shot.temperature) is None:
        return None
    bounds, step = plausibility(), case.order.reading.temperature
    slack = max(bounds["thermometer_steps"] * step, bounds[f"temperature_spread_{case.order.units}"])
    cooling = bounds[f"cooling_{case.order.units}"]
    lowest = [
        (temperature - slack - cooling * abs(when[0] - moment) * 24, other)
        for temperature, moment, other in _others(case, shot)
    ]
    if not lowest:
        return None
    # One other reading may itself be mistyped: where there are two, both must say so.
    expected, other = min(lowest)
    if shot.temperature is None or shot.temperature >= expected:
        return None
    believable = factors.at(expected)
    if believable is None or row.factor is None:
        return None
    return _Unlike(shot, expected, other, max(0.0, row.net * (row.factor - believable)))


def _others(case: Case, shot: Shot) -> Iterator[tuple[float, float, str]]:
    """Give the other temperatures of the same tank on the same day: value, moment, and which it is."""
    ticket = _by_ticket(case, shot)
    if ticket is not None:
        yield (*ticket, "ticket")
    mine = [each for each in case.logs.shots if each.date == shot.date and moments(each) is not None]
    ends = max((moments(each) or (0.0, 0.0))[1] for each in mine)
    for day in case.logs.days:
        if day.date == shot.date and day.end_temperature is not None and not _filled_after(case, day, ends):
            yield day.end_temperature, ends, "end"


def _by_ticket(case: Case, shot: Shot) -> tuple[float, float] | None:
    """The temperature that a shot's load gave the tank, with what was on board as cold as it can have been, and when;
    None where the ticket does not tell.
    """
    load, row = case.loads.get(int(shot.load or 0), (None, None))
    base = constants(case.order.units)["base_temperature"]
    if load is None or row is None or load.temperature is None or load.date is None or load.time is None:
        return None
    first = next(each for each, _ in case.shots if each.load == shot.load)
    full = case.computation.chart.volume(first.dip_before)
    # Water cools the mix, and volumes given at the base temperature say nothing of how warm the load was.
    if load.water or load.temperature == base or row.mix is None or not full:
        return None
    share = min(1.0, row.mix / full)
    heel = min(_of_the_day(case, shot), default=base)
    return heel + share * (load.temperature - heel), load.date + load.time


def _of_the_day(case: Case, shot: Shot) -> list[float]:
    """The temperatures that the day log gives for the day of a shot."""
    return [
        value
        for day in case.logs.days
        if day.date == shot.date
        for value in (day.start_temperature, day.end_temperature)
        if value is not None
    ]


def _filled_after(case: Case, day: Day, ended: float) -> bool:
    """Whether a load came after the day's last shot, so that its last temperature is of another load."""
    return any(
        load.date == day.date and (load.time is None or (load.date or 0) + load.time >= ended)
        for load in case.logs.loads
    )


def _steady(case: Case, day: Day) -> Iterator[Finding]:
    """One and the same temperature at every shot of a long day."""
    bounds = plausibility()
    mine = [
        s for s in case.logs.shots if s.date == day.date and s.temperature is not None and s.start is not None
    ]
    if day.date is None or len(mine) < bounds["steady_shots"]:
        return
    hours = (max(s.start or 0 for s in mine) - min(s.start or 0 for s in mine)) * 24
    if len({shot.temperature for shot in mine}) == 1 and hours >= bounds["steady_hours"]:
        voice = case.voice
        yield voice.shot(
            "temperature-unchanged-all-day", mine[0], "temperature", count=len(mine), hours=f"{hours:.1f}",
            temperature=voice.plain(mine[0].temperature or 0, "temperature"),
            step=voice.plain(case.order.reading.temperature, "temperature"),
            stake=_cooled(case, mine), of_shots=[shot.row for shot in mine],
        )  # fmt: skip


def _nearest(case: Case, temperature: float) -> float:
    """The application temperature nearest to one outside the range; the planned one where base was written."""
    material = case.order.material
    if temperature == constants(case.order.units)["base_temperature"]:
        return material.spray_planned
    return min(max(temperature, material.spray_min), material.spray_max)


def _between(case: Case, number: int, one: float | None, other: float) -> float | None:
    """What a shot counts more or less by one temperature than by another, undiluted; None where a chart ends."""
    row = next(row for shot, row in case.shots if shot.row == number)
    first, second = case.computation.factors.at(one), case.computation.factors.at(other)
    if first is None or second is None:
        return None
    return (first - second) * (row.net or 0.0) * case.dilution_of(row)


def _cooled(case: Case, shots: list[Shot]) -> float | None:
    """What shots written at one temperature count less or more if the tank cooled from the first on."""
    cooling, first = plausibility()[f"cooling_{case.order.units}"], min(shot.start or 0.0 for shot in shots)
    parts = [
        _between(
            case, shot.row, shot.temperature,
            (shot.temperature or 0.0) - cooling * 24 * ((shot.start or 0.0) - first),
        )
        for shot in shots
    ]  # fmt: skip
    return None if None in parts else sum(part or 0.0 for part in parts)


def _weather(case: Case, day: Day) -> Iterator[Finding]:
    limits, voice = case.order.limits, case.voice
    air, surface = day.air_temperature, day.surface_temperature
    for name, column, value, limit, above in (
        ("air-below-limit", "air_temperature", air, limits.air_min, False),
        ("surface-below-limit", "surface_temperature", surface, limits.surface_min, False),
        ("surface-above-limit", "surface_temperature", surface, limits.surface_max, True),
    ):
        if value is not None and limit is not None and (value > limit if above else value < limit):
            yield voice.at(
                name, "days", day.row, column, temperature=voice.plain(value, "temperature"),
                limit=voice.amount(limit, "temperature"), source=limits.source,
            )  # fmt: skip
    if air is None and limits.air_min is not None:
        yield voice.at("weather-not-read", "days", day.row, "air_temperature")
    if surface is None and (limits.surface_min is not None or limits.surface_max is not None):
        yield voice.at("weather-not-read", "days", day.row, "surface_temperature")
