"""One list of warnings: what an order's sheets say beside its entries is what ``build`` repeats, and nothing twice."""

from __future__ import annotations

from functools import cache

import pytest

from sheetgen import templates
from sheetgen.book.layout import lay_out
from sheetgen.errors import OrderError
from sheetgen.order.demo import demo_order
from sheetgen.order.fields import layout
from sheetgen.order.model import Order
from sheetgen.order.warned import warnings_of
from sheetgen.order.write import lay_out_order
from sheetgen.plan.workable import warnings_of as warnings_of_plan
from sheetgen.plan.workable import workable_plan
from sheetgen.xlsx.results import results

NO_BURNERS = {"burners": False, "flue_top": None, "cover_over_flues": None, "burner_power": 0}
CUTBACK = {"grade": "MC-70", "material_class": "cutback", "specific_gravity": 0.95, "residue": 0.65,
           "spray_min": 120, "spray_max": 200, "spray_planned": 160, "heat_max": None}  # fmt: skip
POINTS = [{"depth": 0, "volume": 0}, {"depth": 42, "volume": 600}]
# By sheet and key: what of the demonstration order is changed so that its sentence is said.
SAID = {
    ("material", "class_known"): {"material": {"grade": "MC-70"}},
    ("material", "gravity_odd"): {"material": {"specific_gravity": 1.2}},
    ("material", "residue_low"): {"material": {"residue": 0.4}},
    ("material", "asphalt_residue"): {"material": CUTBACK | {"material_class": "asphalt", "grade": "PG 64-22"}},
    ("material", "rapid_diluted"): {"material": {"grade": "CRS-2", "dilution": 0.5}, "sections": {"rate": 0.03}},
    ("material", "planned_unpublished"): {"material": {"spray_planned": 165, "spray_max": 170}},
    ("material", "emulsion_hot"): {"material": {"heat_max": 190}},
    ("material", "cutback"): {"material": CUTBACK},
    ("material", "flash_unknown"): {"material": CUTBACK | {"grade": "Unknown"}},
    ("material", "flash_asphalt"): {"material": {"flash_point": 100}},
    ("machines", "points_unused"): {"machines": {"tank": {"points": POINTS}}},
    ("machines", "nozzle_low"): {"machines": {"bar_widths": [8, 40]}},
    ("machines", "nozzle_high"): {"machines": {"bar_widths": [6], "speed_max": 2000}},
    ("machines", "nozzles_broken"): {"machines": {"bar_widths": [7.75, 12.25]}},
    ("machines", "nominal_differs"): {"machines": {"tank": {"nominal": 1000}}},
    ("sections", "overlaps"): {
        "sections": {"road": "Example Road, milled", "from_station": 13800, "to_station": 14000}
    },
    ("sections", "miles"): {"sections": {"from_station": 0.5, "to_station": 1.2}},
    ("sections", "lanes_joined"): {"sections": {"lanes": ["EB and WB"]}},
    ("sections", "undiluted_same"): {"material": {"dilution": 0.8}, "sections": {"basis": "undiluted"}},
    ("sections", "other_material"): {"sections": {"work": "prime", "surface": "granular-base"}},
    ("sections", "tolerance_large"): {"sections": {"tolerance": 0.6}},
}  # fmt: skip
# Sentences of the sheets whose case the plan judges, and its notices of that case.
BY_THE_PLAN = {
    "bar_rate": {"looks-like-bar-rate", "above"}, "rate_high": {"above"},
    "residual_rate": {"looks-like-residual", "below"}, "rate_low": {"below"},
    "none_fits": {"none-works", "tank-too-small"}, "emulsion_hot": {"emulsion-hot"},
}  # fmt: skip
PLANNED = {
    "bar_rate": {"sections": {"rate": 0.3}},
    "residual_rate": {"sections": {"rate": 0.03, "basis": "as-diluted"}},
    "rate_low": {"sections": {"rate": 0.01}},
    "rate_high": {"sections": {"rate": 0.5, "basis": "as-diluted"}},
    "none_fits": {"sections": {"width": 0.5}},
    "emulsion_hot": {"material": {"spray_planned": 187, "spray_max": 190, "heat_max": None}},
}
# Sentences of what is refused: by the model, because no correction chart covers it, or because the distributor that a
# section is given to cannot spray it.
REFUSED = {
    "diluted", "range_reversed", "planned_outside", "no_factor", "no_column", "above_maximum",
    "points_fall", "dimensions", "head_depth", "reserve_large", "flue_top", "flues", "burner_line_high",
    "burners_not_said", "pump_reversed", "discharge_outside", "nozzle_reversed", "speed_reversed", "no_length",
    "distributor_unknown", "distributor_unfit", "varied_width", "varied_otherwise",
}  # fmt: skip


def _order(changes, system="us"):
    data = demo_order(system).model_dump(mode="json")
    data["material"] |= changes.get("material", {})
    machine = dict(changes.get("machines", {}))
    data["machines"][0]["tank"] |= machine.pop("tank", {})
    data["machines"][0] |= machine
    data["sections"][0] |= changes.get("sections", {})
    return Order.model_validate(data)


def _shown(order, sheet):
    """Everything that a sheet says of what is to be looked at."""
    book = lay_out_order(order.units, order.language, order)
    values = results(book)
    looks = [at for at, cell in book.sheet(sheet).cells.items() if cell.style == "order_look"]
    return " ".join(str(values.get((sheet, *at), "")) for at in looks)


@cache
def _shown_of_the_demonstration(system, sheet):
    return _shown(demo_order(system), sheet)


def _sentence(order, sheet, key):
    return templates.texts(order.language, order.units).own(f"order.check.{sheet}.{key}", order.units)


def test_every_sentence_of_the_sheets_is_accounted_for():
    listed = {
        (sheet, key) for sheet in ("material", "machines", "sections") for key in layout()[sheet]["check"]
    }
    assert listed == {each for each in listed if each in SAID or each[1] in REFUSED or each[1] in BY_THE_PLAN}
    assert set(SAID) <= listed
    assert not {key for _sheet, key in SAID} & REFUSED


@pytest.mark.parametrize(("sheet", "key"), SAID)
def test_what_a_sheet_says_is_repeated_once(sheet, key):
    order = _order(SAID[sheet, key])
    sentence = _sentence(order, sheet, key)
    assert sentence in _shown(order, sheet)
    assert key in {each.key for each in warnings_of(order) if each.sheet == sheet}
    lines = warnings_of_plan(workable_plan(order), order.language)
    assert len(lines) == len(set(lines))
    items = [section.id for section in order.sections] if key in ("overlaps", "undiluted_same") else [1]
    assert 1 <= sum(sentence in line for line in lines) <= len(items)
    plan_sheet = [cell.value for cell in lay_out(order, order.machines[0]).sheet("plan").cells.values()]
    assert all(line in plan_sheet for line in lines)  # the book says what it was issued with


@pytest.mark.parametrize("key", PLANNED)
def test_what_the_plan_judges_is_said_by_both(key):
    order = _order(PLANNED[key])
    sheet = "material" if key == "emulsion_hot" else "sections"
    assert _sentence(order, sheet, key) in _shown(order, sheet)
    made = workable_plan(order)
    notices = {each.key for each in (*made.notices, *made.machines[0].notices)}
    assert notices & BY_THE_PLAN[key]


@pytest.mark.parametrize(("sheet", "key"), [each for each in SAID if each[1] != "cutback"])
def test_nothing_is_said_of_the_demonstration(sheet, key):
    for system in ("us", "si"):
        assert _sentence(demo_order(system), sheet, key) not in _shown_of_the_demonstration(system, sheet)


@pytest.mark.parametrize(
    ("system", "tank", "nominal"),
    [
        # 3.5 ft, 5 ft and 6 ft typed where inches belong: the tank would hold less than half a gallon.
        ("us", {"height": 3.5, "width": 5, "length": 6}, 600),
        # 107, 152 and 183 cm typed where millimeters belong.
        ("si", {"height": 107, "width": 152, "length": 183}, 2300),
    ],
)
def test_a_tank_in_another_unit_differs_from_its_nominal_size(system, tank, nominal):
    data = demo_order(system).model_dump(mode="json")
    data["machines"][0] |= NO_BURNERS | {"reserve": 0}
    data["machines"][0]["tank"] |= tank | {"nominal": nominal, "heads": "flat", "head_depth": 0}
    order = Order.model_validate(data)
    assert "nominal_differs" in {each.key for each in warnings_of(order)}
    assert _sentence(order, "machines", "nominal_differs") in _shown(order, "machines")


def _pasted(sheet, find, value, system="us"):
    """What a sheet says after something was pasted over a cell, past its drop-down."""
    book = lay_out_order(system, "en", demo_order(system))
    cells = book.sheet(sheet).cells
    at = next(at for at, cell in cells.items() if not cell.locked and cell.value == find)
    cells[at] = cells[at]._replace(value=value)
    values = results(book)
    return book, values, at


@pytest.mark.parametrize(
    ("sheet", "find", "value", "label"),
    [
        ("sections", "tack", "Tack coat", "Work"),
        ("sections", "residual", "Residue", "Basis of the rate"),
        ("machines", "elliptical", "oval", "Tank shape"),
        ("machines", "yes", "oui", "Volume meter on the bar"),
    ],
)
def test_a_word_pasted_over_a_list_is_said_beside_it(sheet, find, value, label):
    book, values, at = _pasted(sheet, find, value)
    looks = [
        str(values.get((sheet, *place), ""))
        for place, cell in book.sheet(sheet).cells.items()
        if cell.style == "order_look" and (sheet == "machines" or place[0] == at[0])
    ]
    sentence = templates.texts("en")["order.warning.not_listed"]
    assert any(sentence in look and label in look for look in looks)


@pytest.mark.parametrize(
    ("sheet", "find", "value", "mark"),
    [
        ("material", "emulsion", "Emulsion, slow", "mark_not_listed"),
        ("material", 100.0, "1:1", "mark_as_text"),
        ("job", "Letter", "legal", "mark_not_listed"),
    ],
)
def test_a_form_marks_what_its_formulas_cannot_read(sheet, find, value, mark):
    _book, values, at = _pasted(sheet, find, value)
    say = templates.texts("en")
    row = [values.get((sheet, at[0], col)) for col in range(8)]
    assert say[f"order.{mark}"] in row
    status = [str(value) for (name, _row, _col), value in values.items() if name == sheet]
    assert any(text.startswith(say["order.to_check"]) for text in status)


def test_a_number_typed_as_text_is_said_beside_the_distributor():
    book, values, _at = _pasted("machines", 60.0, "60 gpm")
    sentence = templates.texts("en")["order.warning.as_text"]
    looks = [str(values.get(("machines", *at), "")) for at, cell in book.sheet("machines").cells.items()
             if cell.style == "order_look"]  # fmt: skip
    assert any(sentence in look for look in looks)


# Slips that offices made, and what came of each: refused with its reason, or built and warned of in these keys.
SLIPS = {
    "a rate ten times too high": {"sections": {"rate": 0.5}},
    "miles an hour": {"machines": {"speed_min": 1, "speed_max": 6}},
    "feet in the inch cells": {
        "machines": NO_BURNERS | {"tank": {"height": 3.5, "width": 8.33, "length": 6}}
    },
    "a reserve above the tank": {"machines": {"reserve": 700}},
    "flues above the tank": {"machines": {"flue_top": 50}},
    "a bar in inches": {"machines": {"bar_widths": [96]}},
    "a tolerance of 10 gal": {"sections": {"tolerance": 10, "tolerance_kind": "absolute"}},
    "residue 0.57 %": {"material": {"residue": 0.0057}},
    "residue 5.7 %": {"material": {"residue": 0.057}},
    "dilution 2 for 1:2": {"material": {"dilution": 0.02}},
    "an emulsion called a cutback": {"material": {"material_class": "cutback"}},
    "degrees Celsius": {"material": {"spray_planned": 60, "spray_min": 20, "spray_max": 70}},
    "stations in miles": {"sections": {"from_station": 0.5, "to_station": 1.2}},
    "two lanes in one word": {"sections": {"lanes": ["EB and WB"]}},
    "a fill limit of 9.5 %": {"machines": NO_BURNERS | {"fill_limit": 0.095}},
    "a stretch ordered twice": {
        "sections": {"road": "Example Road, milled", "from_station": 13800, "to_station": 14500}
    },
}


def _said(changes):
    """Why an order is refused, or what is warned of beyond what the demonstration is."""
    try:
        order = _order(changes)
        lines = warnings_of_plan(workable_plan(order), order.language)
    except (ValueError, OrderError) as refused:
        return {str(refused)} - {""}
    return set(lines) - set(warnings_of_plan(workable_plan(demo_order()), "en"))


@pytest.mark.parametrize("slip", SLIPS)
def test_a_slip_is_refused_or_said(slip):
    assert _said(SLIPS[slip])


def test_the_preview_counts_what_its_totals_hide():
    counted = {}
    for case, width in (("none", 0.5), ("all", 12)):
        order = _order({"sections": {"width": width}})
        book = lay_out_order("us", "en", order)
        values, cells = results(book), book.sheet("preview").cells
        say = templates.texts("en")
        for key in ("unsprayed", "left_out"):
            row, col = next(at for at, cell in cells.items() if cell.value == say[f"order.total.{key}"])
            counted[case, key] = values["preview", row, col + 2]
    assert counted == {
        ("none", "unsprayed"): 1,
        ("none", "left_out"): 0,
        ("all", "unsprayed"): 0,
        ("all", "left_out"): 0,
    }
    book, values, _at = _pasted("sections", "residual", "Residue")
    row, col = next(
        at for at, cell in book.sheet("preview").cells.items() if cell.value == say["order.total.left_out"]
    )
    assert values["preview", row, col + 2] == 1


@pytest.mark.parametrize(("width", "name"), [(0.5, "Distributor A"), (12, "Distributor A"), (0.5, "")])
def test_a_section_given_to_a_distributor_that_cannot_spray_it_is_said_and_refused(width, name):
    order = _order({"sections": {"width": width, "distributor": name}})
    unfit = bool(name) and width < 1
    assert (_sentence(order, "sections", "distributor_unfit") in _shown(order, "sections")) is unfit
    if unfit:
        with pytest.raises(OrderError, match="S1 is given to Distributor A"):
            workable_plan(order)
    else:
        workable_plan(order)


def test_a_section_given_to_a_name_that_no_distributor_has_is_said_in_its_row():
    order = _order({})
    sections = (order.sections[0].model_copy(update={"distributor": "Truck 9"}), *order.sections[1:])
    order = order.model_copy(update={"sections": sections})
    assert _sentence(order, "sections", "distributor_unknown") in _shown(order, "sections")
