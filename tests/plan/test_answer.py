"""The answer of a plan: ten lines, the same numbers as the plan, and why a distributor cannot."""

from __future__ import annotations

import pytest

from sheetgen.order.demo import demo_order
from sheetgen.order.model import Order
from sheetgen.plan import answer_text, plan
from sheetgen.plan.answer import answers, by_section
from sheetgen.plan.figures import Figures
from sheetgen.templates import texts
from tests.plan.orders import flat_tank, order_of

VARIANTS = [(units, lang) for units in ("us", "si") for lang in ("en", "es")]


def unable(**changes) -> Order:
    """The demonstration with a second distributor that cannot spray all of it."""
    order = demo_order()
    second = order.machines[0].model_copy(update={"name": "Second", **changes})
    return order.model_copy(update={"machines": (*order.machines, second)})


@pytest.mark.parametrize(("units", "lang"), VARIANTS, ids="-".join)
def test_one_distributor_is_answered_in_about_ten_lines(units, lang):
    lines = answer_text(plan(demo_order(units, lang)), lang, 2).splitlines()
    assert len(lines) <= 12
    assert max(map(len, lines)) <= 118
    say = texts(lang, units)
    assert lines[2] == f"Distributor A: {say.say('answer.result.yes', able=4, count=4)}".replace(
        "Distributor A", plan(demo_order(units, lang)).machines[0].name
    )
    assert say["answer.defer"] in lines
    assert lines[-1].endswith(say["answer.rest"])


def test_the_answer_has_the_numbers_of_the_plan():
    # Common practice, no source: a person checks these five before the truck leaves.
    made = plan(demo_order())
    text, machine = answer_text(made, "en"), made.machines[0]
    speeds = [one.speed for section in machine.sections for one in section.sprayed if one.speed]
    assert f"{min(speeds):.0f} – {max(speeds):.0f} ft/min" in text
    assert (
        f"{machine.day.loads}, each with at most {machine.usable:.1f} gal to spray; shots: {machine.day.shots}"
        in text
    )
    assert f"{machine.to_order.tons:.2f} ton" in text
    assert f"07:00 to {int(machine.day.end) // 60:02d}:" in text


def test_a_distributor_that_cannot_spray_a_section_says_which_and_why():
    made = plan(unable(bar_widths=(8.0,), nozzle_flow_min=4.2, nozzle_flow_max=4.6))
    text = answer_text(made, "en")
    assert "Distributor A: YES, 4 of 4 sections" in text
    second = text[text.index("Second:") :]
    assert second.startswith("Second: IN PART, 3 of 4 sections\n")
    assert "Cannot spray  S3\n" in second
    assert "Section S3: no setting works." in second
    assert [each.planned.verdict for each in by_section(made, made.machines[1])][2] == "none"


def test_of_many_reasons_the_first_two_are_told_and_the_others_counted():
    one = {"road": "Road", "lanes": ["L1"], "from_station": 0, "to_station": 1000,
           "width": 12, "rate": 0.3, "basis": "as-diluted", "tolerance": 0.1}  # fmt: skip
    sections = [one | {"id": f"S{number}"} for number in range(20)]
    order = order_of(machine={"tank": flat_tank(1)}, sections=sections)
    lines = answers(plan(order), Figures("us", "en"))
    found = {row[0]: row[1] for row in lines.rows}
    assert found["Can it be done"] == "NO, none of 20 sections"
    assert found["Sprays"] == "none"
    assert found["Cannot spray"].endswith("S11 and 8 more")
    assert found["Why not"].count("Section S") == 2
    assert found["Why not"].endswith("18 more reasons are in the whole plan.")


def test_shots_that_the_aggregate_ends_are_counted():
    order = order_of(
        {"rate": 0.3, "to_station": 4000, "work": "chip-seal"}, {"tank": flat_tank(700)},
        planning={"aggregate_truck": 10, "aggregate_cover": 125},
    )  # fmt: skip
    # 10 yd³ on 125 yd² a yd³, 12 ft wide: 9·1250/12 = 937.5 ft a truck; the tank reaches 9·700/(12·0.3) = 1,750 ft.
    machine = plan(order).machines[0]
    assert [shot.length for shot in machine.shots[:-1]] == [900] * (len(machine.shots) - 1)
    count = sum(shot.ends_by == "aggregate" for shot in machine.shots)
    assert count == len(machine.shots) - 1
    assert f"ended by the aggregate and not by the tank: {count}" in answer_text(plan(order), "en")
