"""Every kind of error planted in an honest log: reported under its own name at its own cell, and nothing
invented."""

from functools import cache
from random import Random

import pytest

from sheetgen.audit.findings import catalogue
from sheetgen.demo.planted import DEMONSTRATION, planted
from sheetgen.demo.planted_errors import PLANTS
from tests.audit.orders import day, findings_of
from tests.audit.planted_pairs import ORDERS, can_stand_together, hidden_by, pairs, unreported

SEEDS = (3, 5, 8)


def found_in(units, seed, names):
    """What the rules find in a log with errors, and what was planted."""
    order = ORDERS[units]
    log, made = planted(day(order, seed), order, order.machines[0], names)
    return findings_of(log, order), made


def places_of(findings):
    """Name and cell of each finding."""
    return {(each.name, each.cell) for each in findings}


@cache
def found_without(units, seed):
    """What the honest log of a seed has before anything is planted."""
    return places_of(findings_of(day(ORDERS[units], seed), ORDERS[units]))


@pytest.mark.parametrize("units", ORDERS)
@pytest.mark.parametrize("seed", SEEDS)
def test_the_honest_log_has_at_most_rates_that_cannot_be_told(units, seed):
    assert {name for name, _cell in found_without(units, seed)} <= {"rate-cannot-be-told"}
    assert catalogue()["rate-cannot-be-told"].severity == "note"


@pytest.mark.parametrize("units", ORDERS)
@pytest.mark.parametrize("name", PLANTS)
def test_an_error_is_named_at_its_cell_and_nothing_else_is(units, name):
    for seed in SEEDS:
        findings, (error,) = found_in(units, seed, [name])
        places = places_of(findings)
        assert (name, f"{error.column} {error.row + 1}") in places
        of_the_error = {name} | error.also
        assert {place for place in places if place[0] not in of_the_error} <= found_without(units, seed)


PAIRS = Random(1).sample(list(pairs("us", 5)), 250)


@pytest.mark.parametrize("pair", PAIRS, ids=["+".join(pair.names) for pair in PAIRS])
def test_two_errors_hide_neither(pair):
    assert not unreported(pair)  # two in one cell are no pair; the script runs all pairs


@pytest.mark.parametrize("known", hidden_by(), ids=" by ".join)
def test_a_reason_why_one_error_hides_another_is_needed(known):
    both = [pair for units in ORDERS for pair in pairs(units, 5) if set(pair.names) == set(known)]
    assert any(_is_lost(pair, known[0]) for pair in both)


def _is_lost(pair, name):
    """Whether the error is not at its own cell, though the other one leaves that cell alone."""
    log, made = pair.plant()
    places = {(each.name, each.cell) for each in findings_of(log, ORDERS[pair.units])}
    (error,) = [each for each in made if each.finding == name]
    return can_stand_together(made) and (name, f"{error.column} {error.row + 1}") not in places


@pytest.mark.parametrize("units", ORDERS)
def test_the_demonstrations_errors_are_all_found_and_well_apart(units):
    findings, made = found_in(units, 3, DEMONSTRATION)
    places = {(each.name, each.cell) for each in findings}
    for error in made:
        assert (error.finding, f"{error.column} {error.row + 1}") in places
    assert len({(error.table, error.row) for error in made}) == len(made)
    assert any(catalogue()[error.finding].severity == "error" for error in made)


def test_planting_leaves_the_honest_log_alone():
    order = ORDERS["us"]
    log = day(order)
    before = dict(log)
    planted(log, order, order.machines[0], DEMONSTRATION)
    assert log == before
