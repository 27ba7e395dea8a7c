"""Frauds and slips by what a row is called, by another unit, by a change on the road, and by evidence that is left out.

Thought out by one who wants to be paid more and knows the forms: a shot called void, second pass, touch-up or hand
spray; a change of rate dated back to the first shot; weights and readings in another unit; a first reading that shows
more on board than there was.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator

from sheetgen.order.model import Order
from tests.simulated.days import honest
from tests.simulated.frauds import (
    Case,
    Change,
    Forger,
    all_shots,
    carried,
    carried_with_meter,
    heavier,
    loads,
)

_BY_STICK = ("tack", "prime in liters", "fog seal", "chip seal")
_BY_METER = ("tack by night, by the meter",)
_TICKETS = ("tack, by tickets", "fog seal, by tickets", "prime, by tickets")
_WEIGHED = ("tack, by tickets", "prime, by tickets", "tack")
_AREA = ("tack, by area", "prime in liters, by area")
_MINUTE = 1 / 1440
_DIPS = ("dip_before", "dip_after")
_STEPS = (0.03, 0.10, 0.30)


# What a row is called


def _void_into_next(forger: Forger, rows: list[int], size: float) -> None:
    """Shots made void, and what they took read into the shots behind them."""
    for row in rows[1 : 1 + 2 * int(size) : 2]:
        if row + 1 in rows and forger.shot(row, "load") == forger.shot(row + 1, "load"):
            forger.put("shots", row, kind="void", remarks="nozzles clogged")
            taken = {key: forger.shot(row, key) for key in ("dip_before", "meter_before", "from_station")}
            forger.put("shots", row + 1, **taken)


def _called(kind: str, *blank: str) -> Change:
    """All raised, and called something that has no limit or no length."""

    def change(forger: Forger, rows: list[int], size: float) -> None:
        carried_with_meter(forger, rows, size)
        for row in rows:
            forger.put("shots", row, kind=kind)
            for column in blank:
                forger.log.pop(("shots", row, column), None)

    return change


def _drawn_as(kind: str) -> Change:
    """Four rows more, each with a part of the excess, and the later readings of the load lowered to fit."""

    def change(forger: Forger, rows: list[int], size: float) -> None:
        chosen = rows[1 :: max(1, len(rows) // 4)][:4]
        more = size * sum(forger.sprayed(row) for row in rows) / len(chosen)
        for row in chosen:
            new, ends = forger.copy("shots", row), forger.shot(row, "end")
            after, meter = forger.shot(row, "dip_after"), forger.shot(row, "meter_after")
            forger.put("shots", new, kind=kind, dip_before=after, dip_after=after, meter_before=meter,
                       meter_after=round(meter + more), start=ends + _MINUTE, end=ends + 2 * _MINUTE)  # fmt: skip
            forger.stick("shots", new, "dip_after", -more)
            for later in (each for each in rows if each > row):
                if forger.shot(later, "load") == forger.shot(row, "load"):
                    for column in _DIPS:
                        forger.stick("shots", later, column, -more)

    return change


# Changes on the road


def _dated_back(forger: Forger, **of_section: Callable[[object], float]) -> None:
    for row, section in enumerate(forger.job.order.sections):
        values = {key: new(section) for key, new in of_section.items()}
        forger.put("changes", row, date=forger.get("days", 0, "date"), time=forger.shot(0, "start"),
                   section=section.id, ordered_by="A. Invented", **values)  # fmt: skip


def _rate(size: float) -> Callable[[object], float]:
    return lambda section: round(section.rate * (1 + size), 3)  # type: ignore[attr-defined]


def _rate_changed(forger: Forger, rows: list[int], size: float) -> None:
    """Readings and tickets raised, and the rate that was ordered with them."""
    carried_with_meter(forger, rows, size)
    heavier(forger, forger.rows("loads"), size)
    _dated_back(forger, new_rate=_rate(size))


def _sprayed_and_changed(forger: Forger, rows: list[int], size: float) -> None:
    """Truly sprayed so, every record right, and the change written afterwards."""
    data = forger.job.order.model_dump(mode="json")
    for section in data["sections"]:
        section["rate"] *= 1.10 + size
    forger.log = honest(forger.job._replace(order=Order.model_validate(data)), 5)
    _dated_back(forger, new_rate=_rate(0.10 + size))


def _width_changed(forger: Forger, rows: list[int], size: float) -> None:
    carried_with_meter(forger, rows, size)
    heavier(forger, forger.rows("loads"), size)
    for row in rows:
        forger.raise_by(size, "shots", row, "width", places=2)
        forger.raise_by(size, "shots", row, "nozzles")
    _dated_back(forger, new_width=lambda section: section.width * (1 + size))  # type: ignore[attr-defined]


# Units


def _times(column: str, by: float) -> Change:
    """Loads written as a number of another unit."""

    def change(forger: Forger, rows: list[int], size: float) -> None:
        for row in rows[: int(size)]:
            if ("loads", row, column) in forger.log:
                forger.put("loads", row, **{column: round(forger.get("loads", row, column) * by)})

    return change


def _gross(forger: Forger, rows: list[int], size: float) -> None:
    for row in rows:
        if ("loads", row, "net_mass") in forger.log:
            forger.put("loads", row, net_mass=forger.get("loads", row, "net_mass") + size)


def _celsius(forger: Forger, rows: list[int], size: float) -> None:
    for row in rows[: int(size)]:
        forger.put("shots", row, temperature=float(round((forger.shot(row, "temperature") - 32) / 1.8)))


def _corrected(forger: Forger, rows: list[int], size: float) -> None:
    """Hot volumes of tickets called corrected ones."""
    word = {"en": "corrected", "es": "corregido"}[forger.job.order.language]
    for row in rows[: int(size)]:
        forger.put("loads", row, volume_at=word)


# Evidence left out


def _without(*left_out: str) -> Change:
    """The excess carried through stick and meter, and logs or entries that would tell left blank."""

    def change(forger: Forger, rows: list[int], size: float) -> None:
        carried_with_meter(forger, rows, size)
        forger.log = {
            place: value
            for place, value in forger.log.items()
            if place[0] not in left_out and f"{place[0]}.{place[2]}" not in left_out
        }

    return change


def _all_confirmed(forger: Forger, rows: list[int], size: float) -> None:
    carried_with_meter(forger, rows, size)
    for table in ("shots", "loads", "days"):
        for row in forger.rows(table):
            forger.put(table, row, confirmed="yes", remarks="read twice")


def _colder_with_tickets(forger: Forger, rows: list[int], size: float) -> None:
    """Every temperature of the book written low."""
    for table, column in (("shots", "temperature"), ("loads", "temperature"), ("days", "start_temperature"),
                          ("days", "end_temperature")):  # fmt: skip
        for row in forger.rows(table):
            forger.put(table, row, **{column: forger.get(table, row, column) - size})


# The tank before and after


def _stock(day: int) -> Change:
    """More on board in the morning than there was, sprayed by the shots of the first load."""

    def change(forger: Forger, rows: list[int], size: float) -> None:
        if day not in forger.rows("days"):
            return
        date = forger.get("days", day, "date")
        mine = [row for row in rows if forger.shot(row, "date") == date]
        first = [row for row in mine if forger.shot(row, "load") == forger.shot(mine[0], "load")]
        more = size * sum(forger.sprayed(row) for row in rows)
        forger.stick("days", day, "start_dip", more)
        carried_with_meter(forger, first, more / sum(forger.sprayed(row) for row in first))
        for row in first:
            for column in _DIPS:
                forger.stick("shots", row, column, more)

    return change


def _rest_sprayed(forger: Forger, rows: list[int], size: float) -> None:
    """What was left on board at the end read as sprayed by the last shot."""
    more = size * sum(forger.sprayed(row) for row in rows)
    forger.stick("shots", rows[-1], "dip_after", -more)
    forger.stick("days", forger.rows("days")[-1], "end_dip", -more)
    forger.put("shots", rows[-1], meter_after=round(forger.shot(rows[-1], "meter_after") + more))


def _last_day(forger: Forger, rows: list[int], size: float) -> None:
    """Readings and tickets of the last day raised, the meter left as it was."""
    date = forger.get("days", forger.rows("days")[-1], "date")
    carried(forger, [row for row in rows if forger.shot(row, "date") == date], size)
    heavier(forger, [row for row in forger.rows("loads") if forger.get("loads", row, "date") == date], size)


def _meter_at_morning(forger: Forger, rows: list[int], size: float) -> None:
    """The first meter reading of each day low."""
    for date in {forger.shot(row, "date") for row in rows}:
        first = next(row for row in rows if forger.shot(row, "date") == date)
        forger.put("shots", first, meter_before=forger.shot(first, "meter_before") - size)


_Row = tuple[str, tuple[str, ...], tuple[float, ...], Change, Callable[[Forger], list[int]]]


def _of_rows() -> Iterator[_Row]:
    yield "shots made void and read into the next", _BY_STICK, (1.0, 2.0), _void_into_next, all_shots
    for kind in ("second pass", "touch-up", "hand"):
        parts = (0.02, 0.05, 0.15)
        yield f"excess drawn in further rows: {kind}", _BY_STICK, parts, _drawn_as(kind), all_shots
    yield "all raised and called hand spray", _BY_STICK, _STEPS, _called("hand", "nozzles"), all_shots
    yield "all raised and called second passes", _BY_STICK, _STEPS, _called("second pass"), all_shots
    yield "a change of rate dated back, all raised with it", _BY_STICK, _STEPS, _rate_changed, all_shots
    yield (
        "sprayed beyond the limit, a change dated back",
        _BY_STICK,
        (0.05, 0.10),
        _sprayed_and_changed,
        all_shots,
    )
    yield "paid by area, a change of width dated back", _AREA, _STEPS, _width_changed, all_shots
    yield "weights of tickets in the other unit", _WEIGHED, (1.0, 9.0), _times("net_mass", 2.2046), loads
    yield "volumes of tickets in the other unit", _TICKETS, (1.0, 9.0), _times("volume", 3.7854), loads
    yield "gross weight for net", _WEIGHED, (2000.0, 16000.0), _gross, loads
    yield "temperatures in the other unit", ("tack", "chip seal"), (1.0, 60.0), _celsius, all_shots
    yield "hot volumes of tickets called corrected", ("fog seal, by tickets",), (1.0, 9.0), _corrected, loads


def _of_evidence() -> Iterator[_Row]:
    for what, left_out in {
        "the readings of days": ("days.start_dip", "days.end_dip"),
        "the days": ("days",),
        "days and loads": ("days", "loads", "shots.load"),
    }.items():
        yield f"excess carried, and left out: {what}", _BY_STICK, (0.03, 0.10), _without(*left_out), all_shots
    sticks = ("shots.dip_before", "shots.dip_after", "days.start_dip", "days.end_dip")
    yield "meter raised, and left out: all sticks", _BY_METER, (0.03, 0.10), _without(*sticks), all_shots
    yield "excess carried, every row confirmed", _BY_STICK, (0.01, 0.03, 0.10), _all_confirmed, all_shots
    yield (
        "every temperature low, tickets too (degrees)",
        ("tack", "prime with cutback", "chip seal in liters, asphalt"),
        (20.0, 50.0),
        _colder_with_tickets,
        all_shots,
    )
    yield (
        "more on board on the second morning",
        ("tack in liters, diluted",),
        (0.03, 0.1),
        _stock(1),
        all_shots,
    )
    yield "more on board before the first load", ("prime with cutback",), (0.06, 0.1), _stock(0), all_shots
    yield "the rest on board sprayed by the last shot", _BY_STICK, (0.02, 0.05, 0.1), _rest_sprayed, all_shots
    yield "sticks and tickets of the last day raised", _BY_STICK, (0.05, 0.15), _last_day, all_shots
    yield "first meter reading of each day low", _BY_METER, (20.0, 60.0), _meter_at_morning, all_shots


OF_ROWS = [Case(*row) for family in (_of_rows, _of_evidence) for row in family()]
