"""The width of a shot against the bar, the nozzles open and the lane."""

from __future__ import annotations

from collections.abc import Iterator

from sheetgen.audit.compute.shots import ShotRow
from sheetgen.audit.entries.logs import Shot
from sheetgen.audit.model import Finding
from sheetgen.audit.rules.case import Case
from sheetgen.plan.fit import widest_shot
from sheetgen.trade.rounding import round_half_away
from sheetgen.units import constants


def check(case: Case) -> Iterator[Finding]:
    """Every shot with the bar; hand spray and a flush have no width of the bar."""
    for shot, row in case.shots:
        if shot.width is None or not case.kinds[shot.row].bar:
            continue
        yield from _wider_than_bar(case, shot, row, shot.width)
        yield from _wider_than_lane(case, shot, row, shot.width)
        yield from _nozzles(case, shot, row, shot.width)


def _wider_than_bar(case: Case, shot: Shot, row: ShotRow, width: float) -> Iterator[Finding]:
    widest = max(case.machine.bar_widths)
    if width > widest + _slack(case):
        yield case.voice.shot(
            "width-wider-than-bar", shot, "width",
            width=case.voice.plain(width, "width"), bar=case.voice.plain(widest, "width"),
            share=case.voice.percent(width / widest - 1), stake=_by_width(case, row, width, widest),
        )  # fmt: skip


def _wider_than_lane(case: Case, shot: Shot, row: ShotRow, width: float) -> Iterator[Finding]:
    section = case.sections.get(shot.section or "")
    if section is None or width > max(case.machine.bar_widths) + _slack(case):
        return
    changed = 0.0 if row.changed_width is None else row.changed_width - section.width
    lane = widest_shot(case.order, case.machine, section) + changed
    if width > lane and width > min(case.machine.bar_widths):
        beyond = (row.area or 0.0) * (1 - section.width / width)
        yield case.voice.shot(
            "shot-wider-than-section", shot, "width",
            width=case.voice.plain(width, "width"), lane=case.voice.plain(section.width, "width"),
            area=case.voice.amount(beyond, "area"), stake=case.paid_by_area(row, beyond),
        )  # fmt: skip


def _nozzles(case: Case, shot: Shot, row: ShotRow, width: float) -> Iterator[Finding]:
    """Nozzles that do not make the width; one fewer, with the reason in the remarks, is what a plugged one leaves."""
    if shot.nozzles is None:
        return
    per_width = constants(case.order.units)["nozzle_spacing_per_width"]
    fitting = width * per_width / case.machine.nozzle_spacing
    covered = shot.nozzles * case.machine.nozzle_spacing / per_width
    if abs(shot.nozzles - fitting) > 0.5 + _slack(case) * per_width / case.machine.nozzle_spacing:
        one_less = shot.nozzles == round_half_away(fitting, 0) - 1
        yield case.voice.shot(
            "nozzle-shut-within-width" if one_less and shot.remarks else "width-and-nozzles-differ",
            shot, "nozzles", remarks=shot.remarks or "",
            nozzles=f"{shot.nozzles:g}", width=case.voice.plain(width, "width"),
            covered=case.voice.plain(covered, "width"), fitting=f"{round(fitting)}",
            spacing=case.voice.plain(case.machine.nozzle_spacing, "spacing"),
            stake=_by_width(case, row, width, covered),
        )  # fmt: skip


def _by_width(case: Case, row: ShotRow, width: float, other: float) -> float:
    """What is paid only because a width was written that is above another one."""
    return case.paid_by_area(row, (row.area or 0.0) * max(0.0, 1 - other / width))


def _slack(case: Case) -> float:
    """Half of what the width is read to."""
    return case.order.reading.width / 2
