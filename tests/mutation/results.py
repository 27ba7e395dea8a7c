"""The results of measuring, as data: ``results.toml``, read and written.

One ``[[package]]`` for each package measured and one ``[[survivor]]`` for each mutant that no test noticed. The reason
of a survivor is written by hand and found again by what the mutant changes, not by its number.
"""

import datetime
import json
import math
import tomllib
from collections import Counter
from importlib.metadata import version
from pathlib import Path
from statistics import NormalDist
from typing import Any

RESULTS = Path(__file__).parent / "results.toml"
NO_REASON = ""
SCORED = NormalDist().inv_cdf(0.975)
"""The standard normal quantile of a two-sided 95 % interval."""

HEAD = """# Written by tests/mutation/measure.py; only the reasons are written by hand.
# killed: a test failed. timeouts: stopped after the time allowed (counted as killed). unreached: no chosen test calls
# the function (counted as survived). low, high: 95 % interval of the score (Wilson, 1927) when only a sample was tried.
# random = false: what was tried is no random sample, and the interval says nothing of the rest.
"""


def wilson(noticed: int, tried: int) -> tuple[float, float]:
    """The 95 % score interval of a share (Wilson, Journal of the American Statistical Association 22, 1927)."""
    share, square = noticed / tried, SCORED**2
    middle = (share + square / (2 * tried)) / (1 + square / tried)
    half = SCORED / (1 + square / tried) * math.sqrt(share * (1 - share) / tried + square / (4 * tried**2))
    return middle - half, middle + half


def read() -> dict[str, list[dict[str, Any]]]:
    """What the file holds; empty when there is none."""
    said = tomllib.loads(RESULTS.read_text("utf-8")) if RESULTS.exists() else {}
    return {"package": said.get("package", []), "survivor": said.get("survivor", [])}


def function_name(mutant: str) -> str:
    """``sheetgen.trade.tank.x_volume__mutmut_3`` as ``sheetgen.trade.tank.volume``; methods as ``Class.method``."""
    module, _, mangled = mutant.rpartition("__mutmut_")[0].rpartition(".")
    inside = (
        mangled.removeprefix("xǁ").replace("ǁ", ".")
        if mangled.startswith("xǁ")
        else mangled.removeprefix("x_")
    )
    return f"{module}.{inside}"


def record(
    package: str, mutants: int, outcomes: dict[str, str], left: dict[str, tuple[str, str]], seed: int
) -> None:
    """Put one package's outcome in the place of what the file held of it."""
    held = read()
    reasons = {(one["function"], one["before"], one["after"]): one["reason"] for one in held["survivor"]}
    count = Counter(outcomes.values())
    tried, noticed = len(outcomes), count["killed"] + count["timeout"]
    low, high = (noticed / tried,) * 2 if tried == mutants else wilson(noticed, tried)
    measured = {
        "name": package, "date": datetime.date.today(), "tool": f"mutmut {version('mutmut')}", "mutants": mutants,
        "tried": tried, "seed": seed, "killed": count["killed"], "timeouts": count["timeout"],
        "survived": count["survived"], "unreached": count["unreached"],
        "score": round(noticed / tried, 4), "low": round(low, 4), "high": round(high, 4),
    }  # fmt: skip
    survivors = [
        {"package": package, "function": function_name(name), "outcome": outcomes[name], "before": before,
         "after": after, "reason": reasons.get((function_name(name), before, after), NO_REASON)}
        for name, (before, after) in sorted(left.items())
    ]  # fmt: skip
    others = {
        kind: [one for one in held[kind] if one.get("package", one.get("name")) != package] for kind in held
    }
    write({"package": [*others["package"], measured], "survivor": [*others["survivor"], *survivors]})


def write(held: dict[str, list[dict[str, Any]]]) -> None:
    """All of it, in a stable order."""
    parts = [HEAD]
    for kind in ("package", "survivor"):
        for one in held[kind]:
            lines = [f"{key} = {said(value)}" for key, value in one.items()]
            parts.append(f"\n[[{kind}]]\n" + "\n".join(lines) + "\n")
    RESULTS.write_text("".join(parts), "utf-8")


def said(value: Any) -> str:
    """A value as TOML writes it."""
    return json.dumps(value, ensure_ascii=False) if isinstance(value, str | bool) else str(value)
