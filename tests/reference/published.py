"""Every published number that the arithmetic is checked against: printed value, ours, the difference."""

from __future__ import annotations

import importlib
import inspect
import pkgutil
import tomllib
from collections import Counter
from collections.abc import Iterator
from pathlib import Path
from types import ModuleType

import tests.plan
import tests.trade
from tests.published import STATUSES, Published
from tests.reference.markdown import page as joined
from tests.reference.markdown import table

CONTRADICTIONS = Path(__file__).parent / "contradictions.toml"
BEYOND = Path(__file__).parent / "beyond_a_book.toml"
OPENING = """\
Each line is one test case. *printed* is the number as its source prints it, *ours* what the program gives, to two
more digits, *difference* ours less printed. A case holds when ours, rounded as printed, is the printed number: so a
difference below half of the last printed digit is rounding and no disagreement.

**seen**: the number was read in the source. **inputs seen**: the inputs were read there, the answer was not legible and
is worked out by hand. **memory**: the source was not at hand. **computed**: worked out by hand from seen figures, no
source prints it."""


def page() -> str:
    """All cases by the test file that holds them, then where sources contradict each other."""
    found = list(modules())
    every = [case for _, cases in found for case in cases]
    count = Counter(case.status for case in every)
    parts = [
        "# Published checks",
        OPENING,
        table(
            ("status", "cases"),
            [*((each, count[each]) for each in STATUSES), ("all", len(every))],
            right=(1,),
        ),
    ]
    for module, cases in found:
        title = (inspect.getdoc(module) or module.__name__).splitlines()[0]
        rows = [_row(case) for case in cases]
        head = ("source", "status", "what", "printed", "ours", "difference")
        parts += [
            f"## {title}",
            f"`{module.__name__.replace('.', '/')}.py`",
            table(head, rows, right=(3, 4, 5)),
        ]
    parts += ["## Where sources contradict each other, and what was chosen", contradictions()]
    return joined(*parts, "## Published cases that no book decides", beyond())


def modules() -> Iterator[tuple[ModuleType, list[Published]]]:
    """The test modules that hold published numbers, with these."""
    for package in (tests.trade, tests.plan):
        for each in sorted(pkgutil.iter_modules(package.__path__), key=lambda one: one.name):
            module = importlib.import_module(f"{package.__name__}.{each.name}")
            cases = [case for value in vars(module).values() for case in _cases(value)]
            if cases:
                yield module, cases


def _cases(value: object) -> list[Published]:
    return [each for each in value if isinstance(each, Published)] if isinstance(value, list | tuple) else []


def _row(case: Published) -> tuple[str, str, str, str, str, str]:
    ours = case.value()
    digits = max(case.decimals, 0)
    difference = round(ours - case.printed, digits + 2)
    shown = f"{difference:+.{digits + 2}f}" if difference else "0"
    return (
        case.source, case.status, case.what,
        f"{case.printed:,.{digits}f}", f"{ours:,.{digits + 2}f}", shown,
    )  # fmt: skip


def contradictions() -> str:
    """The table of contradictions."""
    rows = tomllib.loads(CONTRADICTIONS.read_text(encoding="utf-8"))["contradiction"]
    keys = ("about", "versions", "chosen", "where")
    return table(
        ("about", "what the sources say", "what the program does, and why", "where"),
        [[row[key] for key in keys] for row in rows],
    )


def beyond() -> str:
    """The table of ``beyond_a_book.toml``."""
    cases = tomllib.loads(BEYOND.read_text("utf-8"))["case"]
    return table(
        ("case", "why the recheck does not decide it"), [(each["source"], each["why"]) for each in cases]
    )
