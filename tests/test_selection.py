"""What a run leaves out is said, and nothing is left out for good."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.selection import QUICK, LeftOut, crossed, in_part, is_quick, part_of, sampled

ROOT = Path(__file__).parents[1]


def test_a_sample_is_spread_over_the_cases_and_the_rest_is_kept_for_the_exhaustive_run():
    cases = sampled(list(range(11)), 3)
    assert [case for case in cases if isinstance(case, int)] == [0, 5, 10]
    assert [case if isinstance(case, int) else case.values[0] for case in cases] == list(range(11))
    assert {mark.name for case in cases if not isinstance(case, int) for mark in case.marks} == {"exhaustive"}


def test_cases_of_several_arguments_keep_them():
    assert [getattr(case, "values", case) for case in sampled([("a", 1), ("b", 2)], 1)] == [
        ("a", 1),
        ("b", 2),
    ]


def test_of_two_lists_every_value_stays_and_every_pair_is_kept_for_the_exhaustive_run():
    cases = crossed(["us", "si"], ["a", ("b", 1), "c"])
    assert [case for case in cases if type(case) is tuple] == [("us", "a"), ("si", "b", 1), ("us", "c")]
    assert [getattr(case, "values", case) for case in cases] == [
        (units, *rest) for rest in (("a",), ("b", 1), ("c",)) for units in ("us", "si")
    ]


def test_what_was_left_out_is_said_once_though_two_processes_tell_it():
    left = LeftOut()
    for _process in range(2):
        left.take({"tests/a.py": 3, "tests/b.py": 4}, {"tests.c": 30})
    first, *files, examples = left.lines()
    assert "7 exhaustive cases" in first
    assert [line.split() for line in files] == [["3", "of", "tests/a.py"], ["4", "of", "tests/b.py"]]
    assert "30 examples" in examples


def test_a_run_that_leaves_nothing_out_says_nothing():
    assert list(LeftOut().lines()) == []


def test_every_quick_file_is_there():
    for path in QUICK:
        assert (ROOT / path).exists(), path
        assert is_quick(f"{path}::test_anything")


def test_every_case_is_in_one_part_of_three_and_the_parts_are_of_a_size():
    cases = [f"tests/test_a.py::test_b[{number}]" for number in range(600)]
    parts = [[case for case in cases if in_part(case, part_of(f"{turn}/3"))] for turn in range(3)]
    assert sorted(case for part in parts for case in part) == sorted(cases)
    assert all(150 < len(part) < 250 for part in parts)
    assert part_of("5/3") == part_of("2/3") == (2, 3)
    assert not any(in_part(case, None) for case in cases)


@pytest.mark.parametrize("text", ["", "2", "2/0", "a/3", "-1/3"])
def test_what_is_no_part_is_refused(text):
    with pytest.raises(ValueError, match="found no part"):
        part_of(text)
