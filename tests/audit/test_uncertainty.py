"""Uncertainty of rates and totals: JCGM 100:2008 (GUM), against the ``uncertainties`` package and a Monte
Carlo.

The reference knows nothing of this project's propagation: it is handed the readings, a plain interpolation of
the chart and the quotient of volume and area.
"""

from math import hypot, sqrt
from types import SimpleNamespace

import numpy as np
import pytest
from uncertainties import correlated_values, ufloat

from sheetgen.audit.compute.book import compute
from sheetgen.audit.compute.uncertainty import COVERAGE, factor_slope, judged, standard, uncertainty
from sheetgen.audit.entries.read import entries_of
from sheetgen.audit.entries.shared_readings import reading_numbers
from sheetgen.order.demo import demo_order
from tests.audit.orders import VARIANTS, day, findings_of, small

# By default two readings of one level agree within 1/8 in (3 mm), and the tank is level within 0.5 % over the 24 in
# (600 mm) from its middle to the stick: common practice, no source.
STICK = {"us": (0.125, 0.005 * 24), "si": (3.0, 0.005 * 600)}
# A tank whose stick hole is at its end: 0.5 % of 30 in.
FAR = {**demo_order().machines[0].tank.model_dump(), "stick_offset": 30.0}
ORDERS = VARIANTS | {"stick at the end": small("us", machines__tank=FAR)}
NAMES = [
    "stick at the end",
    "inch-pound",
    "metric",
    "asphalt",
    "certified tank",
    "paid by the meter",
    "diluted one to one",
]


def computed(name, seed=5):
    order = ORDERS[name]
    entries = entries_of(day(order, seed), order, order.machines[0])
    return order, compute(entries, order, order.machines[0])


def test_a_reading_is_rectangular_within_half_its_resolution():
    # GUM 4.3.7: half-width a, standard uncertainty a/√3; F.2.2.1 has the example of a digital indication.
    assert standard(1.0) == pytest.approx(0.29, abs=0.002)  # GUM F.2.2.1: u = 0.29 δx
    assert standard(0.0625) == pytest.approx(0.0625 / sqrt(12))


class Reference:
    """The readings of a computation as variables of the uncertainties package, one for each true reading."""

    def __init__(self, order, computation):
        self.order, self.computation, self.chart = order, computation, computation.chart
        self.numbers = reading_numbers(computation.logs)
        self.known = {}
        self.half = hypot(order.reading.dip / 2, *STICK[order.units])
        if (own := order.machines[0].tank.stick_offset) is not None:
            self.half = hypot(order.reading.dip / 2, STICK[order.units][0], 0.005 * own)

    def reading(self, table, each, column):
        number = self.numbers[table, each.row, column]
        half = self.order.reading.meter / 2
        if not column.startswith("meter"):
            half = self.half
        return self.known.setdefault(number, ufloat(getattr(each, column), half / sqrt(3)))

    def volume(self, dip):
        """Linear about the reading, as between two lines of the chart."""
        low, high = max(dip.n - self.half, 0), min(dip.n + self.half, self.chart.height)
        ends = np.interp([low, high], self.chart.depths, self.chart.volumes)
        return np.interp(dip.n, self.chart.depths, self.chart.volumes) + (dip - dip.n) * (
            ends[1] - ends[0]
        ) / (high - low)

    def factor(self, temperature):
        factors = self.computation.factors
        warm = ufloat(temperature, self.order.reading.temperature / sqrt(12))
        return factors.at(temperature) + (warm - temperature) * factor_slope(factors, temperature)

    def base(self, shot):
        if self.order.pay.measured_by == "meter":
            hot = self.reading("shots", shot, "meter_after") - self.reading("shots", shot, "meter_before")
        else:
            before, after = (self.reading("shots", shot, column) for column in ("dip_before", "dip_after"))
            hot = self.volume(before) - self.volume(after)
        return (hot - (shot.waste or 0)) * self.factor(shot.temperature)

    def area(self, shot):
        station = self.order.reading.station / sqrt(12)
        ends = ufloat(shot.from_station, station), ufloat(shot.to_station, station)
        length = ends[1] - ends[0] if shot.to_station > shot.from_station else ends[0] - ends[1]
        return (
            length
            * ufloat(shot.width, self.order.reading.width / sqrt(12))
            / (9 if self.order.units == "us" else 1)
        )


@pytest.mark.parametrize("name", NAMES)
def test_every_shots_rate_as_the_reference_has_it(name):
    order, computation = computed(name)
    found = uncertainty(computation, order, order.machines[0])
    assert len(found.shots) > 5
    for shot, row, mine in zip(computation.logs.shots, computation.shot_rows, found.shots, strict=True):
        reference = Reference(order, computation)
        base = reference.base(shot)
        rate = base / reference.area(shot)
        assert mine.base == pytest.approx(base.s, rel=2e-3)  # volumes here are not rounded, the recheck's are
        assert mine.rate == pytest.approx(rate.s, rel=2e-3)
        assert mine.deviation == pytest.approx(rate.s / row.ordered_mix, rel=2e-3)


@pytest.mark.parametrize("name", NAMES)
def test_the_sum_of_shots_takes_a_shared_dip_once(name):
    order, computation = computed(name)
    reference = Reference(order, computation)
    total = sum(reference.base(shot) for shot in computation.logs.shots)
    mine = uncertainty(computation, order, order.machines[0]).totals.overall
    assert mine["sprayed"] == pytest.approx(total.s, rel=2e-3)
    assert mine["undiluted"] == pytest.approx(order.material.dilution * total.s, rel=2e-3)
    apart = sqrt(sum(Reference(order, computation).base(shot).s ** 2 for shot in computation.logs.shots))
    if name != "paid by the meter":
        assert mine["sprayed"] < 0.9 * apart  # taken as independent the same readings would seem much worse


@pytest.mark.parametrize("name", ["inch-pound", "metric", "asphalt"])
def test_what_stays_unexplained_as_the_reference_has_it(name):
    order, computation = computed(name)
    reference = Reference(order, computation)
    left = -sum(reference.base(shot) for shot in computation.logs.shots)
    day_ = computation.logs.days[0]
    for sign, column, temperature in (
        (1, "start_dip", "start_temperature"),
        (-1, "end_dip", "end_temperature"),
    ):
        volume = reference.volume(reference.reading("days", day_, column))
        left += sign * volume * reference.factor(getattr(day_, temperature))
    assert uncertainty(computation, order, order.machines[0]).totals.by_day[0] == pytest.approx(
        left.s, rel=2e-3
    )


@pytest.mark.parametrize("name", ["inch-pound", "metric"])
def test_a_monte_carlo_of_true_readings_spreads_as_much(name):
    # JCGM 101:2008: propagate the distributions themselves. 40,000 draws give the spread to about 0.5 %.
    order, computation = computed(name)
    found = uncertainty(computation, order, order.machines[0])
    numbers = reading_numbers(computation.logs)
    chance = np.random.default_rng(7)
    draws = 40_000
    size = (max(numbers.values()) + 1, draws)
    halves = (order.reading.dip / 2, *STICK[order.units])
    off = sum(chance.uniform(-half, half, size) for half in halves)
    chart, total = computation.chart, 0
    for shot, row, mine in zip(computation.logs.shots, computation.shot_rows, found.shots, strict=True):
        levels = [
            np.interp(getattr(shot, key) + off[numbers["shots", shot.row, key]], chart.depths, chart.volumes)
            for key in ("dip_before", "dip_after")
        ]
        warm = chance.uniform(-0.5, 0.5, draws) * order.reading.temperature
        factor = row.factor + warm * factor_slope(computation.factors, shot.temperature)
        base = (levels[0] - levels[1] - (shot.waste or 0)) * factor
        total = total + base
        ends = chance.uniform(-0.5, 0.5, (2, draws)) * order.reading.station
        length = np.abs(shot.to_station - shot.from_station) + ends[0] - ends[1]
        width = shot.width + chance.uniform(-0.5, 0.5, draws) * order.reading.width
        rate = base / (length * width / (9 if order.units == "us" else 1))
        assert mine.rate == pytest.approx(rate.std(), rel=0.03)
    assert found.totals.overall["sprayed"] == pytest.approx(total.std(), rel=0.03)


def test_correlation_is_that_of_the_gum():
    # GUM 5.2.2: two entries of one reading have r = 1. The reference's own correlated values say the same.
    one, other = correlated_values([10.0, 10.0], [[0.01, 0.01], [0.01, 0.01]])
    assert (one - other).s == pytest.approx(0.0, abs=1e-9)


@pytest.mark.parametrize(
    ("deviation", "spread", "allowed", "verdict"),
    [
        (0.05, 0.02, 0.10, "in"),
        (0.09, 0.02, 0.10, "cannot-be-told"),
        (0.12, 0.02, 0.10, "cannot-be-told"),
        (0.15, 0.02, 0.10, "out"),
        (-0.15, 0.02, 0.10, "out"),
        (-0.05, 0.02, 0.10, "in"),
    ],
)
def test_the_verdict_asks_whether_the_reading_can_tell(deviation, spread, allowed, verdict):
    # JCGM 106:2012, 8.3: a guard band of the expanded uncertainty on either side of the limit.
    row = SimpleNamespace(verdict="in", deviation=deviation, allowed=allowed)
    assert COVERAGE == 2
    assert judged(row, spread) == verdict


def test_shots_too_short_for_the_stick_are_named_together_in_one_note():
    order = small("us", reading__dip=2.0)
    found = [finding for finding in findings_of(day(order), order) if finding.name == "rate-cannot-be-told"]
    assert len(found) == 1
    assert found[0].severity == "note"
    assert "shots" in found[0].found


def test_the_end_gauge_of_the_guide():
    # JCGM 100:2008, H.1, as a national laboratory's open package has it (seen); combined and half-widths computed.
    # A reading of resolution 2a lies within a of what was read: a rectangular distribution of half-width a.
    gauge = 50_000_623.0  # nm
    apart = hypot(5.8, 3.9, 6.7)
    per_degree, of_difference = gauge * standard(2 * 1e-6) * 0.1, gauge * 11.5e-6 * standard(2 * 0.05)
    assert round(apart, 1) == 9.7
    assert (round(per_degree, 3), round(of_difference, 3)) == (2.887, 16.599)
    assert round(hypot(25.0, apart, per_degree, of_difference), 2) == 31.66
    # The cyclic part of the temperature beside the rectangular one (0.5 degrees, arcsine).
    assert round(hypot(0.2, 0.5 / sqrt(2)), 3) == 0.406
