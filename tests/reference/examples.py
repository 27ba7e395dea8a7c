"""What findings say of one invented error each: planted in an honest day, or a fraud or slip in a simulated one.

``examples.toml`` names, for each finding, which error shows it; ``python -m tests.reference.examples`` writes it anew.
Not shown: what hangs on the day of the test, and what is found in files or between books.
"""

from __future__ import annotations

import json
import tomllib
from functools import cache
from pathlib import Path
from random import Random

from sheetgen.audit.model import Finding
from sheetgen.demo.planted import planted
from sheetgen.demo.planted_errors import PLANTS
from tests.audit.orders import day, findings_of, small
from tests.simulated.days import honest
from tests.simulated.habits import neat
from tests.simulated.measure_frauds import CASES, KINDS

SHOWN_BY: dict[str, str] = tomllib.loads(Path(__file__).with_suffix(".toml").read_text("utf-8"))
"""Finding -> the planted error, or the case of a fraud, that shows it."""
OF_THE_DAY = {"date-after-saving"}
ORDERS = {"en": small("us"), "es": small("si", "es")}


@cache
def brought(error: str, lang: str) -> tuple[Finding, ...]:
    """What is found in a log with one error in it, in one language."""
    if error in PLANTS:
        order = ORDERS[lang]
        log, _ = planted(day(order, 3), order, order.machines[0], [error])
        return tuple(findings_of(log, order))
    case = next(case for case in CASES if case.name == error)
    job = KINDS[case.kinds[0]]
    log = neat(case.apply(honest(job, 1), job, case.sizes[-1]), job, Random(0))
    typed = {place: value for place, value in log.items() if value != ""}
    return tuple(findings_of(typed, job.order.model_copy(update={"language": lang})))


def example(name: str, lang: str) -> Finding:
    """The first finding of a name that its error brings.

    Raises:
        LookupError: the error does not bring it any more.
    """
    found = next((each for each in brought(SHOWN_BY[name], lang) if each.name == name), None)
    if found is None:
        raise LookupError(
            f"{name}: not brought by {SHOWN_BY[name]!r}; run python -m tests.reference.examples"
        )
    return found


def choose() -> str:
    """For each finding the error that shows it in all languages: the one planted for it, else the first of them."""
    shown = {name: name for name in PLANTS}
    for error in [*PLANTS, *(case.name for case in CASES)]:
        names = [{each.name for each in brought(error, lang)} for lang in ORDERS]
        for name in set.intersection(*names) - OF_THE_DAY:
            shown.setdefault(name, error)
    return "".join(f"{name} = {json.dumps(shown[name])}\n" for name in sorted(shown))


if __name__ == "__main__":
    Path(__file__).with_suffix(".toml").write_text(choose(), encoding="utf-8")
