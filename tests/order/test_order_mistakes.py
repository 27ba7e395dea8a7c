"""Every mistake in an order comes back at once, each with its cell, what was found, and what to do."""

from __future__ import annotations

import datetime as dt
import json

import openpyxl
import pytest
from pydantic import ValidationError

from sheetgen.errors import OrderError
from sheetgen.order.demo import demo_order
from sheetgen.order.model import Order
from sheetgen.order.read import read_order
from sheetgen.order.write import lay_out_order, write_order
from tests.order.order_grids import grids, mistakes, put, read

DEMO = lay_out_order("us", "en", demo_order())
COLUMNS = {
    "C": 2,
    "D": 3,
    "E": 4,
    "F": 5,
    "G": 6,
    "H": 7,
    "K": 10,
    "L": 11,
    "M": 12,
    "N": 13,
    "O": 14,
    "Q": 16,
}
KEYS = ("job", "material", "machines", "points", "sections", "planning")
TABS = {DEMO.sheet(key).name: key for key in KEYS}


def row_of(sheet: str, path: str) -> int:
    """The printed row of a field on a form."""
    cells = DEMO.sheet(sheet).cells
    return next(row for (row, col), cell in cells.items() if col == 0 and cell.value == path) + 1


def place(sheet: str, where: str) -> str:
    """An address: a field's path stands for its row."""
    column, _dash, path = where.partition(":")
    return f"{column}{row_of(sheet, path)}" if path else column


def with_entries(*entries: tuple[str, str, object]):
    """The demonstration order with some cells typed over, as its reader sees it."""
    file = grids(DEMO, "us", "en")
    for sheet, where, value in entries:
        address = place(sheet, where)
        column = address.rstrip("0123456789")
        put(file, sheet, (int(address[len(column) :]) - 1, COLUMNS[column]), value)
    return file


def found_in(file) -> dict[str, str]:
    """The mistakes as "key of sheet, cell" and what was expected there."""
    return {f"{TABS[mistake.sheet]} {mistake.cell}": mistake.expected for mistake in mistakes(file)}


# On Sections the first section stands in row 8: C id, D road, E lanes, F from, G to, H width, K rate, N tolerance.
ONE_MISTAKE = [
    ("job", "C:job.number", None, "an entry"),
    ("job", "C:job.number", "x" * 61, "at most 60 characters"),
    ("job", "C:job.date", None, "an entry"),
    ("job", "C:paper", "Legal", "one of: Letter, A4"),
    ("job", "C:size.shots", 501, "at most 500"),
    ("job", "C:size.shots", 0, "at least 1"),
    ("job", "C:rounding.rate", 1, "at least 2"),
    ("job", "C:reading.dip", 0, "more than 0"),
    ("job", "C:pay.excess_limit", -10, "at least 0 %"),
    ("job", "C:limits.unexplained", 0, "more than 0 %"),
    ("material", "C:material.residue", 101, "at most 100 %"),
    ("material", "C:material.residue", "#N/A", "a value"),
    ("material", "C:material.specific_gravity", 8.4, "at most 1.3"),
    ("material", "C:material.spray_planned", 161, "a temperature within the range given with it"),
    ("material", "C:material.spray_min", 200, "a minimum temperature below the maximum"),
    ("material", "C:material.material_class", "cutback", None),
    ("material", "C:material.grade", "CSS-1h; MC-30", "one material"),
    ("material", "C:material.grade", "CSS-1h and MC-30", "one material"),
    ("machines", "E:tank.width", None, "the tank's inside dimension"),
    ("machines", "E:tank.heads", "ellipsoidal", "the depth of an ellipsoidal head"),
    ("machines", "E:tank.shape", "by certificate", "at least two points of the certificate"),
    ("machines", "E:tank.stick_offset", 37, "at most 36, half the length of the shell"),
    ("machines", "E:tank.stick_offset", -1, "at least 0"),
    ("machines", "E:discharge", 71, "a discharge within the pump's own range"),
    ("machines", "E:speed_min", 1001, "a minimum not above the maximum"),
    ("machines", "E:bar_widths", "8; 8", "each bar width once"),
    ("machines", "E:bar_widths", "1;2;3;4;5;6;7;8;9;10;11", "at most 10 entries"),
    ("machines", "E:bar_widths", "8; -2", "more than 0"),
    ("machines", "E:fill_limit", 120, "at most 100 %"),
    ("sections", "G8", 11200, "two different stations"),
    ("sections", "E8", "EB; WB; EB", "each lane once"),
    ("sections", "Q8", "Truck 9", "a distributor of this order (Distributor A), or nothing"),
    ("sections", "E8", "a lane with a long name", "at most 12 characters"),
    ("sections", "C9", "S1", "a name that no other has"),
    ("sections", "L8", None, "an entry"),
    ("sections", "K8", 0, "more than 0"),
    ("sections", "F8", -1, "at least 0"),
    ("sections", "N8", 0, "more than 0 %"),
]


@pytest.mark.parametrize(("sheet", "where", "value", "expected"), ONE_MISTAKE)
def test_one_mistake_is_found_in_its_own_cell_and_nowhere_else(sheet, where, value, expected):
    found = found_in(with_entries((sheet, where, value)))
    if expected is None:  # nothing is wrong with an undiluted cutback
        assert found == {}
        return
    at = {"machines E:tank.shape": "points D7", "machines E:tank.heads": "machines E:tank.head_depth"}
    key, _space, cell = at.get(f"{sheet} {where}", f"{sheet} {where}").partition(" ")
    if cell == "D7":
        cell = "C7"  # the first line of the certificate
    assert found == {f"{key} {place(key, cell)}": expected}


def test_only_an_emulsion_can_be_diluted():
    typed = [("material", "C:material.material_class", "cutback"), ("material", "C:material.dilution", 50)]
    assert found_in(with_entries(*typed)) == {
        f"material {place('material', 'C:material.dilution')}": "100 % for a material other than emulsion"
    }


def test_all_mistakes_come_out_at_once_also_those_between_fields():
    found = found_in(
        with_entries(
            ("job", "C:job.number", None),
            ("job", "C:job.date", "3/4/2026"),
            ("material", "C:material.material_class", "tar"),
            ("material", "C:material.spray_planned", 200),
            ("machines", "E:speed_min", 5000),
            ("machines", "E:discharge", 90),
            ("machines", "E:bar_widths", "8; 8"),
            ("machines", "E:tank.width", None),
            ("machines", "E:reserve", dt.time(1, 1)),
            ("sections", "F8", "118+5"),
            ("sections", "C9", "S1"),
            ("sections", "G9", 13800),
            ("sections", "E10", "RT; RT"),
            ("sections", "K10", "much"),
        )
    )
    assert list(found) == [
        f"{sheet} {place(sheet, where)}"
        for sheet, where in (
            ("job", "C:job.number"),
            ("job", "C:job.date"),
            ("material", "C:material.material_class"),
            ("material", "C:material.spray_planned"),
            ("machines", "E:tank.width"),
            ("machines", "E:reserve"),
            ("machines", "E:bar_widths"),
            ("machines", "E:discharge"),
            ("machines", "E:speed_min"),
            ("sections", "F8"),
            ("sections", "C9"),
            ("sections", "G9"),
            ("sections", "E10"),
            ("sections", "K10"),
        )
    ]


def test_nothing_is_said_of_a_rule_whose_other_side_is_missing():
    # The planned 140 °F would be outside the range of any stand-in that is not the demo's own.
    found = found_in(
        with_entries(("material", "C:material.spray_max", None), ("material", "C:material.spray_min", 150))
    )
    assert found == {f"material {place('material', 'C:material.spray_max')}": "an entry"}


def test_a_second_distributor_begun_must_be_finished():
    found = found_in(with_entries(("machines", "F:name", "Distributor B")))
    assert {key[:10] for key in found} == {"machines F"}
    assert len(found) == 12
    assert set(found.values()) == {"an entry"}


def test_distributors_need_not_stand_in_the_first_columns():
    file = grids(DEMO, "us", "en")
    for at in [at for at in file.grids["machines"].cells if at[1] == 4 and at[0] > 4]:
        cells = file.grids["machines"].cells
        cells[at[0], 7] = cells.pop(at)
    assert read(file) == demo_order()


def test_blank_rows_between_sections_are_passed_over():
    file = grids(DEMO, "us", "en")
    cells = file.grids["sections"].cells
    for at in [at for at in cells if at[0] == 10 and at[1] > 1]:
        cells[30, at[1]] = cells.pop(at)
    assert read(file) == demo_order()


def seal(field):
    return f"C:planning.seal_design.{field}"


def test_a_seal_design_is_given_whole_or_not_at_all():
    found = found_in(
        with_entries(("planning", seal("median_size"), 0.26), ("planning", seal("flakiness"), 120))
    )
    assert found == {
        f"planning {place('planning', seal('flakiness'))}": "at most 100 %",
        f"planning {place('planning', seal('loose_weight'))}": "an entry",
        f"planning {place('planning', seal('specific_gravity'))}": "an entry",
        f"planning {place('planning', seal('traffic_factor'))}": "an entry",
    }


@pytest.mark.parametrize(
    ("field", "value", "expected"), [("shift_hours", 25, "at most 24"), ("haul_time", -1, "at least 0")]
)
def test_a_mistake_in_the_planning(field, value, expected):
    where = f"C:planning.{field}"
    assert found_in(with_entries(("planning", where, value))) == {
        f"planning {place('planning', where)}": expected
    }


CERTIFICATE = [(0, 0), (10, 90), (20, 240), (30, 420), (42, 600)]


def calibrated(points):
    file = with_entries(("machines", "E:tank.shape", "by certificate"))
    for line, (depth, volume) in enumerate(points):
        put(file, "points", (6 + line, 2), depth)
        put(file, "points", (6 + line, 3), volume)
    return file


def test_a_certificate_is_read_line_by_line():
    tank = read(calibrated(CERTIFICATE)).machines[0].tank
    assert [(point.depth, point.volume) for point in tank.points] == CERTIFICATE


@pytest.mark.parametrize(
    ("points", "cell", "expected"),
    [
        (CERTIFICATE[:1], "points C7", "at least two points of the certificate"),
        (CERTIFICATE[1:], "points C7", "depth 0 in the first line"),
        ([(0, 0), (20, 240), (10, 90)], "points C9", "more than the 20 of the line above it"),
        ([(0, 0), (10, 90), (20, 90)], "points D9", "more than the 90 of the line above it"),
        ([(0, 0), (10, None), (20, 240)], "points D8", "an entry"),
        ([(0, 0), (10, "ninety"), (20, 240)], "points D8", "a number (gal)"),
        ([(0, 0), (10, -90), (20, 240)], "points D8", "at least 0"),
    ],
)
def test_a_mistake_in_a_certificate(points, cell, expected):
    assert found_in(calibrated(points)) == {cell: expected}


def test_an_order_for_nothing_by_nobody():
    blank = grids(lay_out_order("us", "en"), "us", "en")
    expected = found_in(blank)
    assert (
        expected[f"machines E{row_of('machines', 'name')}"]
        == 'at least one entry on the sheet "Distributors"'
    )
    assert expected["sections C8"] == 'at least one entry on the sheet "Sections"'
    assert len(expected) == 13


@pytest.mark.parametrize("lang", ["en", "es"])
def test_the_message_names_file_cell_finding_and_remedy_in_the_orders_language(lang, demo_file_in):
    path = demo_file_in(lang)
    workbook = openpyxl.load_workbook(path)
    sheet = next(each for each in workbook if "|sections|" in str(each["A1"].value))
    sheet["K8"] = "mucho"
    workbook.save(path)
    with pytest.raises(OrderError) as caught:
        read_order(path)
    said = str(caught.value)
    head, line = {
        "en": ("1 entry to correct in this order", 'found "mucho"; expected a number (gal/yd²). '),
        "es": (
            "1 dato por corregir en este pedido",
            'se encontró "mucho"; se esperaba un número (gal/yd²). ',
        ),
    }[lang]
    for part in (f"{path}: {head}", f"{sheet.title}!K8: {line}"):
        assert part in said


def test_a_formula_typed_as_an_entry_counts_by_its_result(demo_file):
    path = demo_file
    workbook = openpyxl.load_workbook(path)
    workbook["Sections"]["K8"] = "=0.025*2"  # openpyxl writes no result
    workbook.save(path)
    with pytest.raises(OrderError) as caught:
        read_order(path)
    assert [(each.sheet, each.cell, each.expected) for each in caught.value.mistakes] == [
        ("Sections", "K8", "a value")
    ]


def test_rows_and_columns_inserted_by_a_person_do_not_mislead_the_reader(demo_file):
    path = demo_file
    workbook = openpyxl.load_workbook(path)
    workbook["Job"].insert_rows(8)
    workbook["Material"].insert_cols(3)
    workbook["Sections"].insert_rows(5)
    workbook["Distributors"].insert_rows(12)
    workbook.create_sheet("My notes")["A1"] = "call the plant"
    workbook.save(path)
    assert read_order(path) == demo_order()


@pytest.mark.parametrize(
    ("sheet", "cell", "label"),
    [("Material", "A10", "Residue of undiluted material"), ("Sections", "K4", "Ordered rate")],
)
def test_a_field_that_was_deleted_is_missed(sheet, cell, label, demo_file):
    path = demo_file
    workbook = openpyxl.load_workbook(path)
    assert workbook[sheet][cell].value
    workbook[sheet][cell] = None
    workbook.save(path)
    with pytest.raises(OrderError) as caught:
        read_order(path)
    assert [each.expected for each in caught.value.mistakes] == [f'the line or column "{label}"']


BURNERS = [
    ({"flue_top": None}, "the height of the top of the flues above the tank's bottom", "flue_top"),
    ({"cover_over_flues": 5}, "at least 6 over the flues", "cover_over_flues"),
    ({"burners": "no"}, "burners where a burner power is given", "burners"),
    # The demonstration's tank is 42 in deep: outside it, and above its fill limit (95 %, 37.9 in).
    ({"flue_top": 50}, "a height of the flues that, with the cover, lies inside", "flue_top"),
    ({"flue_top": 32}, "a height of the flues that, with the cover, lies inside", "flue_top"),
    ({"burners": None}, "an entry", "burners"),
]


@pytest.mark.parametrize(("changes", "expected", "blamed"), BURNERS)
def test_flues_that_cannot_be_are_refused_at_their_cell(changes, expected, blamed):
    entries = [("machines", f"E:{path}", value) for path, value in changes.items()]
    found = found_in(with_entries(*entries))
    assert list(found) == [f"machines E{row_of('machines', blamed)}"]
    assert expected in found[f"machines E{row_of('machines', blamed)}"]


def test_an_order_of_before_with_one_depth_for_the_flues_is_not_read(tmp_path):
    path = write_order(tmp_path / "order.xlsx", order=demo_order())
    book = openpyxl.load_workbook(path)
    for sheet in book:
        if str(sheet["A1"].value).startswith("order workbook 2"):
            sheet["A1"] = sheet["A1"].value.replace("order workbook 2", "order workbook 1")
    book.save(path)
    with pytest.raises(OrderError) as refused:
        read_order(path)
    assert {mistake.expected for mistake in refused.value.mistakes} == {"an order of this program's version"}


def test_one_unclear_depth_of_a_carried_order_is_taken_for_nothing():
    order = demo_order()
    data = json.loads(order.canonical())
    (machine,) = data["machines"]
    del machine["flue_top"], machine["cover_over_flues"], machine["burners"]
    machine["flue_cover"] = 6
    (read_again,) = Order.from_canonical(json.dumps(data)).machines
    assert not read_again.burners
    assert read_again.flue_top is None


def test_two_unknown_distributors_are_both_named_and_a_misspelt_distributor_is_not_blamed_on_its_sections():
    wrong = with_entries(("sections", "Q8", "Truck 8"), ("sections", "Q9", "Truck 9"))
    assert list(found_in(wrong)) == ["sections Q8", "sections Q9"]
    long = with_entries(("machines", "E:name", "x" * 61), ("sections", "Q8", "x" * 61))
    assert all(not at.startswith("sections") or "60" in said for at, said in found_in(long).items())


def test_a_distributor_that_gets_no_section_is_named_at_its_column():
    data = demo_order().model_dump(mode="json")
    data["machines"].append(data["machines"][0] | {"name": "Truck B"})
    for section in data["sections"]:
        section["distributor"] = "Distributor A"
    order = Order.model_construct(**dict(demo_order()))
    machines = (order.machines[0], order.machines[0].model_copy(update={"name": "Truck B"}))
    sections = tuple(each.model_copy(update={"distributor": "Distributor A"}) for each in order.sections)
    book = lay_out_order("us", "en", order.model_copy(update={"machines": machines, "sections": sections}))
    (mistake,) = mistakes(grids(book, "us", "en"))
    assert mistake.cell == f"F{row_of('machines', 'name')}"
    assert "at least one section" in mistake.expected
    with pytest.raises(ValidationError, match="every section is given to another distributor"):
        Order.model_validate(data)


def test_an_order_workbook_from_before_sections_had_distributors_is_read_as_one_without_names():
    file = grids(DEMO, "us", "en")
    column = file.grids["sections"].column_keys()["distributor"]
    for at in [at for at in file.grids["sections"].cells if at[1] == column]:
        del file.grids["sections"].cells[at]
    assert read(file) == demo_order()


def test_the_drop_down_of_a_section_offers_the_distributors_by_name():
    sheet = DEMO.sheet("sections")
    (rule,) = [each for each in sheet.validations if each.first_col == COLUMNS["Q"]]
    row = row_of("machines", "name")
    assert (rule.kind, rule.formula1) == ("list", f"=Distributors!$E${row}:$J${row}")
