"""The tables that hang on the order alone, for any order: tank chart, temperature factors, rate tables, calibration.

Each is worked out again here by other means: the tank by numerical integration (scipy), the factors from the published
quadratic with exact fractions, rates by pint, the calibration by the standard library's statistics.
"""

from __future__ import annotations

import math
import statistics
from fractions import Fraction

import pint
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from scipy import integrate

from sheetgen import templates
from sheetgen.order.demo import demo_order
from sheetgen.order.model import Tank
from sheetgen.plan import plan
from sheetgen.units import units
from tests.book.calibrated import Filled, catch_entries, pads_entries
from tests.strategies import orders

UREG: pint.UnitRegistry = pint.UnitRegistry()
ORDERS = orders(most_rows=1, most_machines=1)


def _integrated(tank: Tank, depth: float) -> float:
    """Volume to a depth in cubic units of length: the width at each height, along shell and heads."""
    height, width = tank.height, tank.width if tank.shape == "elliptical" else tank.height
    head = tank.head_depth if tank.heads == "ellipsoidal" else 0.0

    def slice_at(level: float) -> float:
        part = max(
            0.0, 1 - (2 * level / height - 1) ** 2
        )  # of the full width and of the head's depth, squared
        return tank.length * width * math.sqrt(part) + math.pi * head * (width / 2) * part

    return integrate.quad(slice_at, 0, depth, limit=200)[0]


@given(order=ORDERS, part=st.floats(0, 1))
@settings(max_examples=6)
def test_every_line_of_the_tank_chart_is_the_volume_below_it(order, part):
    tank = order.machines[0].tank
    filled = Filled(order)
    area = filled.book.names["chart_volumes"].rsplit("!", 1)[1].replace("$", "").split(":")
    _sheet, first, col = filled.book.fields["chart_volumes"]
    rows = int(area[-1].strip("ABCDEFGHIJKLMNOPQRSTUVWXYZ")) - first
    row = first + round(part * (rows - 1))
    depth, volume = filled.at("tank", row, col - 1), filled.at("tank", row, col)
    if tank.shape == "calibrated":
        assert (depth, volume) == (tank.points[row - first].depth, tank.points[row - first].volume)
        return
    # 231 in³ in a US gallon, 10⁶ mm³ in a litre: definitions.
    exact = _integrated(tank, depth) / (231 if order.units == "us" else 1e6)
    assert volume == pytest.approx(exact, abs=0.5 * 10**-order.rounding.chart + 1e-6 * exact)


@given(order=ORDERS, tens=st.integers(0, 30), ones=st.integers(0, 9))
@settings(max_examples=6)
def test_every_factor_is_the_published_quadratic_over_its_value_at_the_base(order, tens, ones):
    filled = Filled(order)
    coldest, hottest = int(filled.named("chart_coldest")), int(filled.named("chart_hottest"))
    assume(coldest + 10 * tens + ones <= hottest)
    kind = order.material.material_class
    if kind != "emulsion":
        kind = "asphalt-a" if round(order.material.specific_gravity, 3) >= 0.967 else "asphalt-b"
    row = next(
        row for row in templates.table("correction") if (row["kind"], row["system"]) == (kind, order.units)
    )
    base, degree = 60 if order.units == "us" else 15, coldest + 10 * tens + ones
    at = {t: sum(Fraction(row[f"c{power}"]) * t**power for power in range(3)) for t in (base, degree)}
    decimals = order.rounding.factor_emulsion if kind == "emulsion" else order.rounding.factor_asphalt
    _sheet, first, col = filled.book.fields["factors"]
    shown = filled.at("temperature", first + tens, col + ones)
    assert shown == pytest.approx(float(at[degree] / at[base]), abs=0.5 * 10**-decimals + 1e-9)


@given(order=ORDERS)
@settings(max_examples=6)
def test_every_speed_of_a_section_spreads_its_rate(order):
    filled = Filled(order)
    names = {kind: one.name for kind, one in units(order.units).items()}
    hot = dict(zip(filled.column("ordered", "id"), filled.column("ordered", "mix_hot"), strict=True))
    keys = ("section", "width", "discharge", "speed", "road_speed")
    for section, width, *shown in zip(*(filled.column("fits", key) for key in keys), strict=True):
        if width is None:
            assert shown == ["", "", ""]
            continue
        rate = hot[section] * UREG(names["rate"])
        speed = shown[0] * UREG(names["flow"]) / (width * UREG(names["width"]) * rate)
        assert shown[1] == pytest.approx(speed.to(names["speed"]).magnitude, rel=1e-9)
        assert shown[2] == pytest.approx(speed.to(names["road_speed"]).magnitude, rel=1e-9)


@given(order=ORDERS)
@settings(max_examples=6)
def test_rates_show_what_the_plan_allows_and_nothing_else(order):
    filled, say = Filled(order), templates.texts(order.language, order.units)
    shown: dict[str, list[tuple[float, ...]]] = {section.id: [] for section in order.sections}
    keys = ("section", "where", "mark", "nozzles", "width", "discharge", "speed")
    rows = list(zip(*(filled.column("fits", key) for key in keys), strict=True))
    for section, _where, _mark, *figures in rows:
        shown[section] += [tuple(figures)] if figures[0] is not None else []
    made = plan(order.model_copy(update={"machines": order.machines[:1]}))
    for planned in made.machines[0].sections:
        allowed = [each for setting in planned.settings if setting.possible for each in setting.sprayed]
        lines = {(each.nozzles, round(each.width, 3)): each for each in allowed}
        for nozzles, width, discharge, speed in shown[planned.id]:
            one = lines[nozzles, width]
            assert (discharge, speed) == pytest.approx((one.discharge, one.speed), rel=1e-3)
        marked = [row[3] for row in rows if row[0] == planned.id and row[2] == say["plan.planned_mark"]]
        kinds = sorted({each.nozzles for each in planned.sprayed}, reverse=True)
        assert marked == (kinds if planned.setting else [])
        if planned.setting is None:
            (said,) = (row[1] for row in rows if row[0] == planned.id)
            assert said.endswith(say["card.hand" if planned.verdict == "hand" else "card.none"])


@given(order=ORDERS)
@settings(max_examples=6)
def test_tables_by_bar_width_give_no_figure_outside_a_limit(order):
    filled, machine = Filled(order), order.machines[0]
    cells = filled.book.sheet("rates").cells
    per_width = 12 if order.units == "us" else 1000
    pump = machine.discharge_min <= machine.discharge <= machine.discharge_max
    for title, is_speed in (("rates.speeds", True), ("rates.obtained", False)):
        text = templates.texts(order.language, order.units)[title]
        top = next(row for (row, col), cell in cells.items() if col == 0 and cell.value == text)
        for col, width in enumerate(sorted(machine.bar_widths), start=1):
            row, flow = top + 2, machine.discharge / max(1, round(width * per_width / machine.nozzle_spacing))
            able = pump and machine.nozzle_flow_min <= flow <= machine.nozzle_flow_max
            while (row, col) in cells and cells[row, col].style == "grid":
                figure = filled.at("rates", row, col)
                if figure != "–":
                    assert able
                    speed = figure if is_speed else filled.at("rates", row, 0)
                    assert machine.speed_min - 1e-6 <= speed <= machine.speed_max + 1e-6
                elif not is_speed:
                    assert not able
                row += 1


_SYSTEMS = st.sampled_from(["us", "si"])


@given(units=_SYSTEMS, gains=st.lists(st.integers(200, 900).map(lambda n: n / 10), min_size=2, max_size=14))
@settings(max_examples=6)
def test_pads_come_to_their_mean_spread_and_greatest_deviation(units, gains):
    filled = Filled(demo_order(units), pads_entries("en", gains=tuple(gains)))
    mean = statistics.fmean(gains)
    of_mean = [gain / mean for gain in gains]
    assert filled.column("pads", "of_mean")[: len(gains)] == pytest.approx(of_mean)
    assert filled.named("pads_greatest_across") == pytest.approx(max(abs(x - 1) for x in of_mean), abs=5.1e-7)
    assert filled.named("pads_spread_across") == pytest.approx(statistics.stdev(of_mean), abs=1e-9)
    assert filled.named("pads_counted_across") == len(gains)


@given(units=_SYSTEMS, volumes=st.lists(st.integers(50, 150).map(lambda n: n / 100), min_size=2, max_size=24))
@settings(max_examples=6)
def test_cans_come_to_the_discharge_of_the_pump(units, volumes):
    entries = catch_entries(len(volumes)) | {
        ("catch", row, "volume"): volume for row, volume in enumerate(volumes)
    }
    filled = Filled(demo_order(units), entries)
    per_minute = sum(volumes) * 60 / 10.0  # each caught for 10.0 s
    assert filled.named("discharge_measured") == pytest.approx(per_minute, abs=0.0051)
    assert filled.named("discharge_used") == filled.named("discharge_measured")
    mean = statistics.fmean(volumes)
    greatest = max(abs(volume / mean - 1) for volume in volumes)
    assert filled.named("catch_greatest") == pytest.approx(greatest, abs=5.1e-7)
