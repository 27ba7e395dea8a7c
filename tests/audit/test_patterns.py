"""Patterns that honest logging seldom gives: found where they are planted, their chances
against another library."""

import random
from itertools import pairwise

import numpy as np
import pytest
from scipy import stats

from sheetgen.audit.findings import catalogue
from sheetgen.audit.rules.chance import Drop, as_steady, at_least, chi_squared_beyond, evenly
from sheetgen.audit.rules.times import in_sequence
from sheetgen.order.tank import chart_of
from sheetgen.templates import texts
from tests.audit.orders import changed, day, findings_of, put_before_the_rules, small

PATTERNS = [name for name, kind in catalogue().items() if kind.group == "invention"]


def long_job(**changes):
    """A job of many shots in one section."""
    order = small("us", size={"shots": 120, "loads": 60, "days": 10}, **changes)
    data = order.model_dump(mode="json")
    data["sections"] = data["sections"][:1]
    data["sections"][0]["to_station"] = 32000
    return type(order).model_validate(data)


ORDER = long_job()
LOG = day(ORDER, 6, days=10)
SHOTS = sorted({row for table, row, _ in LOG if table == "shots"})


def patterns(log, order=ORDER):
    return {each.name: each for each in findings_of(log, order) if each.name in PATTERNS}


def test_an_honest_log_of_many_shots_has_none():
    assert len(SHOTS) >= 40
    for seed in range(10):
        assert patterns(day(ORDER, seed, days=10)) == {}


def test_rows_copied_from_other_rows():
    log = dict(LOG)
    for row in SHOTS[20:28]:  # eight rows with the readings of eight earlier ones
        for column in ("dip_before", "dip_after", "temperature"):
            log["shots", row, column] = log["shots", row - 15, column]
        took = log["shots", row - 15, "end"] - log["shots", row - 15, "start"]
        log["shots", row, "end"] = log["shots", row, "start"] + took
    found = patterns(log)["rows-repeated"]
    assert found.severity == "query"
    assert "8 of" in found.found
    assert "e-" in found.matters or "<" in found.matters


def test_dips_worked_back_from_the_ordered_rate():
    computation, _ = put_before_the_rules(LOG, ORDER)
    chart, log = chart_of(ORDER.machines[0], ORDER), dict(LOG)
    for shot, row in zip(computation.logs.shots, computation.shot_rows, strict=True):
        due = row.area * row.ordered_mix / row.factor + (shot.waste or 0)
        after = chart.depth_for(chart.volume(log["shots", shot.row, "dip_before"]) - due)
        log["shots", shot.row, "dip_after"] = round(after * 16) / 16
    found = patterns(log)["rates-too-steady"]
    assert found.severity == "query"
    assert "standard deviation" in found.found


def test_dips_all_on_the_whole_inch():
    order = long_job(reading__dip=0.25)
    log = {
        key: float(round(value)) if key[2] in ("dip_before", "dip_after") else value
        for key, value in day(order, 6, days=10).items()
    }
    found = patterns(log, order)["stick-readings-prefer-a-mark"]
    assert "degrees of freedom" in found.matters


def test_times_all_on_the_quarter_hour():
    log = {
        key: round(value * 96) / 96 if key[0] == "shots" and key[2] == "start" else value
        for key, value in LOG.items()
    }
    found = patterns(log)["times-on-the-quarter-hour"]
    assert f"{len(SHOTS)} of {len(SHOTS)}" in found.found


def test_a_crew_that_notes_to_five_minutes_is_not_asked():
    log = {
        key: round(value * 288) / 288 if key[0] == "shots" and key[2] == "start" else value
        for key, value in LOG.items()
    }
    assert "times-on-the-quarter-hour" not in patterns(log)


@pytest.mark.parametrize("kept", [4, 8])
def test_too_small_a_sample_says_nothing(kept):
    log = {key: value for key, value in LOG.items() if key[0] != "shots" or key[1] < kept}
    log |= {("shots", row, "start"): 8 / 24 + row / 96 for row in range(kept)}
    for row in range(1, kept):
        for column in ("dip_before", "dip_after", "temperature"):
            log["shots", row, column] = log["shots", 0, column]
    assert patterns(log) == {}


@pytest.mark.parametrize("name", PATTERNS)
@pytest.mark.parametrize("language", ["en", "es"])
def test_a_pattern_is_a_question_and_never_an_accusation(name, language):
    assert catalogue()[name].severity == ("note" if name == "times-on-the-quarter-hour" else "query")
    say = texts(language)
    said = " ".join(say[key] for key in sorted(say.keys()) if f".{name}." in key).lower()
    harsh = ("fraud", "fake", "forge", "false", "lie", "cheat", "invent", "dishonest", "crime", "guilt",
             "fraude", "falso", "falsific", "mentira", "engaño", "trampa", "delito", "culpa")  # fmt: skip
    words = said.replace("below", "").replace("earlier", "").replace("believe", "")
    assert [word for word in harsh if word in words.split()] == []
    assert not any(stem in words for stem in ("fraud", "falsific", "cheat", "dishonest"))
    assert "{chance}" in said
    assert "honest" in said or "honrad" in said


@pytest.mark.parametrize("freedom", [1, 2, 3, 4, 7, 9, 15])
@pytest.mark.parametrize("statistic", [0.0, 0.5, 3.84, 10.0, 40.0, 120.0])
def test_the_chi_squared_tail_is_that_of_scipy(statistic, freedom):
    assert chi_squared_beyond(statistic, freedom) == pytest.approx(
        stats.chi2.sf(statistic, freedom), rel=1e-9
    )


@pytest.mark.parametrize(
    ("successes", "trials", "chance"),
    [(0, 5, 0.3), (5, 12, 1 / 3), (30, 30, 1 / 3), (3, 40, 0.01), (0, 3, 1.0), (3, 3, 1.0)],
)
def test_the_binomial_tail_is_that_of_scipy(successes, trials, chance):
    assert at_least(successes, trials, chance) == pytest.approx(
        stats.binom.sf(successes - 1, trials, chance), rel=1e-9
    )


def test_pearsons_statistic_is_that_of_scipy():
    counts = [31, 9, 12, 8]
    mine, reference = evenly(counts), stats.chisquare(counts)
    assert mine == pytest.approx((reference.statistic, reference.pvalue), rel=1e-9)


@pytest.mark.parametrize("ratio", [0.5, 0.7, 0.9, 1.0, 1.2])
def test_the_chance_of_steady_rates_where_there_is_noise_only(ratio):
    # Independent normal rates: (n - 1)·s²/σ² is chi-squared with n - 1 degrees of freedom.
    count, noise = 12, 0.01
    drops = [Drop(2 * row, 2 * row + 1, 1e-9, 1e-9, 1.0) for row in range(count)]
    expected = stats.chi2.cdf((count - 1) * ratio**2, count - 1)
    assert as_steady(ratio * noise, drops, noise) == pytest.approx(expected, abs=0.012)


def test_the_chance_of_steady_rates_knows_that_shared_dips_err_together():
    # Two shots that share a dip err in opposite ways: their rates spread more than two with dips of their
    # own.
    shared = [Drop(0, 1, 0.02, 0.02, 1.0), Drop(1, 2, 0.02, 0.02, 1.0)]
    apart = [Drop(0, 1, 0.02, 0.02, 1.0), Drop(2, 3, 0.02, 0.02, 1.0)]
    assert as_steady(0.005, shared, 0.01) < as_steady(0.005, apart, 0.01)


@pytest.mark.parametrize(("fall", "alike"), [(29.0, True), (29.5, False)])
def test_shots_that_fall_by_whole_steps_are_read_alike(fall, alike):
    # Twelve shots of one volume, each from the level that the last one left. The floor function's own arithmetic:
    # whole steps are read as whole steps every time, halves now up and now down.
    levels = [round(1000.3 - fall * shot) for shot in range(13)]
    falls = [before - after for before, after in pairwise(levels)]
    mean = sum(falls) / len(falls)
    drops = [Drop(at, at + 1, 1 / each, 1 / each, each / mean) for at, each in enumerate(falls)]
    steady = as_steady(1e-6, drops, 0.001) > 0.5
    assert steady == alike


def test_the_rows_kept_in_sequence_are_a_longest_run():
    # Against a plain search through all subsets, for short sequences.
    chance = random.Random(3)
    for _ in range(200):
        moments = [chance.randrange(6) for _ in range(chance.randrange(0, 9))]
        kept = sorted(in_sequence(moments))
        run = [moments[place] for place in kept]
        assert run == sorted(run)
        best = 0
        for chosen in range(1 << len(moments)):
            picked = [value for place, value in enumerate(moments) if chosen >> place & 1]
            if picked == sorted(picked):
                best = max(best, len(picked))
        assert len(kept) == best


def test_one_mistyped_date_is_one_finding():
    order = changed(ORDER)
    log = dict(LOG)
    log["shots", 3, "date"] += 365
    out = [each.cell for each in findings_of(log, order) if each.name == "shot-out-of-sequence"]
    assert out == ["date 4"]
    assert np.isfinite(log["shots", 3, "date"])


def test_end_digits_of_forty_readings():
    # Check case computed by hand: counts of last digits 0 to 9, chi-squared 34.5 against 21.666 at 1 % for 9 degrees
    # of freedom (limits of the chi-squared distribution, from memory; scipy agrees).
    statistic, chance = evenly([12, 1, 2, 1, 2, 9, 3, 1, 7, 2])
    assert statistic == pytest.approx(34.5)
    assert statistic > 21.666
    assert chance == pytest.approx(stats.chi2.sf(34.5, 9), rel=1e-9)
    for freedom, limit in ((9, 16.919), (15, 24.996), (7, 14.067), (3, 7.815)):
        assert chi_squared_beyond(limit, freedom) == pytest.approx(0.05, abs=5e-5)
    assert chi_squared_beyond(21.666, 9) == pytest.approx(0.01, abs=5e-6)
