"""Published numbers that the arithmetic must give again: what a source prints beside what we compute.

Each test file of a source lists its cases as :class:`Published`; a page of the documentation can be made
from the same lists. ``status`` says where the expected value comes from:

* seen: the number was read in the source
* inputs seen: the inputs were read there, the answer was not legible and is worked out by hand from them
* memory: the source was not at hand
* computed: worked out by hand from seen figures, no source prints it
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import Any

import pytest

from sheetgen.quantities import ureg

Q = ureg.Quantity

STATUSES = ("seen", "inputs seen", "memory", "computed")


@dataclass(frozen=True)
class Published:
    """One published number.

    Attributes:
        source: document and section
        status: see the module
        what: the inputs in words
        printed: the number as printed
        decimals: how many decimals it is printed with (negative: rounded to tens and so on)
        ours: computes ours, in the printed unit
    """

    source: str
    status: str
    what: str
    printed: float
    decimals: int
    ours: Callable[[], Any]

    def __post_init__(self) -> None:
        assert self.status in STATUSES

    def value(self) -> float:
        """Ours as a plain number."""
        made = self.ours()
        return float(made.magnitude if hasattr(made, "magnitude") else made)

    def check(self) -> None:
        """Ours, rounded as printed, is the printed number."""
        ours = self.value()
        half = 0.5 * 10.0**-self.decimals
        assert math.isfinite(ours)
        assert abs(ours - self.printed) <= half * (1 + 1e-6) + 1e-12, (
            f"{self.source}: {self.what}: ours {ours!r}"
        )


def cases(published: Iterable[Published]) -> pytest.MarkDecorator:
    """The cases as parameters of a test, named by what they are."""
    return pytest.mark.parametrize("case", [pytest.param(case, id=case.what) for case in published])
