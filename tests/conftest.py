"""How the tests draw their examples: the same ones each time in CI, more and others where a person asks.

``HYPOTHESIS_PROFILE=long pytest tests/...`` draws ``TIMES`` as many for each test.
"""

from __future__ import annotations

import os

import pytest
from hypothesis import HealthCheck, settings

TIMES = 20
_QUIET = [HealthCheck.too_slow, HealthCheck.data_too_large, HealthCheck.filter_too_much]
_CHOSEN = os.environ.get("HYPOTHESIS_PROFILE") or ("CI" if os.environ.get("CI") else "here")

settings.register_profile("here", deadline=None, suppress_health_check=_QUIET)
settings.register_profile(
    "CI", deadline=None, derandomize=True, print_blob=True, suppress_health_check=_QUIET
)
settings.register_profile("long", deadline=None, suppress_health_check=_QUIET)
settings.load_profile(_CHOSEN)


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """The number of examples stands with each test, for CI: a profile alone would not change it."""
    if _CHOSEN != "long":
        return
    for test in {item.obj for item in items if hasattr(getattr(item, "obj", None), "hypothesis")}:
        chosen = test._hypothesis_internal_use_settings  # hypothesis gives no other way to it
        test._hypothesis_internal_use_settings = settings(chosen, max_examples=TIMES * chosen.max_examples)
