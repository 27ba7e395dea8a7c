"""A hundred and fifty frauds and slips, each a change of an honest log by a size: what cheats and tired hands do.

A case is a family (what is changed, and how) at a place (which shots, loads or days). Every size is a part of the
volume of what is changed, a number of degrees, or a number of rows, as the case says. A log is that of
:mod:`tests.simulated.days`: sharp values, changed before they are typed.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import NamedTuple

from tests.simulated.days import Log, Tank, factor
from tests.simulated.jobs import Job

Row = dict[str, float | str]
Change = Callable[["Forger", list[int], float], None]
PARTS = (0.01, 0.03, 0.10)


class Case(NamedTuple):
    """One fraud or slip.

    Attributes:
        name: what is done, in words
        kinds: of jobs it is tried on
        sizes: from small to large
        change: changes a forger's log at the rows of a place, by a size
        place: which rows
    """

    name: str
    kinds: tuple[str, ...]
    sizes: tuple[float, ...]
    change: Change
    place: Callable[[Forger], list[int]]

    def apply(self, log: Log, job: Job, size: float) -> Log:
        """The log after it."""
        forger = Forger(log, job)
        self.change(forger, self.place(forger), size)
        return forger.log


class Forger:
    """A log in the hands of one who changes it, with the tank's chart at hand."""

    def __init__(self, log: Log, job: Job) -> None:
        self.log, self.job, self.tank = dict(log), job, Tank(job)
        self.us = job.order.units == "us"

    def rows(self, table: str) -> list[int]:
        return sorted({row for name, row, _ in self.log if name == table})

    def get(self, table: str, row: int, column: str) -> float:
        return float(self.log.get((table, row, column)) or 0.0)

    def shot(self, row: int, column: str) -> float:
        return self.get("shots", row, column)

    def put(self, table: str, row: int, **values: float | str) -> None:
        for column, value in values.items():
            self.log[table, row, column] = value

    def sprayed(self, row: int) -> float:
        """Hot volume of a shot by the stick."""
        before, after = (self.tank.volume(self.shot(row, f"dip_{end}")) for end in ("before", "after"))
        return before - after

    def stick(self, table: str, row: int, column: str, more: float) -> None:
        """Move a stick reading by a hot volume, to a mark of the stick."""
        step = self.job.order.reading.dip
        volume = max(0.0, self.tank.volume(self.get(table, row, column)) + more)
        self.put(table, row, **{column: round(self.tank.depth(volume) / step) * step})

    def raise_by(self, size: float, table: str, row: int, *columns: str, places: int = 0) -> None:
        """Raise what is written in some columns by a part of it."""
        for column in columns:
            if (table, row, column) in self.log:
                self.put(table, row, **{column: round(self.get(table, row, column) * (1 + size), places)})

    def copy(self, table: str, row: int) -> int:
        """A row once more below the last one."""
        new = self.rows(table)[-1] + 1
        values = {
            column: value for (name, at, column), value in self.log.items() if (name, at) == (table, row)
        }
        self.put(table, new, **values)
        return new

    def swap(self, table: str, row: int, one: str, other: str) -> None:
        first, second = self.log.get((table, row, one)), self.log.get((table, row, other))
        self.log = {
            place: value
            for place, value in self.log.items()
            if place not in ((table, row, one), (table, row, other))
        }
        for column, value in ((one, second), (other, first)):
            if value is not None:
                self.log[table, row, column] = value

    def drop(self, table: str, row: int) -> None:
        self.log = {place: value for place, value in self.log.items() if place[:2] != (table, row)}


# Places


def all_shots(forger: Forger) -> list[int]:
    return forger.rows("shots")


def _every(step: int) -> Callable[[Forger], list[int]]:
    return lambda forger: forger.rows("shots")[::step]


def _longest(forger: Forger) -> list[int]:
    return [max(forger.rows("shots"), key=forger.sprayed)]


def _last(forger: Forger) -> list[int]:
    return forger.rows("shots")[-1:]


def _at_loads(end: int) -> Callable[[Forger], list[int]]:
    """The first or the last shot of every load."""

    def rows(forger: Forger) -> list[int]:
        by_load: dict[float, list[int]] = {}
        for row in forger.rows("shots"):
            by_load.setdefault(forger.shot(row, "load"), []).append(row)
        return [rows[end] for rows in by_load.values()]

    return rows


def _of_lane(forger: Forger) -> list[int]:
    first = forger.log["shots", 0, "lane"]
    return [row for row in forger.rows("shots") if forger.log["shots", row, "lane"] == first]


def first_day(forger: Forger) -> list[int]:
    return [row for row in forger.rows("shots") if forger.shot(row, "date") == forger.shot(0, "date")]


def loads(forger: Forger) -> list[int]:
    return forger.rows("loads")


def one_load(forger: Forger) -> list[int]:
    return forger.rows("loads")[:1]


def days(forger: Forger) -> list[int]:
    return forger.rows("days")


PLACES = {
    "all shots": all_shots, "every second shot": _every(2), "every third shot": _every(3), "the longest shot": _longest,
    "the last shot": _last, "the first shot of each load": _at_loads(0), "the last shot of each load": _at_loads(-1),
    "the shots of one lane": _of_lane, "the shots of the first day": first_day,
}  # fmt: skip


# What is done to shots


def after_low(forger: Forger, rows: list[int], size: float) -> None:
    for row in rows:
        forger.stick("shots", row, "dip_after", -size * forger.sprayed(row))


def _before_high(forger: Forger, rows: list[int], size: float) -> None:
    for row in rows:
        forger.stick("shots", row, "dip_before", size * forger.sprayed(row))


def _both_sticks(forger: Forger, rows: list[int], size: float) -> None:
    for row in rows:
        half = size * forger.sprayed(row) / 2
        forger.stick("shots", row, "dip_before", half)
        forger.stick("shots", row, "dip_after", -half)


def _stick_and_meter(forger: Forger, rows: list[int], size: float) -> None:
    for row in rows:
        more = size * forger.sprayed(row)
        forger.stick("shots", row, "dip_after", -more)
        forger.put("shots", row, meter_after=round(forger.shot(row, "meter_after") + more))


def carried(forger: Forger, rows: list[int], size: float) -> None:
    """The excess is carried through all readings up to the next filling, meter included."""
    every, more, load = forger.rows("shots"), 0.0, None
    for row in every:
        if forger.shot(row, "load") != load:
            more, load = 0.0, forger.shot(row, "load")
        own = size * forger.sprayed(row) if row in rows else 0.0
        forger.stick("shots", row, "dip_before", -more)
        forger.stick("shots", row, "dip_after", -more - own)
        more += own


def carried_with_meter(forger: Forger, rows: list[int], size: float) -> None:
    counter = 0.0
    for row in forger.rows("shots"):
        own = size * forger.sprayed(row) if row in rows else 0.0
        forger.put("shots", row, meter_before=round(forger.shot(row, "meter_before") + counter))
        counter += own
        forger.put("shots", row, meter_after=round(forger.shot(row, "meter_after") + counter))
    carried(forger, rows, size)


def _meter_high(forger: Forger, rows: list[int], size: float) -> None:
    for row in rows:
        forger.put(
            "shots", row, meter_after=round(forger.shot(row, "meter_after") + size * forger.sprayed(row))
        )


def _meter_scaled(forger: Forger, rows: list[int], size: float) -> None:
    """A meter that counts too much: the whole chain is stretched."""
    first = forger.shot(0, "meter_before")
    for row in forger.rows("shots"):
        for column in ("meter_before", "meter_after"):
            forger.put(
                "shots", row, **{column: round(first + (forger.shot(row, column) - first) * (1 + size))}
            )


def _by_meter_alone(forger: Forger, rows: list[int], size: float) -> None:
    """The stick left blank where it would tell, the meter written high."""
    _meter_high(forger, rows, size)
    for row in rows:
        del forger.log["shots", row, "dip_after"]


def _colder(forger: Forger, rows: list[int], size: float) -> None:
    for row in rows:
        forger.put("shots", row, temperature=forger.shot(row, "temperature") - size)


def _colder_all(forger: Forger, rows: list[int], size: float) -> None:
    """Shots and the day's end alike; the tickets tell."""
    _colder(forger, rows, size)
    for day in forger.rows("days"):
        forger.put("days", day, end_temperature=forger.get("days", day, "end_temperature") - size)


def longer(forger: Forger, rows: list[int], size: float) -> None:
    for row in rows:
        begins, ends = forger.shot(row, "from_station"), forger.shot(row, "to_station")
        forger.put("shots", row, to_station=float(round(max(0.0, ends + size * (ends - begins)))))


def wider(forger: Forger, rows: list[int], size: float) -> None:
    """A wider bar than was open."""
    for row in rows:
        forger.raise_by(size, "shots", row, "width", places=2)
        forger.raise_by(size, "shots", row, "nozzles")


def _with_the_volume(change: Change) -> Change:
    """Stick and meter raised by as much as a change raises the area."""

    def both(forger: Forger, rows: list[int], size: float) -> None:
        change(forger, rows, size)
        _stick_and_meter(forger, rows, size)

    return both


def _no_evidence(forger: Forger, rows: list[int], size: float) -> None:
    """Volumes up, and whatever else would tell left blank: meter, times, nozzles, load."""
    after_low(forger, rows, size)
    blank = {"meter_before", "meter_after", "start", "end", "nozzles", "load"}
    forger.log = {
        place: value for place, value in forger.log.items() if place[0] != "shots" or place[2] not in blank
    }


# Rows that never were


def phantoms(**changes: float | str) -> Change:
    """Shots of the book written once more, minutes after the last, with some entries changed."""

    def change(forger: Forger, rows: list[int], size: float) -> None:
        for number in range(int(size)):
            row = forger.rows("shots")[number % len(forger.rows("shots"))]
            new = forger.copy("shots", row)
            last = max(forger.shot(each, "end") for each in forger.rows("shots"))
            length = forger.shot(row, "end") - forger.shot(row, "start")
            begins = min(last + 6 / 1440, 0.99)
            forger.put("shots", new, date=forger.shot(new - 1, "date"), load=forger.shot(new - 1, "load"),
                       start=round(begins * 1440) / 1440, end=round((begins + length) * 1440) / 1440)  # fmt: skip
            forger.put("shots", new, **changes)

    return change


def _phantom_elsewhere(forger: Forger, rows: list[int], size: float) -> None:
    """The copied shots lie beyond the section."""
    phantoms()(forger, rows, size)
    for row in forger.rows("shots")[-int(size) :]:
        for column in ("from_station", "to_station"):
            forger.put("shots", row, **{column: forger.shot(row, column) + 20_000})


def _phantom_drawn(forger: Forger, rows: list[int], size: float) -> None:
    """The copied shots begin where the last one ended, and the day's end is lowered to fit."""
    for _ in range(int(size)):
        last = forger.rows("shots")[-1]
        phantoms()(forger, [], 1)
        new = forger.rows("shots")[-1]
        drop = min(forger.sprayed(0), forger.tank.volume(forger.shot(last, "dip_after")) * 0.4)
        forger.put(
            "shots", new, dip_before=forger.shot(last, "dip_after"), dip_after=forger.shot(last, "dip_after")
        )
        forger.stick("shots", new, "dip_after", -drop)
        day = forger.rows("days")[-1]
        forger.stick("days", day, "end_dip", -drop)


def phantom_of_lane(forger: Forger, rows: list[int], size: float) -> None:
    """The copied shots under another lane of the order."""
    phantoms()(forger, rows, size)
    section = forger.job.order.sections[0]
    for row in forger.rows("shots")[-int(size) :]:
        lane = next((each for each in section.lanes if each != forger.log["shots", row, "lane"]), "L9")
        forger.put("shots", row, lane=lane)


def _phantom_day(forger: Forger, rows: list[int], size: float) -> None:
    """A day of the book once more, days later, loads and tickets with new numbers."""
    date = forger.get("days", 0, "date")
    later = forger.get("days", forger.rows("days")[-1], "date") + size
    for table in ("loads", "shots", "days"):
        for row in [each for each in forger.rows(table) if forger.get(table, each, "date") == date]:
            new = forger.copy(table, row)
            forger.put(table, new, date=later)
            if table == "loads":
                forger.put(table, new, ticket=f"{forger.log[table, row, 'ticket']}7")


def _split(forger: Forger, rows: list[int], size: float) -> None:
    """One shot written as two that both hold a part of it."""
    for row in rows:
        new = forger.copy("shots", row)
        begins, ends = forger.shot(row, "from_station"), forger.shot(row, "to_station")
        middle = round((begins + ends) / 2)
        time = (forger.shot(row, "start") + forger.shot(row, "end")) / 2
        half = forger.sprayed(row) / 2
        forger.put("shots", row, to_station=float(middle), end=time)
        forger.put("shots", new, from_station=float(middle), start=time)
        forger.stick("shots", row, "dip_after", half * (1 - size))
        forger.stick("shots", new, "dip_before", -half * (1 - size))


# Loads and days


def heavier(forger: Forger, rows: list[int], size: float) -> None:
    for row in rows:
        forger.raise_by(size, "loads", row, "net_mass", "volume")


def heavier_and_sprayed(forger: Forger, rows: list[int], size: float) -> None:
    """More on the tickets, and as much more sprayed by the last readings of each load."""
    heavier(forger, forger.rows("loads"), size)
    carried(forger, forger.rows("shots"), size)


def _thinned(forger: Forger, rows: list[int], size: float) -> None:
    """Less emulsion and more water in the same mix."""
    for row in rows:
        for column in ("net_mass", "volume"):
            if ("loads", row, column) in forger.log:
                held = forger.get("loads", row, column)
                forger.put("loads", row, **{column: round(held * (1 - size))})
                gallons = held * size
                if column == "net_mass":
                    gallons /= forger.job.order.material.specific_gravity * (8.328 if forger.us else 0.999)
                else:
                    gallons *= factor(forger.job, forger.get("loads", row, "temperature"))
                forger.put("loads", row, water=round(forger.get("loads", row, "water") + gallons))


def _water_forgotten(forger: Forger, rows: list[int], size: float) -> None:
    for row in rows:
        forger.raise_by(-size, "loads", row, "water")


def phantom_loads(forger: Forger, rows: list[int], size: float) -> None:
    for number in range(int(size)):
        new = forger.copy("loads", number % len(forger.rows("loads")))
        last = forger.rows("days")[-1]
        forger.put(
            "loads", new, ticket=f"Z-{number}", date=forger.get("days", last, "date"), time=0.6 + number / 100
        )


def _load_left_out(forger: Forger, rows: list[int], size: float) -> None:
    for row in forger.rows("loads")[-int(size) :]:
        forger.drop("loads", row)


def _gravity(forger: Forger, rows: list[int], size: float) -> None:
    for row in rows:
        forger.put("loads", row, specific_gravity=round(forger.job.order.material.specific_gravity - size, 3))


def reading_of_day(column: str, sign: int) -> Change:
    def change(forger: Forger, rows: list[int], size: float) -> None:
        whole = sum(forger.sprayed(row) for row in forger.rows("shots"))
        for row in rows[-1:] if column == "end_dip" else rows[:1]:
            forger.stick("days", row, column, sign * size * whole)

    return change


def _end_of_day(forger: Forger, rows: list[int], size: float) -> None:
    """The last shot of each day and the day's end lowered together; the next morning tells, or the tickets."""
    for day in forger.rows("days"):
        mine = [
            row for row in forger.rows("shots") if forger.shot(row, "date") == forger.get("days", day, "date")
        ]
        more = size * sum(forger.sprayed(row) for row in mine)
        forger.stick("shots", mine[-1], "dip_after", -more)
        forger.stick("days", day, "end_dip", -more)


def _overnight(forger: Forger, rows: list[int], size: float) -> None:
    """The end of the day and the next morning lowered together."""
    _end_of_day(forger, rows, size)
    for day in forger.rows("days")[1:]:
        before = sum(forger.sprayed(row) for row in forger.rows("shots")
                     if forger.shot(row, "date") == forger.get("days", day - 1, "date"))  # fmt: skip
        forger.stick("days", day, "start_dip", -size * before)


def less_returned(forger: Forger, rows: list[int], size: float) -> None:
    for row in rows:
        forger.raise_by(-size, "days", row, "returned")


def _returned_sprayed(forger: Forger, rows: list[int], size: float) -> None:
    """What went back to the plant is written as sprayed by the last shot."""
    for row in rows:
        back = forger.get("days", row, "returned") * size
        mine = [
            each
            for each in forger.rows("shots")
            if forger.shot(each, "date") == forger.get("days", row, "date")
        ]
        if back:
            forger.put("days", row, returned=round(forger.get("days", row, "returned") - back))
            forger.stick("shots", mine[-1], "dip_after", -back)


# Slips


def _transposed(table: str, column: str) -> Change:
    """Two figures swapped: so many places from the right."""

    def change(forger: Forger, rows: list[int], size: float) -> None:
        for row in rows:
            text = f"{forger.get(table, row, column):g}"
            whole, _, part = text.partition(".")
            at = len(whole) - 1 - int(size)
            if at >= 1:
                whole = whole[: at - 1] + whole[at] + whole[at - 1] + whole[at + 1 :]
            forger.put(table, row, **{column: float(f"{whole}.{part or 0}")})

    return change


def _added(table: str, column: str) -> Change:
    def change(forger: Forger, rows: list[int], size: float) -> None:
        for row in rows:
            forger.put(table, row, **{column: forger.get(table, row, column) + size})

    return change


def _times(table: str, column: str) -> Change:
    def change(forger: Forger, rows: list[int], size: float) -> None:
        for row in rows:
            forger.put(table, row, **{column: forger.get(table, row, column) * size})

    return change


def _swapped(one: str, other: str) -> Change:
    def change(forger: Forger, rows: list[int], size: float) -> None:
        for row in rows[: int(size)]:
            forger.swap("shots", row, one, other)

    return change


def _left_out(forger: Forger, rows: list[int], size: float) -> None:
    """Shots in the middle not typed."""
    for row in forger.rows("shots")[1 : 1 + int(size)]:
        forger.drop("shots", row)


def _typed_twice(forger: Forger, rows: list[int], size: float) -> None:
    for row in rows[: int(size)]:
        forger.copy("shots", row)


def _from_above(column: str) -> Change:
    """An entry copied from the row above."""

    def change(forger: Forger, rows: list[int], size: float) -> None:
        every = forger.rows("shots")
        for row in every[1 : 1 + int(size)]:
            forger.put("shots", row, **{column: forger.log["shots", row - 1, column]})

    return change


_ANY = ("tack", "fog seal", "chip seal", "chip seal in liters, asphalt")
_BY_STICK = ("tack", "prime in liters", "fog seal", "chip seal")
_BY_METER = ("tack by night, by the meter",)
_DILUTED = ("fog seal", "tack in liters, diluted")
_EMPTIED = ("prime with cutback", "chip seal in liters, asphalt")


def _families() -> Iterator[tuple[str, tuple[str, ...], tuple[float, ...], Change, tuple[str, ...]]]:
    every, few = (
        tuple(PLACES),
        ("all shots", "every third shot", "the longest shot", "the last shot of each load"),
    )
    yield "stick after the shot written low", _BY_STICK, PARTS, after_low, every
    yield "stick before the shot written high", _BY_STICK, PARTS, _before_high, every
    yield "both stick readings pulled apart", _BY_STICK, PARTS, _both_sticks, every
    yield "stick and meter raised alike", _BY_STICK, PARTS, _stick_and_meter, every
    yield "excess carried through the readings of a load", _BY_STICK, PARTS, carried, every
    yield "excess carried through stick and meter", _BY_STICK, PARTS, carried_with_meter, every
    yield "meter of record written high", _BY_METER, PARTS, _meter_high, every
    yield "stick left blank, meter written high", _BY_STICK, PARTS, _by_meter_alone, few
    yield "temperature of shots written low (degrees)", _ANY, (10, 25, 50), _colder, every
    yield (
        "temperature of shots and of the day's end written low (degrees)",
        _ANY,
        (10, 25, 50),
        _colder_all,
        few[:2],
    )
    yield "stations stretched with the volume", _BY_STICK, (0.03, 0.10, 0.30), _with_the_volume(longer), few
    yield (
        "width and nozzles raised with the volume",
        _BY_STICK,
        (0.03, 0.10, 0.30),
        _with_the_volume(wider),
        every,
    )
    yield "volume up, all other evidence left blank", _BY_STICK, PARTS, _no_evidence, few
    yield (
        "one shot written as two that overlap in volume",
        _BY_STICK,
        (0.1, 0.3, 0.6),
        _split,
        ("the longest shot", "all shots"),
    )


def _single() -> Iterator[
    tuple[str, tuple[str, ...], tuple[float, ...], Change, Callable[[Forger], list[int]]]
]:
    counts = (1.0, 2.0, 4.0)
    yield "meter that counts too much", _BY_METER, PARTS, _meter_scaled, all_shots
    yield "shots copied to the end of the day", _ANY, counts, phantoms(), all_shots
    yield "shots copied without times", _ANY, counts, phantoms(start="", end=""), all_shots
    yield "shots copied without times and load", _ANY, counts, phantoms(start="", end="", load=""), all_shots
    yield "shots copied under a lane that is not ordered", _ANY, counts, phantoms(lane="X9"), all_shots
    yield "shots copied under a section that is not ordered", _ANY, counts, phantoms(section="Z9"), all_shots
    yield "shots copied under another lane of the order", _ANY, counts, phantom_of_lane, all_shots
    yield "shots copied beyond the section", _ANY, counts, _phantom_elsewhere, all_shots
    yield "shots copied, drawn from the end of the day", _BY_STICK, counts, _phantom_drawn, all_shots
    yield "a day copied to a later one (days)", _ANY, (1.0, 3.0, 10.0), _phantom_day, all_shots
    yield "tickets raised", _ANY, PARTS, heavier, loads
    yield "one ticket raised", _ANY, PARTS, heavier, one_load
    yield (
        "tickets raised and sprayed volumes with them",
        _BY_STICK,
        (0.05, 0.15, 0.3),
        heavier_and_sprayed,
        loads,
    )
    yield "more water than ordered in all loads", _DILUTED, (0.03, 0.10, 0.25), _thinned, loads
    yield "more water than ordered in one load", _DILUTED, (0.05, 0.20, 0.40), _thinned, one_load
    yield "water left off the tickets", _DILUTED, (0.1, 0.5, 1.0), _water_forgotten, loads
    yield "loads that never came", _ANY, counts, phantom_loads, loads
    yield "last loads not typed", _ANY, counts[:2], _load_left_out, loads
    yield (
        "gravity of the tickets lowered",
        ("tack", "prime with cutback", "chip seal in liters, asphalt"),
        (0.01, 0.03, 0.08),
        _gravity,
        loads,
    )
    yield "first stick reading of the book high", _ANY, PARTS, reading_of_day("start_dip", 1), days
    yield "last stick reading of the book low", _ANY, PARTS, reading_of_day("end_dip", -1), days
    yield "last stick reading of the book high", _ANY, PARTS, reading_of_day("end_dip", 1), days
    yield "last shot and end of day lowered alike", _BY_STICK, PARTS, _end_of_day, days
    yield "last shot, end of day and next morning lowered alike", _BY_STICK, PARTS, _overnight, days
    yield "less written as returned", _EMPTIED, (0.1, 0.3, 1.0), less_returned, days
    yield "returned material written as sprayed", _EMPTIED, (0.1, 0.3, 1.0), _returned_sprayed, days
    for column in ("dip_before", "dip_after"):
        yield f"figures swapped in {column}", _BY_STICK, (0.0,), _transposed("shots", column), _longest
        yield (
            f"{column} off by whole inches or centimeters",
            _BY_STICK,
            (1.0, 2.0, 10.0),
            _added("shots", column),
            _longest,
        )
        yield f"decimal point moved in {column}", _BY_STICK, (0.1, 10.0), _times("shots", column), _longest
    for column in ("from_station", "to_station"):
        yield f"figures swapped in {column} (place)", _ANY, (1.0, 2.0), _transposed("shots", column), _longest
        yield f"{column} off", _ANY, (10.0, 100.0, 1000.0), _added("shots", column), _longest
    yield (
        "temperature off by so many degrees",
        _ANY,
        (-40.0, -20.0, 20.0, 100.0),
        _added("shots", "temperature"),
        _longest,
    )
    yield (
        "figures swapped in the meter (place)",
        _BY_METER,
        (0.0, 1.0, 2.0),
        _transposed("shots", "meter_after"),
        _longest,
    )
    yield "meter off", _BY_METER, (10.0, 100.0, 1000.0), _added("shots", "meter_after"), _longest
    yield "width of another bar", _ANY, (0.5, 0.75, 1.5), _times("shots", "width"), _longest
    yield (
        "stick readings of a shot exchanged",
        _BY_STICK,
        (1.0, 3.0),
        _swapped("dip_before", "dip_after"),
        all_shots,
    )
    yield (
        "stations of a shot exchanged with nothing lost",
        _ANY,
        (1.0,),
        _swapped("from_station", "to_station"),
        all_shots,
    )
    yield "temperature and nozzles exchanged", _ANY, (1.0, 3.0), _swapped("temperature", "nozzles"), all_shots
    yield (
        "stick before and temperature exchanged",
        _BY_STICK,
        (1.0,),
        _swapped("dip_before", "temperature"),
        all_shots,
    )
    yield "shots left out", _ANY, counts, _left_out, all_shots
    yield "shots typed twice", _ANY, counts, _typed_twice, all_shots
    for column in ("dip_before", "dip_after", "from_station", "to_station", "start"):
        yield f"{column} typed from the row above", _BY_STICK, (1.0, 3.0), _from_above(column), all_shots
    yield (
        "mass of a load ten times or a tenth",
        ("tack", "prime with cutback"),
        (0.1, 10.0),
        _times("loads", "net_mass"),
        one_load,
    )
    yield (
        "figures swapped in the mass of a load (place)",
        ("tack", "prime with cutback"),
        (1.0, 2.0),
        _transposed("loads", "net_mass"),
        one_load,
    )
    yield "date of all loads off by days", _ANY, (-1.0, 1.0, 31.0), _added("loads", "date"), loads
    yield "date of shots off by days", _ANY, (-1.0, 1.0, 365.0), _added("shots", "date"), _every(3)
    yield "date of the day log off by days", _ANY, (1.0, 31.0), _added("days", "date"), lambda forger: [0]


CASES: list[Case] = [
    *(Case(f"{name}: {place}", kinds, sizes, change, PLACES[place])
      for name, kinds, sizes, change, places in _families() for place in places),
    *(Case(*each) for each in _single()),
]  # fmt: skip
