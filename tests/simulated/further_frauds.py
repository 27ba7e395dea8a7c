"""Frauds and slips in what is paid otherwise than by the volume, in tickets that come in parts, in loads that are
measured, in what is left bare, and in figures that were thought up.

Jobs of their own: those of :mod:`tests.simulated.jobs` in another unit of pay, with tickets in parts, or with the stick
read at each load. What is left bare is what an honest crew writes that sprays less than was ordered.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from itertools import pairwise

from sheetgen.order.model import Order
from tests.simulated.days import Log, factor, honest, sprayed_rate
from tests.simulated.frauds import (
    PARTS,
    Case,
    Change,
    Forger,
    after_low,
    all_shots,
    carried,
    carried_with_meter,
    days,
    first_day,
    heavier,
    heavier_and_sprayed,
    less_returned,
    loads,
    longer,
    one_load,
    phantom_loads,
    phantom_of_lane,
    phantoms,
    reading_of_day,
    wider,
)
from tests.simulated.jobs import JOBS, Job, paid_by

_AREA, _WEIGHT = ("tack, by area", "prime in liters, by area"), ("chip seal, by weight", "prime, by weight")
_TICKETS, _EMPTIED = ("tack, by tickets", "fog seal, by tickets"), ("prime, by tickets",)
_PARTED, _STICKS = (
    ("chip seal, parts of tickets",),
    ("tack, stick at loads", "prime in liters, stick at loads"),
)
_ANY = ("tack", "fog seal", "chip seal")
_DILUTED = ("fog seal", "tack in liters, diluted", "fog seal, by tickets")

OTHER_JOBS: dict[str, Job] = {
    "tack, by area": paid_by(JOBS["tack"], "area"),
    "prime in liters, by area": paid_by(JOBS["prime in liters"], "area"),
    "chip seal, by weight": paid_by(JOBS["chip seal"], "mass"),
    "prime, by weight": paid_by(JOBS["prime with cutback"], "mass"),
    "tack, by tickets": paid_by(JOBS["tack"], "mass-by-ticket"),
    "fog seal, by tickets": paid_by(JOBS["fog seal"], "mass-by-ticket"),
    "prime, by tickets": paid_by(JOBS["prime with cutback"], "mass-by-ticket"),
    "chip seal, parts of tickets": JOBS["chip seal"]._replace(parts=True),
    "tack, stick at loads": JOBS["tack"]._replace(stick_at_loads=True),
    "prime in liters, stick at loads": JOBS["prime in liters"]._replace(stick_at_loads=True),
}


# Areas


def _starved(forger: Forger, rows: list[int], size: float) -> None:
    """Less sprayed on the paid area, written as it was."""
    carried_with_meter(forger, rows, -size)


# Loads


def _ticket_again(forger: Forger, rows: list[int], size: float) -> None:
    for row in rows[: int(size)]:
        forger.copy("loads", row)


def _enriched(forger: Forger, rows: list[int], size: float) -> None:
    """More emulsion on the ticket, and as much less water: the mix is what it was."""
    for row in rows:
        before = _emulsion(forger, row)
        heavier(forger, [row], size)
        water = forger.get("loads", row, "water") - (_emulsion(forger, row) - before)
        forger.put("loads", row, water=float(round(water)))


def _emulsion(forger: Forger, row: int) -> float:
    material = forger.job.order.material
    if ("loads", row, "net_mass") in forger.log:
        return forger.get("loads", row, "net_mass") / (
            material.specific_gravity * (8.328 if forger.us else 0.999)
        )
    return forger.get("loads", row, "volume") * factor(forger.job, forger.get("loads", row, "temperature"))


def _parts_raised(forger: Forger, rows: list[int], size: float) -> None:
    for row in rows:
        forger.raise_by(size, "loads", row, "taken")


def _parts_and_sprayed(forger: Forger, rows: list[int], size: float) -> None:
    _parts_raised(forger, rows, size)
    carried(forger, forger.rows("shots"), size)


def _parts_and_total(forger: Forger, rows: list[int], size: float) -> None:
    """The ticket's quantity written higher in all its rows, and its parts and what was sprayed with it."""
    heavier(forger, rows, size)
    _parts_and_sprayed(forger, rows, size)


def _total_left_out(forger: Forger, rows: list[int], size: float) -> None:
    _parts_and_sprayed(forger, rows, size)
    for row in rows:
        del forger.log["loads", row, "volume"]


def _stick_of_load(forger: Forger, rows: list[int], size: float) -> None:
    """Ticket and stick after the load raised alike."""
    for row in rows:
        before, after = (
            forger.tank.volume(forger.get("loads", row, f"stick_{end}")) for end in ("before", "after")
        )
        heavier(forger, [row], size)
        forger.stick("loads", row, "stick_after", size * (after - before))


def _sticks_exchanged(forger: Forger, rows: list[int], size: float) -> None:
    for row in rows[: int(size)]:
        forger.swap("loads", row, "stick_before", "stick_after")


# Figures that were thought up


def _in_runs(forger: Forger, rows: list[int], size: float) -> None:
    """The readings after shots low in the first half of the book and high in the second: the sum is what it was."""
    for place, row in enumerate(rows):
        sign = -1 if place < len(rows) / 2 else 1
        forger.stick("shots", row, "dip_after", sign * size * forger.sprayed(row))


def _to_coarse_marks(forger: Forger, rows: list[int], size: float) -> None:
    """The stick read to whole, half or double units of depth; millimeters to twenty times as many."""
    mark = size * (1 if forger.us else 20)
    for row in rows:
        for column in ("dip_before", "dip_after"):
            forger.put("shots", row, **{column: round(forger.shot(row, column) / mark) * mark})


def _between_marks(forger: Forger, rows: list[int], size: float) -> None:
    for row in rows:
        forger.put(
            "shots", row, dip_after=forger.shot(row, "dip_after") - size * forger.job.order.reading.dip
        )


def _calculated(forger: Forger, rows: list[int], size: float) -> None:
    """Stick and meter worked back from the ordered rate, and so much more, within each load."""
    order = forger.job.order
    sections = {section.id: section for section in order.sections}
    held: float | None = None
    for before, row in pairwise([None, *rows]):
        new_load = before is None or forger.shot(before, "load") != forger.shot(row, "load")
        if not new_load and held is not None:
            forger.put("shots", row, dip_before=held)
        length = abs(forger.shot(row, "to_station") - forger.shot(row, "from_station"))
        area = length * forger.shot(row, "width") / (9 if forger.us else 1)
        rate = sprayed_rate(forger.job, sections[str(forger.log["shots", row, "section"])])
        hot = area * rate * (1 + size) / factor(forger.job, forger.shot(row, "temperature"))
        forger.put("shots", row, dip_after=forger.shot(row, "dip_before"))
        forger.stick("shots", row, "dip_after", -hot)
        forger.put("shots", row, meter_after=round(forger.shot(row, "meter_before") + hot))
        held = forger.shot(row, "dip_after")


def _one_temperature(forger: Forger, rows: list[int], size: float) -> None:
    for row in rows:
        forger.put("shots", row, temperature=forger.shot(0, "temperature") - size)


# What is left bare


def _sprayed_less(**changes: Callable[[float], Callable[[dict[str, object]], object]]) -> Change:
    """What an honest crew writes that takes the sections of the order to be smaller."""

    def change(forger: Forger, rows: list[int], size: float) -> None:
        data = forger.job.order.model_dump(mode="json")
        for section in data["sections"]:
            section |= {field: smaller(size)(section) for field, smaller in changes.items()}
        forger.log = _honest(forger.job._replace(order=Order.model_validate(data)))

    return change


def _honest(job: Job) -> Log:
    return honest(job, 5)


def _ends(size: float) -> Callable[[dict[str, object]], object]:
    return lambda section: float(
        round(section["to_station"] - size * (section["to_station"] - section["from_station"]))  # type: ignore[operator]
    )


def _narrower(size: float) -> Callable[[dict[str, object]], object]:
    return lambda section: section["width"] - size  # type: ignore[operator]


def _fewer(size: float) -> Callable[[dict[str, object]], object]:
    return lambda section: section["lanes"][: max(1, len(section["lanes"]) - int(size))]  # type: ignore[index, arg-type]


_Row = tuple[str, tuple[str, ...], tuple[float, ...], Change, Callable[[Forger], list[int]]]


def _of_areas() -> Iterator[_Row]:
    counts = (1.0, 2.0, 4.0)
    for where, place in (("all shots", all_shots), ("the shots of the first day", first_day)):
        yield f"paid by area, stations stretched: {where}", _AREA, (0.03, 0.10, 0.30), longer, place
        yield (
            f"paid by area, width and nozzles raised: {where}",
            _AREA,
            (0.03, 0.10, 0.30),
            wider,
            place,
        )
    yield "paid by area, shots copied", _AREA, counts, phantoms(), all_shots
    yield "paid by area, shots copied under another lane", _AREA, counts, phantom_of_lane, all_shots
    yield "paid by area, less sprayed on it", _AREA, (0.05, 0.15, 0.30), _starved, all_shots
    yield (
        "the ends of all lanes not sprayed",
        _ANY,
        (0.02, 0.10, 0.30),
        _sprayed_less(to_station=_ends),
        all_shots,
    )
    yield (
        "a narrower bar than ordered (feet)",
        _ANY,
        (1.0, 2.0, 4.0),
        _sprayed_less(width=_narrower),
        all_shots,
    )
    yield "a lane of each section not sprayed", _ANY, (1.0,), _sprayed_less(lanes=_fewer), all_shots


def _of_weights() -> Iterator[_Row]:
    counts = (1.0, 2.0, 4.0)
    yield "paid by weight, stick after the shot written low", _WEIGHT, PARTS, after_low, all_shots
    yield "paid by weight, excess carried through the readings", _WEIGHT, PARTS, carried, all_shots
    yield "paid by weight, shots copied", _WEIGHT, counts, phantoms(), all_shots
    yield "paid by tickets, tickets raised", _TICKETS, PARTS, heavier, loads
    yield "paid by tickets, one ticket raised", _TICKETS, (0.03, 0.10, 0.30), heavier, one_load
    yield (
        "paid by tickets, raised and sprayed with them",
        _TICKETS,
        (0.05, 0.15, 0.3),
        heavier_and_sprayed,
        loads,
    )
    yield "paid by tickets, loads that never came", _TICKETS, counts, phantom_loads, loads
    yield "paid by tickets, a ticket typed again", _TICKETS, (1.0, 2.0), _ticket_again, loads
    yield "paid by tickets, first stick reading high", _TICKETS, PARTS, reading_of_day("start_dip", 1), days
    yield "paid by tickets, last stick reading low", _TICKETS, PARTS, reading_of_day("end_dip", -1), days
    yield "paid by tickets, less written as returned", _EMPTIED, (0.1, 0.3, 1.0), less_returned, days


def _of_tickets() -> Iterator[_Row]:
    yield "more emulsion and less water in all loads", _DILUTED, (0.02, 0.05, 0.20), _enriched, loads
    yield "more emulsion and less water in one load", _DILUTED, (0.05, 0.20, 0.40), _enriched, one_load
    yield "parts of a ticket raised", _PARTED, (0.03, 0.10, 0.30), _parts_raised, loads
    yield (
        "parts of a ticket raised, and sprayed with them",
        _PARTED,
        (0.05, 0.15, 0.3),
        _parts_and_sprayed,
        loads,
    )
    yield "parts, total and what was sprayed raised", _PARTED, (0.05, 0.15, 0.3), _parts_and_total, loads
    yield "total of a ticket raised in one row", _PARTED, (0.01, 0.03, 0.10), heavier, one_load
    yield (
        "total left out, parts and what was sprayed raised",
        _PARTED,
        (0.0, 0.05, 0.15),
        _total_left_out,
        loads,
    )
    yield "ticket raised, the stick at the load as it was", _STICKS, (0.02, 0.05, 0.15), heavier, loads
    yield "ticket and stick after the load raised", _STICKS, (0.02, 0.05, 0.15), _stick_of_load, loads
    yield "stick readings of a load exchanged", _STICKS, (1.0, 2.0), _sticks_exchanged, loads


def _of_figures() -> Iterator[_Row]:
    yield "stick low in the first half, high in the second", _ANY, PARTS, _in_runs, all_shots
    yield "stick read to coarse marks (inches)", _ANY, (0.5, 1.0, 2.0), _to_coarse_marks, all_shots
    yield "stick readings between the marks", _ANY, (0.3, 0.5), _between_marks, all_shots
    yield "stick and meter worked back from the rate", _ANY, (0.0, 0.03, 0.08), _calculated, all_shots
    yield (
        "one temperature written for all shots (degrees less)",
        _ANY,
        (0.0, 10.0, 30.0),
        _one_temperature,
        all_shots,
    )


FURTHER = [
    Case(*row)
    for family in (_of_areas, _of_weights, _of_tickets, _of_figures) for row in family()
]  # fmt: skip
