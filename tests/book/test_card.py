"""The card for the cab: speeds, dips and limits on one page, against the arithmetic of spraying."""

from __future__ import annotations

import io
import re
import zipfile
from fractions import Fraction

import numpy as np
import pytest
import zxingcpp
from PIL import Image

from sheetgen import templates
from sheetgen.book.card_passes import MOST_SECTIONS
from sheetgen.order.demo import demo_order
from sheetgen.order.model import Order, TankPoint
from sheetgen.order.tank import chart_of, tank_of
from sheetgen.quantities import Quantity
from sheetgen.trade import travel_speed, volume_factor
from sheetgen.units import units
from sheetgen.xlsx.model import Cell
from sheetgen.xlsx.results import results
from sheetgen.xlsx.write import write_book
from tests.book.calibrated import Filled, filled_book
from tests.book.printed import texts_of
from tests.engines import differences, office, values_by_ironcalc, values_by_libreoffice

Q = Quantity
VARIANTS = [("us", "en"), ("us", "es"), ("si", "en"), ("si", "es")]
FIRST_PASS, SPEED = 9, 6  # the first pass of the first section, and its speed
US = demo_order()


def _with(order: Order, **machine: object) -> Order:
    changed = order.machines[0].model_copy(update=machine)
    return Order.model_validate(order.model_copy(update={"machines": (changed,)}).model_dump())


def _reading(order: Order, **reading: object) -> Order:
    return order.model_copy(update={"reading": order.reading.model_copy(update=reading)})


@pytest.mark.parametrize("system", ["us", "si"])
def test_speeds_agree_with_the_arithmetic_of_spraying(system):
    order = demo_order(system)
    filled, unit = Filled(order), units(system)
    planned = Q(order.material.spray_planned, unit["temperature"].name)
    factor = float(volume_factor(planned, "emulsion", base="60 degF" if system == "us" else "15 degC"))
    factor = round(factor, order.rounding.factor_emulsion)
    for line, section in enumerate(order.sections[:3]):
        hot = (
            section.rate / order.material.residue / factor
        )  # the demonstration orders are residual, undiluted
        row = FIRST_PASS + 3 * line
        assert filled.at("card", row, 3) == section.width
        speed = travel_speed(
            Q(order.machines[0].discharge, unit["flow"].name),
            Q(hot, unit["rate"].name),
            Q(section.width, unit["width"].name),
        )
        speed_there = speed.to(unit["speed"].name).magnitude
        assert filled.at("card", row, SPEED) == pytest.approx(speed_there)
        assert filled.at("card", row, SPEED + 1) == pytest.approx(speed.to(unit["road_speed"].name).magnitude)
        assert filled.at("card", row, SPEED + 2) == pytest.approx(
            60 * 100 / speed_there
        )  # of 100 ft, of 100 m


def test_a_section_by_hand_shows_no_speed():
    filled = Filled(US)
    assert filled.at("card", FIRST_PASS + 8, 0).startswith(templates.texts("en")["card.hand"])
    assert [filled.at("card", FIRST_PASS + 9, col) for col in range(9)] == [""] * 9


def test_nozzles_open_in_each_pass():
    # a nozzle every 6 in: two to the foot, on lanes of 12, 12 and 10 ft
    assert [Filled(US).at("card", FIRST_PASS + row, 2) for row in (0, 3, 6)] == [24, 24, 20]


def test_each_pass_of_a_short_bar_has_its_own_line():
    # An 8 ft bar on a lane of 12 ft: 13 and 12 nozzles, whose speeds are as 12 to 13 where the pump stays as it is.
    filled = Filled(_with(US, bar_widths=(8,), nozzle_flow_max=6, speed_max=1200))
    first, second = (
        [filled.at("card", FIRST_PASS + row, col) for col in (1, 2, 3, 5, SPEED)] for row in (0, 1)
    )
    assert (first[:4], second[:4]) == ([8, 13, 6.5, 60], [8, 12, 6, 60])
    assert second[4] / first[4] == pytest.approx(13 / 12)


def test_a_section_that_cannot_be_sprayed_is_marked():
    filled = Filled(_with(US, bar_widths=(8,), speed_min=999, speed_max=1000))
    assert filled.at("card", FIRST_PASS - 1, 0).startswith(templates.texts("en")["card.none"])
    assert filled.at("card", FIRST_PASS, SPEED) == ""


def test_a_long_road_has_room_on_the_card():
    short, long = (
        US.model_copy(update={"sections": (US.sections[0].model_copy(update={"road": road}),)})
        for road in ("Road", "A road of as many words as the order takes for a name, 60 of")
    )
    plain, tall = (
        filled_book(order).book.sheet("card").row_heights[FIRST_PASS - 2] for order in (short, long)
    )
    assert plain == 28  # one line of the card's large type
    assert tall >= 2 * 17


def test_a_measured_discharge_changes_the_speed():
    entries = {("catch", row, "volume"): 0.4 for row in range(24)}
    entries |= {
        ("", 0, "catch_nozzles"): 24,
        ("", 0, "catch_seconds"): 10,
    }  # 57.6 gal/min where 60 was ordered
    ordered, measured = (Filled(US, each).at("card", FIRST_PASS, SPEED) for each in ({}, entries))
    assert measured / ordered == pytest.approx(57.6 / 60)


def test_another_section_can_be_picked_and_a_wrong_one_shows_nothing():
    filled = Filled(US, {("", 0, "card_section_1"): "S3", ("", 0, "card_section_2"): "S9"})
    assert filled.at("card", FIRST_PASS, 3) == 10
    assert [filled.at("card", FIRST_PASS + 3, col) for col in range(9)] == [""] * 9
    assert not [value for value in filled.values.values() if str(value).startswith("#")]


def test_an_order_of_many_sections_shows_as_many_as_fit():
    sections = tuple(US.sections[0].model_copy(update={"id": f"T{number}"}) for number in range(40))
    filled = filled_book(US.model_copy(update={"sections": sections}))
    shown = {key for key in filled.book.fields if key.startswith("card_section_")}
    assert len(shown) == MOST_SECTIONS


@pytest.mark.parametrize("system", ["us", "si"])
def test_dips_hold_the_volumes_that_they_stand_for(system):
    order = demo_order(system)
    filled, machine = filled_book(order), order.machines[0]
    chart = chart_of(machine, order)
    mark = order.reading.dip
    for name, volume, away in (
        ("dip_full", filled.named("full_volume"), np.floor),
        ("dip_half", round(filled.named("capacity") / 2, order.rounding.volume), np.floor),
        ("dip_reserve", machine.reserve, np.ceil),
    ):
        exact = chart.depth_for(volume)
        assert filled.named(name) == pytest.approx(mark * away(round(exact / mark, 6)))


@pytest.mark.parametrize("system", ["us", "si"])
def test_every_dip_is_rounded_to_its_safe_side(system):
    filled = filled_book(demo_order(system))
    tank = tank_of(filled.order.machines[0].tank, system)
    slack = 1.0  # of volume: the chart is rounded to whole litres or tenths of a gallon

    def holds(name: str) -> float:
        return tank.volume_at(filled.named(name))

    assert holds("dip_full") <= filled.named("full_volume") + slack
    assert holds("dip_half") <= filled.named("capacity") / 2 + slack
    assert holds("dip_reserve") >= filled.named("reserve") - slack
    assert filled.named("dip_burners") >= filled.named("burner_dip")


def test_burners_are_lit_only_with_the_flues_covered():
    # NAVEDTRA 14081: at least 6 in over the flues (seen). Top of the flues 14 in over the bottom: a stick reading of
    # 20 in, 289.8 gal in the demonstration's tank (numeric integration of its elliptical section).
    filled = filled_book(US)
    assert filled.named("dip_burners") == 20.0
    assert filled.named("burner_volume") == 289.8
    assert filled.named("dip_burners") > filled.named("flue_top") + 5.9


def test_the_loads_sheet_says_where_burners_may_be_lit():
    shown = [value for (sheet, *_place), value in filled_book(US).values.items() if sheet == "loads"]
    sentence = "Light burners only at or above stick reading 20 in (289.8 gal)."
    assert any(sentence in str(value) for value in shown)


def test_a_distributor_without_burners_says_so():
    book = filled_book(_with(US, burners=False, flue_top=None, cover_over_flues=None, burner_power=0.0)).book
    for key in ("card", "tank"):
        texts = {cell.value for cell in book.sheet(key).cells.values()}
        assert "This distributor has no burners." in texts
    assert "dip_burners" not in book.names


def test_dips_are_written_as_the_crew_writes_them():
    decimal = filled_book(US).named("dip_full")
    assert filled_book(_reading(US, dip_notation="fraction")).named("dip_full") == decimal
    whole, part = filled_book(_reading(US, dip_notation="sixteenths")).named("dip_full").split("/")
    assert int(whole) + Fraction(int(part), 16) == Fraction(decimal)
    coarse = filled_book(_reading(US, dip_notation="fraction", dip=0.1)).named("dip_full")
    assert coarse * 8 == int(
        coarse * 8
    )  # a stick read to 0.1 in is marked in eighths where fractions are written
    assert coarse <= decimal


def test_a_certificate_that_begins_above_the_reserve_gives_depth_zero():
    points = (TankPoint(depth=0, volume=50), TankPoint(depth=20, volume=300), TankPoint(depth=40, volume=600))
    tank = US.machines[0].tank.model_copy(update={"shape": "calibrated", "points": points})
    filled = filled_book(_with(US, tank=tank, reserve=40))
    assert filled.named("dip_reserve") == 0
    assert filled.named("dip_half") == 20


@pytest.mark.parametrize(
    ("caught", "limits", "letters"),
    [
        (0.4, {}, ""),
        (0.5, {"nozzle_flow_max": 5}, "p"),  # 72 gal/min; the pump gives 70
        (0.4, {"speed_min": 520}, "s"),  # 57.6 gal/min: 508 ft/min where 529 was planned
        (0.4, {"nozzle_flow_min": 2.45}, "n"),  # 2.4 gal/min through each of 24
    ],
)
def test_a_speed_that_the_measured_discharge_puts_outside_a_limit_carries_its_letters(
    caught, limits, letters
):
    entries = {("catch", row, "volume"): caught for row in range(24)}
    entries |= {("", 0, "catch_nozzles"): 24, ("", 0, "catch_seconds"): 10}
    assert _letters(_with(US, **limits), entries) == letters


def _letters(order: Order, entries: dict) -> str:
    """The letters of the first rule that holds for the first speed, its conditions worked out by an engine."""
    filled = Filled(order, entries)  # its own: formulas are added to it
    sheet = filled.book.sheet("card")
    rules = [rule for *block, rule in sheet.conditional if block[:2] == [FIRST_PASS, SPEED]]
    for number, rule in enumerate(rules):
        formula = rule["criteria"]
        for name, address in filled.book.names.items():
            formula = re.sub(rf"\b{name}\b", lambda _match, address=address: address, formula)
        sheet.cells[200 + number, 50] = Cell(None, formula)
    values = results(filled.book)
    for number, rule in enumerate(rules):
        if values["card", 200 + number, 50] is True:
            return re.search(r'" (\w+)"', rule["mark"])[1]
    return ""


def test_the_letters_show_on_the_printed_page(tmp_path):
    # 72 gal/min measured, 635 ft/min in section S1: more than the pump's 70 gal/min
    entries = {("catch", row, "volume"): 0.5 for row in range(24)}
    entries |= {("", 0, "catch_nozzles"): 24, ("", 0, "catch_seconds"): 10}
    book = Filled(_with(US, nozzle_flow_max=5), entries).book
    pages = texts_of(office(write_book(book, tmp_path / "book.xlsx"), tmp_path, "pdf").read_bytes())
    card = next(page for page in pages if templates.texts("en")["sheet.card.title"] in page)
    assert "635 p" in card
    assert "7.2 p" in card
    assert sum(templates.texts("en")["card.rule_burners"] in page for page in pages) == 1


_EVERYWHERE = {"burners", "flame", "burns", "traffic", "wind", "entry"}


@pytest.mark.parametrize(
    ("material", "shown"),
    [("emulsion", _EVERYWHERE | {"steam"}), ("cutback", _EVERYWHERE | {"flash", "foam"})],
)
def test_the_cautions_are_those_of_the_material(material, shown):
    order = US.model_copy(update={"material": US.material.model_copy(update={"material_class": material})})
    card = {cell.value for cell in filled_book(order).book.sheet("card").cells.values()}
    say = templates.texts("en")
    keys = {row["key"] for row in templates.table("card_cautions")}
    assert {key for key in keys if say[f"card_caution.{key}"] in card} == shown
    assert say["card_caution.defer"] in card
    assert all(row["source"] for row in templates.table("card_cautions"))


@pytest.mark.parametrize(("system", "language"), VARIANTS)
def test_the_printed_code_reads_back_as_the_identity_of_the_book(system, language, tmp_path):
    order = demo_order(system, language)
    filled = filled_book(order)
    path = write_book(filled.book, tmp_path / "book.xlsx", filled.values)
    expected = templates.texts(language).say(
        "code.text", identity=filled.book.identity, job=order.job.number, machine=order.machines[0].name
    )
    with zipfile.ZipFile(path) as package:
        images = [package.read(name) for name in package.namelist() if name.startswith("xl/media/")]
        drawings = "".join(
            package.read(name).decode()
            for name in package.namelist()
            if re.match(r"xl/drawings/drawing\d+\.xml", name)
        )
    # in full on the job sheet and the card, the identity alone on the forms of the logs
    assert {_decoded(image) for image in images} == {expected, filled.book.identity}
    assert drawings.count(f'descr="{templates.texts(language).say("code.alternative", text=expected)}"') == 2


def _decoded(image: bytes) -> str:
    (code,) = zxingcpp.read_barcodes(Image.open(io.BytesIO(image)).convert("L"))
    return code.text


@pytest.mark.parametrize(
    "change", [{"dip_notation": "sixteenths"}, {"dip_notation": "fraction", "dip": 0.125}]
)
def test_both_engines_agree_with_the_card(change, tmp_path):
    filled = filled_book(_reading(US, **change))
    own = {at: value for at, value in filled.values.items() if at[0] == "card"}
    path = write_book(filled.book, tmp_path / "book.xlsx", filled.values)
    assert differences(own, values_by_ironcalc(path, filled.book), filled.book) == []
    assert differences(own, values_by_libreoffice(path, filled.book, tmp_path / "office"), filled.book) == []


def test_a_load_filled_cold_never_exceeds_the_tank_hot():
    # ASTM D4311 column A: a load at 280 °F grows when it is heated to 340 °F. Filled to the mark of the colder
    # temperature the demonstration's tank holds no more than its fill limit when hot.
    material = US.material.model_copy(update={
        "grade": "PG 64-22", "material_class": "asphalt", "specific_gravity": 1.03, "residue": 1.0, "spray_min": 275,
        "spray_max": 350, "spray_planned": 340,
    })  # fmt: skip
    planning = US.planning.model_copy(update={"arrival_temperature": 280.0})
    filled = filled_book(US.model_copy(update={"material": material, "planning": planning}))
    cold, hot = (float(volume_factor(Q(t, "degF"), "asphalt-a")) for t in (280, 340))
    limit = filled.named("capacity") * US.machines[0].fill_limit
    assert filled.named("full_cold") < filled.named("full_volume") <= limit
    assert filled.named("full_cold") * cold / hot <= limit
    assert filled.named("full_cold") * cold / hot == pytest.approx(limit, abs=0.2)
    assert filled.named("dip_full_cold") < filled.named("dip_full")


def test_the_full_mark_keeps_to_the_weight_that_may_be_carried():
    # 8.328 lb/gal of water (EN5459, seen)
    filled = filled_book(_with(US, payload=3000.0))
    base = filled.named("full_volume") * filled.named("planned_factor")
    assert base * 8.328 * 1.01 <= 3000
    assert base * 8.328 * 1.01 == pytest.approx(3000, abs=2)


def test_the_card_says_what_is_never_passed():
    # AEMA and PPRA: no emulsion above 185 °F; City of Austin: CSS-1h at most 140 °F; Ohio 2002: 160 °F (all seen)
    filled = filled_book(US)
    said = [str(cell.value) for cell in filled.book.sheet("card").cells.values()]
    (line,) = [text for text in said if text.startswith("Published for CSS-1h")]
    assert all(f"{most} °F" in line for most in (140, 160, 185))
    assert filled.named("heat_max") == 160
