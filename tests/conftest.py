"""How the tests draw their examples: the same ones each time in CI, more of them where a person asks.

``HYPOTHESIS_PROFILE=long pytest tests/...`` draws twenty times as many, and others every time.
"""

from __future__ import annotations

import os

from hypothesis import HealthCheck, settings

QUIET = [HealthCheck.too_slow, HealthCheck.data_too_large, HealthCheck.filter_too_much]

settings.register_profile("here", deadline=None, suppress_health_check=QUIET)
settings.register_profile("CI", deadline=None, derandomize=True, print_blob=True, suppress_health_check=QUIET)
settings.register_profile("long", max_examples=2000, deadline=None, suppress_health_check=QUIET)
settings.load_profile(os.environ.get("HYPOTHESIS_PROFILE") or ("CI" if os.environ.get("CI") else "here"))
