"""The Plan sheet of the field book agrees with the plan on every number, as real engines work it out."""

from __future__ import annotations

import datetime as dt
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings

from sheetgen.book.canvas import Canvas
from sheetgen.book.layout import lay_out
from sheetgen.order.demo import demo_order
from sheetgen.order.model import Order
from sheetgen.plan import plan
from sheetgen.templates import texts
from sheetgen.xlsx.model import Book
from sheetgen.xlsx.results import results
from sheetgen.xlsx.write import write_book
from tests.engines import offices, values_by_ironcalc, values_in
from tests.kept_books import lay_out_anew
from tests.plan.orders import flat_tank, order_of, planned_orders
from tests.plan.sheet_values import SheetValues, differing, every_list_is_compared, pairs
from tests.selection import exhaustive


def _laid_out(order: Order) -> tuple[Book, dict[str, Any]]:
    """The book of the order's first machine, and where the cells that formulas name stand."""
    areas: dict[str, Any] = {}
    made = Canvas.book

    def keep(canvas: Canvas, properties: dict[str, str]) -> Book:
        areas.update(canvas.areas)
        return made(canvas, properties)

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(Canvas, "book", keep)
        book = lay_out_anew(order, order.machines[0])
    return book, areas


def _seal_order() -> Order:
    """A chip seal matched to trucks, against the stations, with a design; two passes; a prime coat, wider."""
    chip = {"id": "C", "road": "R", "lanes": ["L", "R"], "from_station": 9050, "to_station": 1020, "width": 12,
            "work": "chip-seal", "rate": 0.42, "basis": "as-diluted", "rate_temperature": "spraying",
            "tolerance": 0.03, "tolerance_kind": "absolute"}  # fmt: skip
    prime = {"id": "P", "road": "R", "lanes": ["L1"], "from_station": 0, "to_station": 950, "width": 16,
             "work": "prime", "surface": "granular-base", "rate": 0.3, "basis": "undiluted",
             "tolerance": 0.1}  # fmt: skip
    hand = {**prime, "id": "H", "to_station": 40, "hand_spray": True}
    design = {"median_size": 0.26, "flakiness": 0.2, "loose_weight": 90, "specific_gravity": 2.65,
              "traffic_factor": 0.65, "surface_correction": 0.03, "absorption": 0.02, "waste_factor": 1.05}  # fmt: skip
    return order_of(
        machine={"tank": flat_tank(1800), "reserve": 100, "bar_widths": [12, 10], "meter": True,
                 "burner_power": 900000},
        material={"material_class": "cutback", "residue": 0.85, "spray_planned": 180, "specific_gravity": 0.95},
        sections=[chip, prime, hand],
        planning={"aggregate_truck": 14, "aggregate_cover": 125, "prime_extra_width": 1, "seal_design": design,
                  "arrival_temperature": 150, "shift_hours": 5},
    )  # fmt: skip


def _unworkable_order() -> Order:
    """One section that no setting sprays, one that another discharge does, one of bar rates called residual."""
    tack = {"id": "T", "road": "R", "lanes": ["L1"], "from_station": 0, "to_station": 500, "width": 12, "work": "tack",
            "surface": "existing-asphalt", "basis": "residual", "tolerance": 0.1}  # fmt: skip
    return order_of(
        machine={"discharge": 60, "discharge_min": 10, "discharge_max": 60, "nozzle_flow_min": 1, "nozzle_flow_max": 3,
                 "speed_min": 150, "speed_max": 600, "nozzle_spacing": 6, "bar_widths": [8, 12]},
        sections=[{**tack, "rate": 0.01}, {**tack, "id": "O", "rate": 0.05}, {**tack, "id": "B", "rate": 0.09}],
    )  # fmt: skip


def _by_hand_order() -> Order:
    return order_of(section={"hand_spray": True, "to_station": 50})


ORDERS = {
    "demonstration": lambda: demo_order("us", "en"),
    "demonstration, metric, Spanish": lambda: demo_order("si", "es"),
    "chip seal and prime": _seal_order,
    "chip seal and prime, metric": lambda: _metric(_seal_order()),
    "does not work": _unworkable_order,
    "all by hand": _by_hand_order,
}


def _metric(order: Order) -> Order:
    """A like job in round metric numbers: lengths, widths and rates of an inch-pound order, scaled."""
    data = order.model_dump()
    for section in data["sections"]:
        for key in ("from_station", "to_station", "width"):
            section[key] = round(section[key] * 0.3, 2)
        section["rate"] = round(section["rate"] * 4.5, 3)
        if section["tolerance_kind"] == "absolute":
            section["tolerance"] *= 4
    machine = data["machines"][0]
    machine |= {
        "tank": {**flat_tank(7000, 1500), "height": None}, "reserve": 400, "bar_widths": [3.0, 3.6],
        "nozzle_spacing": 100, "discharge": 560, "discharge_max": 4000, "speed_max": 1500, "burner_power": 260,
        "flue_top": 350, "cover_over_flues": 155,
    }  # fmt: skip
    data["planning"] |= {"arrival_temperature": 65, "aggregate_truck": 10, "aggregate_cover": 100,
                         "prime_extra_width": 0.3}  # fmt: skip
    data["planning"]["seal_design"] |= {"median_size": 6.6, "loose_weight": 1440, "surface_correction": 0.14,
                                        "absorption": 0.09}  # fmt: skip
    data["material"] |= {"spray_min": 40, "spray_max": 120, "spray_planned": 82}
    data["reading"] |= {"dip": 2, "temperature": 1, "meter": 5, "station": 0.5, "width": 0.05}
    return Order.model_validate(data | {"units": "si"})


USUAL = ("demonstration", "chip seal and prime, metric", "does not work")
PARAMS = [name if name in USUAL else exhaustive(name) for name in ORDERS]


@pytest.fixture(scope="module")
def by_libreoffice(tmp_path_factory):
    """The file of an order as LibreOffice calculated it: the usual ones in one call of it, the others in another."""

    @cache
    def calculated(usual: bool) -> dict[str, Path]:
        names = [name for name in ORDERS if (name in USUAL) is usual]
        folder = tmp_path_factory.mktemp("plans")
        books = [_laid_out(ORDERS[name]())[0] for name in names]
        paths = [write_book(book, folder / f"{number}.xlsx") for number, book in enumerate(books)]
        return dict(zip(names, offices(paths, folder / "office"), strict=True))

    return lambda name: calculated(name in USUAL)[name]


@pytest.fixture(scope="module", params=PARAMS)
def order(request) -> Order:
    return ORDERS[request.param]()


def test_the_sheet_agrees_with_the_plan_on_every_number(order):
    book, areas = _laid_out(order)
    made = plan(order)
    assert differing(made, made.machines[0], SheetValues(book, results(book), areas)) == []


def test_ironcalc_agrees_with_the_plan_on_every_number(order, tmp_path):
    book, areas = _laid_out(order)
    path = write_book(book, tmp_path / "book.xlsx")
    made = plan(order)
    sheet = SheetValues(book, values_by_ironcalc(path, book), areas)
    assert differing(made, made.machines[0], sheet) == []


@pytest.mark.parametrize("name", PARAMS)
def test_libreoffice_agrees_with_the_plan_on_every_number(name, by_libreoffice):
    order = ORDERS[name]()
    book, areas = _laid_out(order)
    made = plan(order)
    sheet = SheetValues(book, values_in(by_libreoffice(name), book), areas)
    assert differing(made, made.machines[0], sheet) == []


def test_the_comparison_sees_a_changed_number():
    order = demo_order()
    book, areas = _laid_out(order)
    place = book.tables["plan_shots"]
    cells, at = book.sheet("plan").cells, (place.first_row + 2, place.columns["volume"])
    cells[at] = cells[at]._replace(value=cells[at].value + 0.001)
    made = plan(order)
    (found,) = differing(made, made.machines[0], SheetValues(book, results(book), areas))
    assert found.startswith("shot 3 volume")


def test_the_comparison_leaves_no_list_out_and_looks_at_hundreds_of_numbers():
    order = demo_order()
    book, areas = _laid_out(order)
    made = plan(order)
    assert every_list_is_compared() == set()
    assert len(list(pairs(made, made.machines[0], SheetValues(book, results(book), areas)))) > 500


@settings(max_examples=10, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(order=planned_orders(most_rows=2))
def test_the_sheet_agrees_with_the_plan_whatever_the_order(order):
    book, areas = _laid_out(order)
    made = plan(order)
    assert differing(made, made.machines[0], SheetValues(book, results(book), areas)) == []


def test_an_order_outside_the_correction_chart_gets_a_sheet_that_says_so():
    order = order_of(planning={"arrival_temperature": 600})
    book = lay_out(order, order.machines[0])
    shown = [str(cell.value) for cell in book.sheet("plan").cells.values()]
    assert any("600" in text and "temperature" in text for text in shown)


def test_invented_data_is_marked_on_the_sheet():
    book = lay_out(demo_order(), demo_order().machines[0])
    shown = [str(cell.value) for cell in book.sheet("plan").cells.values()]
    assert texts("en")["book.invented_short"] in shown
    assert texts("en")["cautions.defer"] in shown


def test_every_chart_has_a_text_in_its_stead(order):
    book = lay_out(order, order.machines[0])
    for chart in book.sheet("plan").charts:
        assert len(chart["alternative"]) > 20
        assert chart["title"]
        assert chart["x_axis"]


def test_the_order_of_planned_work_is_one_day_of_an_invented_year():
    # The order's date has no part in a plan: the same order written on another day gives the same plan.
    order = demo_order()
    later = order.model_copy(update={"job": order.job.model_copy(update={"date": dt.date(2031, 1, 1)})})
    assert plan(later) == plan(order)


@pytest.mark.parametrize("start", [7.5, 7.9, 8.55])
def test_times_are_whole_minutes_to_the_last_digit(start):
    """A program that saves the book writes times anew, as whole seconds: any other number would come back changed."""
    order = order_of(planning={"start_hour": start})
    sheet = lay_out(order, order.machines[0]).sheet("plan")
    times = [
        cell.value * 1440 for cell in sheet.cells.values() if "hh:mm" in cell.number_format and cell.value
    ]
    assert times
    assert times == pytest.approx([round(minutes) for minutes in times], rel=1e-14)
