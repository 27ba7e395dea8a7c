"""The arithmetic of a season against published tables and another library."""

from math import isnan

import pytest
from scipy import stats

from sheetgen.season.statistics import drift_of, mean_of, sigma_of, student_quantile

# Two-sided 95 %: NIST/SEMATECH e-Handbook 1.3.6.7.2, critical values of Student's t (from memory).
PUBLISHED = {
    1: 12.706,
    2: 4.303,
    3: 3.182,
    4: 2.776,
    5: 2.571,
    10: 2.228,
    20: 2.086,
    30: 2.042,
    60: 2.000,
    100: 1.984,
}

# Montgomery, Introduction to Statistical Quality Control, table 9.1, as a published test file reproduces it: target 10,
# standard deviation 1, K 0.5, H 5. Alarm in period 29 with 5.28, 5.30 in period 30; the shift began in period 23.
MONTGOMERY = [
    9.45, 7.99, 9.29, 11.66, 12.16, 10.18, 8.04, 11.46, 9.20, 10.34, 9.03, 11.47, 10.51, 9.40, 10.08, 9.37, 10.62,
    10.31, 8.52, 10.84, 10.90, 9.33, 12.29, 11.50, 10.60, 11.08, 10.38, 11.62, 11.31, 10.52,
]  # fmt: skip


@pytest.mark.parametrize(("freedom", "published"), PUBLISHED.items())
def test_students_t_is_that_of_the_published_table(freedom, published):
    assert student_quantile(freedom) == pytest.approx(published, abs=5e-4)


@pytest.mark.parametrize("freedom", [1, 2, 3, 6, 7, 23, 150, 999])
def test_students_t_is_that_of_a_reference_library(freedom):
    assert student_quantile(freedom) == pytest.approx(stats.t.ppf(0.975, freedom), rel=1e-9)


def test_students_t_needs_a_degree_of_freedom():
    with pytest.raises(ValueError, match="degree"):
        student_quantile(0)


def test_an_interval_is_that_of_a_reference_library():
    values = [0.012, 0.021, 0.017, 0.025, 0.009]
    found = mean_of(values)
    assert (found.low, found.high) == pytest.approx(stats.t.interval(0.95, 4, found.mean, stats.sem(values)))
    assert found.error == pytest.approx(stats.sem(values))
    assert found.excludes_zero()


def test_one_value_has_no_interval_and_excludes_nothing():
    found = mean_of([0.3])
    assert (found.size, found.mean) == (1, 0.3)
    assert isnan(found.low)
    assert not found.excludes_zero()
    with pytest.raises(ValueError, match="no values"):
        mean_of([])


def test_the_cumulative_sums_are_those_of_the_textbook():
    found = drift_of(MONTGOMERY, 10, 1)
    assert found.alarm == 28
    assert found.above[28:] == pytest.approx([5.28, 5.30])
    assert found.began + 1 == 23
    assert 10 + found.level == pytest.approx(11.25, abs=0.005)
    assert max(found.below) == pytest.approx(1.77)
    assert found.below.index(max(found.below)) + 1 == 3
    assert found.limit == 5


def test_a_shift_downwards_has_its_sign():
    mirrored = drift_of([20 - value for value in MONTGOMERY], 10, 1)
    assert mirrored.alarm == 28
    assert mirrored.level == pytest.approx(-(0.5 + 5.28 / 7))


def test_values_that_are_all_alike_give_no_alarm():
    assert drift_of([0.02] * 20).alarm is None
    assert drift_of([]).alarm is None


def test_the_standard_deviation_by_ranges():
    # Ranges 1 and 3, mean 2, over 1.128.
    assert sigma_of([1.0, 2.0, 5.0]) == pytest.approx(2 / 1.128)
