"""Planning: can each machine of an order do the job, and how. Pure computing on an order.

``plan`` gives a :class:`~sheetgen.plan.model.Plan`; ``answer_text`` says it in ten lines, ``plan_text`` and
``plan_json`` say all of it. Pictures are drawn by :mod:`sheetgen.plan.pictures`, which needs the optional extra of that
name.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

from sheetgen.plan.job import plan
from sheetgen.plan.model import Plan

if TYPE_CHECKING:
    from sheetgen.plan.json_form import plan_json
    from sheetgen.plan.text import plan_text
    from sheetgen.plan.text_answer import answer_text

__all__ = ["Plan", "answer_text", "plan", "plan_json", "plan_text"]


_LATER = {
    "plan_json": "sheetgen.plan.json_form",
    "plan_text": "sheetgen.plan.text",
    "answer_text": "sheetgen.plan.text_answer",
}


def __getattr__(name: str) -> Any:
    """What says a plan is read when it is asked for: a book, and its recheck, only need the plan."""
    if name not in _LATER:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    return getattr(import_module(_LATER[name]), name)
