"""Fresh copies of one book, one for each day: where no day is in two of them, they are put together."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from itertools import combinations
from typing import TYPE_CHECKING

from sheetgen import templates
from sheetgen.audit.findings import finding
from sheetgen.audit.report.returned_file import as_text
from sheetgen.output import printable

if TYPE_CHECKING:
    from sheetgen.batch.book_line import BookLine
    from sheetgen.register.wording import AcrossFinding

_CHANGED = "return-changes-earlier"
_OTHER_DAYS = "return-of-other-days"


def days_apart(lines: Sequence[BookLine]) -> bool:
    """Whether several copies of a book have days, all of them known, and none in common."""
    known = [set(line.days) for line in lines]
    if len(known) < 2 or any(not days or "" in days for days in known):
        return False
    return not any(one & other for one, other in combinations(known, 2))


def told_as_days(across: Iterable[AcrossFinding], lines: Iterable[BookLine]) -> list[AcrossFinding]:
    """Findings across books, with copies for other days said as such, and not as changes of each other."""
    of = {line.file: line for line in lines}
    told = []
    for one in across:
        pair = [of[path] for path in map(as_text, (one.path, one.other_path)) if path in of]
        apart = one.finding.name == _CHANGED and len(pair) == 2 and days_apart(pair)
        told.append(_other_days(one, *pair) if apart else one)
    return told


def _other_days(one: AcrossFinding, line: BookLine, other: BookLine) -> AcrossFinding:
    say = templates.texts(line.language)
    facts = {"days": _listed(line), "other": printable(one.other_path), "other_days": _listed(other)}
    words = {part: say.say(f"said.{_OTHER_DAYS}.{part}", **facts) for part in ("found", "expected")}
    return replace(one, finding=finding(_OTHER_DAYS, **words))


def _listed(line: BookLine, most: int = 6) -> str:
    return ", ".join(line.days[:most]) + (", …" if len(line.days) > most else "")
