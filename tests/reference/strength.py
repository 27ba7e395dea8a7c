"""How strong the tests are: what mutation testing left alive, and why."""

from __future__ import annotations

from typing import Any

from tests.mutation.results import read
from tests.reference.markdown import page as joined
from tests.reference.markdown import table

OPENING = """\
A mutant is the program with one small thing changed: a sign, a bound, a number, a word. It is killed when a test fails
because of it. The share that is killed says how much of the program the tests really hold in place. Where only a sample
was tried, the 95 % interval of the share stands beside it (Wilson, 1927). `python -m tests.mutation.measure` measures
again; it takes hours, and is run by hand."""
HEAD = ("package", "measured", "with", "mutants", "tried", "killed", "of these by time", "survived", "not reached",
        "share killed", "95 % interval")  # fmt: skip


def page() -> str:
    """A line for each package, then each survivor with its reason."""
    held = read()
    rows = [
        (
            f"`sheetgen.{one['name']}`", one["date"], one["tool"], one["mutants"], one["tried"],
            one["killed"] + one["timeouts"], one["timeouts"], one["survived"], one["unreached"],
            f"{one['score']:.1%}",
            _interval(one),
        )
        for one in held["package"]
    ]  # fmt: skip
    notes = "\n".join(
        f"- `sheetgen.{one['name']}`: {one['note']}" for one in held["package"] if one.get("note")
    )
    parts = ["# Strength of the tests", OPENING, table(HEAD, rows, right=range(3, 10)), notes, "## Survivors"]
    for package in (one["name"] for one in held["package"]):
        left = [one for one in held["survivor"] if one["package"] == package]
        lines = [(f"`{one['function'].removeprefix('sheetgen.')}`", _code(one["before"]), _code(one["after"]),
                  one["reason"]) for one in left]  # fmt: skip
        parts += [
            f"### `sheetgen.{package}`",
            table(("function", "the program", "the mutant", "why it lives"), lines),
        ]
    return joined(*parts)


def _interval(one: dict[str, Any]) -> str:
    if one["tried"] == one["mutants"]:
        return "all tried"
    return f"{one['low']:.1%} – {one['high']:.1%}" if one.get("random", True) else "no random sample"


def _code(text: str) -> str:
    return f"`` {' '.join(text.split())} ``" if text.strip() else ""
