"""Planning: can each machine of an order do the job, and how. Pure computing on an order.

``plan`` gives a :class:`~sheetgen.plan.model.Plan`; ``plan_text`` and ``plan_json`` say it. Pictures are drawn by
:mod:`sheetgen.plan.pictures`, which needs the optional extra of that name.
"""

from sheetgen.plan.job import plan
from sheetgen.plan.json_form import plan_json
from sheetgen.plan.model import Plan
from sheetgen.plan.text import plan_text

__all__ = ["Plan", "plan", "plan_json", "plan_text"]
