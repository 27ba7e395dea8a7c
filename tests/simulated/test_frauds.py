"""Frauds and slips in simulated books: nothing worth more than 2 % of the payable passes without a query, and what is
payable of each is what a recomputation apart makes of it."""

from __future__ import annotations

import pytest

from tests.selection import sampled
from tests.simulated.days import honest
from tests.simulated.file_frauds import FILE_CASES, tried
from tests.simulated.jobs import JOBS
from tests.simulated.measure_frauds import CASES, lines, paid_otherwise, passed, tries


def test_there_are_a_hundred_and_fifty_of_their_own_names_at_several_sizes():
    assert len({case.name for case in CASES}) == len(CASES) >= 150
    assert sum(len(case.sizes) > 1 for case in CASES) >= 140


@pytest.mark.parametrize("number", sampled(range(len(CASES)), 40))
def test_no_fraud_above_two_percent_of_the_payable_passes(number):
    found = list(tries([CASES[number]]))
    assert found, CASES[number].name  # each case changes something in some book
    assert [(each.size, each.kind, each.seed, each.gain) for each in found if passed(each)] == []
    assert [(each.size, each.kind, each.paid, each.own) for each in found if paid_otherwise(each)] == []


def test_a_case_of_no_size_changes_nothing_and_is_not_counted():
    low = next(case for case in CASES if case.name.startswith("stick after the shot written low"))
    log = honest(JOBS["tack"], 1)
    assert low.apply(log, JOBS["tack"], 0.0) == log


def test_the_table_says_of_each_size_in_how_many_books_it_was_found():
    case = next(case for case in CASES if case.name == "tickets raised")
    found = list(tries([case], seeds=(1,)))
    rows = lines(found)[2:]
    assert [row.split("|")[3].strip() for row in rows] == [f"{size:g}" for size in case.sizes]
    assert all(
        f"of {sum(each.size == size for each in found)} " in row
        for row, size in zip(rows, case.sizes, strict=True)
    )


@pytest.mark.parametrize("number", sampled(range(len(FILE_CASES)), 6))
def test_what_is_changed_in_a_file_is_found_and_pays_nothing(number):
    case = FILE_CASES[number]
    one = tried(case, case.sizes[0], "tack")
    assert one.gain == 0
    assert bool(one.found) == (case.name != "the picture of a code exchanged")  # see the page
