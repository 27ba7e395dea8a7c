"""A fixed sample of ``whole_way.py``, and every case of the corpus; the script runs as many as its time allows."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest

from tests.fuzz.fuzz_reader import no_network
from tests.fuzz.structured import KINDS
from tests.fuzz.whole_way import WholeWay
from tests.selection import exhaustive

CORPUS = tomllib.loads(Path(__file__).with_name("corpus.toml").read_text(encoding="utf-8"))["case"]
_SAMPLE = 15
_HANGS = 20.0  # seconds: the script measures two on a quiet machine, and no test may fail because one is busy
_USUAL = {"book": 6, "entries": 3, "order": 6, "carried": 40}  # as many as end in both ways


@pytest.fixture(scope="module")
def way(tmp_path_factory):
    return WholeWay(tmp_path_factory.mktemp("fuzz"), _HANGS)


@pytest.mark.parametrize(
    ("kind", "cases"),
    [
        *((kind, _USUAL.get(kind, _SAMPLE)) for kind in KINDS),
        *(exhaustive((kind, _SAMPLE)) for kind, usual in _USUAL.items() if usual < _SAMPLE),
    ],
)
def test_a_sample_of_spoilt_inputs_ends_in_a_result_or_in_words(way, kind, cases):
    with no_network():
        answers = {way.case(kind, number)[0] for number in range(cases)}
    assert answers == ({"done"} if kind == "entries" else {"done", "refused"})  # else nothing was tried


@pytest.mark.parametrize("case", CORPUS, ids=lambda case: f"{case['kind']} {case['number']}")
def test_a_case_of_the_corpus_ends_in_a_result_or_in_words(way, case):
    with no_network():
        way.case(case["kind"], case["number"], few_rows=False)


def test_a_case_is_known_by_its_number(way, tmp_path):
    way.case("carried", 7)
    first = (way._folder / "case.xlsx").read_bytes()
    WholeWay(tmp_path).case("carried", 7)
    assert (tmp_path / "work" / "case.xlsx").read_bytes() == first
