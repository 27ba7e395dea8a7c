"""What is kept of the mutation runs: numbers that add up, and a reason for every survivor."""

import pytest
from scipy.stats import binomtest

from tests.mutation.results import read, wilson

HELD = read()


@pytest.mark.parametrize("package", HELD["package"], ids=lambda one: one["name"])
def test_the_counts_of_a_package_add_up_to_its_score(package):
    noticed = package["killed"] + package["timeouts"]
    assert noticed + package["survived"] + package["unreached"] == package["tried"] <= package["mutants"]
    assert package["score"] == pytest.approx(noticed / package["tried"], abs=5e-5)
    assert package["low"] <= package["score"] <= package["high"]
    survivors = [one for one in HELD["survivor"] if one["package"] == package["name"]]
    assert len(survivors) == package["survived"] + package["unreached"]


def test_every_package_was_measured():
    assert {package["name"] for package in HELD["package"]} == {"trade", "recheck", "register", "fit"}


@pytest.mark.parametrize("survivor", HELD["survivor"], ids=lambda one: one["function"])
def test_every_survivor_has_a_reason(survivor):
    assert survivor["before"] != survivor["after"]
    assert len(survivor["reason"].split()) >= 3


@pytest.mark.parametrize(("noticed", "tried"), [(1, 1), (90, 100), (277, 300), (300, 300), (0, 20)])
def test_the_interval_is_that_of_another_library(noticed, tried):
    theirs = binomtest(noticed, tried).proportion_ci(0.95, method="wilson")
    assert wilson(noticed, tried) == pytest.approx((theirs.low, theirs.high), abs=1e-9)
