"""The demonstration order: clearly invented, believable, and within its own machine's limits."""

import pytest

from sheetgen.order.demo import demo_order

SYSTEMS_AND_LANGUAGES = [(units, lang) for units in ("us", "si") for lang in ("en", "es")]


@pytest.mark.parametrize(("units", "lang"), SYSTEMS_AND_LANGUAGES)
def test_the_demo_order_says_that_it_is_invented(units, lang):
    order = demo_order(units, lang)
    assert (order.units, order.language) == (units, lang)
    assert order.job.invented
    assert "INVENT" in order.job.name


@pytest.mark.parametrize("units", ["us", "si"])
def test_the_truck_can_drive_at_the_speed_each_ordered_rate_asks_for(units):
    # S = 9·Q/(W·R) ft/min: DOT study guide, chapter 8 "Paving Math Problems", HMA-8-1; SI: Q/(W·R).
    # Emulsion at the planned temperature: 1 - 0.00025 (T - 60 °F) or 1 - 0.00045 (T - 15 °C), from memory.
    order = demo_order(units)
    machine = order.machines[0]
    planned = order.material.spray_planned
    factor = 1 - 0.00025 * (planned - 60) if units == "us" else 1 - 0.00045 * (planned - 15)
    for section in order.sections:
        if section.hand_spray:
            continue
        hot_rate = section.rate / order.material.residue / factor
        speed = machine.discharge * (9 if units == "us" else 1) / (section.width * hot_rate)
        assert machine.speed_min < speed < machine.speed_max


@pytest.mark.parametrize("units", ["us", "si"])
def test_the_tank_of_the_demo_is_of_the_600_gallon_class(units):
    # Ellipse: π/4 · a · b · length; 231 in³ in a gallon, 1e6 mm³ in a litre.
    tank = demo_order(units).machines[0].tank
    cubic = 3.141592653589793 / 4 * tank.height * tank.width * tank.length
    gallons = cubic / 231 if units == "us" else cubic / 3785411.784
    assert 550 < gallons < 650


@pytest.mark.parametrize("units", ["us", "si"])
def test_both_languages_order_the_same_work(units):
    english, spanish = demo_order(units, "en"), demo_order(units, "es")
    words = {"road", "lanes"}
    for one, other in zip(english.sections, spanish.sections, strict=True):
        assert one.model_dump(exclude=words) == other.model_dump(exclude=words)
        assert len(one.lanes) == len(other.lanes)
    assert english.material == spanish.material
