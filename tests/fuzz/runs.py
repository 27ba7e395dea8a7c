"""The figures of the runs of ``whole_way.py``: kept in ``runs.toml``, told on a page."""

from __future__ import annotations

import datetime
import platform
import resource
import tomllib
from pathlib import Path
from typing import TYPE_CHECKING, Any

from tests.fuzz.structured import KINDS

if TYPE_CHECKING:
    from tests.fuzz.whole_way import WholeWay

RUNS = Path(__file__).with_name("runs.toml")
HEAD = "# Written by tests/fuzz/whole_way.py: what each run tried, and what became of it.\n"
MEGABYTES = 300
SAID = ("refused", "done")


def run_of(way: WholeWay, first: int, end: int, failed: list[str]) -> dict[str, Any]:
    """The figures of one run of the cases from ``first`` on, before ``end``."""
    seconds, kind, number = way.slowest
    return {
        "date": datetime.date.today(), "python": platform.python_version(), "first": first, "rounds": end - first,
        "refused": {kind: way.answers[kind, "refused"] for kind in KINDS},
        "done": {kind: way.answers[kind, "done"] for kind in KINDS},
        "failed": failed, "slowest": f"{kind} {number}", "seconds": round(seconds, 2),
        "megabytes": resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1024,
    }  # fmt: skip


def earlier_runs() -> list[dict[str, Any]]:
    """The runs kept so far."""
    return tomllib.loads(RUNS.read_text(encoding="utf-8"))["run"] if RUNS.exists() else []


def as_toml(run: dict[str, Any]) -> str:
    """A run as it is kept."""
    return "\n[[run]]\n" + "".join(f"{key} = {_value(value)}\n" for key, value in run.items())


def _value(value: Any) -> str:
    match value:
        case dict():
            return "{ " + ", ".join(f"{key} = {each}" for key, each in value.items()) + " }"
        case list():
            return "[" + ", ".join(map(_value, value)) + "]"
        case str():
            return (
                '"'
                + "".join(sign if sign.isprintable() and sign not in '\\"' else "?" for sign in value)
                + '"'
            )
        case _:
            return str(value)


def page(runs: list[dict[str, Any]]) -> str:
    """The runs for a reader: what was tried of each kind in all, and each run."""
    cases = sum(each["rounds"] for each in runs)
    rows = [
        f"| {kind} | {cases:,} | "
        + " | ".join(f"{sum(each[said][kind] for each in runs):,}" for said in SAID)
        + " |"
        for kind in KINDS
    ]
    return "\n".join(
        [
            "# Spoilt inputs, the whole way",
            "",
            "Made by `python -m tests.fuzz.whole_way MINUTES FIRST --write FOLDER`: every input is one sound file with",
            "mutations of its structure. Books are rechecked and reported with copy and CSV, orders are read and",
            "planned, claim sheets, yards and settings are read; a desk gets names, bodies and addresses. A case fails",
            "by an error that is not in words, more than 2 s of processor time, a changed input, a broken output, or a",
            f"file where none belongs; a run fails by more than {MEGABYTES} MB.",
            "",
            "| input | cases | refused in words | done |",
            "| --- | ---: | ---: | ---: |",
            *rows,
            "",
            f"{cases * len(KINDS):,} cases, {sum(len(each['failed']) for each in runs)} failed. "
            "Run by run, on one process at low priority:",
            "",
            "| date | Python | cases of each kind | failed | slowest, s of processor time | peak memory, MB |",
            "| --- | --- | --- | ---: | --- | ---: |",
            *(
                f"| {each['date']} | {each['python']} | {each['first']:,} to {each['first'] + each['rounds'] - 1:,} | "
                f"{len(each['failed'])} | {each['seconds']:.2f} ({each['slowest']}) | {each['megabytes']} |"
                for each in runs
            ),
            "",
            *(f"- failed: {failure}" for each in runs for failure in each["failed"]),
        ]
    )
