"""The parts of a plan's text that say how several distributors share a job."""

from __future__ import annotations

from sheetgen.plan.figures import Figures
from sheetgen.plan.model import Shared
from sheetgen.plan.text_table import Lines, head


def assigned(shared: Shared, figures: Figures) -> Lines:
    """Who sprays each section, and whether the order or the plan says so."""
    heads = [head(figures, "section"), head(figures, "distributor"), head(figures, "assigned_by")]
    return Lines(heads, [[each.section, each.distributor or figures.say["plan.shared.no_one"],
                          figures.say[f"plan.shared.{'given' if each.given else 'chosen'}"]]
                         for each in shared.assigned])  # fmt: skip


def shares(shared: Shared, figures: Figures) -> Lines:
    """What each distributor does, and when it is done."""
    heads = [
        head(figures, "distributor"), head(figures, "sections"), head(figures, "loads"), head(figures, "shots"),
        head(figures, "sprayed", "volume"), head(figures, "hours", "hours"), head(figures, "done"),
    ]  # fmt: skip
    rows = [
        [
            share.distributor,
            ", ".join(share.sections) or "–",
            str(share.loads),
            "–" if share.shots is None else str(share.shots),
            figures.bare(share.sprayed_hot, "volume"),
            figures.bare(None if share.minutes is None else share.minutes / 60, "hours"),
            "–" if share.end is None else figures.clock(share.end),
        ]
        for share in shared.shares
    ]
    return Lines(heads, rows)


def all_done(shared: Shared, figures: Figures) -> str:
    """When the last distributor is done."""
    if shared.end is None:
        return figures.say["plan.shared.not_timed"]
    return figures.say.say("plan.shared.all_done", end=figures.clock(shared.end))
