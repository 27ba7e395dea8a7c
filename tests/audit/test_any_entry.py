"""Whatever is typed into whatever cell, a log is read, computed and checked, and nothing
that is not a number counts."""

import math

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from sheetgen.columns import entry_columns as columns
from tests.audit.orders import VARIANTS, day, put_before_the_rules

PLACES = [(table, column) for table in ("shots", "loads", "days", "pages") for column in columns(table)]
TYPED = st.one_of(
    st.none(),
    st.booleans(),
    st.floats(),
    st.integers(-10, 50_000).map(float),
    st.text(max_size=12),
    st.from_regex(r"[0-9OlI+\-/., '\"°a-z]{1,10}", fullmatch=True),
    st.sampled_from(
        ["16/8", "118+50", "#REF!", '"', "-", "7:30", "6/7/2026", "350 F", "1,234", "½", "S1", "yes", "x"]
    ),
)


@settings(max_examples=150, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(
    name=st.sampled_from(["inch-pound", "metric", "sixteenths", "asphalt"]),
    changes=st.lists(st.tuples(st.sampled_from(PLACES), st.integers(0, 14), TYPED), min_size=1, max_size=12),
)
def test_no_entry_breaks_the_recheck(name, changes):
    order = VARIANTS[name]
    log = day(order, 3)
    for (table, column), row, value in changes:
        log[table, row, column] = value
    computation, findings = put_before_the_rules(log, order)
    for value in computation.totals.overall.values():
        assert value is None or math.isfinite(value)
    for finding in findings:
        assert "{" not in finding.expected  # every figure was filled in
