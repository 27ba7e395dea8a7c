"""Which tests belong to a quick run and to a usual one; ``--exhaustive`` runs the rest too."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any
from zlib import crc32

import pytest

SHARE_OF_EXAMPLES = 0.25  # of the generated examples, in a run without --exhaustive

# The quick part: short checks of every package. What each takes stands in DEVELOPERS.md.
QUICK = (
    "tests/test_public_names.py",
    "tests/test_selection.py",
    "tests/test_texts.py",
    "tests/trade/",
    "tests/audit/reading/",
    "tests/reading/",
    "tests/audit/test_published_cases.py",
    "tests/audit/test_agreement_with_the_book.py",
    "tests/audit/test_changes.py",
    "tests/audit/test_planted_errors.py",
    "tests/audit/test_claims_and_book_values.py",
    "tests/audit/test_rules_by_order.py",
    "tests/audit/test_claim_sheet.py",
    "tests/audit/test_finding_texts.py",
    "tests/order/test_order_typing.py",
    "tests/order/test_demo_order.py",
    "tests/plan/test_published_examples.py",
    "tests/plan/test_guidance.py",
    "tests/plan/test_judging.py",
    "tests/compare/test_common_sizes.py",
    "tests/register/test_register.py",
    "tests/register/test_summary.py",
    "tests/batch/test_many.py",
    "tests/book/test_number_formats.py",
    "tests/book/test_version.py",
)


def is_quick(nodeid: str) -> bool:
    """Whether a test belongs to the quick part."""
    return nodeid.startswith(QUICK)


def sampled(cases: Sequence[Any], keep: int) -> list[Any]:
    """Cases for ``parametrize``, all but ``keep`` of them exhaustive; those kept are spread evenly over the list."""
    kept = {round(place * (len(cases) - 1) / max(keep - 1, 1)) for place in range(keep)}
    return [case if number in kept else exhaustive(case) for number, case in enumerate(cases)]


def crossed(first: Sequence[Any], second: Sequence[Any]) -> list[Any]:
    """Every pair of two lists for ``parametrize``, exhaustive but for as many as hold each value of both once.

    A value of ``second`` may be a tuple of several arguments.
    """
    return [
        case if one == first[place % len(first)] else exhaustive(case)
        for place, other in enumerate(second)
        for one in first
        if (case := (one, *other) if isinstance(other, tuple) else (one, other))
    ]


def part_of(text: str) -> tuple[int, int]:
    """Read the option ``--part``: "2/3" is the second of three parts; any number counts, in turn: "5/3" too."""
    number, _, parts = text.partition("/")
    if not (number.isdecimal() and parts.isdecimal() and int(parts)):
        raise ValueError(f"--part {text}: found no part; expected one such as 2/3")
    return int(number) % int(parts), int(parts)


def in_part(nodeid: str, part: tuple[int, int] | None) -> bool:
    """Whether an exhaustive case belongs to a part: by its name alone, so that every case is in exactly one."""
    return part is not None and crc32(nodeid.encode()) % part[1] == part[0]


def exhaustive(case: Any) -> Any:
    """A case for ``parametrize`` that only ``--exhaustive`` runs; a tuple stands for several arguments."""
    values = case if isinstance(case, tuple) else (case,)
    return pytest.param(*values, marks=pytest.mark.exhaustive)


@dataclass
class LeftOut:
    """What a run does not do: cases by file, examples by module."""

    cases: Counter[str] = field(default_factory=Counter)
    examples: Counter[str] = field(default_factory=Counter)

    def as_dicts(self) -> tuple[dict[str, int], dict[str, int]]:
        """The same in a form that goes from one process to another."""
        return dict(self.cases), dict(self.examples)

    def take(self, cases: Mapping[str, int], examples: Mapping[str, int]) -> None:
        """What another process of the same run left out: of the same tests, so that the counts are not added."""
        for mine, theirs in ((self.cases, cases), (self.examples, examples)):
            for name, number in theirs.items():
                mine[name] = max(mine[name], number)

    def lines(self) -> Iterator[str]:
        """What a run says at its end."""
        if self.cases:
            yield f"left out: {self.cases.total()} exhaustive cases; --exhaustive runs them"
            yield from (f"  {number:5d} of {path}" for path, number in sorted(self.cases.items()))
        if self.examples:
            tests = f"of {len(self.examples)} files' tests on generated data"
            yield f"left out: {self.examples.total()} examples {tests}; --exhaustive draws them"
