"""The rate of each shot against the order, as far as the readings can tell."""

from __future__ import annotations

from collections.abc import Iterator
from math import fsum
from statistics import mean

from sheetgen.audit.compute.shots import ShotRow, ordered_mix_rate
from sheetgen.audit.compute.uncertainty import COVERAGE
from sheetgen.audit.entries.logs import Shot
from sheetgen.audit.model import Finding
from sheetgen.audit.rules.case import Case, plausibility
from sheetgen.audit.rules.chance import chance_of_signs
from sheetgen.order.model import Section
from sheetgen.order.pay_terms import pay_terms


def check(case: Case) -> Iterator[Finding]:
    """Rates out of tolerance beyond doubt, those that cannot be told, and how often a rate was worked out."""
    unsure: list[tuple[Shot, ShotRow]] = []
    for shot, row in case.shots:
        yield from _by_hand(case, shot, row)
        verdict = case.uncertainty.shot(shot.row).verdict
        if verdict == "out":
            yield _out(case, shot, row)
        elif verdict == "cannot-be-told":
            unsure.append((shot, row))
    if unsure:
        yield _unsure(case, unsure)
    yield from _excess(case)
    yield from _too_few(case)
    yield from _one_way(case)


def _out(case: Case, shot: Shot, row: ShotRow) -> Finding:
    """By the name of what it is like: a residual or undiluted rate sprayed as mix, or just out of
    tolerance."""
    section, voice = case.sections[shot.section or ""], case.voice
    mix, ordered = row.mix_rate or 0.0, row.ordered_mix or 1.0
    spread = COVERAGE * (case.uncertainty.shot(shot.row).deviation or 0.0)
    return voice.shot(
        _likeness(case, section, row), shot, "dip_after",
        rate=voice.amount(mix, "rate"), ordered=voice.amount(ordered, "rate"),
        written=voice.amount(_written(case, section, row), "rate"), basis=voice.say[f"words.basis.{section.basis}"],
        deviation=voice.percent(row.deviation or 0.0), allowed=voice.percent(row.allowed or 0.0),
        spread=voice.percent(spread), ratio=f"{mix / ordered:.3f}", base=voice.volume(row.base or 0.0),
        due=voice.volume((row.area or 0.0) * ordered), area=voice.amount(row.area or 0.0, "area"),
        residue=voice.percent(case.order.material.residue),
        dilution=voice.percent(case.dilution_of(row)), because=_by_dilution(case, section, row),
    )  # fmt: skip


def _by_dilution(case: Case, section: Section, row: ShotRow) -> str:
    """Say that what left the bar was in tolerance, and the dilution in the tank put it out; empty where it did not."""
    of_tank, ordered = case.dilution_of(row), case.order.material.dilution
    if section.basis == "as-diluted" or not of_tank or row.deviation is None or row.allowed is None:
        return ""
    if abs((1 + row.deviation) * ordered / of_tank - 1) > row.allowed:
        return ""
    return case.voice.say.say(
        "said.rate-out-of-tolerance.by_dilution",
        share=case.voice.percent(of_tank),
        ordered=case.voice.percent(ordered),
    )


def _by_hand(case: Case, shot: Shot, row: ShotRow) -> Iterator[Finding]:
    """Give hand spray that was not ordered, and hand spray far above the ordered rate."""
    section = case.sections.get(shot.section or "")
    if section is None or not row.by_hand:
        return
    ordered, mix = row.ordered_mix or 0.0, row.mix_rate
    above = 0.0 if mix is None or ordered <= 0 else mix / ordered - 1
    spread = COVERAGE * (case.uncertainty.shot(shot.row).deviation or 0.0)
    if section.hand_spray and above - spread <= plausibility()["hand_agreement"]:
        return
    voice = case.voice
    due = (row.area or 0.0) * ordered
    beyond = max(0.0, (row.base or 0.0) - due)
    yield voice.shot(
        "hand-spray-above-rate" if section.hand_spray else "hand-spray-not-ordered", shot, "kind",
        section=section.id, base=voice.volume(row.base or 0.0), area=voice.amount(row.area or 0.0, "area"),
        due=voice.volume(due), beyond=voice.volume(beyond), worth=voice.money(beyond),
        rate="" if mix is None else voice.amount(mix, "rate"), ordered=voice.amount(ordered, "rate"),
        evidence=_signs_of_the_bar(case, shot),
    )  # fmt: skip


def _signs_of_the_bar(case: Case, shot: Shot) -> str:
    """Say what in the row speaks of the spray bar: nozzles, or one of its widths; empty for nothing."""
    say, signs = case.voice.say, []
    if shot.nozzles:
        signs.append(say.say("said.hand-spray-not-ordered.nozzles", nozzles=f"{shot.nozzles:g}"))
    if shot.width in case.machine.bar_widths:
        signs.append(say.say("said.hand-spray-not-ordered.bar", width=case.voice.amount(shot.width, "width")))
    return "".join(signs)


def _written(case: Case, section: Section, row: ShotRow) -> float:
    """The rate as it was ordered for a shot, on the section's basis: by the order, or by a change on the road."""
    if row.changed_mix is None:
        return section.rate
    return section.rate * row.changed_mix / ordered_mix_rate(section, case.order)


def _likeness(case: Case, section: Section, row: ShotRow) -> str:
    """Whether the number ordered on another basis was put through the bar as it stands."""
    mix, allowed = row.mix_rate or 0.0, row.allowed or 0.0
    # Half the tolerance: near enough to be no chance, wide enough for a bar that holds its rate.
    as_written = abs(mix / _written(case, section, row) - 1) <= 0.5 * allowed
    if as_written and section.basis == "residual":
        return "residual-rate-sprayed-as-bar-rate"
    if as_written and section.basis == "undiluted":
        return "undiluted-rate-sprayed-as-bar-rate"
    return "rate-out-of-tolerance"


def _unsure(case: Case, unsure: list[tuple[Shot, ShotRow]]) -> Finding:
    voice = case.voice
    shot, row = unsure[0]
    spread = COVERAGE * (case.uncertainty.shot(shot.row).deviation or 0.0)
    return voice.shot(
        "rate-cannot-be-told", shot, "dip_after", count=len(unsure),
        shots=voice.numbers(each.row for each, _ in unsure), deviation=voice.percent(row.deviation or 0.0),
        spread=voice.percent(spread), allowed=voice.percent(row.allowed or 0.0),
    )  # fmt: skip


def _excess(case: Case) -> Iterator[Finding]:
    """More sprayed over a section than the pay rule pays for."""
    for section in case.computation.section_rows:
        if section.deducted <= 0:
            continue
        shot = next(shot for shot in case.logs.shots if shot.section == section.id)
        voice = case.voice
        yield voice.shot(
            "sprayed-beyond-pay-limit", shot, "section", section=section.id,
            used=voice.volume(section.undiluted), ordered=voice.volume(section.ordered),
            cap=voice.volume(section.cap), limit=voice.percent(pay_terms(case.order).excess_limit),
            deducted=voice.volume(section.deducted), worth=voice.money(section.deducted),
        )  # fmt: skip


def _too_few(case: Case) -> Iterator[Finding]:
    """Fewer rates worked out in a day than the order asks for."""
    least = case.order.limits.rate_checks
    if least is None:
        return
    for day in case.logs.days:
        shots = [row for _, row in case.shots if day.date is not None and row.date == day.date]
        worked_out = sum(row.mix_rate is not None for row in shots)
        if shots and worked_out < least:
            yield case.voice.at(
                "too-few-rate-checks", "days", day.row, "date", date=case.voice.date(day.date or 0),
                count=worked_out, least=least, source=case.order.limits.source,
            )  # fmt: skip


def _one_way(case: Case) -> Iterator[Finding]:
    """Rates that are nearly all on one side of the order, by a good part of the tolerance though each is within it.

    Sign test on the shots that differ at all; rates that are out of tolerance are said one by one.
    """
    judged = [(shot, row) for shot, row in case.shots if row.verdict == "in" and row.deviation]
    above, bounds = sum((row.deviation or 0.0) > 0 for _, row in judged), plausibility()
    if len(judged) < bounds["lean_gaps"] or chance_of_signs(above, len(judged)) > bounds["lean_chance"]:
        return
    lean = mean(row.deviation or 0.0 for _, row in judged)
    if abs(lean) <= bounds["lean_of_tolerance"] * mean(row.allowed or 0.0 for _, row in judged):
        return
    total, voice = fsum((row.counted or 0.0) - (row.due or 0.0) for _, row in judged), case.voice
    yield voice.shot(
        "rates-lean-one-way", judged[0][0], "dip_after", total, count=len(judged), above=above,
        below=len(judged) - above, lean=f"{100 * lean:+.1f} %", total=voice.volume(abs(total)),
        worth=voice.money(abs(total)), of_shots=[shot.row for shot, _ in judged],
    )  # fmt: skip
