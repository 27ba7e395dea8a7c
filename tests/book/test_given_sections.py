"""Sections given to distributors by name: what each field book shows, asks live, and what the recheck asks."""

from __future__ import annotations

from functools import cache

import pytest

from sheetgen.audit.compute.book import compute
from sheetgen.audit.entries.read import entries_of
from sheetgen.audit.rules.check import check_all
from sheetgen.book.layout import lay_out
from sheetgen.demo.day import honest_day
from sheetgen.order.demo import demo_order
from sheetgen.order.model import Order
from sheetgen.xlsx.results import results
from tests.audit.orders import SMALL

FINDING = "section-of-other-distributor"


@cache
def given(language: str = "en") -> Order:
    """The demonstration's order with a second distributor, to which S2 is given; S1 is the first one's."""
    data = demo_order("us", language).model_dump(mode="json") | {"size": SMALL}
    data["machines"].append(data["machines"][0] | {"name": "Truck B", "serial": "B"})
    data["sections"][0]["distributor"] = data["machines"][0]["name"]
    data["sections"][1]["distributor"] = "Truck B"
    return Order.model_validate(data)


@cache
def log(number: int) -> dict:
    """An honest day of one of its distributors."""
    order = given()
    return honest_day(order, order.machines[number], seed=5)


@cache
def book_of(number: int):
    order = given()
    return lay_out(order, order.machines[number])


def found(order, number, typed):
    machine = order.machines[number]
    entries = entries_of(typed, order, machine)
    return [
        each
        for each in check_all(compute(entries, order, machine), entries, order, machine)
        if each.name == FINDING
    ]


def shown(book, sheet):
    return " ".join(str(cell.value) for cell in book.sheet(sheet).cells.values() if cell.value is not None)


@pytest.mark.parametrize(
    ("number", "own", "other"), [(0, ["S1", "S3", "S4"], "S2"), (1, ["S2", "S3", "S4"], "S1")]
)
def test_card_and_plan_show_the_own_sections(number, own, other):
    book = book_of(number)
    chosen = [book.sheet("card").cells[row, col].value for key, (sheet, row, col) in book.fields.items()
              if key.startswith("card_section_")]  # fmt: skip
    assert chosen == own
    planned = book.tables["plan_sections"]
    ids = [book.sheet("plan").cells[row, planned.columns["id"]].value
           for row in range(planned.first_row, planned.last_row + 1)]  # fmt: skip
    assert ids == own
    for sheet in ("plan", "ordered"):
        assert f"{other} (" in shown(book, sheet)


def test_an_order_without_names_is_laid_out_as_one_distributor_alone_would_be():
    data = given().model_dump(mode="json")
    for section in data["sections"]:
        section["distributor"] = ""
    several = Order.model_validate(data)
    one = Order.model_validate(data | {"machines": data["machines"][:1]})
    for sheet in ("card", "plan", "ordered"):
        books = [lay_out(order, order.machines[0]).sheet(sheet).cells for order in (several, one)]
        differ = {at for at in {*books[0], *books[1]} if books[0].get(at) != books[1].get(at)}
        texts = [str(books[0][at].value) for at in differ]
        # The code of the book alone, and that another distributor may spray what is left open.
        assert all("-" in text for text in texts if text != "0"), texts
        assert texts.count("0") == (
            sum(not each.hand_spray for each in one.sections) if sheet == "ordered" else 0
        )


def test_an_honest_crew_is_asked_nothing_and_the_other_is_asked_at_its_row():
    order = given()
    for number in (0, 1):
        assert found(order, number, log(number)) == []
    (one, *rest) = found(order, 0, log(1))  # what the second one sprayed, typed into the book of the first
    assert one.severity == "query"
    assert {each.sheet for each in (one, *rest)} == {"shots"}


@pytest.mark.parametrize("confirmed", [False, True])
def test_live_and_recheck_ask_at_the_same_rows(confirmed):
    order = given()
    typed = dict(log(1))
    rows = {
        row
        for (table, row, column), value in typed.items()
        if (table, column, value) == ("shots", "section", "S2")
    }
    if confirmed:
        for row in rows:
            typed |= {("shots", row, "confirmed"): "yes", ("shots", row, "remarks"): "office called"}
    book = lay_out(order, order.machines[0], typed)
    values, place = results(book), book.tables["shot_checks"]
    live = {
        row - place.first_row
        for row in range(place.first_row, place.last_row + 1)
        if values["checks", row, place.columns["is_other"]] == 1
    }
    asked = {each.row for each in found(order, 0, typed)}
    assert asked
    assert live == (set() if confirmed else asked)
    # What a crew confirmed with a remark stays a query, which shows that remark.
    assert {each.acknowledged for each in found(order, 0, typed)} == (
        {"office called"} if confirmed else {""}
    )


def test_what_a_distributor_alone_was_given_is_to_be_finished_though_the_order_has_two():
    order, machine = given(), given().machines[1]
    typed = log(1)
    rows = sorted(
        {
            row
            for (table, row, column) in typed
            if table == "shots" and typed.get(("shots", row, "section")) == "S2"
        }
    )
    names = _names(order, machine, typed)
    assert not names & {"stretch-not-sprayed", "section-not-finished"}
    left = {at: value for at, value in typed.items() if at[:2] != ("shots", rows[0])}
    assert _names(order, machine, left) & {"stretch-not-sprayed", "section-not-finished", "gap-in-lane"}


@pytest.mark.parametrize("number", [0, 1])
def test_what_lies_bare_of_a_section_that_it_was_given_shows_live_as_well(number):
    order, machine, own = given(), given().machines[number], ("S1", "S2")[number]
    typed, asked_of = log(number), []
    mine = {row for (table, row, column), value in typed.items()
            if (table, column, value) == ("shots", "section", own)}  # fmt: skip
    for gone in (None, *sorted(mine)):
        left = {at: value for at, value in typed.items() if at[:2] != ("shots", gone)}
        book = lay_out(order, machine, left)
        values, checks = results(book), book.tables["shot_checks"]
        live = {
            key for key in ("is_gap", "is_bare_end", "is_narrow")
            for row in range(checks.first_row, checks.last_row + 1)
            if values["checks", row, checks.columns[key]] == 1
        }  # fmt: skip
        asked = _names(order, machine, left) & {"gap-in-lane", "stretch-not-sprayed", "strip-not-sprayed"}
        assert bool(live) == bool(asked), (gone, live, asked)
        asked_of += [gone] if asked else []
    assert asked_of
    assert None not in asked_of


def _names(order, machine, typed):
    entries = entries_of(typed, order, machine)
    return {each.name for each in check_all(compute(entries, order, machine), entries, order, machine)}
