"""An office's season through the commands: each payable is what a computation apart from the product gives.

A job of each fate; ``SEASON_JOBS=30`` plays a whole season of four distributors.
"""

from __future__ import annotations

import os
from typing import NamedTuple

import openpyxl
import pytest

from sheetgen.register.register import open_register
from sheetgen.season import season_of
from sheetgen.templates import texts
from tests.season.whole_season import FATES, Played, Season, documents, half, play
from tests.simulated.payables import rows_of

_GALLON = 3.785411784  # liters, exactly


class End(NamedTuple):
    """What there is at the end of a season."""

    season: Season
    jobs: dict[str, Played]
    first: dict[str, dict]
    last: dict[str, dict]


@pytest.fixture(scope="module")
def end(tmp_path_factory):
    season = Season(tmp_path_factory.mktemp("office"))
    jobs = play(season, int(os.environ.get("SEASON_JOBS", len(FATES))))
    return End(season, jobs, documents(season, 0), documents(season, 1))


def of(end: End, lines: dict[str, dict]) -> list[tuple[Played, dict]]:
    """The lines of a summary with their jobs."""
    return [(end.jobs[file[:4]], said) for file, said in lines.items()]


def test_every_job_came_back_and_every_fate_was_met(end):
    assert {played.name for played, _ in of(end, end.last)} == set(end.jobs)
    assert {played.fate for played in end.jobs.values()} == set(FATES)


def test_every_payable_is_that_of_the_computation_apart(end):
    paid = {file: said["payable"] for file, said in end.last.items()}
    assert paid == {file: end.jobs[file[:4]].payable for file in end.last}


def test_half_a_book_pays_for_its_half(end):
    early = [(played, said) for played, said in of(end, end.first) if played.fate != "corrected"]
    assert early
    for played, said in early:
        assert said["payable"] == played._replace(log=half(played.log)).payable


def test_honest_books_have_no_error_and_the_slip_has_its_finding(end):
    assert [(file, said["counts"]) for file, said in end.last.items() if said["counts"]["error"]] == []
    slips = [said["counts"] for played, said in of(end, end.first) if played.fate == "corrected"]
    assert slips
    assert all(counts["error"] + counts["query"] for counts in slips)


def test_the_season_counts_each_shot_once(end):
    """Payables and shots of the season are those of all jobs, though some books came back again and again."""
    with open_register(end.season.register) as register:
        season = season_of(register)
    jobs = list(end.jobs.values())
    last = season.books[season.books["file"].isin(end.last)]
    factor = {
        played.name: (1 if played.job.order.units == season.system else
                      1 / _GALLON if season.system == "us" else _GALLON)
        for played in jobs
    }  # fmt: skip
    paid = last.drop_duplicates("identity").groupby("job")["payable"].sum()
    assert {name: paid[name] for name in factor} == pytest.approx(
        {played.name: played.payable * factor[played.name] for played in jobs}
    )
    assert len(season.shots) == sum(len(rows_of(played.log, "shots")) for played in jobs)
    book = openpyxl.load_workbook(end.season.folder / "season.xlsx", read_only=True)
    assert texts("en")["season.sheet.season"] in book.sheetnames
