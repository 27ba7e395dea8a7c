"""Sections and totals computed again, and what is payable by the order's rule."""

from __future__ import annotations

from typing import NamedTuple

from sheetgen.audit.compute.blanks import total
from sheetgen.audit.compute.days import Day, DayRow, remainder
from sheetgen.audit.compute.loads import LoadRow
from sheetgen.audit.compute.shots import ShotRow
from sheetgen.audit.model import Totals
from sheetgen.figures import date_of
from sheetgen.order.model import Order, Section
from sheetgen.shot_kinds import shot_kinds
from sheetgen.trade.pay import PayTerms, total_payable
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


def pay_terms(order: Order) -> PayTerms:
    """Give the rule by which an order pays."""
    return PayTerms(order.pay.excess_limit, order.pay.hand_exempt)


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
) -> Totals:
    """The totals of the whole book, by section and by day."""
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
    return Totals(
        overall,
        {section.id: _numbers(section, "id") for section in sections},
        {_iso(day.date): _numbers(day, "row", "date") for day in reversed(days) if day.date is not None},
    )


def _numbers(row: SectionRow | DayRow, *without: str) -> dict[str, float | None]:
    return {key: value for key, value in row._asdict().items() if key not in without}


def _iso(day: float | None) -> str:
    return date_of(day or 0).isoformat()
