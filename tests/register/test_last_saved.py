"""Several returns of one book in one run: the earlier one is the one that was saved earlier, where the files say so."""

from __future__ import annotations

from itertools import permutations

import pytest

from sheetgen.register.register import across, open_register
from sheetgen.templates import texts
from tests.register.books import entries, summary, ticket

NOON, ONE, TWO, THREE = (f"2026-05-06T{hour}:00:00Z" for hour in (12, 13, 14, 15))
SAY = texts("en")


@pytest.fixture
def register():
    with open_register() as opened:
        yield opened


def returned(name, dip, saved="", **facts):
    return summary(name, identity="A", entries=entries(G12=float(dip)), saved=saved, **facts)


def chain(register):
    """File, number, and the numbers before and after, in the order of the numbers."""
    trail = register.history("A").returns
    return [(each.paths[0][8:-5], each.number, each.supersedes, each.superseded_by) for each in trail]


def told(found):
    return [(each.path[8:-5], each.other_path[8:-5], each.finding.found) for each in found]


def test_the_file_saved_earlier_is_the_earlier_return_whatever_its_name(register):
    found = across([returned("a", 2, TWO), returned("b", 1, NOON)], register)
    how = "earlier because saved 2026-05-06 12:00:00 UTC, this one 2026-05-06 14:00:00 UTC"
    assert told(found) == [
        ("a", "b", f"entries that differ from return 1, b.xlsx ({how}): 1. Shots!G12 1 → 2")
    ]
    assert chain(register) == [("b", 1, None, 2), ("a", 2, 1, None)]


@pytest.mark.parametrize("times", [("", ""), (TWO, ""), ("", NOON), (NOON, NOON)])
def test_where_no_times_tell_it_the_names_do(register, times):
    found = across([returned("a", 1, times[0]), returned("b", 2, times[1])], register)
    ((later, earlier, said),) = told(found)
    assert (later, earlier) == ("b", "a")
    assert f"({SAY['said.across.by_name']})" in said


def test_one_file_without_a_time_leaves_all_of_its_book_to_the_names(register):
    found = across([returned("a", 1, THREE), returned("b", 2), returned("c", 3, ONE)], register)
    assert [each[:2] for each in told(found)] == [("b", "a"), ("c", "b")]
    assert all(SAY["said.across.by_name"] in each[2] for each in told(found))


def test_what_an_earlier_run_recorded_stays_the_earlier_one(register):
    across([returned("b", 1, THREE)], register)
    found = across([returned("a", 2, NOON)], register)
    ((later, earlier, said),) = told(found)
    assert (later, earlier) == ("a", "b")
    assert f"({SAY['said.across.by_run']})" in said


def test_one_seen_again_that_an_earlier_run_recorded_is_not_said_to_be_earlier_by_its_name(register):
    across([returned("b", 1)], register)
    ((later, earlier, said),) = told(across([returned("a", 2), returned("b", 1)], register))
    assert (later, earlier) == ("a", "b")
    assert f"({SAY['said.across.by_run']})" in said


@pytest.mark.parametrize("order", list(permutations(range(4))))
def test_the_trail_is_one_chain_in_the_order_of_saving(register, order):
    times = (NOON, ONE, TWO, THREE)
    across([returned("before", 9)], register)
    run = [returned(f"return {place}", place, times[place]) for place in order]
    for _ in range(2):  # the same run again changes nothing
        across(run, register)
        assert chain(register) == [
            ("before", 1, None, 2), ("return 0", 2, 1, 3), ("return 1", 3, 2, 4), ("return 2", 4, 3, 5),
            ("return 3", 5, 4, None),
        ]  # fmt: skip


def test_returns_of_another_run_between_them_keep_their_places(register):
    first = [returned("z", 1, THREE)]
    across(first, register)
    across([returned("other run", 2, NOON)], register)
    across([*first, returned("a", 3, NOON)], register)
    assert [each[:2] for each in chain(register)] == [("a", 1), ("other run", 2), ("z", 3)]


def test_only_what_was_saved_last_clashes_with_other_books(register):
    late, early = returned("a", 2, TWO, tickets=(ticket("100"),)), returned("b", 1, NOON)
    other = summary("other", tickets=(ticket("100"),))
    found = across([late, early, other], register)
    assert [each.path for each in found if each.finding.name.startswith("ticket")] != []
    found = across([returned("c", 3, THREE), late, early, other], register)
    assert [each.path for each in found if each.finding.name.startswith("ticket")] == []


def test_all_returns_of_a_register_are_judged_without_saying_how_their_order_is_known(register):
    across([returned("a", 2, TWO), returned("b", 1, NOON)], register)
    ((later, earlier, said),) = told(register.across())
    assert (later, earlier) == ("a", "b")
    assert "(" not in said


def test_of_hundreds_of_returns_each_is_looked_at(register):
    run = [
        summary(f"{name} {number}", identity=f"book {number}", entries=entries(G12=1.0), saved=saved)
        for number in range(260)
        for name, saved in (("a", TWO), ("b", NOON))
    ]
    found = across(run, register)
    assert len(found) == 260
    assert all(each.path.startswith("returns/a ") for each in found)
