"""What must hold for any amounts: inverses, order, symmetry, one by one as all at once, whatever the units."""

from __future__ import annotations

import dataclasses

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pint.facets.plain import PlainQuantity

from sheetgen import trade
from sheetgen.trade import Tank
from tests.published import Q
from tests.trade.calls import CALLS, Call


def amount(low: float, high: float, unit: str):
    return st.floats(low, high, allow_nan=False).map(lambda number: Q(number, unit))


volumes = amount(0.1, 5000, "gal")
rates = amount(0.005, 3, "gal/yd**2")
lengths = amount(1, 50000, "ft")
widths = amount(1, 40, "ft")
speeds = amount(20, 2000, "ft/min")
flows = amount(1, 600, "gal/min")
fractions = st.floats(0.02, 1)
gravities = st.floats(0.7, 1.3)
angles = amount(20, 120, "degree")
slots = amount(0, 60, "degree")


@st.composite
def tanks(draw: st.DrawFn) -> Tank:
    height, width = draw(st.floats(10, 100)), draw(st.floats(10, 100))
    length, head = draw(st.floats(1, 400)), draw(st.sampled_from([0.0, 1.0, 10.0]))
    return Tank.elliptical(Q(height, "in"), Q(width, "in"), Q(length, "in"), Q(head, "in"))


def close(ours: object, other: object, relative: float = 1e-9) -> bool:
    return bool(np.allclose(ours.to(other.units).magnitude, other.magnitude, rtol=relative, atol=0))


@given(rates, lengths, widths)
def test_the_rate_of_the_volume_for_a_rate_is_that_rate(rate, length, width) -> None:
    assert close(trade.application_rate(trade.volume_for(rate, length, width), length, width), rate)


@given(volumes, rates, widths)
def test_the_volume_for_the_length_that_a_volume_covers_is_that_volume(volume, rate, width) -> None:
    assert close(trade.volume_for(rate, trade.spread_length(volume, rate, width), width), volume)


@given(flows, rates, widths)
def test_speed_discharge_and_rate_are_one_identity(flow, rate, width) -> None:
    speed = trade.travel_speed(flow, rate, width)
    assert close(trade.discharge_for(rate, speed, width), flow)


@given(rates, speeds, st.integers(1, 100), amount(2, 12, "in"))
def test_the_nozzles_of_a_bar_give_the_bars_discharge(rate, speed, nozzles, spacing) -> None:
    each = trade.nozzle_flow(rate, speed, spacing)
    width = nozzles * spacing
    assert close(
        trade.bar_discharge(Q([each.magnitude] * nozzles, each.units)),
        trade.discharge_for(rate, speed, width),
    )
    assert trade.nozzles_open(width, spacing) == nozzles


@given(rates, fractions, fractions)
def test_bar_and_residual_rate_are_inverse(rate, residue, dilution) -> None:
    assert close(trade.residual_rate(trade.bar_rate(rate, residue, dilution), residue, dilution), rate)
    assert trade.bar_rate(rate, residue, dilution).magnitude >= rate.to("gal/yd**2").magnitude * (1 - 1e-12)


@given(volumes, gravities, st.sampled_from(["60 degF", "15 degC"]))
def test_mass_and_volume_are_inverse(volume, gravity, base) -> None:
    mass = trade.mass_of(volume, gravity, base)
    assert close(trade.volume_of(mass, gravity, base), volume)


@given(amount(2, 12, "in"), angles, slots, st.sampled_from([1, 2, 3]))
def test_height_grows_with_coverage(spacing, fan, slot, coverage) -> None:
    height = trade.bar_height(spacing, fan, slot, coverage)
    assert close(height * (coverage + 1) / coverage, trade.bar_height(spacing, fan, slot, coverage + 1))
    assert trade.bar_height(spacing, fan, slot, coverage + 1) > height


@given(st.sampled_from(["asphalt-a", "asphalt-b", "emulsion"]), st.sampled_from(["60 degF", "15 degC"]))
def test_a_warmer_volume_never_has_a_greater_factor(kind, base) -> None:
    chart = trade.correction_chart(kind, base)
    degrees = np.arange(chart.lowest, chart.highest + 1)
    factors = trade.volume_factor(Q(degrees, base.split()[1]), kind, base=base)
    assert np.all(np.isfinite(factors))
    assert np.all(np.diff(factors) <= 0)
    assert np.all(np.diff(chart.factor(degrees)) < 0)


@given(tanks(), st.floats(0, 1))
def test_a_tank_and_its_reverse_are_full_together(tank, part) -> None:
    depth = part * tank.height
    other = tank.height - depth
    assert close(tank.volume_at(depth) + tank.volume_at(other), tank.capacity)


@given(tanks(), st.floats(0, 1))
def test_the_depth_for_a_volume_holds_that_volume(tank, part) -> None:
    volume = part * tank.capacity
    held = tank.volume_at(tank.depth_for(volume))
    assert abs((held - volume) / tank.capacity).magnitude < 1e-12


@given(tanks(), st.lists(st.floats(0, 1), min_size=2, max_size=8, unique=True))
def test_deeper_is_more(tank, parts) -> None:
    depths = Q(np.sort(np.array(parts)), "") * tank.height
    held = tank.volume_at(depths).magnitude
    assert np.all(np.diff(held) >= 0)
    assert np.all(np.diff(tank.depth_for(Q(held, "gal")).magnitude) >= 0)
    assert held[-1] <= tank.capacity.magnitude * (1 + 1e-12)


@given(tanks(), st.floats(0, 1), st.integers(0, 2))
@settings(max_examples=40)
def test_a_dip_in_the_chart_is_near_the_exact_volume(tank, part, decimals) -> None:
    chart = tank.chart(Q(0.25, "in"), decimals)
    depth = part * tank.height
    read, exact = chart.interpolate(depth).magnitude, tank.volume_at(depth).magnitude
    # rounding of two lines and of what is read, and the arc above its chord: worst in the first step of a chart
    chord = tank.volume_at(Q(0.25, "in")).magnitude
    assert abs(read - exact) <= 10.0**-decimals + chord
    lines = chart.interpolate(chart.depths)
    assert lines.magnitude == pytest.approx(chart.volumes.magnitude, abs=10.0**-decimals / 2 + 1e-9)


@given(volumes, volumes, fractions, st.floats(0, 0.5), amount(0, 100, "gal"))
def test_what_is_paid_and_deducted_is_what_was_sprayed(sprayed, ordered, dilution, limit, hand) -> None:
    pay = trade.pay_quantity(sprayed, ordered, dilution=dilution, excess_limit=limit, hand_sprayed=hand)
    assert close(pay.payable + pay.deducted, pay.sprayed)
    assert pay.deducted.magnitude >= -1e-9
    assert pay.payable - pay.hand <= pay.cap * (1 + 1e-12)
    assert close(pay.sprayed, dilution * (sprayed + hand))


@given(amount(4, 40, "ft"), amount(4, 200, "ft"), amount(0, 12, "in"))
def test_the_passes_needed_overlap_enough_and_one_less_would_not_cover(bar, covered, overlap) -> None:
    passes = trade.passes_needed(bar, covered, overlap)
    if passes > 1:
        assert trade.pass_overlap(bar, passes, covered) >= overlap * (1 - 1e-9) - Q(1e-6, "in")
    if passes > 2:
        short = (passes - 1) * bar - (passes - 2) * overlap
        assert short < covered


@given(volumes, amount(1, 300, "gal"))
def test_the_loads_needed_carry_it_and_one_less_does_not(volume, load) -> None:
    loads = trade.loads_needed(volume, load)
    assert loads * load.magnitude >= volume.magnitude * (1 - 1e-9)
    assert (loads - 1) * load.magnitude < volume.magnitude


@given(st.floats(60, 160), st.floats(60, 160))
def test_room_to_expand_there_and_back_is_none(one, other) -> None:
    there = trade.expansion_room(Q(one, "degF"), Q(other, "degF"), "emulsion")
    back = trade.expansion_room(Q(other, "degF"), Q(one, "degF"), "emulsion")
    assert (1 + there) * (1 + back) == pytest.approx(1)


@given(st.lists(st.floats(0, 2000), min_size=6, max_size=6))
def test_a_balance_adds_up(gallons) -> None:
    start, loaded, *gone = gallons
    missing = trade.unexplained(*(Q(gal, "gal") for gal in gallons)).magnitude
    # to the six decimals that a balance of readings is given to
    assert missing + sum(gone) == pytest.approx(start + loaded, abs=5.1e-7, rel=0)


def _plain(result: object) -> list[object]:
    """A result's numbers (or words), in base units, whatever it is made of."""
    if dataclasses.is_dataclass(result):
        return [item for part in dataclasses.fields(result) for item in _plain(getattr(result, part.name))]
    if isinstance(result, Tank):
        return _plain(result.capacity)
    if isinstance(result, PlainQuantity):
        return [result.to_base_units().magnitude]
    return [result]


@pytest.mark.parametrize("call", [call for call in CALLS if not call.single], ids=lambda call: call.name)
def test_all_at_once_is_one_by_one(call: Call) -> None:
    scales = np.array([1.0, 0.97, 0.9])
    for name, value in call.given.items():
        if name in ("kind", "passes"):
            continue
        number, units = (value.magnitude, value.units) if isinstance(value, PlainQuantity) else (value, None)
        singly = [number * scale for scale in scales]
        together = np.array(singly)
        rewrap = (lambda v, units=units: Q(v, units)) if units is not None else (lambda v: v)
        array = _plain(call(**{name: rewrap(together)}))
        each = [_plain(call(**{name: rewrap(one)})) for one in singly]
        for place, column in enumerate(array):
            expected = np.array([row[place] for row in each])
            found = np.broadcast_to(column, (3,))
            if expected.dtype.kind in "US":
                assert found.tolist() == expected.tolist()
            else:
                assert found == pytest.approx(expected, rel=1e-12), name


_METRIC = {
    "[length]": "m", "[length] ** 2": "m**2", "[length] ** 3": "m**3", "[mass]": "kg", "[length] / [time]": "m/s",
    "[length] ** 3 / [time]": "m**3/s", "[mass] / [length] ** 2": "kg/m**2", "[mass] / [length] ** 3": "kg/m**3",
    "[temperature]": "degC", "[mass] * [length] ** 2 / [time] ** 2": "J", "[mass] * [length] ** 2 / [time] ** 3": "W",
    "[length] ** 2 / [temperature] / [time] ** 2": "J/kg/K",
}  # fmt: skip


def _in_metric_units(value: object) -> object:
    if not isinstance(value, PlainQuantity):
        return value
    if str(value.units) == "degree":
        return value.to("radian")
    return value.to(_METRIC.get(str(value.dimensionality), value.units))


# A chart is made in the unit of its step: see the test of charts.
_UNIT_FREE = [call for call in CALLS if call.name != "Tank.chart"]


@pytest.mark.parametrize("call", _UNIT_FREE, ids=lambda call: call.name)
def test_the_same_amounts_in_metric_units_give_the_same_result(call: Call) -> None:
    metric = {name: _in_metric_units(value) for name, value in call.given.items()}
    for one, other in zip(_plain(call()), _plain(call(**metric)), strict=True):
        assert other == (one if isinstance(one, str) or one is None else pytest.approx(one, rel=1e-9))


@given(volumes, lengths, widths)
def test_scaling_the_volume_scales_the_rate(volume, length, width) -> None:
    assert close(
        trade.application_rate(3 * volume, length, width), 3 * trade.application_rate(volume, length, width)
    )
