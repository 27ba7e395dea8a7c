"""A claimed payable quantity against the recomputed one, and what would explain the difference."""

from __future__ import annotations

from collections.abc import Iterator

from sheetgen.audit.compute.blanks import total
from sheetgen.audit.compute.factors import Factors
from sheetgen.audit.compute.pay import paid_key, quantity_paid
from sheetgen.audit.compute.uncertainty import COVERAGE
from sheetgen.audit.model import Finding
from sheetgen.audit.rules.case import Case
from sheetgen.order.pay_terms import pay_decimals, tons_of, unit_kind
from sheetgen.trade.rounding import round_half_away


def check(case: Case, claim: float) -> Iterator[Finding]:
    """The claim, in the order's unit of pay, with the difference in quantity and in money.

    Where one known mistake gives just the claim, the finding has the name of that mistake.
    """
    order, overall = case.order, case.computation.totals.overall
    own = quantity_paid(overall, order) or 0.0
    decimals = pay_decimals(order)
    claimed = round_half_away(claim, decimals)
    if claimed == own:
        return
    voice, kind = case.voice, unit_kind(order)
    reach = COVERAGE * case.uncertainty.totals.overall[paid_key(order)]
    difference = claim - own
    facts: dict[str, str] = {
        "claim": voice.plain(claim, kind), "own": voice.plain(own, kind),
        "difference": voice.amount(difference, kind), "share": voice.percent(claim / own - 1) if own else "-",
        "worth": voice.money_of(difference), "reach": voice.amount(reach, kind),
    }  # fmt: skip
    for name, quantity in _quantities(case):
        if quantity != own and round_half_away(quantity, decimals) == claimed:
            yield voice.whole(name, **facts)
            return
    yield voice.whole("claim-above-recheck" if claim > own else "claim-below-recheck", **facts)


def _quantities(case: Case) -> list[tuple[str, float]]:
    """What each known mistake comes to in the unit of pay; of an area or of tickets only the excess."""
    if case.order.pay.unit in ("volume", "mass"):
        in_unit = (lambda volume: tons_of(volume, case.order)) if case.order.pay.unit == "mass" else float
        return [(name, in_unit(volume)) for name, volume in mistakes(case)]
    rows = case.computation.paid_rows
    return [("excess-claimed", total((row.payable or 0.0) + (row.deducted or 0.0) for row in rows))]


def mistakes(case: Case) -> list[tuple[str, float]]:
    """The payable volume as each known mistake would have it, with the name of its finding."""
    computation = case.computation
    order, rows = case.order, computation.shot_rows
    overall = computation.totals.overall
    counted = [row for row in rows if row.counted is not None]
    as_ordered = {row.row: order.material.dilution for row in computation.load_rows}
    deducted = overall["deducted"] or 0.0
    payable = total(section.payable for section in computation.section_rows)
    found = [
        (
            "hot-volume-claimed-as-corrected",
            total((row.net or 0.0) * case.dilution_of(row) for row in counted) - deducted,
        ),
        ("water-claimed-as-emulsion", payable / case.dilution),
        ("water-claimed-as-emulsion", payable / order.material.dilution),
        ("ordered-dilution-claimed", case.payable_with(as_ordered)),
        ("excess-claimed", payable + deducted),
        ("waste-claimed", payable + total((row.wasted or 0.0) * case.dilution_of(row) for row in rows)),
        ("loads-claimed-as-sprayed", total(row.base for row in computation.load_rows)),
        ("residue-claimed", payable * order.material.residue),
    ]
    for kind in ("asphalt-a", "asphalt-b", "emulsion"):
        if kind != computation.factors.kind:
            found.append(("claimed-by-other-column", _by_column(case, Factors.of(order, kind)) - deducted))
    return found


def _by_column(case: Case, factors: Factors) -> float:
    """What the shots come to with the factors of another correction column."""
    decimals = case.order.rounding.volume
    volumes = []
    for shot, row in case.shots:
        factor = factors.at(shot.temperature)
        if row.counted is not None and row.net is not None and factor is not None:
            volumes.append(round_half_away(row.net * factor, decimals) * case.dilution_of(row))
    return total(volumes)
