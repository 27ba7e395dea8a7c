"""Sections and totals computed again, and what is payable by the order's rule."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import NamedTuple

from sheetgen.audit.compute.blanks import total
from sheetgen.audit.compute.days import DayRow, remainder
from sheetgen.audit.compute.loads import LoadRow
from sheetgen.audit.compute.shots import ShotRow
from sheetgen.audit.entries.logs import Day
from sheetgen.audit.model import Totals
from sheetgen.figures import day_text
from sheetgen.order.model import Order, Section
from sheetgen.order.pay_terms import paid_kind, pay_decimals, pay_terms, tons_of
from sheetgen.shot_kinds import shot_kinds
from sheetgen.trade.pay import total_payable
from sheetgen.trade.rates import area_of
from sheetgen.trade.rounding import round_half_away, without_dust


class SectionRow(NamedTuple):
    """One ordered section computed again: undiluted volumes at base temperature, in the order's unit,
    unrounded.

    ``undiluted`` is what was sprayed and ``ordered`` what the rate ordered over the same areas; both without
    hand-sprayed shots where the rule exempts those, whose volume is then ``hand``. ``bare`` is the ordered area that no
    shot of the book has, by the widths ordered last.
    """

    id: str
    shots: int
    area: float
    bare: float
    undiluted: float
    ordered: float
    cap: float
    hand: float
    payable: float
    deducted: float


def compute_sections(shots: tuple[ShotRow, ...], order: Order) -> tuple[SectionRow, ...]:
    """Compute every section of the order, sprayed or not."""
    return tuple(
        _section(section, [shot for shot in shots if shot.section == section.id], order)
        for section in order.sections
    )


class PaidRow(NamedTuple):
    """What is paid of one ordered section where the unit of pay is not a volume: in tons of undiluted material, or in
    the unit of area; unrounded, None where it cannot be told.

    ``measured`` was applied or accepted and ``ordered`` asked for, both without exempt hand work, which is ``hand``.
    """

    id: str
    measured: float | None
    ordered: float
    cap: float
    hand: float | None
    payable: float | None
    deducted: float | None


def paid_sections(
    sections: tuple[SectionRow, ...], shots: tuple[ShotRow, ...], order: Order, ticket_mass: float | None
) -> tuple[PaidRow, ...]:
    """Compute what is paid of every section in the unit of pay; nothing where that is a volume.

    Args:
        ticket_mass: tons used, by tickets; each section has its part of it by the volumes applied
    """
    if paid_kind(order) == "volume":
        return ()
    if paid_kind(order) == "area":
        measured = [_areas(section, shots, order) for section in order.sections]
        ordered = [ordered_area(section, order) for section in order.sections]
    else:
        used = total(shot.undiluted for shot in shots)
        measured = [
            tuple(_tons(volume, used, order, ticket_mass) for volume in (row.undiluted, row.hand))
            for row in sections
        ]
        ordered = [tons_of(row.ordered, order) for row in sections]
    return tuple(
        _paid_row(section.id, own, asked, order)
        for section, own, asked in zip(order.sections, measured, ordered, strict=True)
    )


def _tons(volume: float, used: float, order: Order, ticket_mass: float | None) -> float | None:
    if order.pay.unit == "mass":
        return tons_of(volume, order)
    if ticket_mass is None:
        return None
    return ticket_mass * volume / used if used else 0.0


def _areas(section: Section, shots: tuple[ShotRow, ...], order: Order) -> tuple[float | None, ...]:
    """The accepted area under the limit, and that of exempt hand work."""
    terms, mine = pay_terms(order), [shot for shot in shots if shot.section == section.id]
    exempt = [terms.exempts(shot.by_hand, section.hand_spray) for shot in mine]
    return tuple(
        total(shot.accepted for shot, by_hand in zip(mine, exempt, strict=True) if by_hand == hand)
        for hand in (False, True)
    )


def _paid_row(name: str, own: tuple[float | None, ...], ordered: float, order: Order) -> PaidRow:
    terms, (measured, hand) = pay_terms(order), own
    if measured is None or hand is None:
        return PaidRow(name, None, ordered, ordered * terms.paid_per_ordered, None, None, None)
    paid = terms.pay(measured, ordered, hand)
    return PaidRow(name, paid.limited, paid.ordered, paid.cap, paid.hand, paid.payable, paid.deducted)


def ticket_mass(
    loads: tuple[LoadRow, ...], overall: Mapping[str, float | None], order: Order
) -> float | None:
    """Give the tons of undiluted material used, by tickets; None where the tank's first or last reading is missing.

    What came in less what was sent back, and what was in the tank at the start, less what is left, returned and wasted.

    Source: South Dakota SD 314, used = start + received - end (seen); Colorado's tons from invoices less what is left
    in the distributor (seen).
    """
    start, end = overall["start"], overall["end"]
    if start is None or end is None:
        return None
    stock = start - end - (overall["returned"] or 0.0) - (overall["wasted"] or 0.0)
    return total(load.undiluted_mass for load in loads) + tons_of(stock * order.material.dilution, order)


def _paid(
    sections: tuple[PaidRow, ...], overall: dict[str, float | None], order: Order
) -> dict[str, float | None]:
    """The quantity in the unit of pay, what of it the contract's quantity leaves aside, and the money."""
    kind, terms = paid_kind(order), pay_terms(order)
    quantity, found = overall["payable"], dict[str, float | None]()
    if kind != "volume":
        known = [row.payable for row in sections]
        quantity = (
            None if None in known else total_payable([each or 0.0 for each in known], pay_decimals(order))
        )
        found[f"paid_{kind}"] = quantity
    of: dict[str, Callable[[float], float | None]] = {}
    if terms.overrun_limit is not None:
        of[f"beyond_{kind}"] = terms.beyond
    if terms.underrun_limit is not None:
        of[f"short_{kind}"] = terms.short
    if terms.unit_price is not None:
        of["amount"] = terms.amount
        if terms.underrun_share is not None or terms.underrun_price is not None:
            of["amount_if_ended"] = terms.amount_if_ended
    # What follows from a quantity that cannot be told is there too, and blank as in the book.
    return found | {key: None if quantity is None else result(quantity) for key, result in of.items()}


def quantity_paid(overall: Mapping[str, float | None], order: Order) -> float | None:
    """Give what is paid, in the unit of pay, from the totals of a book; None where it cannot be told."""
    return overall.get(paid_key(order))


def paid_key(order: Order) -> str:
    """Give the key of the quantity paid among the totals of a book."""
    kind = paid_kind(order)
    return "payable" if kind == "volume" else f"paid_{kind}"


def _section(section: Section, shots: list[ShotRow], order: Order) -> SectionRow:
    terms = pay_terms(order)
    exempt = {shot.row for shot in shots if terms.exempts(shot.by_hand, section.hand_spray)}
    limited = [shot for shot in shots if shot.row not in exempt]
    paid = terms.pay(
        total(shot.counted for shot in limited),
        total(shot.due for shot in limited),
        total(shot.counted for shot in shots if shot.row in exempt),
    )
    laid = total(_laid(section, shot, order) for shot in shots)
    return SectionRow(
        section.id,
        sum(shot_kinds()[shot.what].sprayed for shot in shots),
        total(shot.area for shot in shots),
        max(0.0, without_dust(ordered_area(section, order) - laid)),
        paid.limited,
        paid.ordered,
        paid.cap,
        paid.hand,
        paid.payable,
        paid.deducted,
    )


def _laid(section: Section, shot: ShotRow, order: Order) -> float:
    """Give the part of a section's ordered area that one shot has: of the width ordered last, and no more than it."""
    if shot.area is None or shot.length is None:
        return 0.0
    wanted = section.width if shot.changed_width is None else shot.changed_width
    return min(shot.area, area_of(shot.length, wanted, order.units)) * section.width / wanted


def ordered_area(section: Section, order: Order) -> float:
    """Give the area of a section, all lanes, rounded as the order rounds areas."""
    long = without_dust(abs(section.to_station - section.from_station))
    return round_half_away(
        area_of(long, section.width * len(section.lanes), order.units), order.rounding.area
    )


def totals_of(
    logged: tuple[Day, ...],
    order: Order,
    shots: tuple[ShotRow, ...],
    loads: tuple[LoadRow, ...],
    days: tuple[DayRow, ...],
    sections: tuple[SectionRow, ...],
) -> tuple[Totals, tuple[PaidRow, ...]]:
    """The totals of the whole book, by section and by day, and the sections in the unit of pay where it has its own."""
    decimals = order.rounding.volume
    loaded = total(load.counted for load in loads)
    sprayed, wasted = total(shot.base for shot in shots), total(shot.wasted for shot in shots)
    returned = total(day.returned for day in logged)
    dated = sorted((day for day in days if day.date is not None), key=lambda day: day.date or 0)
    start, end = (dated[0].start, dated[-1].end) if dated else (None, None)
    unexplained, share = remainder(start, loaded, sprayed, wasted, returned, end, decimals)
    undiluted = round_half_away(without_dust(total(shot.undiluted for shot in shots)), decimals)
    overall: dict[str, float | None] = {
        "start": start, "loaded": loaded, "sprayed": sprayed, "wasted": wasted, "returned": returned,
        "end": end, "unexplained": unexplained, "share": share, "area": total(shot.area for shot in shots),
        "undiluted": undiluted, "water": round_half_away(sprayed - undiluted, decimals),
        "deducted": total(section.deducted for section in sections),
        "payable": total_payable((section.payable for section in sections), order.rounding.pay),
    }  # fmt: skip
    if order.pay.unit == "mass-by-ticket":
        overall["ticket_mass"] = ticket_mass(loads, overall, order)
    paid = paid_sections(sections, shots, order, overall.get("ticket_mass"))
    overall |= _paid(paid, overall, order)
    return Totals(
        overall,
        {section.id: _numbers(section, "id") for section in sections},
        {day_text(day.date): _numbers(day, "row", "date") for day in reversed(days) if day.date is not None},
    ), paid


def _numbers(row: SectionRow | DayRow, *without: str) -> dict[str, float | None]:
    return {key: value for key, value in row._asdict().items() if key not in without}
