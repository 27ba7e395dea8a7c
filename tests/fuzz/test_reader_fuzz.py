"""A fixed sample of the fuzzing of ``fuzz_reader.py``, which runs 20,000 cases as a script."""

from __future__ import annotations

from tests.fuzz.fuzz_reader import Fuzz, no_network


def test_four_hundred_spoiled_books(tmp_path):
    fuzz = Fuzz(tmp_path)
    with no_network():
        for number in range(400):
            fuzz.case(number)
    assert fuzz.answers["refused"] > 100
    assert fuzz.answers["read, with findings"] > 30
