"""The shots computed again: length, area, volumes, rates, deviation and verdict."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from itertools import accumulate
from typing import Any, NamedTuple

from sheetgen.audit.compute.blanks import Column, not_negative, rounded, where_known
from sheetgen.audit.compute.changes import ChangeRow
from sheetgen.audit.compute.dilution import tank_dilutions
from sheetgen.audit.compute.factors import Factors
from sheetgen.audit.compute.loads import LoadRow
from sheetgen.audit.entries.logs import Load, Shot
from sheetgen.order.model import Material, Order, Section
from sheetgen.shot_kinds import ShotKind, shot_kinds
from sheetgen.trade import tolerance
from sheetgen.trade.basis import emulsion_in, mix_rate, residual_rate
from sheetgen.trade.chart import Chart
from sheetgen.trade.correction import at_base
from sheetgen.trade.rates import area_of, rate_over
from sheetgen.trade.rounding import without_dust


class ShotRow(NamedTuple):
    """One shot computed again, in the order's units; None where an entry is missing for it.

    Volumes ``before``, ``after``, ``hot`` and ``net`` are hot, all others at base temperature; rates are of mix at
    base temperature but ``residual_rate``, and ``hot_rate``, which is of mix as read. ``dilution`` is that of the
    mix as it was in the tank; ``ordered_mix`` is the rate of this mix that leaves what was ordered. ``undiluted``,
    ``due`` and ``counted`` are volumes of undiluted material: sprayed, ordered for the area, and taken into the
    payable quantity; ``accepted`` is the area of what counts. ``verdict`` is "in", "high", "low" or "incomplete",
    or the kind of a row whose rate is not judged; ``what`` is the kind that the row is taken for.
    """

    row: int
    date: float | None
    section: str | None
    verdict: str
    hot_rate: float | None
    from_: float | None
    to: float | None
    length: float | None
    area: float | None
    before: float | None
    after: float | None
    hot: float | None
    net: float | None
    factor: float | None
    base: float | None
    wasted: float | None
    dilution: float | None
    changed_mix: float | None
    changed_width: float | None
    ordered_mix: float | None
    mix_rate: float | None
    residual_rate: float | None
    deviation: float | None
    allowed: float | None
    what: str
    by_hand: bool
    undiluted: float | None
    due: float | None
    counted: float | None
    accepted: float | None
    running: float | None


def compute_shots(
    shots: tuple[Shot, ...],
    order: Order,
    chart: Chart,
    factors: Factors,
    changes: tuple[ChangeRow, ...] = (),
    loads: tuple[tuple[Load, LoadRow], ...] = (),
) -> tuple[ShotRow, ...]:
    """Compute every used row of the shot log, each at the rate ordered last for it and the dilution in the tank."""
    rounding = order.rounding
    kinds = [shot_kinds()[what] for what in _what(shots, order)]
    from_, to = [shot.from_station for shot in shots], [shot.to_station for shot in shots]
    length = where_known(lambda start, end: without_dust(abs(end - start)), from_, to)
    area = rounded(_area(kinds, length, [shot.width for shot in shots], order), rounding.area)
    before, after = ([chart.volume(dip) for dip in dips] for dips in _dips(shots))
    hot = _hot(shots, kinds, before, after, order)
    waste = _waste(shots, kinds, hot)
    net = rounded(where_known(_less, hot, waste), rounding.volume)
    factor = factors.all(
        [shot.temperature if kind.counted else None for shot, kind in zip(shots, kinds, strict=True)]
    )
    base = rounded(where_known(at_base, net, factor), rounding.volume)
    wasted = rounded(where_known(at_base, waste, factor), rounding.volume)
    dilution = _dilutions(shots, kinds, where_known(at_base, before, factor), loads, order)
    measured = (from_, to, length, area, before, after, hot, net, factor, base, wasted, dilution)
    judged = _judged(shots, kinds, order, factor, base, area, dilution, changes)
    hot_rate = rounded(where_known(rate_over, net, [each or None for each in area]), rounding.rate)
    return tuple(
        ShotRow(shot.row, shot.date, shot.section, *values)
        for shot, *values in zip(shots, judged[0], hot_rate, *measured, *judged[1:], strict=True)
    )


def _judged(
    shots: tuple[Shot, ...],
    kinds: Sequence[ShotKind],
    order: Order,
    factor: Column,
    base: Column,
    area: Column,
    dilution: Column,
    changes: tuple[ChangeRow, ...],
) -> tuple[Sequence[Any], ...]:
    """The verdicts, and the columns from ``changed_mix`` on: each shot against what was ordered for it."""
    sections = {section.id: section for section in order.sections}
    counted_shots = list(zip(shots, kinds, strict=True))
    placed = [sections.get(shot.section or "") if kind.counted else None for shot, kind in counted_shots]
    changed, widths = (
        [_change(shot, changes, holds) if kind.counted else None for shot, kind in counted_shots]
        for holds in (ChangeRow.changes_rate, ChangeRow.changes_width)
    )
    changed_mix = [None if change is None else change.mix for change in changed]
    ordered = _ordered(placed, factor, order, changed_mix, dilution)
    decimals = order.rounding.rate
    rate = where_known(rate_over, base, [each or None for each in area])  # without area no rate
    mix, residual = rounded(rate, decimals), rounded(_residual(rate, dilution, order.material), decimals)
    deviation = rounded(where_known(tolerance.deviation, mix, ordered), tolerance.DECIMALS)
    allowed = [
        change.allowed if change is not None else None if section is None else allowed_deviation(section)
        for section, change in zip(placed, changed, strict=True)
    ]
    what, by_hand = [kind.key for kind in kinds], [kind.hand_spray for kind in kinds]
    undiluted = where_known(emulsion_in, base, dilution)
    ordered_part = [
        _ordered_part(section, part, order) for section, part in zip(placed, dilution, strict=True)
    ]
    due = where_known(
        lambda spread, rate, part, _: spread * rate * part, area, ordered, ordered_part, undiluted
    )
    counted = [
        u if hand or d is not None else None for u, hand, d in zip(undiluted, by_hand, due, strict=True)
    ]
    accepted = [spread if paid is not None else None for spread, paid in zip(area, counted, strict=True)]
    verdicts = [_verdict(*each) for each in zip(kinds, base, area, deviation, allowed, strict=True)]
    changed_width = [None if change is None else change.width for change in widths]
    against = (
        ordered,
        mix,
        residual,
        deviation,
        allowed,
        what,
        by_hand,
        undiluted,
        due,
        counted,
        accepted,
        _running(base),
    )
    return verdicts, changed_mix, changed_width, *against


def _dips(shots: tuple[Shot, ...]) -> tuple[Column, Column]:
    return [shot.dip_before for shot in shots], [shot.dip_after for shot in shots]


def _dilutions(
    shots: tuple[Shot, ...],
    kinds: Sequence[ShotKind],
    on_board: Column,
    loads: tuple[tuple[Load, LoadRow], ...],
    order: Order,
) -> Column:
    """The dilution of the mix in the tank; none of a void row."""
    counted, came, rows = (
        [kind.counted for kind in kinds],
        [load for load, _ in loads],
        [row for _, row in loads],
    )
    tank = tank_dilutions(shots, counted, on_board, came, rows, order.material.dilution)
    return [part if yes else None for part, yes in zip(tank, counted, strict=True)]


def _ordered_part(section: Section | None, dilution: float | None, order: Order) -> float | None:
    """The undiluted part of what is ordered of the mix: of a rate as diluted by the order, of any other as it is."""
    return order.material.dilution if section is not None and section.basis == "as-diluted" else dilution


def ordered_mix_rate(section: Section, order: Order) -> float:
    """The ordered rate as mix at the bar, at the temperature that the section's rate is given for."""
    return mix_rate(section.rate, section.basis, order.material.residue, order.material.dilution)


def allowed_deviation(section: Section) -> float:
    """The tolerance as a part of the ordered rate, to six decimals."""
    absolute = section.tolerance_kind == "absolute"
    return tolerance.allowed_deviation(section.tolerance, section.rate, absolute)


def _what(shots: tuple[Shot, ...], order: Order) -> list[str]:
    """What each row is taken for: what the log says; where it is silent, what the order says of the section."""
    by_hand = {section.id for section in order.sections if section.hand_spray}
    return [shot.kind or ("hand" if shot.section in by_hand else "shot") for shot in shots]


def _area(kinds: Sequence[ShotKind], length: Column, width: Column, order: Order) -> Column:
    """Areas: none of a void row, nought of one whose area does not count."""
    areas = where_known(lambda long, wide: area_of(long, wide, order.units), length, not_negative(width))
    return [
        None if not kind.counted else area if kind.area else 0.0
        for kind, area in zip(kinds, areas, strict=True)
    ]


def _hot(
    shots: tuple[Shot, ...], kinds: Sequence[ShotKind], before: Column, after: Column, order: Order
) -> Column:
    """Hot volume by the reading of record, by the other one where that is missing; none of a void row.

    What was only flushed or tested can be known by its waste alone.
    """
    by_dip = where_known(_less, before, after)
    meters = [shot.meter_after for shot in shots], [shot.meter_before for shot in shots]
    by_meter = where_known(_less, *meters)
    first, second = (by_dip, by_meter) if order.pay.measured_by == "dip" else (by_meter, by_dip)
    chosen = [one if one is not None else other for one, other in zip(first, second, strict=True)]
    known = [
        None if not kind.counted else shot.waste if each is None and not kind.sprayed else each
        for shot, kind, each in zip(shots, kinds, chosen, strict=True)
    ]
    return rounded(known, order.rounding.volume)


def _less(one: float, other: float) -> float:
    return without_dust(one - other)


def _waste(shots: tuple[Shot, ...], kinds: Sequence[ShotKind], hot: Column) -> Column:
    """Waste: all of what was not sprayed on the road, else what is written, nought where the cell is blank.

    Unknown where it cannot be read, and in a void row.
    """
    return [
        None if "waste" in shot.unreadable or not kind.counted
        else shot.waste or 0.0 if kind.sprayed
        else each
        for shot, kind, each in zip(shots, kinds, hot, strict=True)
    ]  # fmt: skip


def _change(
    shot: Shot, changes: tuple[ChangeRow, ...], holds: Callable[[ChangeRow, str | None, int], bool]
) -> ChangeRow | None:
    return next((change for change in changes if holds(change, shot.section, shot.row + 1)), None)


def _ordered(
    placed: list[Section | None], factor: Column, order: Order, changed_mix: Column, dilution: Column
) -> Column:
    rates = {section.id: ordered_mix_rate(section, order) for section in order.sections}
    ordered: Column = []
    for section, each, changed, part in zip(placed, factor, changed_mix, dilution, strict=True):
        if section is None or not part:
            ordered.append(None)
            continue
        rate = rates[section.id] if changed is None else changed
        if section.basis != "as-diluted":  # of a thinner mix more is needed
            rate *= order.material.dilution / part
        if section.rate_temperature == "base":
            ordered.append(rate)
        else:
            ordered.append(None if each is None else rate * each)
    return ordered


def _residual(rate: Column, dilution: Column, material: Material) -> Column:
    return where_known(lambda mix, part: residual_rate(mix, material.residue, part), rate, dilution)


def _running(base: Column) -> Column:
    sums = accumulate(0.0 if value is None else value for value in base)
    return [None if value is None else running for value, running in zip(base, sums, strict=True)]


def _verdict(
    kind: ShotKind, base: float | None, area: float | None, deviation: float | None, allowed: float | None
) -> str:
    if not kind.counted:
        return kind.key
    if base is None or area is None:
        return "incomplete"
    if kind.hand_spray or not kind.area:
        return kind.key
    if deviation is None or allowed is None:
        return "incomplete"
    return tolerance.judged(deviation, allowed)
