"""Whether one machine can do one section, and how; conventions: :mod:`sheetgen.plan.model`."""

from __future__ import annotations

from typing import Literal, NamedTuple

Verdict = Literal["as-calibrated", "other-discharge", "none", "hand"]
Judging = Literal["every-shot", "longer-shot", "meter", "pads", "hand"]


class Setting(NamedTuple):
    """One bar width of one machine on one section.

    Attributes:
        bar_width: [width] of the machine
        passes: side by side in one lane
        nozzles: open in each pass
        open_width: [width] sprayed in one pass
        overlap: [spacing] between adjoining passes, None for a single one
        beyond: [width] sprayed outside the lane, by a single pass whose nozzles do not end at its edge
        speed, nozzle_flow: [speed], [flow] at the calibrated discharge
        margins: by limit, how far inside it is: 0.25 is a quarter of the limit to spare, below zero is outside
        limit: the limit with the least margin
        margin: that margin
        least_discharge, greatest_discharge: [flow] between which every limit is kept; none where they cross
        least_by, greatest_by: the limits that set these two
        discharge: [flow] inside these nearest to the calibrated one, None where there is none
        sprayed_at: [speed] at that discharge
        flow_at: [flow] of one nozzle at that discharge
        rank: the lower, the nearer: passes first, then change of discharge, then width
    """

    bar_width: float
    passes: int
    nozzles: int
    open_width: float
    overlap: float | None
    beyond: float
    speed: float
    nozzle_flow: float
    margins: dict[str, float]
    limit: str
    margin: float
    least_discharge: float
    greatest_discharge: float
    least_by: str
    greatest_by: str
    discharge: float | None
    sprayed_at: float | None
    flow_at: float | None
    rank: int

    @property
    def works(self) -> bool:
        """As calibrated."""
        return self.margin >= 0


class Judged(NamedTuple):
    """How long a shot must be for its rate to be told from the readings, with 95 % confidence.

    Attributes:
        by_dip: [distance] by the dipstick; None where no length is enough
        by_meter: [distance] by the meter; None without one, or where no length is enough
        longest: [distance] that one shot can be: the section, or what a full tank covers
        shots, told: planned, and how many of them are long enough for the dipstick
        verdict: what to do
    """

    by_dip: float | None
    by_meter: float | None
    longest: float
    shots: int
    told: int
    verdict: Judging


class SectionPlan(NamedTuple):
    """One section with one machine.

    Attributes:
        id: of the section
        settings: every bar width of the machine; empty for a section sprayed by hand
        chosen: index of the setting that is planned, None for none
        verdict: whether the machine can do it, and how
        open_width: [width] sprayed in one pass
        passes: in one lane
        volume_per_length: [volume] hot, of one pass, per [distance]
        minutes_per_length: spraying time per [distance]; None where it cannot be sprayed
        land: [distance] covered by one truck of aggregate; 0 where shots are not matched to trucks
        sprayed_area: [area] of all passes, overlaps included
        sprayed_hot, sprayed_base: [volume]
        judged: see :class:`Judged`; None where it cannot be sprayed
    """

    id: str
    settings: tuple[Setting, ...]
    chosen: int | None
    verdict: Verdict
    open_width: float
    passes: int
    volume_per_length: float
    minutes_per_length: float | None
    land: float
    sprayed_area: float
    sprayed_hot: float
    sprayed_base: float
    judged: Judged | None

    @property
    def setting(self) -> Setting | None:
        """The setting that is planned."""
        return None if self.chosen is None else self.settings[self.chosen]
