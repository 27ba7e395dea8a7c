"""Notices of a plan as sentences."""

from __future__ import annotations

from sheetgen.plan.figures import Figures
from sheetgen.plan.model import Notice


def notice_text(notice: Notice, figures: Figures) -> str:
    """One notice as a sentence, with its source."""
    values = {name: figures.value(value, kind) for name, value, kind in notice.values}
    sentence = figures.say.say(f"plan.notice.{notice.key}", section=notice.section, **values)
    return f"{sentence} [{notice.source}]" if notice.source else sentence
