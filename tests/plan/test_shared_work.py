"""Who sprays what of a job that several distributors share: named sections, the rule for open ones, one quantity."""

from __future__ import annotations

from itertools import product

import pytest
from typer.testing import CliRunner

from sheetgen.cli import app
from sheetgen.errors import OrderError
from sheetgen.order.model import Order
from sheetgen.order.read import read_order
from sheetgen.order.write import write_order
from sheetgen.plan import plan, plan_json, plan_text
from sheetgen.plan.shared_work import as_assigned
from sheetgen.plan.workable import workable_plan
from tests.plan.orders import flat_tank, order_of

# A truck that sprays widths of 6 to 12 ft at 0.1 gal/yd2, and one whose bar and pump are for shoulders alone.
LARGE = {"bar_widths": [12], "nozzle_spacing": 6, "nozzle_flow_min": 2, "nozzle_flow_max": 5, "discharge": 90,
         "discharge_min": 60, "discharge_max": 120, "speed_min": 150, "speed_max": 900}  # fmt: skip
SMALL = LARGE | {
    "bar_widths": [4],
    "discharge": 24,
    "discharge_min": 12,
    "discharge_max": 40,
    "tank": flat_tank(300),
}
SECTION = {"road": "R", "lanes": ["L1"], "from_station": 0, "to_station": 1000, "width": 12, "rate": 0.1,
           "basis": "as-diluted", "tolerance": 0.1}  # fmt: skip


def job(sections: list[dict], **machines: dict) -> Order:
    """An order of several distributors; sections are numbered from S1."""
    machine = order_of().machines[0].model_dump(mode="json")
    numbered = [SECTION | {"id": f"S{number}"} | each for number, each in enumerate(sections, start=1)]
    return order_of(
        sections=numbered, machines=[machine | facts | {"name": name} for name, facts in machines.items()]
    )


def names(order: Order) -> dict[str, str]:
    return {each.section: each.distributor for each in plan(order).shared.assigned}


def test_a_job_with_one_distributor_is_not_shared():
    assert plan(order_of()).shared is None
    assert plan_json(plan(order_of()))["shared"] is None


def test_a_named_section_stays_and_what_one_cannot_spray_goes_to_the_other():
    order = job([{}, {"width": 3}, {"distributor": "B"}], A=LARGE, B=LARGE | SMALL)
    made = plan(order)
    assert names(order) == {"S1": "A", "S2": "B", "S3": "B"}
    assert [each.given for each in made.shared.assigned] == [False, False, True]
    assert [section.verdict for section in made.machine("A").sections][1:] == ["none", "given-to-other"]
    assert {shot.section for shot in made.machine("A").shots} == {"S1"}
    assert made.machine("A").sections[2].sprayed_base == 0


def test_names_are_known_whatever_their_capitals():
    order = job([{"distributor": "b"}, {}], A=LARGE, B=LARGE)
    assert names(order)["S1"] == "B"


def test_the_sections_are_shared_so_that_each_names_the_plan_of_its_distributor():
    order = job(
        [{}, {"to_station": 3000}, {"to_station": 2000}, {"width": 3}], A=LARGE, B=LARGE | {"reserve": 20}
    )
    shared = plan(order).shared
    written = [
        section.model_copy(update={"distributor": each.distributor})
        for section, each in zip(order.sections, shared.assigned, strict=True)
    ]
    again = plan(order.model_copy(update={"sections": tuple(written)}))
    assert again.shared.shares == shared.shares
    assert again.shared.to_order == shared.to_order
    for share in shared.shares:
        alone = again.machine(share.distributor)
        assert (share.loads, share.shots, share.end) == (alone.day.loads, alone.day.shots, alone.day.end)
    assert shared.end == max(share.end for share in shared.shares)


@pytest.mark.parametrize("lengths", [(3000, 2000, 1000), (1000, 1000, 1000), (4000, 500, 500)])
def test_two_trucks_that_share_a_job_are_done_no_later_than_one_and_near_the_best(lengths):
    order = job([{"to_station": length} for length in lengths], A=LARGE, B=LARGE)
    made = plan(order)
    assert made.shared.end <= min(machine.day.end for machine in made.machines)
    best = min(
        plan(order.model_copy(update={"sections": tuple(
            section.model_copy(update={"distributor": name})
            for section, name in zip(order.sections, who, strict=True)
        )})).shared.end
        for who in product("AB", repeat=len(lengths))
    )  # fmt: skip
    # Largest first on two equal machines is at most 7/6 of the best (R. L. Graham, 1969; from memory), counted from
    # the start of the day.
    start = 60 * next(given.value for given in made.inputs if given.key == "start_hour")
    assert made.shared.end - start <= 7 / 6 * (best - start) + 1


def test_the_job_is_ordered_once():
    order = job([{}, {"width": 3}, {"width": 1}], A=LARGE | {"reserve": 30}, B=SMALL | {"reserve": 10})
    made = plan(order)
    assert names(order) == {"S1": "A", "S2": "B", "S3": ""}
    # 1000 ft × (12 + 3 + 1) ft / 9 × 0.1 gal/yd2, S3 as ordered though nobody can spray it; overlaps of strips beside.
    asked = 1000 * 16 / 9 * 0.1
    ordered = made.shared.to_order
    assert ordered.sprayed == pytest.approx(asked, rel=0.05)
    assert ordered.sprayed >= asked
    assert ordered.left == 40
    allowance = next(given.value for given in made.inputs if given.key == "allowance")
    assert ordered.mix == pytest.approx(ordered.sprayed * (1 + allowance) + 40)
    assert all(ordered.mix > machine.to_order.sprayed for machine in made.machines)


def test_a_distributor_that_gets_nothing_brings_no_reserve():
    order = job([{"width": 3}], A=LARGE | {"reserve": 30}, B=SMALL | {"reserve": 10})
    shared = plan(order).shared
    assert [share.sections for share in shared.shares] == [(), ("S1",)]
    assert shared.to_order.left == 10


@pytest.mark.parametrize("language", ["en", "es"])
def test_a_section_given_in_vain_is_refused_and_named(language):
    order = job([{}, {"width": 1, "distributor": "A"}], A=LARGE, B=SMALL).in_language(language)
    with pytest.raises(OrderError) as refused:
        workable_plan(order)
    (mistake,) = refused.value.mistakes
    assert "S2" in mistake.found
    assert "A" in mistake.found
    open_ = order.model_copy(update={"sections": (order.sections[0], order.sections[1].model_copy(
        update={"distributor": ""}))})  # fmt: skip
    workable_plan(open_)


@pytest.mark.parametrize("language", ["en", "es"])
def test_the_text_says_who_what_and_when(language):
    order = job([{}, {"width": 3}, {"distributor": "B"}], A=LARGE, B=LARGE | SMALL).in_language(language)
    made = plan(order)
    text = plan_text(made, language)
    from sheetgen.templates import texts

    say = texts(language)
    for key in ("plan.part.assigned", "plan.shared.given", "plan.shared.chosen", "plan.part.shares"):
        assert say[key] in text
    assert " ".join(say["plan.shared.rule"].split()) in " ".join(text.split())


def test_the_order_of_the_plan_gives_every_section_and_leaves_out_who_gets_none():
    order = job([{}, {"width": 3}, {}], A=LARGE, B=LARGE | SMALL, C=LARGE | {"bar_widths": [2]})
    made = plan(order)
    given = as_assigned(order, made.shared)
    assert {section.id: section.distributor for section in given.sections} == names(order)
    assert [machine.name for machine in given.machines] == sorted({*names(order).values()})
    again = plan(Order.model_validate(given.model_dump()))
    assert {each.section: each.distributor for each in again.shared.assigned} == names(order)
    assert again.shared.end == made.shared.end


def test_the_command_writes_that_order_and_a_file_that_is_there_stays(tmp_path):
    path = write_order(tmp_path / "order.xlsx", order=job([{}, {"width": 3}], A=LARGE, B=LARGE | SMALL))
    new = tmp_path / "given.xlsx"
    done = CliRunner().invoke(app, ["plan", str(path), "--assign", str(new)])
    assert done.exit_code == 0, done.output
    assert [section.distributor for section in read_order(new).sections] == ["A", "B"]
    new.write_bytes(b"somebody's")
    assert CliRunner().invoke(app, ["plan", str(path), "--assign", str(new)]).exit_code != 0
    assert new.read_bytes() == b"somebody's"
    alone = write_order(tmp_path / "alone.xlsx", order=order_of())
    refused = CliRunner().invoke(app, ["plan", str(alone), "--assign", str(tmp_path / "none.xlsx")])
    assert "one distributor" in str(refused.exception)
