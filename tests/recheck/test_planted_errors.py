"""Every kind of error planted in an honest log: reported under its own name at its own cell, and nothing
invented."""

from itertools import combinations
from random import Random

import pytest

from sheetgen.demo.planted import DEMONSTRATION, planted
from sheetgen.demo.plants import PLANTS
from sheetgen.recheck.findings import catalogue
from tests.recheck.orders import day, findings_of, small

ORDERS = {"us": small("us"), "si": small("si", "es")}
SEEDS = (3, 5, 8)


def found_in(units, seed, names):
    """What the rules find in a log with errors, and what was planted."""
    order = ORDERS[units]
    log, made = planted(day(order, seed), order, order.machines[0], names)
    return findings_of(log, order), made


@pytest.mark.parametrize("units", ORDERS)
@pytest.mark.parametrize("name", PLANTS)
def test_an_error_is_named_at_its_cell_and_nothing_else_is(units, name):
    for seed in SEEDS:
        findings, (error,) = found_in(units, seed, [name])
        places = {(each.name, each.cell) for each in findings}
        assert (name, f"{error.column} {error.row + 1}") in places
        assert {each.name for each in findings} <= {name} | error.also


def _pairs(most):
    """Pairs of errors that change different rows of one log; two in one row can be one
    error to any reader."""
    order = ORDERS["us"]
    log = day(order, 5)
    apart = []
    for pair in combinations(sorted(PLANTS), 2):
        one, other = planted(log, order, order.machines[0], pair)[1]
        rows = [{(table, row) for table, row, _ in error.changed} for error in (one, other)]
        if not rows[0] & rows[1]:
            apart.append(pair)
    return Random(1).sample(apart, most)


PAIRS = _pairs(250)


@pytest.mark.parametrize("pair", PAIRS, ids=["+".join(pair) for pair in PAIRS])
def test_two_errors_hide_neither(pair):
    findings, made = found_in("us", 5, pair)
    places = {(each.name, each.cell) for each in findings}
    for error in made:
        if (
            error.finding == "load-used-beyond-its-volume"
        ):  # a sum: a shot that cannot be counted moves the place
            assert error.finding in {name for name, _ in places}
        else:
            assert (error.finding, f"{error.column} {error.row + 1}") in places


@pytest.mark.parametrize("units", ORDERS)
def test_the_demonstrations_errors_are_all_found_and_well_apart(units):
    findings, made = found_in(units, 3, DEMONSTRATION)
    places = {(each.name, each.cell) for each in findings}
    for error in made:
        assert (error.finding, f"{error.column} {error.row + 1}") in places
    assert len({(error.table, error.row) for error in made}) == len(made)
    assert any(catalogue()[error.finding].severity == "wrong" for error in made)


def test_planting_leaves_the_honest_log_alone():
    order = ORDERS["us"]
    log = day(order)
    before = dict(log)
    planted(log, order, order.machines[0], DEMONSTRATION)
    assert log == before
