"""What came in against what went out."""

from __future__ import annotations

from collections.abc import Iterator
from math import fsum, hypot

from sheetgen.audit.compute.days import DayRow
from sheetgen.audit.compute.uncertainty import COVERAGE
from sheetgen.audit.model import Finding
from sheetgen.audit.rules.case import Case, plausibility


def check(case: Case) -> Iterator[Finding]:
    """Every day whose unexplained rest is beyond the order's limit, whatever the
    readings' resolution hides."""
    voice, limit = case.voice, case.order.limits.unexplained
    for row in beyond_limit(case):
        available, rest = (row.start or 0.0) + (row.loaded or 0.0), row.unexplained or 0.0
        reach = COVERAGE * case.uncertainty.totals.by_day.get(row.row, 0.0)
        yield voice.at(
            "unexplained-beyond-limit", "days", row.row, "end_dip", date=voice.date(row.date or 0),
            start=voice.volume(row.start or 0), loaded=voice.volume(row.loaded or 0),
            sprayed=voice.volume(row.sprayed or 0), wasted=voice.volume(row.wasted or 0),
            returned=voice.volume(row.returned or 0), end=voice.volume(row.end or 0),
            rest=voice.volume(rest), share=voice.percent(rest / available if available else 0),
            limit=voice.percent(limit), reach=voice.volume(reach),
            worth=voice.money(abs(rest) * case.dilution),
        )  # fmt: skip
    yield from _by_no_ticket(case)
    yield from _other_dilution(case)
    yield from _not_checked(case)


def beyond_limit(case: Case) -> list[DayRow]:
    """List the days with more unexplained than the order allows and the readings leave open.

    A day of which a load or the return is not known is none of them: what is missing there is said of the entry.
    """
    limit, reach = case.order.limits.unexplained, case.uncertainty.totals.by_day
    unknown = {row.date for _, row in case.loads.values() if row.mix is None}
    unknown |= {day.date for day in case.logs.days if "returned" in day.unreadable}
    return [
        row for row in case.computation.day_rows
        if row.unexplained is not None and row.start is not None and row.loaded is not None
        and row.date not in unknown
        and abs(row.unexplained) - COVERAGE * reach.get(row.row, 0.0) > limit * (row.start + row.loaded)
    ]  # fmt: skip


def unknown_sums(case: Case) -> bool:
    """Tell whether a load or a day's return is not known, so that no sum of the book holds."""
    loads = any(row.mix is None for _, row in case.loads.values())
    return loads or any("returned" in day.unreadable for day in case.logs.days)


def _by_no_ticket(case: Case) -> Iterator[Finding]:
    """Give what the first reading found on board and was sprayed or sent back: it came by no ticket.

    Asked about above the part of the payable quantity that the order lets be unexplained: what stands in a tank before
    the first load shows in no other entry of a book, so a first reading written high is paid for as sprayed.
    """
    overall, days = case.computation.totals.overall, case.logs.dated_days
    start, end = overall["start"], overall["end"]
    if start is None or end is None or not days or unknown_sums(case):
        return
    # What nobody can explain left the tank, too, and is asked about apart.
    lost = max(0.0, overall.get("unexplained") or 0.0)
    more, paid = start - end - lost, fsum(section.payable for section in case.computation.section_rows)
    reach = hypot(*(case.stick_reach(dip or 0.0) for dip in (days[0].start_dip, days[-1].end_dip)))
    if more <= reach or more * case.dilution <= case.order.limits.unexplained * paid:
        return
    voice = case.voice
    yield voice.at(
        "stock-without-ticket", "days", days[0].row, "start_dip", more * case.dilution,
        [shot.row for shot, _ in case.shots], start=voice.volume(start), end=voice.volume(end),
        more=voice.volume(more), share=voice.percent(more * case.dilution / paid if paid else 1.0),
        worth=voice.money(more * case.dilution),
    )  # fmt: skip


def _other_dilution(case: Case) -> Iterator[Finding]:
    """A payable quantity that the dilution of all loads makes smaller or larger than the ordered dilution would.

    Each load may be near the order and all of them lean to one side. A single load far from it is said at its row.
    """
    ordered, rows = case.order.material.dilution, [row for _, row in case.loads.values() if row.kind.adds > 0]
    if case.order.material.material_class != "emulsion" or not rows or unknown_sums(case):
        return
    limit = plausibility()["dilution_agreement"]
    if any(row.mix and abs((row.base or 0.0) / row.mix - ordered) > limit for row in rows):
        return
    paid = fsum(section.payable for section in case.computation.section_rows)
    due = case.payable_with({row.row: ordered for row in rows})
    if abs(paid - due) <= plausibility()["delivery_agreement"] * abs(due):
        return
    voice, last = case.voice, next(reversed(case.loads.values()))[0]
    mix, emulsion = fsum(row.mix or 0.0 for row in rows), fsum(row.base or 0.0 for row in rows)
    yield voice.at(
        "dilution-changes-pay", "loads", last.row, "water", paid - due, [shot.row for shot, _ in case.shots],
        emulsion=voice.volume(emulsion), mix=voice.volume(mix), share=voice.percent(emulsion / mix),
        ordered=voice.percent(ordered), paid=voice.volume(paid), due=voice.volume(due),
        difference=voice.volume(abs(paid - due)), worth=voice.money(abs(paid - due)),
    )  # fmt: skip


def _not_checked(case: Case) -> Iterator[Finding]:
    """What the log is too bare to check, once for each kind of entry: asked about where other shots have it."""
    for columns, mark in ((("start", "end"), "sprayed"), (("nozzles",), "bar"), (("load",), "sprayed")):
        shots = [shot for shot in case.logs.shots if getattr(case.kinds[shot.row], mark)]
        bare = [
            shot for shot in shots
            if any(getattr(shot, column) is None for column in columns)
            and not any(column in shot.unreadable for column in columns)
        ]  # fmt: skip
        if bare:
            forgotten = mark == "sprayed" and len(bare) < len(shots)
            what = case.voice.say[f"said.log-too-bare.{columns[0]}"]
            name = "log-incomplete" if forgotten else "log-too-bare"
            yield case.voice.shot(
                name, bare[0], columns[0], count=len(bare), what=what,
                shots=case.voice.numbers(shot.row for shot in bare),
            )  # fmt: skip
