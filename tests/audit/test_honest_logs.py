"""Honest logs have nothing wrong in them, and the questions asked about them are few."""

from collections import Counter

import pytest

from tests.audit.orders import VARIANTS, day, findings_of, small


@pytest.mark.parametrize("name", VARIANTS)
def test_nothing_is_wrong_in_honest_logs(name):
    order = VARIANTS[name]
    doubts = Counter()
    for seed in range(12):
        for finding in findings_of(day(order, seed, days=1 + seed % 3), order):
            assert finding.severity != "error", finding
            doubts[finding.name] += finding.severity == "query"
    assert sum(doubts.values()) <= 1, doubts


@pytest.mark.parametrize("units", ["us", "si"])
def test_a_long_job_over_several_days_has_nothing_wrong(units):
    order = small(units, size={"shots": 200, "loads": 60, "days": 10})
    longer = order.model_dump(mode="json")
    for section in longer["sections"]:
        if not section["hand_spray"]:
            section["to_station"] = section["from_station"] + 8 * (
                section["to_station"] - section["from_station"]
            )
    order = type(order).model_validate(longer)
    for seed in range(3):
        log = day(order, seed, days=10)
        shots = {row for table, row, _ in log if table == "shots"}
        assert len(shots) > 40
        assert [each for each in findings_of(log, order) if each.severity != "note"] == []


def test_the_same_seed_gives_the_same_day_and_another_seed_another():
    order = VARIANTS["inch-pound"]
    assert day(order, 4) == day(order, 4)
    assert day(order, 4) != day(order, 5)


def test_an_empty_log_and_a_log_of_one_shot():
    order = VARIANTS["inch-pound"]
    assert {each.name for each in findings_of({}, order)} == {"no-shots-logged"}
    log = {key: value for key, value in day(order).items() if key[0] != "shots" or key[1] == 0}
    assert [each for each in findings_of(log, order) if each.severity == "error"] == []
