"""What cannot be is not built, and what is warned of is repeated: each case that an office met."""

from __future__ import annotations

import pytest

from sheetgen import build, templates
from sheetgen.book.layout import lay_out
from sheetgen.errors import OrderError
from sheetgen.plan import plan
from sheetgen.plan.workable import warnings_of, workable_plan
from tests.plan.orders import flat_tank, order_of

# A truck and a bar with limits, so that an order can be beyond them.
LIMITED = {"bar_widths": [8], "nozzle_spacing": 6, "nozzle_flow_min": 1, "nozzle_flow_max": 5, "discharge": 40,
           "discharge_min": 20, "discharge_max": 60, "speed_min": 100, "speed_max": 900}  # fmt: skip
IMPOSSIBLE = {
    "a reserve above what the tank is filled to": ({}, {"reserve": 700, "tank": flat_tank(600)}, {}),
    "a tank typed in feet where inches belong": ({}, {"reserve": 30, "tank": flat_tank(0.3)}, {}),
    "a rate ten times too high": ({"rate": 4.0}, LIMITED, {}),
    "speeds in miles an hour": ({"rate": 0.1}, LIMITED | {"speed_min": 1, "speed_max": 6}, {}),
    "a shoulder narrower than the pump can be turned down to": ({"width": 1, "rate": 0.1}, LIMITED, {}),
    "a delivery hotter than the correction chart": ({}, {}, {"planning": {"arrival_temperature": 600}}),
}


@pytest.mark.parametrize("language", ["en", "es"])
@pytest.mark.parametrize("case", IMPOSSIBLE)
def test_what_no_distributor_can_do_is_not_built(case, language, tmp_path):
    section, machine, more = IMPOSSIBLE[case]
    order = order_of(section, machine, language=language, **more)
    with pytest.raises(OrderError) as refused:
        build(order, tmp_path / "books")
    (mistake,) = refused.value.mistakes
    assert mistake.found
    assert mistake.remedy
    told = {"en": "T: 1 entry to correct in this order", "es": "T: 1 dato por corregir en este pedido"}
    assert str(refused.value).startswith(told[language])
    assert not list(tmp_path.rglob("*.xlsx"))


def _refused(*order, **more):
    with pytest.raises(OrderError) as refused:
        workable_plan(order_of(*order, **more))
    (mistake,) = refused.value.mistakes
    return mistake


def test_a_refusal_names_the_figures_that_cannot_be():
    mistake = _refused({}, {"reserve": 700, "tank": flat_tank(600)})
    assert (mistake.cell, mistake.found) == ("", "M: -100.0 gal to spray in a full tank")
    exactly = _refused({}, {"reserve": 600, "tank": flat_tank(600)})
    assert exactly.found == "M: 0.0 gal to spray in a full tank"
    hot = _refused(planning={"arrival_temperature": 600})
    assert "600 °F" in hot.found  # beyond the 499 °F at which the correction chart ends
    assert "0 to 499 °F" in hot.found


def test_a_section_given_in_vain_is_refused_for_its_own_reasons():
    possible = {"id": "S1", "road": "R", "lanes": ["L1"], "from_station": 0, "to_station": 500, "width": 8,
                "rate": 0.1, "basis": "as-diluted", "tolerance": 0.1}  # fmt: skip
    given = {**possible, "id": "S2", "width": 1, "distributor": "M"}
    mistake = _refused(machine=LIMITED, sections=[possible, given, {**possible, "id": "S3", "rate": 4.0}])
    assert mistake.found.startswith("S2 is given to M")
    assert "Section S2: no setting works" in mistake.found
    assert "S3" not in mistake.found


def test_a_distributor_that_can_spray_nothing_is_refused_for_the_first_reason():
    far = {"id": "S1", "road": "R", "lanes": ["L1"], "from_station": 0, "to_station": 500, "width": 8,
           "rate": 4.0, "basis": "as-diluted", "tolerance": 0.1}  # fmt: skip
    mistake = _refused(machine=LIMITED, sections=[far, {**far, "id": "S2"}])
    assert mistake.found.count("no setting works") == 1
    assert "Section S1: no setting works" in mistake.found


def test_warnings_name_the_distributors_and_the_sections_of_which_the_same_is_to_be_said():
    section = {"id": "S1", "road": "R", "lanes": ["L1"], "from_station": 0, "to_station": 500, "width": 8,
               "rate": 0.1, "basis": "as-diluted", "tolerance": 0.1}  # fmt: skip
    order = order_of(machine=LIMITED, sections=[section, {**section, "id": "S2", "lanes": ["L2"]}])
    (alone,) = [line for line in warnings_of(plan(order), "en") if "long enough" in line]
    assert alone.startswith("Sections S1, S2: no shot of up to 500 ft is long enough")
    one = order.machines[0]
    alike = one.model_copy(update={"name": "N"})
    (other,) = order_of(machine={**LIMITED, "name": "O", "tank": flat_tank(1200)}).machines
    machines = (one, alike, other)
    several = warnings_of(plan(order.model_copy(update={"machines": machines})), "en")
    told = [line for line in several if "long enough" in line]
    assert told[0] == f"M, N: {alone}"
    assert told[1].startswith("O: Sections S1, S2: no shot")
    assert told[1:] != [f"O: {alone}"]  # its stick tells less


def test_an_order_s_warnings_name_all_sections_of_which_the_same_is_to_be_said():
    section = {"id": "S1", "road": "R", "lanes": ["L1"], "from_station": 0, "to_station": 5000, "width": 8,
               "rate": 0.1, "basis": "as-diluted", "tolerance": 0.6}  # fmt: skip
    order = order_of(machine=LIMITED, sections=[section, {**section, "id": "S2", "lanes": ["L2"]}])
    told = [line for line in warnings_of(plan(order), "en") if "tolerance" in line]
    assert told == ["Sections (S1, S2): The tolerance is more than half of the rate."]


def test_an_order_whose_other_sections_can_be_sprayed_is_built_with_a_warning(tmp_path):
    possible = {"id": "S1", "road": "R", "lanes": ["L1"], "from_station": 0, "to_station": 500, "width": 8,
                "rate": 0.1, "basis": "as-diluted", "tolerance": 0.1}  # fmt: skip
    order = order_of(machine=LIMITED, sections=[possible, {**possible, "id": "S2", "width": 1}])
    assert len(build(order, tmp_path)) == 1
    warnings = warnings_of(workable_plan(order), "en")
    assert any("S2" in warning for warning in warnings)
    book = lay_out(order, order.machines[0])
    told = templates.texts("en").say("plan.issued_with", count=len(warnings), part="What to know")
    assert told in [cell.value for cell in book.sheet("job").cells.values()]
    plan_sheet = [cell.value for cell in book.sheet("plan").cells.values()]
    assert all(warning in plan_sheet for warning in warnings)


def test_every_distributor_that_can_do_nothing_is_named():
    order = order_of(machine=LIMITED)
    one = order.machines[0]
    small = one.model_copy(update={"name": "Small", "reserve": 1000})
    mistyped = one.model_copy(update={"name": "Mistyped", "speed_min": 1, "speed_max": 6})
    with pytest.raises(OrderError) as refused:
        workable_plan(order.model_copy(update={"machines": (one, small, mistyped)}))
    assert [mistake.found.split(":")[0] for mistake in refused.value.mistakes] == ["Small", "Mistyped"]
