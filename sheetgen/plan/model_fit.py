"""Whether one machine can do one section, and how; conventions: :mod:`sheetgen.plan.model`."""

from __future__ import annotations

from typing import Literal, NamedTuple

Verdict = Literal["as-calibrated", "other-discharge", "none", "hand", "given-to-other"]
Judging = Literal["every-shot", "longer-shot", "meter", "pads", "hand"]


class Pass(NamedTuple):
    """One pass beside the others of a lane.

    Attributes:
        number: from 1, beginning at one edge of the lane
        nozzles: open; 0 for hand spray
        width: [width] sprayed
        overlap: [spacing] with the pass beside it, None for a single one
        discharge: [flow] of the bar; None where it cannot be sprayed
        speed: [speed] of the distributor; None where it cannot be sprayed
        flow: [flow] of one nozzle; None where it cannot be sprayed
        volume_per_length: [volume] hot per [distance]
        minutes_per_length: spraying time per [distance]; None where it cannot be sprayed
        land: [distance] covered by one truck of aggregate; 0 where shots are not matched to trucks
    """

    number: int
    nozzles: int
    width: float
    overlap: float | None
    discharge: float | None
    speed: float | None
    flow: float | None
    volume_per_length: float = 0.0
    minutes_per_length: float | None = None
    land: float = 0.0


class Setting(NamedTuple):
    """One bar width of one distributor on one section.

    Attributes:
        bar_width: [width] of the distributor
        sprayed: every pass of a lane, the widest first
        possible: every limit is kept
        doubled: joints are doubled beyond what was asked for, because fewer nozzles keep no limit
        short: joints overlap by less than was asked for: whole nozzles or the bar leave no more
        beyond: [width] sprayed outside the lane, by a single pass whose nozzles do not end at its edge
        calibrated: [flow] of the distributor
        speed: [speed] of the widest pass at the calibrated discharge
        margins: by limit, how far inside it is at the calibrated discharge: 0.25 is a quarter of the limit to spare
        limit: the limit with the smallest margin
        margin: the smallest margin
        least_discharge: [flow] from which on the narrowest pass keeps every limit
        greatest_discharge: [flow] up to which the narrowest pass keeps every limit
        least_by, greatest_by: the limit that sets it
    """

    bar_width: float
    sprayed: tuple[Pass, ...]
    possible: bool
    doubled: bool
    short: bool
    beyond: float
    calibrated: float
    speed: float
    margins: dict[str, float]
    limit: str
    margin: float
    least_discharge: float
    greatest_discharge: float
    least_by: str
    greatest_by: str

    @property
    def passes(self) -> int:
        """How many, side by side in one lane."""
        return len(self.sprayed)

    @property
    def total(self) -> int:
        """Nozzles of all passes together."""
        return sum(each.nozzles for each in self.sprayed)

    @property
    def nozzles(self) -> int:
        """Open in the widest pass."""
        return self.sprayed[0].nozzles

    @property
    def open_width(self) -> float:
        """[width] of the widest pass."""
        return self.sprayed[0].width

    @property
    def overlap(self) -> float | None:
        """[spacing] of adjoining passes, None for a single one."""
        return self.sprayed[0].overlap

    @property
    def nozzle_flow(self) -> float:
        """[flow] of one nozzle of the widest pass at the calibrated discharge."""
        return self.calibrated / self.nozzles

    @property
    def discharge(self) -> float | None:
        """[flow] of the widest pass."""
        return self.sprayed[0].discharge

    @property
    def sprayed_at(self) -> float | None:
        """[speed] of the widest pass."""
        return self.sprayed[0].speed

    @property
    def flow_at(self) -> float | None:
        """[flow] of one nozzle of the widest pass."""
        return self.sprayed[0].flow

    @property
    def works(self) -> bool:
        """As calibrated."""
        return self.possible and self.margin >= 0


class Judged(NamedTuple):
    """How long a shot must be for the readings to show its rate, with 95 % confidence.

    Attributes:
        by_dip: [distance] by the measuring stick; None where no length is enough
        by_meter: [distance] by the meter; None without one, or where no length is enough
        longest: [distance] that one shot can be: the section, or what a full tank covers
        shots: how many are planned
        told: how many of them are long enough for the measuring stick
        verdict: what to do: judge every-shot, longer-shot, by meter, by pads, or hand spray
    """

    by_dip: float | None
    by_meter: float | None
    longest: float
    shots: int
    told: int
    verdict: Judging


class SectionPlan(NamedTuple):
    """One section with one distributor.

    Attributes:
        id: of the section
        settings: every bar width of the distributor; empty for hand spray
        chosen: index of the setting that is planned, None for none
        verdict: whether the distributor can do it, and how; given-to-other where the section is another one's
        sprayed: every pass of one lane, the widest first; one of the ordered width for hand spray, or where none works
        sprayed_area: [area] of all passes, overlaps included
        sprayed_hot: [volume] of all passes at the planned application temperature
        sprayed_base: [volume] of all passes at 60 °F (15 °C)
        judged: how long a shot must be for its rate to be told; None where it cannot be sprayed
    """

    id: str
    settings: tuple[Setting, ...]
    chosen: int | None
    verdict: Verdict
    sprayed: tuple[Pass, ...]
    sprayed_area: float
    sprayed_hot: float
    sprayed_base: float
    judged: Judged | None

    @property
    def planned(self) -> bool:
        """Whether the machine sprays it."""
        return self.verdict not in ("none", "given-to-other")

    @property
    def setting(self) -> Setting | None:
        """The setting that is planned."""
        return None if self.chosen is None else self.settings[self.chosen]

    @property
    def offered(self) -> tuple[Setting, ...]:
        """The settings that a crew may choose, the planned one first: none doubles a joint that it need not."""
        planned = self.setting
        if planned is None:
            return ()
        others = (
            each for each in self.settings if each.possible and not each.doubled and each is not planned
        )
        return (planned, *others)

    @property
    def passes(self) -> int:
        """In one lane."""
        return len(self.sprayed)

    @property
    def open_width(self) -> float:
        """[width] of the widest pass."""
        return self.sprayed[0].width

    @property
    def volume_per_length(self) -> float:
        """[volume] hot, of the widest pass, per [distance]."""
        return self.sprayed[0].volume_per_length

    @property
    def land(self) -> float:
        """[distance] that a truck of aggregate covers in the widest pass."""
        return self.sprayed[0].land
