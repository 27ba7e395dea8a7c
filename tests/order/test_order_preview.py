"""The results shown while one types an order, against published figures and worked examples."""

from __future__ import annotations

import json
import math

import pytest

from sheetgen.order.demo import demo_order
from sheetgen.order.model import Order
from sheetgen.order.write import lay_out_order
from sheetgen.templates import texts
from sheetgen.xlsx.results import results


class Shown:
    """What an order workbook shows for the demonstration order with some values changed."""

    def __init__(self, units="us", *, material=None, section=None, machine=None, job=None):
        data = json.loads(demo_order(units).canonical())
        data["sections"] = data["sections"][:1]
        data["material"] |= material or {}
        data["sections"][0] |= section or {}
        data["machines"][0] |= machine or {}
        for part, values in (job or {}).items():
            data[part] |= values
        self.say = texts("en", units)
        self.book = lay_out_order(units, "en", Order.model_validate(data))
        self.values = results(self.book)

    def section(self, key):
        place = self.book.tables["sections"]
        return self.values["sections", place.first_row, place.columns[key]]

    def preview(self, key):
        place = self.book.tables["preview"]
        return self.values["preview", place.first_row, place.columns[key]]

    def beside(self, sheet, label, columns=1):
        """The result beside a label."""
        cells = self.book.sheet(sheet).cells
        row, col = next(at for at, cell in cells.items() if cell.value == self.say[label])
        return self.values[sheet, row, col + columns]


EMULSION = {"spray_min": 50, "spray_max": 199, "residue": 0.57, "dilution": 1.0}
ASPHALT = {
    "grade": "PG 64-22",
    "material_class": "asphalt",
    "residue": 1.0,
    "specific_gravity": 1.03,
    "spray_min": 0,
    "spray_max": 450,
}


@pytest.mark.parametrize(
    ("rate", "basis", "residue", "dilution", "mix"),
    [
        # Tack, residual 0.04, SS-1 of 57 % residue (residue read in Caltrans section 94; computed).
        (0.04, "residual", 0.57, 1.0, 0.0702),
        (0.04, "residual", 0.57, 0.5, 0.1404),
        # TxDOT Seal Coat Manual chapter 8 section 8: residual 0.36, residue 60 % -> 0.60 at the bar (read).
        (0.36, "residual", 0.60, 1.0, 0.60),
        (0.07, "undiluted", 0.57, 0.5, 0.14),
        (0.14, "as-diluted", 0.57, 0.5, 0.14),
    ],
)
def test_the_mix_that_an_ordered_rate_needs(rate, basis, residue, dilution, mix):
    shown = Shown(
        material=EMULSION | {"residue": residue, "dilution": dilution},
        section={"rate": rate, "basis": basis, "rate_temperature": "base"},
    )
    assert shown.section("mix") == pytest.approx(mix, abs=5e-5)
    assert shown.section("residual") == pytest.approx(mix * residue * dilution, abs=5e-5)


@pytest.mark.parametrize(
    ("temperature", "factor"),
    [(60, 1.0), (100, 0.99), (140, 0.98), (185, 0.96875)],  # asphalt handbook's emulsion table, from memory
)
def test_the_factor_of_an_emulsion(temperature, factor):
    shown = Shown(material=EMULSION | {"spray_planned": temperature})
    assert shown.beside("material", "order.live.factor") == pytest.approx(factor, abs=1e-9)


@pytest.mark.parametrize(
    ("temperature", "factor"),
    [
        (3, 1.0201), (103, 0.9851), (154, 0.9675), (200, 0.9520),  # Iowa DOT IM T102C, group 0 (read)
        (300, 0.9187), (400, 0.8864),  # group 0, from memory
    ],
)  # fmt: skip
def test_the_factor_of_an_asphalt_of_column_a(temperature, factor):
    shown = Shown(material=ASPHALT | {"spray_planned": temperature})
    assert shown.beside("material", "order.live.factor") == pytest.approx(factor, abs=1e-9)


@pytest.mark.parametrize(("gravity", "column"), [(0.966, "B"), (0.967, "A"), (1.02, "A")])
def test_the_column_follows_the_specific_gravity(gravity, column):
    # ASTM D4311/D4311M table footnotes (column A read, limit of B from memory).
    shown = Shown(material=ASPHALT | {"specific_gravity": gravity, "spray_planned": 300})
    assert shown.beside("material", "order.live.column").endswith(column)


def test_a_rate_at_spraying_temperature_is_taken_back_to_base():
    # 0.30 gal/yd² at 60 °F of an emulsion is 0.3077 gal/yd² at 160 °F (factor 0.975; computed).
    shown = Shown(
        material=EMULSION | {"spray_planned": 160},
        section={"rate": 0.3077, "basis": "as-diluted", "rate_temperature": "spraying"},
    )
    assert shown.section("mix") == pytest.approx(0.30, abs=5e-5)
    assert shown.section("hot") == pytest.approx(0.3077, abs=1e-9)


def test_area_of_a_lane():
    # Florida DOT course Asphalt Paving Level 1: Sta 118+50 to 144+75 (stations read), 12 ft -> 3,500 yd².
    shown = Shown(section={"from_station": 11850, "to_station": 14475, "width": 12, "lanes": ["EB"]})
    assert (shown.section("length"), shown.section("area")) == (2625, 3500)


def test_area_and_volume_of_a_mile_of_road():
    # 24 ft × 1 mile is 14,080 yd² (TxDOT area rule, read); at 0.08 gal/yd² 1,126.4 gal.
    shown = Shown(
        material=EMULSION,
        section={
            "from_station": 0, "to_station": 5280, "width": 12, "lanes": ["EB", "WB"],
            "rate": 0.08, "basis": "as-diluted",
        },
    )  # fmt: skip
    assert shown.section("area") == 14080
    assert shown.section("volume") == pytest.approx(1126.4)
    assert shown.beside("preview", "order.total.mix", 2) == pytest.approx(1126.4)


MILITARY = {
    "discharge": 350, "discharge_min": 1, "discharge_max": 400, "bar_widths": [24], "nozzle_spacing": 4,
    "nozzle_flow_min": 1, "nozzle_flow_max": 10, "speed_min": 10, "speed_max": 500,
}  # fmt: skip


@pytest.mark.parametrize(("rate", "speed"), [(0.4, 328.1), (0.8, 164.1), (1.5, 87.5)])
def test_travel_speed_at_the_ordered_rate(rate, speed):
    # S = 9·Q/(W·R): DOT study guide HMA-8-1 (read); runs of MIL-D-435F at 350 gal/min on 24 ft (read, computed).
    shown = Shown(
        material=ASPHALT | {"spray_planned": 60},
        section={"width": 24, "rate": rate, "basis": "undiluted"},
        machine=MILITARY,
    )
    assert shown.preview("speed_1") == pytest.approx(speed, abs=0.06)
    assert shown.preview("verdict_1") == "ok"
    assert shown.preview("fits") == 1


def test_travel_speed_in_metric():
    # Q/(W·R): 240 L/min on 3 m at 0.40 L/m² is 200 m/min.
    shown = Shown(
        "si",
        material={"spray_min": 10, "spray_max": 40, "spray_planned": 15},
        section={"width": 3, "rate": 0.4, "basis": "as-diluted"},
        machine={"discharge": 240},
    )
    assert shown.preview("speed_1") == pytest.approx(200)


@pytest.mark.parametrize(
    ("machine", "section", "verdict"),
    [
        # Another setting of the pump, or a second pass, keeps every limit.
        ({"speed_max": 300}, {}, "ok, other pump setting"),
        ({"speed_min": 400}, {}, "ok, other pump setting"),
        ({"bar_widths": [12]}, {}, "ok, other pump setting"),
        ({"nozzle_flow_min": 5}, {}, "ok, other pump setting"),
        ({"nozzle_flow_max": 4}, {}, "ok, other pump setting"),
        # At 400 ft/min and 0.4 gal/yd² a nozzle of 4 in gives 5.9 gal/min.
        ({"speed_min": 400, "nozzle_flow_max": 1, "nozzle_flow_min": 0.1}, {}, "cannot"),
        ({}, {"hand_spray": True}, "hand spray"),
    ],
)
def test_what_keeps_a_distributor_from_a_section(machine, section, verdict):
    shown = Shown(
        material=ASPHALT | {"spray_planned": 60},
        section={"width": 24, "rate": 0.4, "basis": "undiluted"} | section,
        machine=MILITARY | machine,
    )
    assert shown.preview("verdict_1") == verdict
    if verdict != "hand spray":
        assert shown.preview("fits") == (verdict != "cannot")
    if verdict == "cannot":
        assert texts("en", "us")["order.check.sections.none_fits"] in shown.section("look")


@pytest.mark.parametrize(
    ("tank", "gallons"),
    [
        # 60 in circle, 120 in long: 1,468.8 gal (computed); with two 2:1 heads 244.8 gal more.
        ({"shape": "circular", "height": 60, "length": 120}, 1468.8),
        (
            {"shape": "circular", "height": 60, "length": 120, "heads": "ellipsoidal", "head_depth": 15},
            1713.6,
        ),
        # Ellipse 4 × 3 × 8 ft: 564.02 gal, published in a web FAQ (read).
        ({"shape": "elliptical", "height": 36, "width": 48, "length": 96}, 564.0),
        ({"shape": "calibrated", "points": [{"depth": 0, "volume": 0}, {"depth": 40, "volume": 612}]}, 612),
    ],
)
def test_capacity_of_the_tank(tank, gallons):
    shown = Shown(machine={"tank": tank, "fill_limit": 0.95, "reserve": 40})
    assert shown.beside("machines", "order.live.capacity", 2) == pytest.approx(gallons, abs=0.06)
    assert shown.beside("machines", "order.live.usable", 2) == pytest.approx(gallons * 0.95 - 40, abs=0.06)


def test_loads_needed():
    # Loads = job gallons hot / usable gallons, rounded up: 14,415 gal at 1,700 -> 9 (computed, 8.48).
    tank = {"shape": "calibrated", "points": [{"depth": 0, "volume": 0}, {"depth": 40, "volume": 1800}]}
    shown = Shown(
        material=ASPHALT | {"spray_planned": 60},
        section={"from_station": 0, "to_station": 14415, "width": 9, "lanes": ["L1"], "rate": 1, "basis": "undiluted"},
        machine={"tank": tank, "fill_limit": 1.0, "reserve": 100},
    )  # fmt: skip
    assert shown.beside("preview", "order.total.mix_hot", 2) == pytest.approx(14415)
    assert shown.preview("loads_1") == pytest.approx(8.479, abs=1e-3)
    place = shown.book.tables["preview"]
    row = next(
        row
        for (sheet, row, col), value in shown.values.items()
        if sheet == "preview" and col == 1 and value == "Distributor A" and row < place.header_row
    )
    assert 9 in [value for (sheet, r, _col), value in shown.values.items() if (sheet, r) == ("preview", row)]


def test_gallons_in_a_ton():
    # SG 1.02: 8.495 lb/gal, 235.4 gal/ton (8.328 lb/gal read in subcourse EN5459).
    shown = Shown(material=ASPHALT | {"specific_gravity": 1.02, "spray_planned": 300})
    assert shown.beside("material", "order.live.density") == pytest.approx(8.495, abs=5e-4)
    assert shown.beside("material", "order.live.per_mass") == pytest.approx(235.4, abs=0.05)


@pytest.mark.parametrize(
    ("kind", "tolerance", "allowed"), [("percent", 0.1, 0.025), ("absolute", 0.02, 0.02)]
)
def test_the_tolerance_on_the_mix(kind, tolerance, allowed):
    # FAA P-602: ±10 % of 0.25 accepts 0.225 to 0.275 (read); ±0.02 gal/yd² of several states (from memory).
    shown = Shown(
        material=EMULSION,
        section={"rate": 0.25, "basis": "as-diluted", "tolerance": tolerance, "tolerance_kind": kind},
    )
    assert shown.section("allowed") == pytest.approx(allowed)


RESIDUAL_TACK = {"work": "tack", "surface": "existing-asphalt", "rate_temperature": "base"}


@pytest.mark.parametrize(
    ("rate", "basis", "said"),
    [
        # FHWA tack coat brief, from memory: existing asphalt 0.04-0.07 residual, 0.06-0.11 undiluted at the bar.
        (0.05, "residual", None),
        (0.09, "residual", "bar_rate"),
        (0.02, "residual", "rate_low"),
        (0.04, "undiluted", "residual_rate"),
        (0.09, "undiluted", None),
        (0.2, "undiluted", "rate_high"),
    ],
)
def test_a_residual_rate_given_as_a_bar_rate_is_noticed(rate, basis, said):
    shown = Shown(section=RESIDUAL_TACK | {"rate": rate, "basis": basis})
    sentences = {
        key: texts("en", "us")[f"order.check.sections.{key}"]
        for key in ("bar_rate", "rate_low", "residual_rate", "rate_high")
    }
    assert [key for key, text in sentences.items() if text in shown.section("look")] == (
        [said] if said else []
    )
    assert shown.section("published") == ("0.04–0.07" if basis == "residual" else "0.04–0.07 residual")


@pytest.mark.parametrize(
    ("material", "said"),
    [
        # Spraying CSS-1h at 165 °F is outside every published range (UFC 70-160 read); at 150 °F inside some.
        ({"grade": "CSS-1h", "spray_max": 180, "spray_planned": 165}, "planned_unpublished"),
        ({"grade": "CSS-1h", "spray_planned": 150}, None),
        ({"grade": "CSS-1h", "residue": 0.5}, "residue_low"),  # at least 57 %, Caltrans 1995 section 94 (read)
        ({"grade": "CRS-2", "spray_planned": 150}, "residue_low"),  # at least 65 % (read)
        # MC-30 at 120 °F: above its 100 °F flash point (AASHTO M 82, read): a caution, not a refusal.
        (
            {
                "grade": "MC-30", "material_class": "cutback", "specific_gravity": 0.94, "residue": 0.55,
                "spray_min": 70, "spray_planned": 120,
            },
            "cutback",
        ),
        (
            {
                "grade": "RC-70", "material_class": "cutback", "specific_gravity": 0.95, "residue": 0.55,
                "spray_min": 100, "spray_planned": 120,
            },
            "flash_unknown",  # AASHTO M 81: no minimum flash point (read), which is worse than a low one
        ),
        # AEMA and PPRA: no emulsion above 185 °F (read)
        ({"grade": "CSS-1h", "spray_max": 190, "spray_planned": 150}, "emulsion_hot_us"),
        ({"grade": "MC-30", "residue": 0.55}, "class_known"),
        ({"flash_point": 100}, "flash_asphalt"),
        ({"grade": "CSS-1h", "specific_gravity": 0.9}, "gravity_odd"),
        ({"grade": "Own-1", "spray_min": 20, "spray_planned": 30}, "no_factor"),
    ],
)  # fmt: skip
def test_what_the_material_sheet_says(material, said):
    shown = Shown(material=material)
    look = next(
        value
        for (sheet, row, col), value in shown.values.items()
        if sheet == "material" and shown.book.sheet(sheet).cells[row, col].style == "order_look"
    )
    assert (texts("en", "us")[f"order.check.material.{said}"] in look) if said else (look == "")


def test_the_published_ranges_of_a_grade_stand_beside_it():
    shown = Shown(material={"grade": "CRS-1", "spray_planned": 120})
    rows = sorted(
        {row for (sheet, row, col) in shown.values if sheet == "material" and col == 4 and row > 35}
    )
    listed = [tuple(shown.values["material", row, col] for col in (1, 2, 3, 4)) for row in rows]
    # UFC 3-250-03 Table 3-2: 125-185 °F; Maryland SHA 503: 70-140 °F (both read): 120 °F is in one of them only.
    assert ("UFC 3-250-03 (2001) Table 3-2: tack coat", 125, 185, "no") in listed
    assert ("Maryland SHA 503: chip seal", 70, 140, "yes") in listed


def test_published_figures_in_metric_are_those_of_the_document_or_marked_as_converted():
    from sheetgen.order.published import compared_rates, rates, spray_ranges

    css = {each.document: each for each in spray_ranges("si") if each.grade == "CSS-1h"}
    assert (css["FAA P-602 Table 1: prime coat"].low, css["FAA P-602 Table 1: prime coat"].high) == (20, 70)
    assert css["FAA P-602 Table 1: prime coat"].seen == "seen"
    austin = css["City of Austin 301S.6 Table 18 (2007)"]
    assert (austin.low, austin.high, austin.seen) == (10, 54, "converted")
    # UFC 3-270-01 prints prime 0.10-0.25 gal/yd² as 0.45-1.13 L/m² (read); federal lands 411 prints gal/yd² only.
    (prime,) = [
        rate
        for rate in rates("si")
        if rate.agency == "UFC 3-270-01" and rate.work == "prime" and rate.unit == "L/m²"
    ]
    assert (prime.low, prime.high) == (0.45, 1.13)
    compared = compared_rates("si")["prime", "concrete", "undiluted"]
    assert (compared.low, compared.high) == (0.45, 2.26)
    assert all(rate.low is None for rate in rates("si") if rate.unit == "kg/m²")


def test_price_of_the_job():
    shown = Shown(
        material=EMULSION | {"dilution": 0.5},
        section={
            "from_station": 0, "to_station": 900, "width": 10, "lanes": ["L1"],
            "rate": 0.2, "basis": "as-diluted", "rate_temperature": "base",
        },
        job={"pay": {"unit_price": 3.0}},
    )  # fmt: skip
    # 1,000 yd² at 0.2 are 200 gal of mix, 100 of them emulsion; water is not paid.
    assert shown.beside("preview", "order.total.undiluted", 2) == pytest.approx(100)
    assert shown.beside("preview", "order.total.water", 2) == pytest.approx(100)
    assert shown.beside("preview", "order.total.money", 2) == pytest.approx(300)
    assert math.isclose(shown.section("volume"), 200)
